#pragma once

#include <optional>

#include "pitchline/motor/loss_free_torque.hpp"
#include "pitchline/motor/winding.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motor {

/// Speed at which the loss-free pull-out torque ends; nothing where it only falls towards zero, as
/// it does where the current can cancel the flux of the magnet.
///
///     ω_V = V R/√(R² K_t² − V² N_r² L²)      where the voltage alone limits there: X E/Z² ≤ I
///     ω_B = √(V² − R² I²)/(K_t − N_r L I)    else, for K_t > N_r L I
///
/// Symbols as in `loss_free_pull_out`.
///
/// \throws InvalidInput  a number outside the table of `loss_free_pull_out`, or a field never set
///
/// Source: derived: the smallest voltage that carries no torque, over i_d in [−I, 0] with i_q = 0,
/// is V; it rises with ω, so there is one such speed at most.
inline std::optional<AngularSpeed> zero_torque_speed(const DrivenWinding& w) {
  detail::require_valid(w);
  const TorqueConstant flux_of_current = w.pole_pairs * w.inductance * w.amplitude / radian;
  const auto magnet = w.resistance * w.torque_constant;
  const auto coil = w.voltage * (w.pole_pairs * w.inductance / radian);
  if (magnet > coil) {
    const AngularSpeed speed =
        w.voltage * w.resistance / square_root(magnet * magnet - coil * coil);
    const Resistance reactance = w.pole_pairs * speed * w.inductance / radian;
    const auto impedance_squared = w.resistance * w.resistance + reactance * reactance;
    if (reactance * (w.torque_constant * speed) / impedance_squared <= w.amplitude) return speed;
  }
  if (!(w.torque_constant > flux_of_current)) return std::nullopt;
  const Voltage drop = w.resistance * w.amplitude;
  return square_root(w.voltage * w.voltage - drop * drop) / (w.torque_constant - flux_of_current);
}

}  // namespace pitchline::motor
