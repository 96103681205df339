#pragma once

#include <cmath>

#include "pitchline/motor/winding.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motor {

/// What limits the torque at a speed.
enum class Region {
  current,  ///< the driver still forces its full current
  both,     ///< current and voltage are both at their limit
  voltage,  ///< the voltage alone limits; the current is below its limit
  none,     ///< no working point: too fast for this voltage and current
};

/// Largest torque at one speed and the currents that make it, in the frame of the rotor.
struct PullOut {
  Torque torque{};  ///< 0 where no working point drives
  Region region = Region::none;
  Current direct{};      ///< i_d, negative: weakens the field
  Current quadrature{};  ///< i_q, makes the torque
};

namespace detail {
inline void require_valid(const DrivenWinding& w) {
  require_positive("torque constant", w.torque_constant);
  require_positive("resistance", w.resistance);
  require_positive("inductance", w.inductance);
  require_positive("pole pairs", w.pole_pairs);
  require_positive("phase current", w.amplitude);
  require_positive("voltage", w.voltage);
}
}  // namespace detail

/// Loss-free pull-out torque: the largest torque that any load angle gives while neither the
/// current nor the voltage exceeds its amplitude.
///
///     X = N_r ω L,  Z² = R² + X²,  E = K_t ω,  T = K_t i_q
///     current   where (X I)² + (R I + E)² ≤ V²:        i_q = I,              i_d = 0
///     voltage   else where i_d² + i_q² ≤ I² at         i_q = V/Z − R E/Z²,   i_d = −X E/Z²
///     both      else, h = (V² − E² − Z² I²)/(2 E Z):   i_q = (R h + X √(I² − h²))/Z,
///                                                      i_d = (X h − R √(I² − h²))/Z
///     none      |h| > I
///
///     K_t  torque_constant  N·m/A  > 0
///     R    resistance       Ω      > 0
///     L    inductance       H      > 0
///     N_r  pole_pairs       –      > 0
///     I    amplitude        A      > 0
///     V    voltage          V      > 0
///     ω    speed            rad/s  ≥ 0, of the shaft
///     T    result           N·m    ≥ 0
///
/// An upper bound: linear magnetics, no iron loss, no saturation, an ideal driver, and no loss of
/// stability. Published curves lie at 0.51 to 0.98 of it: [pull-out].
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Source: derived from the two-phase machine equations ([MathWorks stepper], [Morar]); the
/// voltage-limited form is attributed to Acarnley, Stepping Motors, ch. 5 (from memory).
inline PullOut loss_free_pull_out(const DrivenWinding& w, AngularSpeed speed) {
  detail::require_valid(w);
  require_not_negative("speed", speed);

  const Current I = w.amplitude;
  const Voltage V = w.voltage;
  const Resistance R = w.resistance;
  const Resistance X = w.pole_pairs * speed * w.inductance / radian;
  const Voltage E = w.torque_constant * speed;
  const Resistance Z = square_root(R * R + X * X);
  const Current none = amperes(0);

  const Voltage along = R * I + E;
  if (X * I * (X * I) + along * along <= V * V)
    return {w.torque_constant * I, Region::current, none, I};

  const Current voltage_q = V / Z - R * E / (Z * Z);
  const Current voltage_d = -X * E / (Z * Z);
  if (voltage_d * voltage_d + voltage_q * voltage_q <= I * I) {
    const Torque torque = voltage_q > none ? Torque(w.torque_constant * voltage_q) : Torque{};
    return {torque, Region::voltage, voltage_d, voltage_q};
  }

  const Current h = (V * V - E * E - Z * Z * I * I) / (2.0 * E * Z);
  // Written so that E = 0 (h = ±inf, or NaN where R I = V) counts as no working point.
  if (!(h * h <= I * I)) return {};
  const Current root = square_root(I * I - h * h);
  const Current q = (R * h + X * root) / Z;
  const Current d = (X * h - R * root) / Z;
  return {q > none ? Torque(w.torque_constant * q) : Torque{}, Region::both, d, q};
}

/// Speed up to which the driver forces its full current; the torque is constant below it. Zero
/// where the supply cannot drive the current even at rest.
///
///     ω_c = (−R I K_t + √((R I K_t)² + ((N_r L I)² + K_t²)(V² − R² I²))) / ((N_r L I)² + K_t²)
///
/// Symbols as in `loss_free_pull_out`; for V > R I.
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Source: derived, the end of the region "current"; checked by `loss_free_pull_out` itself.
inline AngularSpeed corner_speed(const DrivenWinding& w) {
  detail::require_valid(w);
  const Voltage drop = w.resistance * w.amplitude;
  if (drop >= w.voltage) return radians_per_second(0);
  const TorqueConstant x = w.pole_pairs * w.inductance * w.amplitude / radian;
  const TorqueConstant k = w.torque_constant;
  const auto a = x * x + k * k;
  const auto b = drop * k;
  return (square_root(b * b + a * (w.voltage * w.voltage - drop * drop)) - b) / a;
}

}  // namespace pitchline::motor
