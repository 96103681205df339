#pragma once

#include <algorithm>
#include <numbers>

#include "pitchline/motor/feed.hpp"
#include "pitchline/motor/loss_model.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motor {

/// Inductance of one phase as it acts at speed.
///
///     L_e = max(k_L L, K_t/(N_r φ √2 I_r))
///
///     k_L  model.inductance            –
///     φ    model.characteristic_share  –
///     L_e  result                      H
///
/// \throws InvalidInput  see `parts::require_valid`
///
/// Source: see `LossModel`.
inline Inductance effective_inductance(const parts::StepperMotor& motor,
                                       const LossModel& model = {}) {
  const Current amplitude = std::numbers::sqrt2 * motor.rated_current;
  const Inductance least = torque_constant(motor) * radian /
                           (pole_pairs(motor) * model.characteristic_share.value() * amplitude);
  return std::max(model.inductance.value() * motor.inductance, least);
}

/// Torque that hysteresis and friction take at every speed.
///
///     T_d = max(k_d T_h, least drag, k_t T_t)
///
///     k_d  model.drag            –
///     T_h  holding torque, both phases on  N·m
///     k_t  model.drag_of_detent  –
///     T_t  detent torque, where the sheet gives one  N·m
///     T_d  result  N·m
///
/// \throws InvalidInput  see `parts::require_valid`, `require_valid(LossModel)`
///
/// Source: see `LossModel::drag`.
inline Torque drag_torque(const parts::StepperMotor& motor, const LossModel& model = {}) {
  require_valid(model);
  const Torque holding = std::numbers::sqrt2 * (torque_constant(motor) * motor.rated_current);
  Torque drag = std::max(model.drag.value() * holding, model.least_drag);
  if (!is_unset(motor.detent_torque))
    drag = std::max(drag, model.drag_of_detent.value() * motor.detent_torque);
  return drag;
}

/// The winding of `motor` as a verdict counts on it: warm, on a sagging supply, with the mean
/// current of the driver and the inductance as it acts.
///
/// \throws InvalidInput  see `parts::require_valid`, `require_valid(LossModel)`; voltage or
///                       amplitude not above zero
inline DrivenWinding lossy_winding(const parts::StepperMotor& motor, const Feed& feed,
                                   const LossModel& model = {}) {
  require_valid(model);
  DrivenWinding winding = driven_winding(motor, counted(motor, feed));
  winding.resistance *= model.hot_winding.value();
  winding.voltage *= model.voltage_share.value();
  winding.amplitude *= model.current_share.value();
  winding.inductance = effective_inductance(motor, model);
  return winding;
}

}  // namespace pitchline::motor
