#pragma once

#include <algorithm>
#include <cstddef>
#include <limits>
#include <vector>

#include "pitchline/motion/trapezoid.hpp"

namespace pitchline::motion {

/// A move from rest to rest whose acceleration comes and goes along straight ramps.
///
/// Each step of the trapezoid's acceleration is spread evenly over a jerk time: one for the two
/// steps of speeding up, one for the two of slowing down. With both the same it is the trapezoid
/// through a box filter of that length, with both zero the plain trapezoid. It covers what the
/// trapezoid covers.
struct MoveProfile {
  Trapezoid trapezoid{};
  Time up_jerk_time{};    ///< ≥ 0, over which each step of the acceleration is spread
  Time down_jerk_time{};  ///< ≥ 0, the same of the deceleration

  /// The trapezoid's, and the mean of the two jerk times.
  [[nodiscard]] Time duration() const {
    return trapezoid.duration() + (up_jerk_time + down_jerk_time) / 2.0;
  }
};

/// A change of acceleration, spread evenly over a time.
struct AccelerationStep {
  Time at = unset<Time>();                    ///< when it begins
  Acceleration step = unset<Acceleration>();  ///< what is added to the acceleration
  Time jerk_time{};                           ///< ≥ 0, how long it takes; 0 is a jump
};

namespace detail {
/// Rounding leaves a triangle that `trapezoid_in_time` computes with so much less than no cruise.
/// The formulas hold there as they stand. Of the ramps; half the digits of a double, and a margin.
inline constexpr double cruise_rounding = 1e-6;
/// What the sum of a few times may be off by, of the latest of them.
inline constexpr double time_rounding = 8.0 * std::numeric_limits<double>::epsilon();

inline void require_valid(const MoveProfile& profile) {
  const Trapezoid& move = profile.trapezoid;
  require_not_negative("top speed", move.top_speed);
  require_not_negative("jerk time of the acceleration", profile.up_jerk_time);
  require_not_negative("jerk time of the deceleration", profile.down_jerk_time);
  if (move.top_speed == metres_per_second(0)) return;
  require_positive("time of speeding up", move.speeding_up);
  require_positive("time of slowing down", move.slowing_down);
  const Time ramps = move.speeding_up + move.slowing_down;
  if (!(move.cruising >= -cruise_rounding * ramps) || !is_finite(move.cruising))
    throw InvalidInput("time of cruising", ">= 0", in_seconds(move.cruising), "s");
  const Time slowing_from =
      move.speeding_up + move.cruising + (profile.up_jerk_time - profile.down_jerk_time) / 2.0;
  require_not_negative("start of slowing down", slowing_from);
}
}  // namespace detail

/// The four steps of acceleration that make up a move; none where it covers no distance.
///
///     +α at 0, −α at t_a                each over t_u
///     −β at t_d, +β at t_d + t_b        each over t_v
///     α = v/t_a,  β = v/t_b,  t_d = t_a + t_c + (t_u − t_v)/2
///
///     v         top_speed                            m/s  ≥ 0
///     t_a, t_b  speeding_up, slowing_down            s    > 0
///     t_c       cruising                             s    ≥ 0
///     t_u, t_v  up_jerk_time, down_jerk_time         s    ≥ 0
///     t_d       start of slowing down                s    ≥ 0
///
/// The steps of a triangle coincide at t_a and are listed one by one. t_c counts from ramp to ramp
/// of the trapezoid: at top speed the move stays t_c − (t_u + t_v)/2, and where that is negative it
/// does not reach the top speed.
///
/// \throws InvalidInput  a number outside the table
///
/// Source: derived; a box filter leaves area and centre of a ramp of speed where they are, and t_d
/// puts the centres as far apart as in the trapezoid, so that the distance stays.
inline std::vector<AccelerationStep> acceleration_steps(const MoveProfile& profile) {
  detail::require_valid(profile);
  const auto [v, t_a, t_c, t_b] = profile.trapezoid;
  if (v == metres_per_second(0)) return {};
  const auto [trapezoid, t_u, t_v] = profile;
  const Time t_d = t_a + t_c + (t_u - t_v) / 2.0;
  const Acceleration up = v / t_a;
  const Acceleration down = v / t_b;
  return {{.at = seconds(0), .step = up, .jerk_time = t_u},
          {.at = t_a, .step = -up, .jerk_time = t_u},
          {.at = t_d, .step = -down, .jerk_time = t_v},
          {.at = t_d + t_b, .step = down, .jerk_time = t_v}};
}

/// Where an axis is in a move, how fast, and how it changes.
struct MotionState {
  Length position{};
  Speed speed{};
  Acceleration acceleration{};
  Jerk jerk{};  ///< 0 at a jump of the acceleration, which lasts no time
};

/// A part of a move with one jerk, from its state at the start.
struct MotionSegment {
  Time from{};
  Time length{};
  MotionState start{};

