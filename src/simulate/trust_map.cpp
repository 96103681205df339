#include "pitchline/simulate/trust_map.hpp"

#include <functional>
#include <optional>
#include <vector>

namespace pitchline::simulate {

MapColumn try_speed(const SimulatedAxis& axis, motion::RunningMove move, Speed speed,
                    const std::vector<Acceleration>& accelerations,
                    std::optional<double> jerk_time_over_ramp_time,
                    const std::function<bool()>& going_on, const Settings& settings) {
  MapColumn column{.speed = speed};
  move.speed = speed;
  for (const Acceleration& a : accelerations) {
    if (!going_on()) return column;
    move.acceleration = a;
    if (jerk_time_over_ramp_time) move.jerk_time = *jerk_time_over_ramp_time * (speed / a);
    if (!completes(axis, move, settings)) {
      column.fails = a;
      return column;
    }
    column.completes = a;
  }
  return column;
}

Trial trial_of(const MapColumn& column, Acceleration acceleration) {
  if (!column.fails || acceleration < *column.fails) return Trial::completes;
  return acceleration > *column.fails ? Trial::above : Trial::loses_steps;
}

}  // namespace pitchline::simulate
