#include "pitchline/simulate/command.hpp"

namespace pitchline::simulate {

namespace {

void append(Command& command, const motion::MoveProfile& profile, double sense) {
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

void append_rest(Command& command, Time rest) {
  if (!(rest > seconds(0))) return;
  Length at{};
  if (!command.parts.empty()) at = command.parts.back().after(command.parts.back().length).position;
  command.parts.push_back({.from = command.duration(), .length = rest, .start = {.position = at}});
}

}  // namespace

Command command_of(const motion::MoveProfile& profile, Time rest) {
  require_not_negative("rest", rest);
  Command command;
  append(command, profile, 1.0);
  append_rest(command, rest);
  return command;
}

Command command_of(const motion::RunningMove& move, Time rest, Succession succession) {
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
    append(command, profile, back ? -1.0 : 1.0);
    if (n + 1 < move.in_succession) append_rest(command, move.dwell);
  }
  append_rest(command, rest);
  return command;
}

Command constant_speed(Speed speed, Time time, Torque load) {
  require_finite("speed", speed);
  require_positive("time", time);
  require_finite("load", load);
  return {.parts = {{.length = time, .start = {.speed = speed}}}, .load_at_end = load};
}

}  // namespace pitchline::simulate
