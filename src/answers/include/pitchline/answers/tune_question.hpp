#pragma once

#include <string>
#include <vector>

#include "pitchline/answer/answer.hpp"
#include "pitchline/io/catalogue.hpp"

namespace pitchline::answer {

/// What was typed of measurements of the built machine, as it was typed; empty where it was left
/// out.
struct TuneQuestion {
  std::string file;
  std::string steps_per_mm;
  std::vector<std::string> commanded;
  std::vector<std::string> measured;
  std::string resolution;
  std::string zero;
  std::string teeth;
  std::string pulses_per_turn;
  std::string starts;
  std::string along_beam;
  std::string along_rails;
  std::vector<std::string> left_to_right;
  std::vector<std::string> right_to_left;
  std::string between_rails;
  std::string allowed;
  std::string profile;
  std::string width;
  std::string mass_per_length;
  std::vector<std::string> span;
  std::vector<std::string> frequency;
  std::string wanted;
  std::string frequency_resolution;
  std::string span_resolution;
  std::string bending_stiffness;
  std::string axis;
  std::string runs;
  std::vector<std::string> held;
  std::vector<std::string> lost;
  std::string lead;
  std::string confidence;
  std::vector<std::string> pull_belt_off;
  std::vector<std::string> pull_belt_on;
  std::vector<std::string> pull_to_start;
  std::string scale_resolution;
  std::string force;
  std::string deflection;
  std::string at;
  std::vector<std::string> peaks;
};

// Each answers what measurements say. All throw `io::UnusableOptions` of what was typed,
// `io::UnusableInput` of a file, and `InvalidInput` and `OutsideValidity` as the formulas do.

/// Corrected steps per mm and lost motion, from commanded and measured travel.
Answer corrected_travel(const TuneQuestion& q, const io::Catalogue& catalogue);
/// Skew of a gantry, from both diagonals of a rectangle it drew.
Answer gantry_skew(const TuneQuestion& q, const io::Catalogue& catalogue);
/// Mean lead and variation of a screw, from travel measured along it.
Answer screw_variation(const TuneQuestion& q, const io::Catalogue& catalogue);
/// Tension of plucked belts against the one wanted, and both sides alike.
Answer plucked_belts(const TuneQuestion& q, const io::Catalogue& catalogue);
/// Friction, torque and margin, from runs that held and that lost steps.
Answer trial_runs(const TuneQuestion& q, const io::Catalogue& catalogue);
/// Friction, stiffness and damping of an axis, from scale, gauge and swing.
Answer axis_figures(const TuneQuestion& q, const io::Catalogue& catalogue);

}  // namespace pitchline::answer
