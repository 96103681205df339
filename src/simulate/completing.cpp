#include "pitchline/simulate/completing.hpp"

#include <optional>

namespace pitchline::simulate {

bool completes(const SimulatedAxis& axis, const motion::RunningMove& move, const Settings& settings,
               Time settling) {
  return !run(axis, command_of(move, settling), settings).lost_step;
}

CompletingAcceleration largest_completing_acceleration(const SimulatedAxis& axis,
                                                       motion::RunningMove move,
                                                       const AccelerationSearch& search,
                                                       const Settings& settings, Time settling) {
  require_positive("start of the search", search.from);
  if (!(search.up_to >= search.from) || !is_finite(search.up_to))
    throw InvalidInput("end of the search", "not below its start",
                       in_metres_per_second_squared(search.up_to), "m/s^2");
  require_positive("scan", search.scan);
  require_positive("tolerance", search.tolerance);
  if (search.jerk_time_over_ramp_time && !(*search.jerk_time_over_ramp_time >= 0.0))
    throw InvalidInput("jerk time over ramp time", ">= 0", *search.jerk_time_over_ramp_time, "");

  const auto holds = [&](Acceleration a) {
    move.acceleration = a;
    if (search.jerk_time_over_ramp_time)
      move.jerk_time = *search.jerk_time_over_ramp_time * (move.speed / a);
    return completes(axis, move, settings, settling);
  };

  CompletingAcceleration found;
  for (Acceleration a = search.from; a <= search.up_to; a *= 1.0 + search.scan) {
    if (!holds(a)) {
      found.fails = a;
      break;
    }
    found.completes = a;
  }
  if (!found.fails || !found.completes) return found;
  while (*found.fails - *found.completes > search.tolerance * *found.completes) {
    const Acceleration middle = (*found.fails + *found.completes) / 2.0;
    (holds(middle) ? found.completes : found.fails) = middle;
  }
  return found;
}

std::optional<Torque> falling_out_torque(const SimulatedAxis& axis, Speed speed, Time time,
                                         Torque load, const Settings& settings) {
  require_positive("speed", speed);
  require_positive("load", load);
  const Outcome outcome = run(axis, constant_speed(speed, time, load), settings);
  if (!outcome.slipped) return std::nullopt;
  return load * number(*outcome.slipped / time);
}

}  // namespace pitchline::simulate
