#pragma once

#include <cmath>
#include <numbers>
#include <optional>

#include "pitchline/motor/loss_free_torque.hpp"

namespace pitchline::motor {

/// How far the rotor stays behind the commanded field, as an electrical angle (90° is one full
/// step), while it turns at constant speed against `torque`. Nothing where the torque exceeds what
/// the loss-free motor has.
///
///     i_q = T/K_t.  Where the driver still forces its current:  sin δ = i_q/I.
///     Else (R i_d − X i_q)² + (R i_q + X i_d + E)² = V², the larger root i_d, and the driver's
///     error i* − i lies along the voltage with |i*| = I:  δ = atan2(i*_q, i*_d).
///
/// Symbols as in `loss_free_pull_out`; T in N·m, ≥ 0. Valid for a driver that is proportional up to
/// its voltage limit, without integrator: above the corner such a driver lags even without load,
/// because the voltage must lead the current it cannot force.
///
/// \throws InvalidInput  torque below zero; as `loss_free_pull_out`
///
/// Source: derived (describing function of a saturated phase controller). At rest it is the printed
/// table of position error under load, asin(T/T_h): tests/motor.
inline std::optional<Angle> load_angle(const DrivenWinding& w, AngularSpeed speed, Torque torque) {
  const PullOut most = loss_free_pull_out(w, speed);
  if (!(torque >= newton_metres(0)))
    throw InvalidInput("torque", ">= 0", in_newton_metres(torque), "N*m");
  if (torque > most.torque) return std::nullopt;

  const Current I = w.amplitude;
  const Current q = torque / w.torque_constant;
  const Resistance R = w.resistance;
  const Resistance X = w.pole_pairs * speed * w.inductance / radian;
  const Voltage E = w.torque_constant * speed;
  const double sine = std::min(1.0, number(q / I));
  const Current forced_d = I * std::sqrt(1.0 - sine * sine);
  const Voltage v_d = R * forced_d - X * q;
  const Voltage v_q = R * q + X * forced_d + E;
  if (v_d * v_d + v_q * v_q <= w.voltage * w.voltage) return radians(std::asin(sine));

  // (R² + X²) d² + 2 X E d + (X² + R²) q² + 2 R E q + E² − V² = 0; the mixed terms in q d cancel.
  const auto a = R * R + X * X;
  const auto half_b = X * E;
  const auto c = a * q * q + 2.0 * R * E * q + E * E - w.voltage * w.voltage;
  const auto discriminant = half_b * half_b - a * c;
  const auto root = discriminant > 0.0 * discriminant ? square_root(discriminant)
                                                      : square_root(0.0 * discriminant);
  const Current d = (root - half_b) / a;
  // i* = i + v/κ, κ > 0 such that |i*| = I: the positive root of |v|² s² + 2 (i·v) s + |i|² − I² =
  // 0.
  const Voltage u_d = R * d - X * q;
  const Voltage u_q = R * q + X * d + E;
  const auto vv = u_d * u_d + u_q * u_q;
  const auto iv = d * u_d + q * u_q;
  const auto rest = d * d + q * q - I * I;
  const auto under = iv * iv - vv * rest;
  const auto s = (square_root(under > 0.0 * under ? under : 0.0 * under) - iv) / vv;
  return radians(std::atan2(in_amperes(q + u_q * s), in_amperes(d + u_d * s)));
}

/// An electrical angle as an angle of the shaft.
inline Angle shaft_angle(Angle electrical, double pole_pairs) { return electrical / pole_pairs; }

}  // namespace pitchline::motor
