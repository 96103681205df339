#pragma once

#include "pitchline/motion/duty_of_moves.hpp"

namespace pitchline::motion {

/// How a head comes up to the speed of a line.
struct LineStart {
  Speed speed = unset<Speed>();                       ///< > 0
  Acceleration acceleration = unset<Acceleration>();  ///< > 0
  Time jerk_time{};      ///< ≥ 0, over which the acceleration builds up
  Time settling_time{};  ///< ≥ 0, that the swing after the ramp takes to die away
};

namespace detail {
inline void require_jerk_time(Time x) { require_not_negative("jerk time", x); }
}  // namespace detail

/// Distance beyond a line in which a head reaches its speed and comes to rest in its motion, with
/// an acceleration that builds up over a time.
///
///     d = v²/(2 a) + v t_j/2 + v t_s
///
///     v    speed          m/s   > 0        t_j  jerk_time      s  ≥ 0
///     a    acceleration   m/s²  > 0        t_s  settling_time  s  ≥ 0
///     d    result         m
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: kinematics; a ramp smoothed over t_j lasts t_j longer at the same mean speed v/2.
inline Length overrun_for(const LineStart& start) {
  detail::require_jerk_time(start.jerk_time);
  return overrun_for(start.speed, start.acceleration, start.settling_time) +
         start.speed * start.jerk_time / 2.0;
}

/// Jerk times of the two axes of a raster.
struct RasterJerk {
  Time along{};   ///< ≥ 0, of the axis that runs along the lines
  Time across{};  ///< ≥ 0, of the axis that steps
};

/// Time of a raster whose accelerations build up over a time: each move lasts its jerk time longer.
///
///     t_line = t_line0 + t_j,  t_over = t_over0 + t_j,  t_step = t_step0 + t_k
///
///     ...0  as `raster_time` without jerk        s
///     t_j   jerk.along                            s  ≥ 0
///     t_k   jerk.across                           s  ≥ 0
///
/// Valid where the overrun is enough to reach the speed, see `steady_on_line`.
///
/// \throws InvalidInput  a jerk time outside the table, or as `raster_time`
///
/// Source: derived, see `MoveProfile::duration`.
inline RasterTime raster_time(const RasterLines& raster, const RasterJerk& jerk) {
  detail::require_jerk_time(jerk.along);
  detail::require_jerk_time(jerk.across);
  RasterTime time = raster_time(raster);
  time.line += jerk.along;
  time.overrun += jerk.along;
  time.step += jerk.across;
  const double lines = raster.lines;
  time.all = lines * time.line + (lines - 1.0) * time.step;
  time.overrun_share = lines * number(time.overrun / time.all);
  const Length needed = overrun_for(
      {.speed = raster.speed, .acceleration = raster.acceleration, .jerk_time = jerk.along});
  time.steady_on_line = raster.overrun * (1.0 + 1e-9) >= needed;
  return time;
}

}  // namespace pitchline::motion
