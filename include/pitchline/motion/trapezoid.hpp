#pragma once

#include <algorithm>

#include "pitchline/units.hpp"

namespace pitchline::motion {

/// A move from rest to rest: constant acceleration, constant speed, constant deceleration.
struct Trapezoid {
  Speed top_speed{};
  Time speeding_up{};
  Time cruising{};
  Time slowing_down{};

  [[nodiscard]] Time duration() const { return speeding_up + cruising + slowing_down; }
};

/// What a move may use.
struct MoveLimits {
  Speed speed = unset<Speed>();                       ///< > 0; infinite where nothing limits it
  Acceleration acceleration = unset<Acceleration>();  ///< > 0
  Acceleration deceleration = unset<Acceleration>();  ///< > 0, as a positive number
};

/// The fastest trapezoid over `distance`; a short one never reaches the speed and is a triangle.
///
///     v = min(v_max, √(2 s / (1/α + 1/β)))
///
///     s      distance      m     ≥ 0
///     v_max  speed         m/s   > 0
///     α, β   acceleration, deceleration  m/s²  > 0
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: kinematics; checked against [Thareja] 43.2, 43.3 and [Gupta] 7.1 through
/// `trapezoid_in_time`.
inline Trapezoid fastest_trapezoid(Length distance, const MoveLimits& limits) {
  require_not_negative("distance", distance, shown::metres);
  require_positive_or_infinite("speed", limits.speed);
  require_positive("acceleration", limits.acceleration);
  require_positive("deceleration", limits.deceleration);

  const auto slowness = 1.0 / limits.acceleration + 1.0 / limits.deceleration;
  const Speed peak = square_root(2.0 * distance / slowness);
  Trapezoid move;
  move.top_speed = std::min(limits.speed, peak);
  move.speeding_up = move.top_speed / limits.acceleration;
  move.slowing_down = move.top_speed / limits.deceleration;
  if (limits.speed < peak) {
    const Length ramps = move.top_speed * (move.speeding_up + move.slowing_down) / 2.0;
    move.cruising = (distance - ramps) / move.top_speed;
  }
  return move;
}

/// A move that takes a given time.
struct TimedMove {
  Length distance = unset<Length>();
  Time duration = unset<Time>();
  Acceleration acceleration = unset<Acceleration>();
  Acceleration deceleration = unset<Acceleration>();
};

/// The trapezoid that covers `distance` in exactly `duration` with the given ramps.
///
///     K = (1/α + 1/β)/2,   v = (T − √(T² − 4 K s)) / (2 K)
///
///     s     distance  m     ≥ 0
///     T     duration  s     > 0
///     α, β  acceleration, deceleration  m/s²  > 0
///
/// \throws InvalidInput     a number outside the table, or never set
/// \throws OutsideValidity  T² < 4 K s: the ramps are too slow to cover the distance in time
///
/// Source: train-movement form of [Thareja] ch. 43 and [Gupta] ch. 7.
inline Trapezoid trapezoid_in_time(const TimedMove& wanted) {
  require_not_negative("distance", wanted.distance, shown::metres);
  require_positive("duration", wanted.duration);
  require_positive("acceleration", wanted.acceleration);
  require_positive("deceleration", wanted.deceleration);

  const auto K = 0.5 * (1.0 / wanted.acceleration + 1.0 / wanted.deceleration);
  const auto square = wanted.duration * wanted.duration - 4.0 * K * wanted.distance;
  if (square < 0.0 * square) {
    throw OutsideValidity(fmt::format("{} cannot be covered in {}: these ramps need at least {}",
                                      print(wanted.distance), print(wanted.duration),
                                      print(Time(square_root(4.0 * K * wanted.distance)))));
  }
  Trapezoid move;
  move.top_speed = (wanted.duration - square_root(square)) / (2.0 * K);
  move.speeding_up = move.top_speed / wanted.acceleration;
  move.slowing_down = move.top_speed / wanted.deceleration;
  move.cruising = wanted.duration - move.speeding_up - move.slowing_down;
  return move;
}

/// Distance a trapezoid covers.
inline Length distance(const Trapezoid& move) {
  return move.top_speed * ((move.speeding_up + move.slowing_down) / 2.0 + move.cruising);
}

}  // namespace pitchline::motion
