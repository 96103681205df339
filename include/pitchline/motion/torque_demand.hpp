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

namespace detail {
inline void require_valid(const AxisAtMotor& axis) {
  if (!(axis.transmission > metres_per_radian(0)) || !is_finite(axis.transmission))
    throw InvalidInput("transmission", "> 0", in_metres_per_radian(axis.transmission), "m/rad");
  if (!(axis.mass >= kilograms(0)) || !is_finite(axis.mass))
    throw InvalidInput("mass", ">= 0", in_kilograms(axis.mass), "kg");
  if (!(axis.motor_side_inertia >= kilogram_square_metres(0)))
    throw InvalidInput("motor side inertia", ">= 0",
                       in_kilogram_square_metres(axis.motor_side_inertia), "kg*m^2");
  if (!(axis.driven_side_inertia >= kilogram_square_metres(0)))
    throw InvalidInput("driven side inertia", ">= 0",
                       in_kilogram_square_metres(axis.driven_side_inertia), "kg*m^2");
  if (!(axis.friction >= newtons(0)))
    throw InvalidInput("friction", ">= 0", in_newtons(axis.friction), "N");
  if (!(axis.breakaway >= newtons(0)))
    throw InvalidInput("breakaway friction", ">= 0", in_newtons(axis.breakaway), "N");
  if (!(axis.gravity >= newtons(0)))
    throw InvalidInput("gravity", ">= 0", in_newtons(axis.gravity), "N");
}

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
  detail::require_valid(axis);
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
  detail::require_valid(axis);
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
  if (!(acceleration >= metres_per_second_squared(0)) || !is_finite(acceleration))
    throw InvalidInput("acceleration", ">= 0", in_metres_per_second_squared(acceleration), "m/s^2");
  const Force force = accelerating_force(axis, acceleration, direction);
  const Inertia turning =
      axis.motor_side_inertia + axis.driven_side_inertia / axis.efficiency.value();
  return detail::at_motor(axis, force) + turning * (acceleration / axis.transmission);
}

}  // namespace pitchline::motion
