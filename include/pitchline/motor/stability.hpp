#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include "pitchline/motor/working_point.hpp"

namespace pitchline::motor {

/// A shaft that turns steadily: what the linear model is taken at.
struct ShaftState {
  Inertia inertia = unset<Inertia>();  ///< J, of what swings with the rotor, see unstable_bands.hpp
  AngularSpeed speed = unset<AngularSpeed>();
  Torque torque = unset<Torque>();  ///< that the rotor makes at this speed, its own drag included
};

/// Viscous damping that a working point needs, and how it would swing with just that much.
struct CriticalDamping {
  RotaryDrag damping{};     ///< 0 where the point is stable by itself
  Frequency oscillation{};  ///< of the swing that neither grows nor dies; 0 where it only creeps
  bool saturated = false;   ///< false: the driver forces its current, and no need was computed
};

namespace detail {
inline void require_valid(const ShaftState& at) { require_positive("inertia", at.inertia); }

// Largest positive root of h[3] x³ + h[2] x² + h[1] x + h[0], 0 without one. h[3] ≥ 0, and
// h[2] > 0 where h[3] = 0, so that it rises for good in the end.
inline double largest_positive_root(const std::array<double, 4>& h) {
  const auto at = [&](double x) { return ((h[3] * x + h[2]) * x + h[1]) * x + h[0]; };
  // Past its minimum the polynomial rises for good. Below zero there, the root lies beyond; else
  // one root at most lies before it, or none is left.
  const double under = h[2] * h[2] - 3.0 * h[3] * h[1];
  double minimum = 0.0;
  if (under > 0.0) {
    // The turning point without cancellation first.
    const double sum = -(h[2] + std::copysign(std::sqrt(under), h[2]));
    minimum = std::max(minimum, h[1] / sum);
    if (h[3] > 0.0) minimum = std::max(minimum, sum / (3.0 * h[3]));
  }
  double low = 0.0;
  double high = minimum;
  if (at(minimum) < 0.0) {
    low = minimum;
    high = std::max(2.0 * minimum, 1.0);
    while (at(high) < 0.0) high *= 2.0;
  } else if (at(0.0) >= 0.0) {
    return 0.0;
  }
  // Newton's steps, halved where they leave what is known to hold the root.
  double x = high;
  for (int n = 0; n < 200; ++n) {
    const double here = at(x);
    (here < 0.0 ? low : high) = x;
    double next = x - here / ((3.0 * h[3] * x + 2.0 * h[2]) * x + h[1]);
    if (!(next >= low && next <= high)) next = 0.5 * (low + high);
    if (std::fabs(next - x) <= 1e-15 * x) return next;
    x = next;
  }
  return high;
}
}  // namespace detail

/// Smallest viscous damping on the shaft with which a small swing about the working point dies out
/// (and with every larger one too). Nothing where `working_point` has none.
///
/// A saturated driver holds the voltage and lets the current swing with the rotor, late by the time
/// constant of the winding: the torque then follows the speed instead of opposing it.
///
///     v = κ (i* − i) with |v| = V held: δv = −κ u uᵀ δi, u at right angles to v
///     L δi' = −(κ u uᵀ + R + X J₂) δi + λ ω_e d δφ − λ q δω_e,  δφ' = δω_e,  λ = K_t/N_r
///     J δω_e' = N_r K_t (q·δi − i_d δφ) − B δω_e
///     d, q  unit vectors along and across the rotor's flux, fixed; J₂ turns by 90°
///
///     J    inertia         kg·m²      > 0
///     ω    speed           rad/s      ≥ 0
///     T    torque          N·m        ≥ 0
///     B    damping         N·m·s/rad  ≥ 0
///     the others as in `loss_free_pull_out`
///
/// Its polynomial of degree four, in time units of L/R and with ε = R/κ, x = X/R, y = v/V,
/// G = K_t² L/(J R²), C = N_r K_t i_d L²/(J R²), β = B L/(J R):
///
///     a₄ = ε,  a₃ = 1 + 2ε + ε β,  a₂ = m + (1 + 2ε) β + ε (C + G),  m = 1 + ε (1 + x²)
///     a₁ = m β + (1 + 2ε) C + G (y_q² + ε),  a₀ = m C + G x (ε x − y_d y_q)
///
/// The limit is the largest root β of a₃ a₂ a₁ − a₄ a₁² − a₃² a₀ (Hurwitz); there the swing has
/// ω² = a₁/a₃. The same as all eigenvalues of `least_damped_mode` in the left half plane: tests.
///
/// V is `voltage` of the winding, the largest amplitude of the fundamental: 4/π of the supply for a
/// bridge that switches in full (the figures of [midband]), the supply itself for a clean sine.
/// With a supply's own V the point lies deeper in saturation.
///
/// Where the driver still forces its current it damps (back-EMF against its gain), so 0 stands
/// there without a computation. Leaves out iron loss, detent torque, switching and any lag of the
/// driver. Overstates just above `saturation_speed`, see `near_saturation`.
///
/// \throws InvalidInput  inertia not above zero; as `working_point`
///
/// Source: derived; checked against an independent derivation and a time-domain integration,
/// reference/sources.md, [midband].
inline std::optional<CriticalDamping> critical_damping(const DrivenWinding& w,
                                                       const ShaftState& at) {
  detail::require_valid(at);
  const std::optional<WorkingPoint> point = working_point(w, at.speed, at.torque);
  if (!point) return std::nullopt;
  if (!point->saturated) return CriticalDamping{};

  // Plain SI numbers from here on: typed, these products cost each file that includes this header
  // ten seconds of compile time.
  const double R = in_ohms(w.resistance);
  const double tau = in_henries(w.inductance) / R;                  // s
  const double unit = in_kilogram_square_metres(at.inertia) / tau;  // of damping: β = B/unit
  const double K = in_newton_metres_per_ampere(w.torque_constant);
  const double e = R / in_ohms(point->gain);
  const double x = w.pole_pairs * in_radians_per_second(at.speed) * tau;
  const double y_d = number(point->direct_voltage / w.voltage);
  const double y_q = number(point->quadrature_voltage / w.voltage);
  const double G = K * K / R / unit;
  const double C = w.pole_pairs * K * in_amperes(point->direct) * tau / unit;
  const double m = 1.0 + e * (1.0 + x * x);

  const double a4 = e;
  const double p0 = 1.0 + 2.0 * e;  // a3 = p0 + p1 β and so on
  const double p1 = e;
  const double q0 = m + e * (C + G);
  const double q1 = 1.0 + 2.0 * e;
  const double r0 = (1.0 + 2.0 * e) * C + G * (y_q * y_q + e);
  const double r1 = m;
  const double a0 = m * C + G * x * (e * x - y_d * y_q);

  const double beta = detail::largest_positive_root(
      {p0 * q0 * r0 - a4 * r0 * r0 - p0 * p0 * a0,
       p0 * q0 * r1 + p0 * q1 * r0 + p1 * q0 * r0 - 2.0 * (a4 * r0 * r1 + p0 * p1 * a0),
       p0 * q1 * r1 + p1 * q0 * r1 + p1 * q1 * r0 - a4 * r1 * r1 - p1 * p1 * a0, p1 * q1 * r1});
  if (beta == 0.0) return CriticalDamping{.saturated = true};
  // At the pull-out edge the root is where a₁ = 0: no swing, but a creep that rounding may put
  // below zero.
  const double swing = std::sqrt(std::max(0.0, r0 + r1 * beta) / (p0 + p1 * beta));
  return CriticalDamping{.damping = newton_metre_seconds_per_radian(beta * unit),
                         .oscillation = hertz(swing / (2.0 * std::numbers::pi * tau)),
                         .saturated = true};
}

/// True up to 1.5 times `saturation_speed`, where the linear model overstates the need: a real
/// current wave is then saturated only in part of each turn. In the table of [midband] a bare rotor
/// kept its full torque in a time-domain simulation at up to 1.55 times it, and lost most of it
/// from 1.59 times on.
///
/// \throws InvalidInput  as `saturation_speed`
inline bool near_saturation(const DrivenWinding& w, AngularSpeed speed, Torque torque) {
  const std::optional<AngularSpeed> start = saturation_speed(w, torque);
  return start && speed <= 1.5 * *start;
}

/// `critical_damping` in closed form, without the resistance: a check by hand.
///
///     T^ = K_t V/X,  τ = T/T^,  i_q = τ V/X,  i_d = √(1 − τ²) V/X − K_t/(N_r L)
///     κ = V²/(√((T ω)² + V² (I² − i_d² − i_q²)) − T ω)
///     B = (K_t² κ/X²) (τ² + (κ/X) τ √(1 − τ²))
///
/// Symbols as in `critical_damping`. For a swing that is slow against the electrical frequency, and
/// full saturation. It knows no inertia. Lies at 0.54 (low load, fast) to 3.7 times (just above the
/// corner) of `critical_damping` in the table of [midband]: multiply by 2 where it stands alone.
///
/// \throws InvalidInput     torque below zero; speed not above zero; as `loss_free_pull_out`
/// \throws OutsideValidity  torque above T^, or the current so found not below I: not saturated
///
/// Source: derived, reference/sources.md, [midband].
inline RotaryDrag closed_form_critical_damping(const DrivenWinding& w, AngularSpeed speed,
                                               Torque torque) {
  detail::require_valid(w);
  require_positive("speed", speed);
  require_not_negative_or_infinite("torque", torque);
  const Resistance X = w.pole_pairs * speed * w.inductance / radian;
  const Current reach = w.voltage / X;
  const double share = number(torque / Torque(w.torque_constant * reach));
  if (share > 1.0)
    throw OutsideValidity(fmt::format("torque {:.4g} N*m is above K_t V/X = {:.4g} N*m",
                                      in_newton_metres(torque),
                                      in_newton_metres(Torque(w.torque_constant * reach))));
  const double across = std::sqrt(1.0 - share * share);
  const Current q = share * reach;
  const Current d = across * reach - w.torque_constant * radian / (w.pole_pairs * w.inductance);
  const auto spare = w.amplitude * w.amplitude - d * d - q * q;
  if (!(spare > 0.0 * spare))
    throw OutsideValidity(fmt::format("not saturated: the voltage would drive {:.4g} A of {:.4g} A",
                                      in_amperes(square_root(d * d + q * q)),
                                      in_amperes(w.amplitude)));
  const Power power = torque * speed;
  const Resistance gain =
      w.voltage * w.voltage / (square_root(power * power + w.voltage * w.voltage * spare) - power);
  return w.torque_constant * w.torque_constant * gain / (X * X) *
         (share * share + number(gain / X) * share * across);
}

}  // namespace pitchline::motor
