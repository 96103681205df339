#pragma once

#include <algorithm>
#include <cmath>

#include "pitchline/motion/move_profile.hpp"

namespace pitchline::motion {

/// The fastest trapezoid within limits, smoothed by one jerk time.
///
///     T = T₀ + t_j
///
///     s    distance   m  ≥ 0
///          limits        as in `fastest_trapezoid`
///     t_j  jerk_time  s  ≥ 0
///     T₀   duration of `fastest_trapezoid`  s
///     T    duration of the result           s, 0 where s is 0
///
/// The limits bind the trapezoid, as in a controller that plans it and then filters it. Smoothing
/// exceeds none of them and leaves unused what a short move could have had: see `peaks`. The jerk
/// is at most acceleration over jerk time, and no limit itself.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived; a mean over t_j exceeds no bound that holds at each time.
inline MoveProfile fastest_move(Length distance, const MoveLimits& limits, Time jerk_time) {
  require_not_negative("jerk time", jerk_time);
  const Trapezoid move = fastest_trapezoid(distance, limits);
  if (move.top_speed == metres_per_second(0)) return {};
  return {.trapezoid = move, .up_jerk_time = jerk_time, .down_jerk_time = jerk_time};
}

namespace detail {
/// Speed at which two ramps without a cruise cover `distance`; see `fastest_move` with a jerk.
inline Speed peak_speed(Length distance, const MoveLimits& limits, Jerk jerk) {
  const Acceleration low = std::min(limits.acceleration, limits.deceleration);
  const Acceleration high = std::max(limits.acceleration, limits.deceleration);
  const double q = number(distance * jerk / (low * low) * (jerk / low));
  const double rho = number(high / low);
  if (q > rho * rho * (rho + 1.0) * (rho + 1.0) / 2.0) {
    const auto B = (low + high) / (2.0 * jerk);
    const auto K = (1.0 / low + 1.0 / high) / 2.0;
    return 2.0 * distance / (B + square_root(B * B + 4.0 * K * distance));
  }
  const double root = std::sqrt(2.0 * q);
  const double w = q > 2.0 ? 2.0 * root / (1.0 + std::sqrt(1.0 + 4.0 * root)) : std::cbrt(q / 2.0);
  return w * w * (low / jerk) * low;
}
}  // namespace detail

/// The fastest move from rest to rest within limits of speed, acceleration, deceleration and jerk:
/// at most seven parts, in each of which one of them is at its limit.
///
///     a = min(α, √(v j)),  b = min(β, √(v j))       reached at the speed v
///     s(v) = v/2 (v/a + a/j + v/b + b/j)            two ramps without a cruise
///     v = min(v_max, v̂),  s(v̂) = s
///
///     with c = min(α, β), ρ = max(α, β)/c, q = s j²/c³, v̂ = w² c²/j
///     neither reached    q ≤ 2              w = ∛(q/2)
///     the lower reached  q ≤ ρ²(ρ + 1)²/2   w (w + 1) = √(2 q)
///     both reached       beyond             v̂² (1/α + 1/β)/2 + v̂ (α + β)/(2 j) = s
///
///     s      distance      m     ≥ 0
///     v_max  speed         m/s   > 0; infinite where nothing limits it
///     α, β   acceleration, deceleration  m/s²  > 0
///     j      jerk          m/s³  > 0; infinite where nothing limits it
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived; the middle case is a square in w, so no root is searched for. Compared with a
/// search over all slower ramps, and with the S-curve distances of [industrialmonitordirect], whose
/// printed formula is wrong.
inline MoveProfile fastest_move(Length distance, const MoveLimits& limits, Jerk jerk) {
  require_positive_or_infinite("jerk", jerk);
  const Trapezoid plain = fastest_trapezoid(distance, limits);
  if (!is_finite(jerk) || plain.top_speed == metres_per_second(0)) return {.trapezoid = plain};

  const Speed peak = detail::peak_speed(distance, limits, jerk);
  const Speed v = std::min(limits.speed, peak);
  const Acceleration a = std::min(limits.acceleration, Acceleration(square_root(v * jerk)));
  const Acceleration b = std::min(limits.deceleration, Acceleration(square_root(v * jerk)));
  MoveProfile move;
  move.up_jerk_time = a / jerk;
  move.down_jerk_time = b / jerk;
  move.trapezoid.top_speed = v;
  move.trapezoid.speeding_up = v / a;
  move.trapezoid.slowing_down = v / b;
  const Time jerk_times = (move.up_jerk_time + move.down_jerk_time) / 2.0;
  const Time ramps = (v / a + v / b) / 2.0 + jerk_times;
  const Time at_top_speed = limits.speed < peak ? Time(distance / v - ramps) : Time{};
  move.trapezoid.cruising = jerk_times + at_top_speed;
  return move;
}

}  // namespace pitchline::motion
