#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/parts/screw.hpp"
#include "pitchline/report/finding.hpp"
#include "pitchline/screw/staying_up.hpp"

namespace pitchline::report {

/// One screw of the catalogue in the lift of a machine.
struct LiftScrew {
  parts::Screw screw{};
  Verdict verdict = Verdict::fails;     ///< worst of its rows
  std::vector<std::string> rejected{};  ///< why it does not fit; empty where it may
  std::vector<Finding> rows{};          ///< all that it was judged by
  Torque raising = unset<Torque>();     ///< at the motor, at the most friction, constant speed
  double torque_margin = std::nan("");  ///< of the wanted move
  Speed fastest = unset<Speed>();       ///< that the motor lifts with the margin wanted; 0: none
  Time time = unset<Time>();            ///< over the travel, no faster than wanted
  std::optional<screw::StaysUp> stays_up{};  ///< by friction; nothing where it is not known
  double critical_margin = std::nan("");
  double column_margin = std::nan("");
  double wear_margin = std::nan("");  ///< NaN of balls, and where the nut is not known
  Length per_full_step = unset<Length>();
  Length per_pulse = unset<Length>();
  Fraction steps_per_millimetre{0};
  double smallest_margin = std::nan("");  ///< of the rows that count in the order
  std::string weakest{};                  ///< which row that is
};

/// The rule by which screws are put in order, in words.
inline constexpr const char* lift_screw_rule =
    "screws of which every row holds before those with a tight one, and these before those with an "
    "unsure one; among them by the smallest margin of all rows, the larger first, counted as 2 "
    "where it is more; then the thinner screw, then the larger torque margin, then by name";

/// All screws of a catalogue, compared for one lift.
struct LiftChoice {
  std::string machine{};
  std::string axis{};
  std::string own{};         ///< the screw that the file has, where it is of the catalogue
  bool own_is_open = false;  ///< whether the file says nothing of its screw
  Mass lifted = unset<Mass>();
  Length travel = unset<Length>();
  Speed speed = unset<Speed>();
  Acceleration acceleration = unset<Acceleration>();
  Length height_step = unset<Length>();
  bool stays_up = false;
  int motors = 1;
  int screws = 1;
  double torque_margin_wanted = 1.0;
  /// Of what is lifted, on the most loaded nut: with the screw of the file, else with the first;
  /// NaN where there is neither.
  double nut_share = std::nan("");
  std::vector<LiftScrew> fitting{};   ///< best first
  std::vector<LiftScrew> rejected{};  ///< by name
  std::string why_first{};            ///< one sentence; empty where none fits
  std::vector<std::string> assumed{};
  std::vector<std::string> cautions{};
};

}  // namespace pitchline::report