  [[nodiscard]] MotionState after(Time t) const {
    const auto [s, v, a, j] = start;
    return {.position = s + t * (v + t * (a / 2.0 + t * j / 6.0)),
            .speed = v + t * (a + t * j / 2.0),
            .acceleration = a + t * j,
            .jerk = j};
  }
};

namespace detail {
/// When the acceleration begins or ceases to change, in order. Times that rounding alone can have
/// set apart count as one: between them a part would have the jerk of two steps.
inline std::vector<Time> breaks(const std::vector<AccelerationStep>& steps) {
  std::vector<Time> times;
  for (const AccelerationStep& each : steps) {
    times.push_back(each.at);
    times.push_back(each.at + each.jerk_time);
  }
  if (times.empty()) return times;
  std::sort(times.begin(), times.end());
  const Time same = time_rounding * times.back();
  times.erase(std::unique(times.begin(), times.end(),
                          [&](Time first, Time next) { return next - first <= same; }),
              times.end());
  return times;
}
}  // namespace detail

/// The parts of a move; the last is the state of rest at the end and has no length.
///
/// \throws InvalidInput  as `acceleration_steps`
inline std::vector<MotionSegment> motion_segments(const MoveProfile& profile) {
  const std::vector<AccelerationStep> steps = acceleration_steps(profile);
  const std::vector<Time> times = detail::breaks(steps);
  std::vector<MotionSegment> parts;
  MotionState state;
  for (std::size_t i = 0; i + 1 < times.size(); ++i) {
    const Time& from = times[i];
    const Time length = times[i + 1] - from;
    state.acceleration = {};
    state.jerk = {};
    for (const AccelerationStep& each : steps) {
      // By the middle of the part, so that no rounding of a break counts a step twice or not at
      // all.
      const Time age = from + length / 2.0 - each.at;
      if (age < seconds(0)) continue;
      if (age < each.jerk_time) {
        const double done = std::max(0.0, number((from - each.at) / each.jerk_time));
        state.acceleration += done * each.step;
        state.jerk += each.step / each.jerk_time;
      } else {
        state.acceleration += each.step;
      }
    }
    parts.push_back({.from = from, .length = length, .start = state});
    state = parts.back().after(length);
  }
  state.acceleration = {};
  state.jerk = {};
  parts.push_back({.from = profile.duration(), .start = state});
  return parts;
}

/// State at a time of the move: polynomials of at most third degree, one for each part between two
/// breaks of the acceleration. At a jump it is the state after it.
///
///     t  time  s  0 to profile.duration(), but for the rounding of a sum of times
///
/// \throws InvalidInput  time outside the move, or the profile as in `acceleration_steps`
///
/// Source: derived, jerk integrated three times.
inline MotionState state_at(const MoveProfile& profile, Time t) {
  const std::vector<MotionSegment> parts = motion_segments(profile);
  if (!(t >= seconds(0) && t <= profile.duration() * (1.0 + detail::time_rounding)))
    throw InvalidInput("time", fmt::format("from 0 to {:.10g} s", in_seconds(profile.duration())),
                       in_seconds(t), "s");
  if (t >= profile.duration()) return parts.back().start;
  std::size_t i = parts.size() - 1;
  while (i > 0 && parts[i].from > t) --i;
  return parts[i].after(t - parts[i].from);
}

/// Position, speed, acceleration and jerk alone, each as in `state_at`.
///
/// \throws InvalidInput  as `state_at`
inline Length position_at(const MoveProfile& profile, Time t) {
  return state_at(profile, t).position;
}
inline Speed speed_at(const MoveProfile& profile, Time t) { return state_at(profile, t).speed; }
inline Acceleration acceleration_at(const MoveProfile& profile, Time t) {
  return state_at(profile, t).acceleration;
}
inline Jerk jerk_at(const MoveProfile& profile, Time t) { return state_at(profile, t).jerk; }

/// The most that a move really reaches.
struct MovePeaks {
  Speed speed{};
  Acceleration acceleration{};
  Acceleration deceleration{};  ///< as a positive number
  Jerk jerk{};                  ///< infinite where the acceleration jumps
};

/// What a move reaches: in a short one less than its trapezoid, where the jerk time is longer than
/// a ramp or the two ramps run into each other.
///
/// \throws InvalidInput  as `acceleration_steps`
///
/// Source: derived; the acceleration peaks at a break, the speed there or where it passes zero.
inline MovePeaks peaks(const MoveProfile& profile) {
  MovePeaks most;
  for (const MotionSegment& part : motion_segments(profile)) {
    const MotionState end = part.after(part.length);
    for (const MotionState& state : {part.start, end}) {
      most.speed = std::max(most.speed, state.speed);
      most.acceleration = std::max(most.acceleration, state.acceleration);
      most.deceleration = std::max(most.deceleration, Acceleration(-state.acceleration));
    }
    const auto [s, v, a, j] = part.start;
    most.jerk = std::max({most.jerk, j, Jerk(-j)});
    if (a * end.acceleration < 0.0 * a * a)
      most.speed = std::max(most.speed, Speed(v - a * a / j / 2.0));
  }
  // The first and the last part of a move are a ramp alone; at a jerk time of 0 this is infinite.
  for (const AccelerationStep& each : acceleration_steps(profile)) {
    const Jerk jerk = each.step / each.jerk_time;
    most.jerk = std::max({most.jerk, jerk, Jerk(-jerk)});
  }
  return most;
}

}  // namespace pitchline::motion
