#pragma once

#include <algorithm>
#include <cmath>
#include <optional>

#include "pitchline/motor/loss_free_torque.hpp"

namespace pitchline::motor {

/// Where a motor runs steadily in step: currents and voltages in the frame of the rotor, and how
/// its driver makes them.
struct WorkingPoint {
  Current direct{};      ///< i_d, along the rotor's own flux
  Current quadrature{};  ///< i_q, makes the torque
  Voltage direct_voltage{};
  Voltage quadrature_voltage{};
  Angle load_angle{};      ///< δ, electrical: the commanded current stands at it, ahead of i_d
  bool saturated = false;  ///< the voltage is at its limit and the driver no longer forces i = i*
  /// κ in v = κ (i* − i), what the saturated driver is worth as a resistance; unlimited where it
  /// still forces its current.
  Resistance gain = unlimited<Resistance>();
};

/// Steady working point at constant speed against `torque`, on the side where more load brings
/// more torque. Nothing where the torque exceeds what the loss-free motor has, or where it has no
/// working point that drives, even without load.
///
///     i_q = T/K_t.  Where the driver still forces its current:  i_d = √(I² − i_q²),  i = i*.
///     Else (R i_d − X i_q)² + (R i_q + X i_d + E)² = V², the larger root i_d, and the driver's
///     error i* − i lies along the voltage with |i*| = I:  i* = i + v/κ,  δ = atan2(i*_q, i*_d).
///
/// Symbols as in `loss_free_pull_out`; T in N·m, ≥ 0. Valid for a driver that is proportional up to
/// its voltage limit, without integrator: above the corner such a driver lags even without load,
/// because the voltage must lead the current it cannot force.
///
/// \throws InvalidInput  torque below zero; as `loss_free_pull_out`
///
/// Source: derived (describing function of a saturated phase controller). At rest it is the printed
/// table of position error under load, asin(T/T_h): tests/motor.
inline std::optional<WorkingPoint> working_point(const DrivenWinding& w, AngularSpeed speed,
                                                 Torque torque) {
  const PullOut most = loss_free_pull_out(w, speed);
  require_not_negative_or_infinite("torque", torque);
  // Too fast, most.torque is 0 and no torque exceeds it; yet without load there is no angle either.
  const bool drives = most.region != Region::none && most.quadrature >= amperes(0);
  if (!drives || torque > most.torque) return std::nullopt;

  const Current I = w.amplitude;
  const Current q = torque / w.torque_constant;
  const Resistance R = w.resistance;
  const Resistance X = w.pole_pairs * speed * w.inductance / radian;
  const Voltage E = w.torque_constant * speed;
  const double sine = std::min(1.0, number(q / I));
  const Current forced_d = I * std::sqrt(1.0 - sine * sine);
  const Voltage v_d = R * forced_d - X * q;
  const Voltage v_q = R * q + X * forced_d + E;
  if (v_d * v_d + v_q * v_q <= w.voltage * w.voltage)
    return WorkingPoint{.direct = forced_d,
                        .quadrature = q,
                        .direct_voltage = v_d,
                        .quadrature_voltage = v_q,
                        .load_angle = radians(std::asin(sine))};

  // (R² + X²) d² + 2 X E d + (X² + R²) q² + 2 R E q + E² − V² = 0; the mixed terms in q d cancel.
  const auto a = R * R + X * X;
  const auto half_b = X * E;
  const auto c = a * q * q + 2.0 * R * E * q + E * E - w.voltage * w.voltage;
  const auto discriminant = half_b * half_b - a * c;
  const auto root = discriminant > 0.0 * discriminant ? square_root(discriminant)
                                                      : square_root(0.0 * discriminant);
  const Current d = (root - half_b) / a;
  // i* = i + s v, s = 1/κ > 0 such that |i*| = I: the positive root of
  // |v|² s² + 2 (i·v) s + |i|² − I² = 0.
  const Voltage u_d = R * d - X * q;
  const Voltage u_q = R * q + X * d + E;
  const auto vv = u_d * u_d + u_q * u_q;
  const auto iv = d * u_d + q * u_q;
  const auto rest = d * d + q * q - I * I;
  const auto under = iv * iv - vv * rest;
  const auto s = (square_root(under > 0.0 * under ? under : 0.0 * under) - iv) / vv;
  // At pull-out under both limits s is 0 but for rounding, which may put it below.
  return WorkingPoint{
      .direct = d,
      .quadrature = q,
      .direct_voltage = u_d,
      .quadrature_voltage = u_q,
      .load_angle = radians(std::atan2(in_amperes(q + u_q * s), in_amperes(d + u_d * s))),
      .saturated = true,
      .gain = s > 0.0 * s ? Resistance(1.0 / s) : unlimited<Resistance>()};
}

/// Whether the driver still forces its current against `torque`, if the motor has so much at all:
/// what `working_point` finds unsaturated, without looking for it.
///
/// \throws InvalidInput  torque below zero; as `loss_free_pull_out`
inline bool forces_current(const DrivenWinding& w, AngularSpeed speed, Torque torque) {
  detail::require_valid(w);
  require_not_negative("speed", speed);
  require_not_negative_or_infinite("torque", torque);
  const Current q = torque / w.torque_constant;
  const double sine = std::min(1.0, number(q / w.amplitude));
  const Current d = w.amplitude * std::sqrt(1.0 - sine * sine);
  const Resistance X = w.pole_pairs * speed * w.inductance / radian;
  const Voltage v_d = w.resistance * d - X * q;
  const Voltage v_q = w.resistance * q + X * d + w.torque_constant * speed;
  return v_d * v_d + v_q * v_q <= w.voltage * w.voltage;
}

/// Speed above which the driver no longer forces its current against `torque`: at part load it
/// saturates before the corner, because current along the rotor's flux needs voltage too. Zero
/// where the supply cannot drive the current even at rest. Nothing where torque > K_t I.
///
///     a ω² + 2 b ω + c = 0,  sin δ = T/(K_t I)
///     a = (N_r L I)² + K_t² + 2 K_t N_r L I cos δ,  b = K_t R I sin δ,  c = (R I)² − V²
///
/// Symbols as in `loss_free_pull_out`. At T = K_t I it is `corner_speed`.
///
/// \throws InvalidInput  torque below zero; as `loss_free_pull_out`
///
/// Source: derived, |(R + j X) i* + j E| = V.
inline std::optional<AngularSpeed> saturation_speed(const DrivenWinding& w, Torque torque) {
  detail::require_valid(w);
  require_not_negative_or_infinite("torque", torque);
  const double sine = number(torque / Torque(w.torque_constant * w.amplitude));
  if (sine > 1.0) return std::nullopt;
  const double cosine = std::sqrt(1.0 - sine * sine);
  const Voltage drop = w.resistance * w.amplitude;
  if (drop >= w.voltage) return radians_per_second(0);
  const TorqueConstant x = w.pole_pairs * w.inductance * w.amplitude / radian;
  const TorqueConstant k = w.torque_constant;
  const auto a = x * x + k * k + 2.0 * cosine * k * x;
  const auto b = sine * drop * k;
  return (square_root(b * b + a * (w.voltage * w.voltage - drop * drop)) - b) / a;
}

}  // namespace pitchline::motor
