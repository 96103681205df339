#pragma once

#include <optional>
#include <string>
#include <vector>

#include "pitchline/belt/service_factor.hpp"
#include "pitchline/belt/stock.hpp"
#include "pitchline/machine/drive.hpp"
#include "pitchline/machine/lift.hpp"
#include "pitchline/parts/supply.hpp"
#include "pitchline/structure/beam.hpp"

namespace pitchline::machine {

/// What the builder wants of an axis.
struct Want {
  Speed speed = unset<Speed>();
  Acceleration acceleration = unset<Acceleration>();
  Length position_error = unset<Length>();  ///< at rest and at constant speed; unset: not asked
  Length corner_error = unset<Length>();    ///< while accelerating; unset: not asked
  // The move that will really run.
  Length stroke = unset<Length>();  ///< unset: any, and the least favourable one decides
  Time jerk_time{};                 ///< over which the acceleration builds up
  int repeats = 1;                  ///< moves one after the other
  Time dwell{};                     ///< rest between two of them, at least
};

/// What the controller can do.
struct Controller {
  PulseRate pulse_rate = unset<PulseRate>();  ///< most pulses a second on one output
  int decimals = 3;                           ///< places it keeps of steps per mm
};

/// How the belts of an axis are fitted, as far as the builder says.
struct BeltFitting {
  Force tension = unset<Force>();  ///< set in each strand of the axis' belt at rest
  std::optional<belt::ServiceFactor> service_factor{};  ///< in place of that of the belt's maker
  Length bore = unset<Length>();  ///< of the pulley that sits on the motor's shaft
};

/// Lines that an axis works to and fro while another steps on to the next.
struct Raster {
  Length line = unset<Length>();    ///< the part that is worked
  Speed speed = unset<Speed>();     ///< along the line
  Length height = unset<Length>();  ///< of the area
  Length line_pitch = unset<Length>();
  std::string across{};  ///< the axis that steps from line to line
};

/// A stroke of the cycle that a machine repeats.
struct CycleMove {
  Length stroke = unset<Length>();
  Speed speed = unset<Speed>();                       ///< the wanted one where the file says none
  Acceleration acceleration = unset<Acceleration>();  ///< likewise
  Time pause{};                                       ///< after each stroke
  int times = 1;
  bool there_and_back = false;
};

/// What is wanted of an axis that turns, and where it stands.
struct TurnedWork {
  Angle angle_step = unset<Angle>();      ///< finest turn that is wanted; unset: not asked
  Length surface_step = unset<Length>();  ///< the same along the surface; unset: not asked
  Length axle_height = unset<Length>();   ///< of chuck or rollers above the bed; unset: not said
};

/// A figure of an axis that nobody measured: the reader took the usual one.
enum class UsualFigure { stiffness_share, belt_damping, belt_drag, static_friction };

/// One axis of the machine with what is wanted of it.
// NOLINTNEXTLINE(bugprone-exception-escape): the assignment of a variant may throw, and says so
struct Axis {
  std::string name{};
  Drive drive;
  Want want{};
  BeltFitting fitting{};
  std::optional<Raster> raster{};
  std::vector<CycleMove> cycle{};  ///< empty: none is described
  /// The beam that this axis moves, with its bending along the travel; what `travels_along_beam`
  /// stands on it.
  std::optional<structure::Beam> beam{};
  std::optional<Lift> lift{};  ///< of an axis by screw that lifts a bed
  ScrewFit screw_fit{};        ///< of an axis by screw that lifts none; see `fit_of`
  TurnedWork turned{};         ///< of an axis that turns
  /// Values the file left out and this program filled in, each as a sentence part: "span 1700 mm".
  std::vector<std::string> assumed{};
  std::vector<UsualFigure> usual{};  ///< of them those that a measurement would replace
  /// What the file does not describe, so that no row judges it, each with the key that would.
  std::vector<std::string> not_looked_at{};
};

/// How the screws of an axis are held, whether it lifts or not.
inline ScrewFit fit_of(const Axis& axis) {
  if (!axis.lift) return axis.screw_fit;
  return {.bearings = axis.lift->bearings,
          .hangs = axis.lift->hangs,
          .nut_length = axis.lift->nut_length,
          .life = axis.lift->life};
}

/// The belt drive of an axis that has one.
inline axis::BeltAxis& belt_drive(Axis& axis) { return std::get<axis::BeltAxis>(axis.drive); }
inline const axis::BeltAxis& belt_drive(const Axis& axis) {
  return std::get<axis::BeltAxis>(axis.drive);
}

/// A whole machine as its file describes it, checked and typed.
struct Machine {
  std::string name{};
  TorqueMargin torque_margin;
  parts::Supply supply{};
  Controller controller{};
  std::vector<Axis> axes{};
  std::vector<belt::StockLoop> listed_loops{};  ///< closed belts that makers list; may be empty
};

}  // namespace pitchline::machine
