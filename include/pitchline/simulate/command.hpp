#pragma once

#include <vector>

#include "pitchline/motion/move_demand.hpp"
#include "pitchline/motion/move_profile.hpp"
#include "pitchline/units.hpp"

namespace pitchline::simulate {

/// Where moves in succession lead.
enum class Succession { to_and_fro, onward };

/// What the controller asks of an axis over time, in parts with one jerk each.
struct Command {
  std::vector<motion::MotionSegment> parts;
  /// Torque on the rotor against positive turning, which grows evenly from zero to this at the end.
  Torque load_at_end{};

  [[nodiscard]] Time duration() const {
    return parts.empty() ? Time{} : parts.back().from + parts.back().length;
  }
};

namespace detail {
inline void append(Command& command, const motion::MoveProfile& profile, double sense) {
  const Time from = command.duration();
  Length at{};
  if (!command.parts.empty()) at = command.parts.back().after(command.parts.back().length).position;
  for (motion::MotionSegment part : motion::motion_segments(profile)) {
    if (!(part.length > seconds(0))) continue;
    part.from += from;
    part.start = {.position = at + sense * part.start.position,
                  .speed = sense * part.start.speed,
                  .acceleration = sense * part.start.acceleration,
                  .jerk = sense * part.start.jerk};
    command.parts.push_back(part);
  }
}

inline void append_rest(Command& command, Time rest) {
  if (!(rest > seconds(0))) return;
  Length at{};
  if (!command.parts.empty()) at = command.parts.back().after(command.parts.back().length).position;
  command.parts.push_back({.from = command.duration(), .length = rest, .start = {.position = at}});
}
}  // namespace detail

/// One move, with a rest after it in which the swing settles.
///
/// \throws InvalidInput  a negative rest, or the profile as in `motion::acceleration_steps`
inline Command command_of(const motion::MoveProfile& profile, Time rest = {}) {
  require_not_negative("rest", rest);
  Command command;
  detail::append(command, profile, 1.0);
  detail::append_rest(command, rest);
  return command;
}

/// Moves in a row, the first upwards, with their dwell between them and a rest at the end. A stroke
/// too short for the speed gives triangles.
///
///     speed, acceleration  > 0
///     stroke               > 0; here it must be set
///     jerk_time, dwell     ≥ 0
///     in_succession        ≥ 1
///
/// \throws InvalidInput  a number outside the table, or a negative rest
inline Command command_of(const motion::RunningMove& move, Time rest = {},
                          Succession succession = Succession::to_and_fro) {
  motion::require_valid(move);
  require_not_negative("rest", rest);
  if (is_unset(move.stroke)) throw InvalidInput("stroke", "> 0", in_metres(move.stroke), "m");
  const motion::MoveProfile profile{
      .trapezoid = motion::fastest_trapezoid(move.stroke, {.speed = move.speed,
                                                           .acceleration = move.acceleration,
                                                           .deceleration = move.acceleration}),
      .up_jerk_time = move.jerk_time,
      .down_jerk_time = move.jerk_time};
  Command command;
  for (int n = 0; n < move.in_succession; ++n) {
    const bool back = succession == Succession::to_and_fro && n % 2 == 1;
    detail::append(command, profile, back ? -1.0 : 1.0);
    if (n + 1 < move.in_succession) detail::append_rest(command, move.dwell);
  }
  detail::append_rest(command, rest);
  return command;
}

/// Constant speed from the first moment, against a torque that grows evenly from zero to `load`.
///
///     speed  m/s  finite, either sense
///     time   s    > 0
///     load   N·m  finite
///
/// \throws InvalidInput  a number outside the table
inline Command constant_speed(Speed speed, Time time, Torque load = {}) {
  require_finite("speed", speed);
  require_positive("time", time);
  require_finite("load", load);
  return {.parts = {{.length = time, .start = {.speed = speed}}}, .load_at_end = load};
}

}  // namespace pitchline::simulate
