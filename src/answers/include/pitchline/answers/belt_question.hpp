#pragma once

#include <string>
#include <vector>

#include "pitchline/answer/answer.hpp"
#include "pitchline/io/catalogue.hpp"

namespace pitchline::answer {

/// What was typed of a question about a belt, as it was typed; empty where it was left out.
struct BeltQuestion {
  std::string profile;
  std::string pitch;
  std::vector<std::string> two_teeth;
  std::string teeth;
  std::string distance;
  std::string length;
  std::string belt_teeth;
  std::string wanted;
  std::string take_up;
  std::string width;
  std::string mass_per_length;
  std::string span;
  std::string frequency;
  std::string tension;
  std::string bending_stiffness;
  std::string speed;
  std::string wrap;
  std::string second_teeth;
  std::string pulses_per_turn;
  std::string microsteps;
  std::string full_steps;
  std::string reduction;
  std::string travel;
  std::string decimals;
  std::string file;
};

// Each answers one question about a belt, a pulley or steps per mm. All throw `io::UnusableOptions`
// of what was typed, `io::UnusableInput` of a file, and `InvalidInput` and `OutsideValidity` as the
// formulas do.

/// Belt length for two pulleys and a distance.
Answer belt_length(const BeltQuestion& q, const io::Catalogue& catalogue);
/// Distance of two pulleys for a belt, or listed belts near a distance.
Answer pulley_distance(const BeltQuestion& q, const io::Catalogue& catalogue);
/// Tension of a span from the frequency at which it sounds.
Answer span_tension(const BeltQuestion& q, const io::Catalogue& catalogue);
/// Frequency of a span from its tension.
Answer span_frequency(const BeltQuestion& q, const io::Catalogue& catalogue);
/// Diameters of a pulley, fewest teeth, teeth in mesh.
Answer one_pulley(const BeltQuestion& q, const io::Catalogue& catalogue);
/// Steps per mm, and teeth and microsteps for a wanted number.
Answer steps_per_length(const BeltQuestion& q, const io::Catalogue& catalogue);
/// A belt round any number of pulleys, from a file.
Answer belt_loop(const BeltQuestion& q, const io::Catalogue& catalogue);
/// The belt profiles of the catalogue.
Answer belt_profiles(const BeltQuestion& q, const io::Catalogue& catalogue);

}  // namespace pitchline::answer
