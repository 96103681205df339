#pragma once

#include <cmath>

#include "pitchline/units.hpp"

namespace pitchline::motion {

/// A straight axis as one of its motors sees it: the share of mass and friction that this motor
/// carries, and what turns with it.
struct AxisAtMotor {
  Transmission transmission = unset<Transmission>();  ///< travel per angle of the motor shaft
  Mass mass = unset<Mass>();                          ///< in straight motion
  Inertia motor_side_inertia{};  ///< on the motor shaft: rotor, and the pulley on it
  Inertia
      driven_side_inertia{};   ///< behind a reduction stage, already divided by its ratio squared
  Force friction{};            ///< Coulomb friction and drag, against the motion
  Force breakaway{};           ///< static friction beyond that, until the load moves
  Force gravity{};             ///< of the mass along the axis, pulling down the incline; ≥ 0
  Efficiency efficiency{1.0};  ///< from motor shaft to load
};

/// Which way along an inclined axis; on a level one both are the same.
enum class Direction { up, down };

/// Refuses a field outside its range.
///
/// \throws InvalidInput  such a field, or one never set
inline void require_valid(const AxisAtMotor& axis) {
  require_positive("transmission", axis.transmission);
  require_not_negative("mass", axis.mass);
  require_not_negative("motor side inertia", axis.motor_side_inertia);
  require_not_negative("driven side inertia", axis.driven_side_inertia);
  require_not_negative("friction", axis.friction);
  require_not_negative("breakaway friction", axis.breakaway);
  require_not_negative("gravity", axis.gravity);
}

namespace detail {
// A force of the load as torque at the motor. A load that drives the motor (negative force) has its
// losses on its own side: they help the motor to brake.
inline Torque at_motor(const AxisAtMotor& axis, Force force) {
  const double efficiency = axis.efficiency.value();
  return force * axis.transmission * (force > newtons(0) ? 1.0 / efficiency : efficiency);
}
}  // namespace detail

/// Force on the load at constant speed: friction, and gravity with or against it. Below zero where
/// the load runs down by itself.
///
/// \throws InvalidInput  a field outside its range, or never set
inline Force constant_speed_force(const AxisAtMotor& axis, Direction direction = Direction::up) {
  require_valid(axis);
  return direction == Direction::up ? Force(axis.friction + axis.gravity)
                                    : Force(axis.friction - axis.gravity);
}

/// Force on the load while it accelerates along `direction`.
///
/// \throws InvalidInput  a field outside its range, or never set
inline Force accelerating_force(const AxisAtMotor& axis, Acceleration acceleration,
                                Direction direction = Direction::up) {
  return constant_speed_force(axis, direction) + axis.mass * acceleration;
}

/// All inertia that the motor turns, as one number at its shaft. The load counts without the
/// efficiency of the drive: this is what stores energy.
///
/// \throws InvalidInput  a field outside its range, or never set
inline Inertia total_inertia(const AxisAtMotor& axis) {
  require_valid(axis);
  return axis.motor_side_inertia + axis.driven_side_inertia +
         axis.mass * axis.transmission * axis.transmission;
}

/// Torque of the motor while the axis accelerates rigidly: the textbook figure, without the
/// overshoot that elasticity adds.
///
///     T = (F + m a) t/η + (J_m + J_d/η) a/t          F = friction ± gravity
///
///     F    constant_speed_force    N      where F + m a < 0 the load drives, and η stands above
///     m    mass                    kg     ≥ 0
///     a    acceleration            m/s²   ≥ 0
///     t    transmission            m/rad  > 0
///     η    efficiency              –      (0, 1]
///     J_m  motor_side_inertia      kg·m²  ≥ 0
///     J_d  driven_side_inertia     kg·m²  ≥ 0
///     T    result                  N·m
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: Newton's law at the shaft; checked against [Yaskawa E-V-MD] p. 30 and [Yaskawa E-S]
/// p. 43.
inline Torque rigid_torque(const AxisAtMotor& axis, Acceleration acceleration,
                           Direction direction = Direction::up) {
  require_not_negative("acceleration", acceleration);
  const Force force = accelerating_force(axis, acceleration, direction);
  const Inertia turning =
      axis.motor_side_inertia + axis.driven_side_inertia / axis.efficiency.value();
  return detail::at_motor(axis, force) + turning * (acceleration / axis.transmission);
}

}  // namespace pitchline::motion
