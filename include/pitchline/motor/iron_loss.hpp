#pragma once

#include <algorithm>
#include <numbers>

#include "pitchline/motor/loss_model.hpp"
#include "pitchline/motor/working_point.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motor {

/// Torque that hysteresis, detent and friction take at every speed, as the dependable curve counts
/// it.
///
///     T_d = max(k_d T_h, least drag, detent torque)
///
///     k_d  model.drag  –
///     T_h  holding torque, both phases on  N·m
///     T_d  result  N·m
///
/// \throws InvalidInput  see `parts::require_valid`, `require_valid(LossModel)`
///
/// Source: see `LossModel::drag`.
inline Torque drag_torque(const parts::StepperMotor& motor, const LossModel& model = {}) {
  require_valid(model);
  const Torque holding = std::numbers::sqrt2 * (torque_constant(motor) * motor.rated_current);
  Torque drag = std::max(model.drag.value() * holding, model.least_drag);
  if (!is_unset(motor.detent_torque)) drag = std::max(drag, motor.detent_torque);
  return drag;
}

/// Eddy-current loss in the iron at a working point, as the dependable curve counts it.
///
///     P = ((X i_q)² + (K_t ω + X i_d)²)/R_fe,  X = N_r ω L,  R_fe = Γ L/T_h
///
///     i_d, i_q  of the working point
///     Γ         model.eddy_constant  N·m/s
///     T_h       holding torque, both phases on  N·m
///     ω         speed   rad/s  ≥ 0
///     P         result  W      ≥ 0
///
/// An upper estimate of the heat: Γ is fitted to torque, and whatever torque is missing at speed is
/// charged to it, see `LossModel::eddy_constant`.
///
/// \throws InvalidInput  speed below zero or not finite; see `parts::require_valid`,
///                       `require_valid(LossModel)`
///
/// Source: as `DependableCurve`, whose T_e is P/ω: tests/motor/iron_loss.cpp.
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
