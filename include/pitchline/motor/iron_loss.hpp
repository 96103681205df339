#pragma once

#include <numbers>

#include "pitchline/motor/lossy_winding.hpp"
#include "pitchline/motor/working_point.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motor {

/// Eddy-current loss in the iron at a working point, for heat and supply current.
///
///     P = ((X i_q)² + (K_t ω + X i_d)²)/R_fe,  X = N_r ω L,  R_fe = Γ L/T_h
///
///     i_d, i_q  of the working point
///     Γ         model.eddy_constant  N·m/s
///     T_h       holding torque, both phases on  N·m
///     ω         speed   rad/s  ≥ 0
///     P         result  W      ≥ 0
///
/// On the high side: Γ is fitted so that in three motors, up to NEMA 34, all torque that their
/// published curves lack is charged to it, while most of that is inductance and makes no heat. That
/// is why `DependableCurve` does not use it, and why heat does: each errs to its safe side. Two
/// small motors lack more at their highest speeds: tests/motor/iron_loss.cpp.
///
/// \throws InvalidInput  speed below zero or not finite; see `parts::require_valid`,
///                       `require_valid(LossModel)`
///
/// Source: derived; Γ fitted to the published curves, [pull-out].
inline Power eddy_loss(const parts::StepperMotor& motor, const WorkingPoint& point,
                       AngularSpeed speed, const LossModel& model = {}) {
  require_valid(model);
  require_not_negative("speed", speed);
  const TorqueConstant k = torque_constant(motor);
  const Torque holding = std::numbers::sqrt2 * (k * motor.rated_current);
  const Resistance eddy_resistance = model.eddy_constant * motor.inductance / holding;
  const Resistance reactance = pole_pairs(motor) * speed * motor.inductance / radian;
  const Voltage across = reactance * point.quadrature;
  const Voltage along = k * speed + reactance * point.direct;
  return (across * across + along * along) / eddy_resistance;
}

}  // namespace pitchline::motor
