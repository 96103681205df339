#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

#include "pitchline/motion/torque_demand.hpp"

namespace pitchline::motion {

/// Everything that accelerates, as one mass at the load, losses of the drive included.
///
///     M = (m + J_d/t²)/η + J_m/t²        symbols as in `rigid_torque`
///
/// \throws InvalidInput  a field outside its range, or never set
inline Mass accelerated_mass(const AxisAtMotor& axis) {
  require_valid(axis);
  const auto square = axis.transmission * axis.transmission;
  return (axis.mass + axis.driven_side_inertia / square) / axis.efficiency.value() +
         axis.motor_side_inertia / square;
}

namespace detail {
// What a force accelerates; without any mass there is no acceleration to speak of.
inline Mass mass_to_accelerate(const AxisAtMotor& axis) {
  const Mass all = accelerated_mass(axis);
  require_positive("accelerated mass", all);
  return all;
}
}  // namespace detail

/// Largest constant acceleration of a rigid axis, the textbook figure: it takes no account of the
/// overshoot of an elastic axis and is too optimistic for an open-loop motor.
///
///     a = (T/t − F) / M          0 where the torque does not overcome F
///
///     T  torque    N·m   ≥ 0, that the motor has at the speed
///     t  transmission  m/rad  > 0
///     F  friction + gravity, over the efficiency   N
///     M  accelerated_mass  kg    > 0
///
/// \throws InvalidInput  a number outside its range, or never set
///
/// Source: inverse of `rigid_torque`; the two are tested against each other.
inline Acceleration rigid_acceleration(const AxisAtMotor& axis, Torque torque) {
  require_not_negative_or_infinite("torque", torque);
  const Force spare =
      torque / axis.transmission - constant_speed_force(axis) / axis.efficiency.value();
  return std::max(Acceleration{}, Acceleration(spare / detail::mass_to_accelerate(axis)));
}

namespace detail {
// What a start may use at the load and what friction takes of it, losses of the drive included.
struct StartForces {
  Force available{};  ///< of the torque, gravity taken off
  Force friction{};
};
inline StartForces start_forces(const AxisAtMotor& axis, Torque torque) {
  require_not_negative_or_infinite("torque", torque);
  require_valid(axis);
  const double efficiency = axis.efficiency.value();
  return {.available = torque / axis.transmission - axis.gravity / efficiency,
          .friction = axis.friction / efficiency};
}
}  // namespace detail

/// Largest step of acceleration from rest that a motor survives through a soft belt: the bound for
/// a load on a spring far softer than the motor's own magnetic spring.
///
///     a = (T'/t) (1 − φ)² / (2 M),   T' = T − G t/η,   φ = F t/(η T')
///     0 where φ ≥ 1
///
///     T  torque        N·m   ≥ 0, that the motor has at the speed
///     t  transmission  m/rad  > 0
///     F  friction      N     ≥ 0
///     G  gravity       N     ≥ 0, against the motion
///     M  accelerated_mass  kg    > 0
///     a  result        m/s²
///
/// Undamped, Coulomb friction that breaks away once, belt without force at the start. Covers one
/// step of acceleration from rest, not a sequence of moves. The mass on the motor shaft is counted
/// behind the belt, which is the safe side.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived, energy of the load on its spring; the derivation stands beside
/// `soft_belt_peak_torque`. Checked against an independent integration of the equations of motion
/// in reference/published/step_accel_bounds.csv.
inline Acceleration soft_belt_acceleration(const AxisAtMotor& axis, Torque torque) {
  const detail::StartForces forces = detail::start_forces(axis, torque);
  if (!(forces.available > forces.friction)) return {};
  const double left = 1.0 - number(forces.friction / forces.available);
  return forces.available * left * left / (2.0 * detail::mass_to_accelerate(axis));
}

/// Largest step of acceleration from rest that a motor survives through a rigid drive: the bound
/// for a load on a spring far stiffer than the motor's own magnetic spring.
///
///     a = μ T'/(t M) with   cos δ0 + cos δe = (φ + μ)(π − δe − δ0) + μ δ0,
///                           sin δ0 = φ,  sin δe = φ + μ              (equal area)
///
///     symbols as in `soft_belt_acceleration`;  δ  electrical load angle, rad
///
/// Undamped; Coulomb friction that breaks away once, the rotor at the field at the start. 0 where
/// φ ≥ 1.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived, equal area under the torque of the field over its angle. Checked against an
/// independent integration of the equations of motion in
/// reference/published/step_accel_bounds.csv.
inline Acceleration rigid_belt_acceleration(const AxisAtMotor& axis, Torque torque) {
  const detail::StartForces forces = detail::start_forces(axis, torque);
  if (!(forces.available > forces.friction)) return {};
  const double phi = number(forces.friction / forces.available);
  const double d0 = std::asin(phi);
  // What the field can still take up less what the step brings; falls with μ.
  const auto left = [&](double mu) {
    const double de = std::asin(std::min(1.0, phi + mu));
    return std::cos(d0) + std::cos(de) - (phi + mu) * (std::numbers::pi - de - d0) - mu * d0;
  };
  double good = 0.0;
  double bad = 1.0 - phi;
  for (int i = 0; i < 60; ++i) {
    const double middle = (good + bad) / 2.0;
    (left(middle) >= 0.0 ? good : bad) = middle;
  }
  return good * forces.available / detail::mass_to_accelerate(axis);
}

/// Peak torque at the motor when an axis on a soft belt is started with a step of acceleration.
///
/// While friction holds the load, the belt stretches to F/k with the speed difference
/// u = √(2 a F/k); then the load swings about (F + M a)/k with the energy of (M a)² + 2 M a F, so
///
///     T = t (G + F + M a + √((M a)² + 2 M a F))        forces over the efficiency
///
/// Symbols and validity as in `soft_belt_acceleration`, whose inverse it is. Without friction it is
/// twice the torque of the rigid axis.
///
/// \throws InvalidInput  a number outside the table, or never set
inline Torque soft_belt_peak_torque(const AxisAtMotor& axis, Acceleration acceleration) {
  require_not_negative("acceleration", acceleration);
  const double efficiency = axis.efficiency.value();
  const Force inertial = accelerated_mass(axis) * acceleration;
  const Force friction = axis.friction / efficiency;
  const Force swing = square_root(inertial * inertial + 2.0 * inertial * friction);
  return axis.transmission * (axis.gravity / efficiency + friction + inertial + swing);
}

}  // namespace pitchline::motion
