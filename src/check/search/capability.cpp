#include "pitchline/check/search/capability.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "pitchline/check/rows/drive.hpp"
#include "pitchline/motion/trapezoid.hpp"

namespace pitchline::check {

AxisState at_speed(const AxisState& s, Speed speed) {
  machine::Axis axis = s.axis;
  axis.want.speed = speed;
  return state_of(s.machine, axis);
}

Capability capability(const AxisState& s) {
  constexpr int speeds = 24;
  constexpr int accelerations = 24;
  Capability c;
  c.stroke = is_unset(s.axis.want.stroke) ? Length(machine::travel_of(s.axis.drive) / 2.0)
                                          : s.axis.want.stroke;
  const Speed wanted = s.axis.want.speed;
  for (int i = 1; i <= 2 * speeds; ++i) {
    const Speed speed = static_cast<double>(i) / speeds * wanted;
    const AxisState at = at_speed(s, speed);
    // To reach a speed is to pass all below it.
    const Acceleration below =
        c.over_speed.empty() ? hardest_looked_for : c.over_speed.back().allowed;
    c.over_speed.push_back(
        {.speed = speed,
         .allowed = std::min(below, acceleration_by_torque(at, hardest_looked_for)),
         .textbook = motion::rigid_acceleration(at.seen, at.at_speed.torque)});
    if (!(c.over_speed.back().textbook > Acceleration{})) break;
  }
  // The largest speed up to the wanted one at which an acceleration is allowed.
  const auto speed_for = [&](Acceleration a) {
    Speed best{};
    for (std::size_t i = 0; i < c.over_speed.size() && c.over_speed[i].speed <= wanted; ++i) {
      const SpeedPoint& here = c.over_speed[i];
      if (here.allowed >= a) {
        best = here.speed;
        continue;
      }
      if (i > 0) {
        const SpeedPoint& before = c.over_speed[i - 1];
        best += (here.speed - before.speed) *
                number((before.allowed - a) / (before.allowed - here.allowed));
      }
      break;
    }
    return best;
  };
  const Acceleration most = c.over_speed.front().allowed;
  if (!(most > Acceleration{})) return c;
  for (int i = 1; i <= accelerations; ++i) {
    const Acceleration a = static_cast<double>(i) / accelerations * most;
    const Speed speed = speed_for(a);
    if (!(speed > Speed{})) break;
    const motion::Trapezoid move = motion::fastest_trapezoid(c.stroke, {speed, a, a});
    c.move_time.push_back({a, move.top_speed, Time(move.duration() + s.axis.want.jerk_time)});
  }
  if (c.move_time.empty()) return c;
  c.fastest = *std::min_element(c.move_time.begin(), c.move_time.end(),
                                [](const auto& x, const auto& y) { return x.time < y.time; });
  c.nearly = *std::find_if(c.move_time.begin(), c.move_time.end(), [&](const auto& point) {
    return point.time <= (1.0 + nearly_loses) * c.fastest.time;
  });
  return c;
}

}  // namespace pitchline::check
