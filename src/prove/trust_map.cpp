#include "pitchline/prove/trust_map.hpp"

#include <algorithm>
#include <cmath>
#include <concepts>
#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

#include "pitchline/check/search/capability.hpp"
#include "pitchline/prove/move_proof.hpp"

namespace pitchline::prove {

using namespace check;

TrustMap map_to_fill(const AxisState& s, const MapBounds& bounds) {
  TrustMap map{.move = wanted_move(s.axis.want)};
  for (int i = 1; i <= 12; ++i) {
    const Speed speed = i == 8 ? map.move.speed : Speed(i / 8.0 * map.move.speed);
    const AxisState at = at_speed(s, speed);
    const bool moves = motion::rigid_acceleration(at.seen, at.at_speed.torque) > Acceleration{};
    if (!moves && speed > map.move.speed) break;
    map.range.speeds.push_back(speed);
    // To reach a speed is to pass all below it.
    const Acceleration allowed = moves ? allowed_by_torque(at) : Acceleration{};
    map.allowed.push_back(map.allowed.empty() ? allowed : std::min(map.allowed.back(), allowed));
  }
  constexpr std::size_t wanted = 7;  // eight eighths
  const Acceleration middle =
      map.allowed[wanted] > Acceleration{} ? map.allowed[wanted] : map.move.acceleration;
  Acceleration least = middle;
  for (const Acceleration& each : map.allowed)
    if (each > Acceleration{}) least = std::min(least, each);
  const Acceleration want = map.move.acceleration;
  const Acceleration from =
      is_unset(bounds.from)
          ? std::min<Acceleration>(want, std::max<Acceleration>(least / 2.0, middle / 10.0))
          : bounds.from;
  const Acceleration up_to =
      is_unset(bounds.up_to)
          ? std::max<Acceleration>(4.0 * std::max(middle, map.allowed.front()), want)
          : bounds.up_to;
  detail::require_takes_in(from, up_to, want);
  const double steps =
      std::max(1.0, std::ceil(std::log(number(up_to / from)) / std::log(1.08) - 1e-9));
  map.growth = std::pow(number(up_to / from), 1.0 / steps);
  auto& list = map.range.accelerations;
  for (double n = 0.0; n < steps; n += 1.0) list.push_back(from * std::pow(map.growth, n));
  list.push_back(up_to);
  const auto place = std::lower_bound(list.begin(), list.end(), want);
  if (*place != want) list.insert(place, want);
  for (const Speed& speed : map.range.speeds)
    map.strokes.push_back(stroke_to_search(s, speed, from));
  return map;
}

TrustColumn trust_column(const simulate::SimulatedAxis& axis, const TrustMap& map,
                         std::size_t number_of_speed, const std::function<void()>& before_try) {
  motion::RunningMove move = map.move;
  move.stroke = map.strokes.at(number_of_speed);
  return {.proved = simulate::proved_column(axis, move, map.range.speeds.at(number_of_speed),
                                            map.range.accelerations, before_try),
          .allowed = map.allowed.at(number_of_speed),
          .stroke = move.stroke};
}

}  // namespace pitchline::prove
