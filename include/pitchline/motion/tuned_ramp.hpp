#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "pitchline/motion/move_demand.hpp"
#include "pitchline/motion/residual_vibration.hpp"

namespace pitchline::motion {

/// A ramp of speed that leaves next to no swing, and a jerk time that does the same.
struct TunedRamp {
  int periods = 1;              ///< of the damped swing, that the ramp lasts
  Time ramp{};                  ///< its duration
  Acceleration acceleration{};  ///< that makes it
  Length leaves{};              ///< after one such ramp
  Time jerk_time{};             ///< one period, with the acceleration as it was
  Length jerk_leaves{};         ///< after one ramp with that
};

/// The shortest tuned ramp that asks no more acceleration than a move has, and the jerk time that
/// does the same without a change of the acceleration.
///
///     T = n/f_d,  a_n = min(v, s/T)/T,  n the smallest with n/f_d ≥ v_t/a,  v_t = min(v, √(s a))
///
///     f_d  `damped_frequency`  Hz    > 0
///     v    speed               m/s   > 0
///     a    acceleration        m/s²  > 0
///     s    stroke              m     > 0, or unset for one that reaches the speed
///
/// A stroke that is a triangle stays one: its ramps cover s/2 each, so a_n = s/T². The jerk time of
/// the move itself is left out.
///
/// \throws InvalidInput     a number outside the table, or as `residual_of_tuned_ramp`
/// \throws OutsideValidity  the ramp lasts more than 1e9 periods
///
/// Source: kinematics, and derived in `shortest_tuned_ramp`.
inline TunedRamp tuned_ramp(const ElasticMode& mode, const RunningMove& move) {
  require_valid(move);
  require_positive("acceleration", move.acceleration);
  const bool any_stroke = is_unset(move.stroke);
  const Speed top = any_stroke
                        ? move.speed
                        : std::min(move.speed, Speed(square_root(move.stroke * move.acceleration)));
  const Time ramp = top / move.acceleration;
  const Time period = shortest_tuned_ramp(mode);
  const double whole = std::ceil(number(ramp / period) * (1 - 1e-9));
  if (!(whole <= 1e9))
    throw OutsideValidity(fmt::format(
        "a ramp of {:.4g} s lasts more than 1e9 periods of {:.4g} s: nothing is there to tune",
        in_seconds(ramp), in_seconds(period)));
  TunedRamp tuned;
  // A billionth too much is taken for rounding.
  tuned.periods = std::max(1, static_cast<int>(whole));
  tuned.ramp = static_cast<double>(tuned.periods) * period;
  const Speed reached =
      any_stroke ? move.speed : std::min(move.speed, Speed(move.stroke / tuned.ramp));
  tuned.acceleration = reached / tuned.ramp;
  tuned.leaves = residual_of_tuned_ramp(mode, tuned.acceleration, tuned.periods);
  tuned.jerk_time = period;
  tuned.jerk_leaves =
      residual_amplitude(mode,
                         {{.at = seconds(0), .step = move.acceleration, .jerk_time = period},
                          {.at = ramp, .step = -move.acceleration, .jerk_time = period}},
                         ramp + period);
  return tuned;
}

}  // namespace pitchline::motion
