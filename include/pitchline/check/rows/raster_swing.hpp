#pragma once

#include <optional>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motion/swing_on_lines.hpp"

namespace pitchline::check {

/// What the swing of the load may be larger than one mode of a linear drive has it: the field gets
/// softer as it pulls. Compared with the simulation over drawn axes, tests/proof/raster_axes.cpp.
inline constexpr double softening_field = 1.15;

/// The swing of a load on the lines of a raster, at the stiffness that lets it settle last.
struct RasterSwing {
  Length amplitude{};  ///< of the load at the end of the ramp, largest of all lines
  Time settling{};     ///< from there to the tolerance; unlimited where nothing damps it
  motion::ElasticMode mode{unset<Frequency>(),
                           DampingRatio(0)};  ///< with what damps it at that speed
  double stiffness_share{1.0};                ///< of the drive, over the nominal one
  /// At some stiffness the motor, whose voltage limits its current, takes damping away: the swing
  /// may last longer than `settling` says.
  bool fed_by_motor = false;
};

/// The first mode of rotor and load, at constant speed and a stiffness of the drive.
///
///     rotor J on the field k, load m on the drive k_b t²; `motor::axis_modes`
///     ζ = (c (1 − r)² + (B − B_n) r²)/(2 ω (m + J r²)),  r = 1 − m ω²/k_b
///
///     k    of the field at the load angle that `torque` makes at this speed
///     c    2 ζ_b √(k_b m)              of the drive
///     B    of the motor, `motor::assumed_motor_damping`
///     B_n  what the motor takes away where the voltage limits its current,
///          `motor::critical_damping`
///     r    rotor over load in that mode
///
/// Inertias and stiffnesses at the load. `amplitude` is what the load swings of a unit of it.
/// Nothing where the motor cannot hold that torque at that speed. A damping that is below zero is
/// 0.
struct LineMode {
  motion::ElasticMode mode{unset<Frequency>(), DampingRatio(0)};
  double amplitude = 1.0;
  Stiffness field = unset<Stiffness>();  ///< k
  bool fed_by_motor = false;             ///< B_n above zero
};
std::optional<LineMode> line_mode(const AxisState& s, Stiffness drive, Speed speed, Torque torque);

/// The swing on lines, over the stiffness that the drive may have; nothing where the stiffness of
/// the drive is not known, or the motor cannot hold the friction at that speed.
///
/// \throws InvalidInput  as `motion::largest_swing_on_lines`; tolerance not above zero
std::optional<RasterSwing> raster_swing(const AxisState& s, motion::LinesInTurn run,
                                        Length tolerance);

}  // namespace pitchline::check
