#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/report/finding.hpp"
#include "pitchline/units/fraction.hpp"

namespace pitchline::report {

/// What one mechanism allows an axis to do at the wanted speed.
struct Binding {
  std::string key{};   ///< of the finding that judges it
  std::string what{};  ///< the mechanism in words, "motor torque"
  /// Largest acceleration that it allows at the wanted speed; unlimited where it does not limit the
  /// acceleration, zero where it does not allow the speed, unset where it is not known.
  Acceleration allowed = unset<Acceleration>();
  /// Likewise with the customary service factor, see `Finding::margin_with_factor`; unset where
  /// there is none.
  Acceleration customary = unset<Acceleration>();
  /// Where the wanted acceleration is allowed because it completes in time: what would be with
  /// every swing at its worst. Unset where that is `allowed`.
  Acceleration at_worst = unset<Acceleration>();
  Acceleration least{};  ///< below it the load sticks again and again, and more is asked; mostly 0
  std::optional<Speed> speed_limit{};  ///< largest speed it allows, where it limits the speed alone
  double margin = std::nan("");        ///< over what is wanted
  Verdict verdict = Verdict::unsure;
  std::string reason{};  ///< the finding's, at the acceleration allowed
};

/// How far the answer moves when one thing that a builder can change is a tenth less or more.
struct Influence {
  std::string what{};  ///< "moving mass"
  std::string less{};  ///< what it would be, a tenth less: "1.26 kg"; empty where there is no less
  std::string more{};
  Acceleration allowed_less = unset<Acceleration>();  ///< the answer then
  Acceleration allowed_more = unset<Acceleration>();
  std::string binds_less{};  ///< the mechanism that binds then
  std::string binds_more{};
  double change_less = std::nan("");  ///< of the answer, as a part of it
  double change_more = std::nan("");
};

/// A figure that was assumed, and whose range would change a verdict: it is worth measuring.
struct FigureToMeasure {
  std::string what{};   ///< "stiffness of the axis"
  std::string key{};    ///< of the machine file, "drive.stiffness_share"
  std::string value{};  ///< in its range, at which a row comes out otherwise: "0.4"
  std::string rows{};   ///< those that fail there, or that fail now and would hold
  bool fails = true;    ///< they fail there; else they would hold
};

/// What the motor of an axis allows at one speed.
struct SpeedPoint {
  Speed speed{};
  Acceleration allowed{};   ///< of the move that will run, with the torque margin
  Acceleration textbook{};  ///< by torque alone: no swings, no margin
};

/// How long a stroke takes with one acceleration at the best speed that goes with it.
struct MoveTimePoint {
  Acceleration acceleration{};
  Speed speed{};
  Time time{};
};

/// What an axis can do by the torque of its motor, as curves.
struct Capability {
  std::vector<SpeedPoint> over_speed{};    ///< from slow to fast, or to where nothing is left
  Length stroke{};                         ///< that the times are for
  std::vector<MoveTimePoint> move_time{};  ///< by rising acceleration; empty where it does not move
  MoveTimePoint fastest{};                 ///< least time of all
  MoveTimePoint nearly{};  ///< smallest acceleration that loses no more than `nearly_loses`
};

/// A belt to order beside motor and driver.
struct BeltToOrder {
  int pieces = 1;         ///< belts alike, one on each side of a gantry
  std::string profile{};  ///< "GT 3 mm"
  Length width = unset<Length>();
  Length length = unset<Length>();  ///< of a piece, clamps included
};

/// Pulses per travel, as a fraction and as the controller keeps them.
struct PulsesToSet {
  Fraction exact{0};
  Fraction kept{0};  ///< 0 where it rounds to nothing
  int decimals = 0;
  bool per_degree = false;  ///< of an axis that turns; else per millimetre
};

/// The note of a strand that is plucked, of a length that can be heard.
struct StrandNote {
  Length span = unset<Length>();  ///< that swings freely
  bool whole = true;              ///< all of the strand; else a part that is blocked off
  Frequency note = unset<Frequency>();
};

/// What is to be set on an axis, and typed into its driver and controller.
struct ToSet {
  PulsesToSet pulses{};
  Current rms = unset<Current>();
  Current peak = unset<Current>();
  std::optional<Force> strand_tension{};  ///< at rest; nothing without a belt, or where it is set
  std::optional<Force> strand_tension_least{}, strand_tension_most{};  ///< its range, where known
  std::optional<StrandNote> note{};  ///< at that tension; nothing where the mass is not known
};

/// What was found of one axis.
struct AxisReport {
  std::string name{};
  std::string parts{};                 ///< what it is built of, in one line
  std::vector<std::string> assumed{};  ///< defaults that were filled in
  /// What the file does not describe, so that no row judges it.
  std::vector<std::string> not_looked_at{};
  std::vector<Finding> findings{};
  Speed wanted_speed = unset<Speed>();
  Acceleration wanted_acceleration = unset<Acceleration>();
  /// What the jerk time lets a move of the wanted speed come to; unlimited without one.
  Acceleration reachable = unlimited<Acceleration>();
  Acceleration textbook = unset<Acceleration>();  ///< by torque alone, no swings, no margin
  std::vector<BeltToOrder> to_order{};
  ToSet to_set{};
  std::vector<Binding> binds{};               ///< smallest acceleration first
  std::vector<Influence> influences{};        ///< largest first; empty where not asked for
  std::optional<Capability> capability{};     ///< where asked for
  std::vector<FigureToMeasure> to_measure{};  ///< where influences are asked for
};

/// What was found of a machine.
struct Report {
  std::string machine{};
  std::vector<AxisReport> axes{};
  std::vector<Finding> common{};        ///< of all axes together
  std::vector<std::string> cautions{};  ///< printed once

  /// Worst verdict of all, in the order holds, tight, unsure, fails.
  [[nodiscard]] Verdict worst() const {
    Verdict verdict = Verdict::holds;
    const auto take = [&](const std::vector<Finding>& findings) {
      for (const Finding& f : findings) verdict = std::max(verdict, f.verdict);
    };
    for (const AxisReport& axis : axes) take(axis.findings);
    take(common);
    return verdict;
  }
};

}  // namespace pitchline::report
