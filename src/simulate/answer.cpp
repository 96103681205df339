#include "pitchline/simulate/answer.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace pitchline::simulate {

MoveAnswer answer(const SimulatedAxis& axis, const Command& command,
                  const AnswerSettings& settings) {
  require_positive("tolerance", settings.tolerance);
  if (command.parts.empty() || command.parts.back().start.speed != metres_per_second(0) ||
      command.parts.back().start.acceleration != metres_per_second_squared(0))
    throw InvalidInput("rest at the end of the command", "> 0", 0.0, "s");
  MoveAnswer found;
  found.command_ends = command.parts.back().from;
  // Rounding may leave a part of no length and next to no speed at the end of a move.
  double fastest = 0.0;
  const auto middle_speed = [](const motion::MotionSegment& each) {
    return in_metres_per_second(each.after(each.length / 2.0).speed);
  };
  for (const motion::MotionSegment& each : command.parts)
    fastest = std::max(fastest, std::fabs(middle_speed(each)));
  double sense = 1.0;
  for (const motion::MotionSegment& each : command.parts)
    if (std::fabs(middle_speed(each)) > 1e-6 * fastest)
      sense = middle_speed(each) > 0.0 ? 1.0 : -1.0;
  const Time length = command.duration();
  const double spacing = settings.trace_points > 0
                             ? in_seconds(length) / static_cast<double>(settings.trace_points)
                             : 0.0;
  double next_trace = 0.0;
  std::optional<Length> origin;
  Length highest{};
  Length lowest{};
  bool resting = false;
  Time last_outside = found.command_ends;
  bool outside = false;
  Length final_error{};
  // The part of the command that a sample lies in; samples come in the order of time.
  std::size_t part = 0;
  const auto cruises = [&](Time time) {
    while (part + 1 < command.parts.size() && command.parts[part + 1].from <= time) ++part;
    const motion::MotionState& at = command.parts[part].start;
    return at.speed != metres_per_second(0) && at.acceleration == metres_per_second_squared(0) &&
           command.parts[part].after(command.parts[part].length).speed == at.speed;
  };
  found.outcome = run(axis, command, settings.run, [&](const Sample& s) {
    if (!origin) origin = s.tool;
    const Length error = s.commanded - (s.tool - *origin);
    final_error = error;
    if (spacing > 0.0 && in_seconds(s.time) >= next_trace - 1e-12) {
      found.trace.push_back({.time = s.time,
                             .commanded = s.commanded,
                             .error = error,
                             .load_angle = s.load_angle,
                             .belt_force = s.belt_force,
                             .current = std::max({s.current_a, s.current_b, Current(-s.current_a),
                                                  Current(-s.current_b)})});
      next_trace += spacing;
    }
    if (s.time < found.command_ends) {
      if (cruises(s.time)) found.cruising_error = std::max({found.cruising_error, error, -error});
      return;
    }
    const Length beyond = -sense * error;
    if (!resting) {
      resting = true;
      highest = beyond;
      lowest = beyond;
    }
    highest = std::max(highest, beyond);
    lowest = std::min(lowest, beyond);
    outside = beyond > settings.tolerance || -beyond > settings.tolerance;
    if (outside) last_outside = s.time;
  });
  found.overshoot = std::max(Length{}, highest);
  found.ringing = (highest - lowest) / 2.0;
  found.rest_error = sense * final_error;
  if (!outside) found.settled = last_outside - found.command_ends;
  return found;
}

}  // namespace pitchline::simulate
