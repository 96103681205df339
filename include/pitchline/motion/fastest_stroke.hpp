#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <vector>

#include "pitchline/motion/capability.hpp"
#include "pitchline/motion/trapezoid.hpp"

namespace pitchline::motion {

/// A move from rest to rest that a motor is asked for.
struct Stroke {
  Length length = unset<Length>();         ///< > 0
  Speed speed_limit = unlimited<Speed>();  ///< > 0; the torque curve is not asked beyond it
};

/// The move of least time, and what it asks of the motor.
struct FastestStroke {
  Trapezoid move{};
  Acceleration acceleration{};  ///< of both ramps
  Speed limiting_speed{};       ///< where on the ramp the torque curve sets that acceleration
  Torque needed{};              ///< there, drag included: the torque of the curve over the margin
  Torque available{};           ///< there, of the curve
};

/// An acceleration, the speed that is best with it, and the time that the move then takes.
struct MoveTime {
  Acceleration acceleration{};
  Speed speed{};
  Time time{};
};

namespace detail {

inline void require_valid(const Stroke& stroke) {
  require_positive("stroke length", stroke.length, shown::metres);
  require_speed_limit(stroke.speed_limit);
}

// Speeds that can serve a stroke: those below the limit and below the triangle of the acceleration
// at rest, which none of a running minimum exceeds.
template <TorqueOverSpeed Curve>
class StrokeSearch {
 public:
  StrokeSearch(const AxisAtMotor& axis, const Curve& torque_at, const TorqueUse& use,
               const Stroke& stroke)
      : length_(stroke.length),
        at_rest_(start(axis, torque_at, use, stroke)),
        bound_(square_root(length_ * at_rest_)),
        top_(std::min(stroke.speed_limit, bound_)),
        running_(axis, torque_at, use, top_) {
    if (!starts()) return;
    const auto too_fast = [this](Speed v) { return v * v >= length_ * from_rest(v); };
    if (too_fast(top_)) {
      triangle_ = crossing({}, top_, too_fast).before;
      top_ = *triangle_;
    } else if (top_ == bound_) {  // constant acceleration: only rounding keeps it below
      triangle_ = top_;
    }
  }

  [[nodiscard]] bool starts() const { return at_rest_ > Acceleration{}; }
  [[nodiscard]] Acceleration at_rest() const { return at_rest_; }
  [[nodiscard]] Speed top() const { return top_; }
  [[nodiscard]] std::optional<Speed> triangle() const { return triangle_; }
  [[nodiscard]] AccelerationAtSpeed upto(Speed v) const { return running_.upto(v); }
  [[nodiscard]] Acceleration from_rest(Speed v) const { return running_.upto(v).acceleration; }
  [[nodiscard]] Time time(Speed v) const { return length_ / v + v / from_rest(v); }

  // Least time: each speed of a grid, then golden section between the neighbours of the best one.
  [[nodiscard]] Speed best() const {
    const Speed step = top_ / static_cast<double>(speed_intervals);
    Speed best = top_;
    Time least = time(top_);
    const auto take = [&](Speed v) {
      if (const Time t = time(v); t < least) {
        least = t;
        best = v;
      }
    };
    for (std::size_t i = 1; i < speed_intervals; ++i) take(step * static_cast<double>(i));
    const Speed low = std::max(Speed(0.5 * step), Speed(best - step));
    const Speed high = std::min(top_, Speed(best + step));
    take(least_between(low, high, [this](Speed v) { return time(v); }));
    return best;
  }

  // At a given acceleration more speed always helps, up to the triangle.
  [[nodiscard]] MoveTime with(Acceleration acceleration) const {
    const auto too_fast = [&](Speed v) {
      return v * v > length_ * acceleration || from_rest(v) < acceleration;
    };
    const Speed speed = too_fast(top_) ? crossing({}, top_, too_fast).before : top_;
    return {acceleration, speed, length_ / speed + speed / acceleration};
  }

 private:
  static Acceleration start(const AxisAtMotor& axis, const Curve& torque_at, const TorqueUse& use,
                            const Stroke& stroke) {
    require_valid(axis, use);
    require_valid(stroke);
    return std::max(Acceleration{}, surplus(axis, torque_at, use, Speed{}));
  }

  Length length_;
  Acceleration at_rest_;
  Speed bound_;
  Speed top_;
  RunningSurplus<Curve> running_;
  std::optional<Speed> triangle_;
};

}  // namespace detail

/// Speed at which a stroke has no cruise left: the end of the useful speeds. Nothing where the axis
/// does not start or the speed limit comes first.
///
///     v² = s a(v)
///
///     s     stroke.length                        m     > 0
///     a(v)  `largest_acceleration_from_rest`     m/s²
///
/// Unique, since v² rises and a(v) does not; bisected to the last digit.
///
/// \throws InvalidInput  as `acceleration_at`; a number outside the table
///
/// Source: derived; checked against reference/published/accel.csv.
template <TorqueOverSpeed Curve>
std::optional<Speed> triangle_speed(const AxisAtMotor& axis, const Curve& torque_at,
                                    const TorqueUse& use, const Stroke& stroke) {
  return detail::StrokeSearch(axis, torque_at, use, stroke).triangle();
}

/// The pair of speed and acceleration that covers a stroke in the least time; nothing where the
/// axis does not start.
///
///     t(v) = s/v + v/a(v),   v² ≤ s a(v),   v ≤ v_max
///
///     s      stroke.length       m    > 0
///     v_max  stroke.speed_limit  m/s  > 0, may be infinite
///     a(v)   `largest_acceleration_from_rest`
///
/// Where the torque falls with speed the best move is a trapezoid below `triangle_speed`, never the
/// triangle: at the triangle dt/dv = −v a'/a² ≥ 0. The minimum is flat. t(v) is taken at 2000
/// speeds up to the end, and followed down by golden section next to the best of them. Both ramps
/// have the same acceleration: that of speeding up, up an incline, which takes most torque. Rigid
/// axis, constant acceleration in a ramp; see `acceleration_at` for what else is left out.
///
/// \throws InvalidInput  as `acceleration_at`; a number outside the table
///
/// Source: derived; checked against an independent derivation and brute force in
/// reference/published/accel.csv.
template <TorqueOverSpeed Curve>
std::optional<FastestStroke> fastest_trapezoid_for(const AxisAtMotor& axis, const Curve& torque_at,
                                                   const TorqueUse& use, const Stroke& stroke) {
  const detail::StrokeSearch search(axis, torque_at, use, stroke);
  if (!search.starts()) return std::nullopt;
  const Speed speed = search.best();
  const auto [acceleration, limiting_speed] = search.upto(speed);
  const AngularSpeed turning = limiting_speed / axis.transmission;
  return FastestStroke{.move = fastest_trapezoid(stroke.length, {.speed = speed,
                                                                 .acceleration = acceleration,
                                                                 .deceleration = acceleration}),
                       .acceleration = acceleration,
                       .limiting_speed = limiting_speed,
                       .needed = rigid_torque(axis, acceleration) + use.motor_drag * turning,
                       .available = detail::torque_of(torque_at, turning)};
}

/// What acceleration buys: the time of a stroke at `rows` accelerations, evenly up to the one that
/// the axis has at rest (left out where the torque falls from there on), each with the best speed
/// under it. Past the least time more acceleration costs speed and the move takes longer. Empty
/// where the axis does not start.
///
///     t(α) = s/v + v/α,   v the largest with v² ≤ s α, a(v) ≥ α, v ≤ v_max
///
/// Symbols and validity as in `fastest_trapezoid_for`.
///
/// \throws InvalidInput  as `fastest_trapezoid_for`; rows below 1
///
/// Source: derived; at a given α the time falls with v up to the triangle.
template <TorqueOverSpeed Curve>
std::vector<MoveTime> move_time_curve(const AxisAtMotor& axis, const Curve& torque_at,
                                      const TorqueUse& use, const Stroke& stroke, int rows) {
  require_at_least("rows", rows, 1);
  const detail::StrokeSearch search(axis, torque_at, use, stroke);
  std::vector<MoveTime> curve;
  if (!search.starts()) return curve;
  for (int i = 1; i < rows; ++i)
    curve.push_back(search.with(search.at_rest() * (static_cast<double>(i) / rows)));
  // At the acceleration of rest itself only a torque that is flat at the start moves at all.
  const Speed least = search.top() / static_cast<double>(detail::speed_intervals);
  if (const MoveTime last = search.with(search.at_rest()); last.speed >= least)
    curve.push_back(last);
  return curve;
}

/// The smallest acceleration whose move takes at most `share` longer than the least time: gentler
/// on belt and frame for next to nothing. Nothing where the axis does not start.
///
/// `share` ≥ 0, 0.02 for two per cent. Looked for at 1000 accelerations up to that of the least
/// time, and bisected below the first that is quick enough.
///
/// \throws InvalidInput  as `fastest_trapezoid_for`; share below zero or not finite
///
/// Source: derived, see `move_time_curve`.
template <TorqueOverSpeed Curve>
std::optional<MoveTime> slowest_within(const AxisAtMotor& axis, const Curve& torque_at,
                                       const TorqueUse& use, const Stroke& stroke, double share) {
  require_not_negative("share", share);
  const detail::StrokeSearch search(axis, torque_at, use, stroke);
  if (!search.starts()) return std::nullopt;
  const Speed speed = search.best();
  const Time least = search.time(speed);
  const Time allowed = (1.0 + share) * least;
  MoveTime found{search.from_rest(speed), speed, least};
  constexpr int parts = 1000;
  // No move is quicker than the triangle 2 √(s/α), so none below this acceleration is in time.
  Acceleration low = 4.0 * stroke.length / (allowed * allowed);
  const Acceleration step = (found.acceleration - low) / static_cast<double>(parts);
  for (int i = 1; i < parts; ++i) {
    const MoveTime met = search.with(low + step);
    if (met.time <= allowed) {
      found = met;
      break;
    }
    low = met.acceleration;
  }
  for (;;) {
    const Acceleration middle = low + (found.acceleration - low) / 2.0;
    if (!(middle > low) || !(middle < found.acceleration)) return found;
    const MoveTime met = search.with(middle);
    if (met.time <= allowed)
      found = met;
    else
      low = middle;
  }
}

}  // namespace pitchline::motion
