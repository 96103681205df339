#pragma once

#include <algorithm>
#include <cmath>
#include <concepts>
#include <cstddef>
#include <numbers>
#include <optional>
#include <utility>
#include <vector>

#include "pitchline/motion/start_acceleration.hpp"

namespace pitchline::motion {

/// A motor as motion sees it: a function that tells the torque at one speed of its shaft. It may be
/// below zero, where the motor's own losses eat more than it makes; it need not fall with speed.
template <class Function>
concept TorqueOverSpeed = requires(const Function& torque_at, AngularSpeed speed) {
  { torque_at(speed) } -> std::convertible_to<Torque>;
};

/// How much of a torque curve the motion may use, and what the shaft itself takes of that.
struct TorqueUse {
  TorqueMargin margin;      ///< S, the curve is divided by it
  RotaryDrag motor_drag{};  ///< B, on the motor shaft, in proportion to speed; ≥ 0
};

/// An acceleration that a speed allows.
struct AccelerationAtSpeed {
  Acceleration acceleration{};
  Speed speed{};
};

namespace detail {

// Intervals into which a range of speeds is cut to look for dips of a torque curve.
inline constexpr std::size_t speed_intervals = 2000;
// Halvings by the golden ratio: 0.618^60 = 3e-13 of the bracket is left.
inline constexpr int golden_steps = 60;
// Above any motor's speed, one million turns a minute: where a search for an end gives up.
inline constexpr AngularSpeed beyond_all_motors = radians_per_second(1e5);
// Where that search begins, about 500 turns a minute; no result hangs on it but by rounding.
inline constexpr AngularSpeed slow_shaft = radians_per_second(50);

inline void require_finite_speed(Speed speed) { require_not_negative("speed", speed); }
inline void require_speed_limit(Speed limit) { require_positive_or_infinite("speed limit", limit); }
inline void require_valid(const AxisAtMotor& axis, const TorqueUse& use) {
  require_valid(axis);
  if (const Mass all = accelerated_mass(axis); !(all > kilograms(0)) || !is_finite(all))
    throw InvalidInput("accelerated mass", "> 0", in_kilograms(all), "kg");
  require_not_negative("motor drag", use.motor_drag);
}

template <TorqueOverSpeed Curve>
Torque torque_of(const Curve& torque_at, AngularSpeed speed) {
  const Torque torque = torque_at(speed);
  require_finite("torque of the curve", torque);
  return torque;
}

// Below zero where friction, gravity and drag are more than the torque.
template <TorqueOverSpeed Curve>
Acceleration surplus(const AxisAtMotor& axis, const Curve& torque_at, const TorqueUse& use,
                     Speed speed) {
  const AngularSpeed turning = speed / axis.transmission;
  const Torque usable =
      torque_of(torque_at, turning) / use.margin.value() - use.motor_drag * turning;
  const Force spare =
      usable / axis.transmission - constant_speed_force(axis) / axis.efficiency.value();
  return spare / accelerated_mass(axis);
}

// Where `f`, with one minimum between a and b, is least: golden section, which minds no kinks.
template <class Function>
Speed least_between(Speed a, Speed b, const Function& f) {
  constexpr double part = 1.0 / std::numbers::phi;
  Speed left = b - part * (b - a);
  Speed right = a + part * (b - a);
  auto at_left = f(left);
  auto at_right = f(right);
  for (int i = 0; i < golden_steps; ++i) {
    if (at_left < at_right) {
      b = std::exchange(right, left);
      at_right = at_left;
      left = b - part * (b - a);
      at_left = f(left);
    } else {
      a = std::exchange(left, right);
      at_left = at_right;
      right = a + part * (b - a);
      at_right = f(right);
    }
  }
  return at_left < at_right ? left : right;
}

// The two neighbouring speeds between which `holds` turns true, by bisection to the last digit:
// false at low, true at high, and true from somewhere on.
struct Crossing {
  Speed before{};
  Speed after{};
};
template <class Predicate>
Crossing crossing(Speed low, Speed high, const Predicate& holds) {
  for (;;) {
    const Speed middle = low + (high - low) / 2.0;
    if (!(middle > low) || !(middle < high)) return {low, high};
    (holds(middle) ? high : low) = middle;
  }
}

// Running minimum of the surplus over [0, v] for any v up to `top`. The curve is asked at
// `speed_intervals` + 1 speeds; each that lies no higher than its neighbours is followed down
// between them. Refers to its arguments, so it must not outlive them.
template <TorqueOverSpeed Curve>
class RunningSurplus {
 public:
  RunningSurplus(const AxisAtMotor& axis, const Curve& torque_at, const TorqueUse& use, Speed top)
      : axis_(axis),
        torque_at_(torque_at),
        use_(use),
        step_(top / static_cast<double>(speed_intervals)) {
    std::vector<Acceleration> met;
    for (std::size_t i = 0; i <= speed_intervals; ++i) {
      const Speed speed = step_ * static_cast<double>(i);
      met.push_back(now(speed));
      keep(grid_, {met.back(), speed});
    }
    // The last part has no neighbour beyond: a dip just before its end is looked for as well.
    for (std::size_t i = 1; i <= speed_intervals; ++i) {
      const std::size_t next = std::min(i + 1, speed_intervals);
      const bool lowest = met[i] <= met[i - 1] && met[i] <= met[next];
      if (!lowest || (met[i] == met[i - 1] && met[i] == met[next])) continue;
      const Speed speed =
          least_between(step_ * static_cast<double>(i - 1), step_ * static_cast<double>(next),
                        [this](Speed v) { return now(v); });
      dips_.push_back({now(speed), speed});
    }
  }

  /// The least up to `v`, and the speed that sets it.
  [[nodiscard]] AccelerationAtSpeed upto(Speed v) const {
    AccelerationAtSpeed least{now(v), v};
    const auto last = std::upper_bound(grid_.begin(), grid_.end(), v,
                                       [](Speed x, const auto& y) { return x < y.second; });
    if (last != grid_.begin()) lower(least, std::prev(last)->first);
    for (const AccelerationAtSpeed& dip : dips_)
      if (dip.speed <= v) lower(least, dip);
    return least;
  }

 private:
  using Grid = std::vector<std::pair<AccelerationAtSpeed, Speed>>;

  [[nodiscard]] Acceleration now(Speed v) const { return surplus(axis_, torque_at_, use_, v); }
  static void lower(AccelerationAtSpeed& least, const AccelerationAtSpeed& other) {
    if (other.acceleration < least.acceleration) least = other;
  }
  // Each entry: the least so far, and the speed it reaches to.
  static void keep(Grid& grid, AccelerationAtSpeed met) {
    const Speed speed = met.speed;
    if (!grid.empty()) lower(met, grid.back().first);
    grid.emplace_back(met, speed);
  }

  const AxisAtMotor& axis_;
  const Curve& torque_at_;
  const TorqueUse& use_;
  Speed step_;
  Grid grid_;
  std::vector<AccelerationAtSpeed> dips_;
};

}  // namespace detail

/// Acceleration of a rigid axis that a torque curve holds at one speed, up an incline; 0 where the
/// torque does not overcome friction, gravity and drag.
///
///     a(v) = (T(v/t)/(S t) − B v/t² − F/η) / M
///
///     T  torque_at                    N·m        finite
///     v  speed                        m/s        ≥ 0, finite
///     S  use.margin                   –          [1, 10]
///     B  use.motor_drag               N·m·s/rad  ≥ 0
///     F  friction + gravity of axis   N
///     t  transmission                 m/rad      > 0
///     η  efficiency                   –          (0, 1]
///     M  accelerated_mass             kg         > 0
///     a  result                       m/s²       ≥ 0
///
/// The textbook figure: S has to cover the overshoot of an elastic axis, and nothing is said about
/// mid-band stability. The deceleration of a lift going down, and of any axis against friction,
/// takes less torque.
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Source: inverse of `rigid_torque`; checked against an independent derivation in
/// reference/published/accel_vs_speed.csv.
template <TorqueOverSpeed Curve>
Acceleration acceleration_at(const AxisAtMotor& axis, const Curve& torque_at, const TorqueUse& use,
                             Speed speed) {
  detail::require_valid(axis, use);
  detail::require_finite_speed(speed);
  return std::max(Acceleration{}, detail::surplus(axis, torque_at, use, speed));
}

/// Largest constant acceleration that carries the axis from rest to a speed, and the speed that
/// sets it.
///
///     a = min over u in [0, v] of a(u)       symbols as in `acceleration_at`
///
/// A measured curve may dip and rise again. So [0, v] is cut into 2000 equal parts, and each speed
/// that is no higher than its two neighbours is followed down between them by golden section; a dip
/// narrower than such a part may be missed.
///
/// \throws InvalidInput  as `acceleration_at`
///
/// Source: derived. For a curve that falls it is a(v), checked as `acceleration_at`.
template <TorqueOverSpeed Curve>
AccelerationAtSpeed largest_acceleration_from_rest(const AxisAtMotor& axis, const Curve& torque_at,
                                                   const TorqueUse& use, Speed to_speed) {
  detail::require_valid(axis, use);
  detail::require_finite_speed(to_speed);
  AccelerationAtSpeed least = detail::RunningSurplus(axis, torque_at, use, to_speed).upto(to_speed);
  least.acceleration = std::max(Acceleration{}, least.acceleration);
  return least;
}

/// Speed beyond which the axis cannot be driven from rest: the first at which the torque, divided
/// by S, no longer exceeds friction, gravity and drag. Nothing where it does up to `speed_limit`
/// and up to 1e5 rad/s of the motor; 0 where the axis does not start.
///
///     a(v₀) = 0       symbols as in `acceleration_at`
///
/// Bracketed by doubling from 50 rad/s of the motor, then bisected to the last digit, both on the
/// running minimum of `largest_acceleration_from_rest` in 2000 parts of the bracket. The curve is
/// never asked beyond `speed_limit`, > 0: the end of a measured table belongs there.
///
/// \throws InvalidInput  as `acceleration_at`; speed_limit not above zero
///
/// Source: derived; checked against reference/published/accel.csv.
template <TorqueOverSpeed Curve>
std::optional<Speed> speed_without_acceleration(const AxisAtMotor& axis, const Curve& torque_at,
                                                const TorqueUse& use,
                                                Speed speed_limit = unlimited<Speed>()) {
  detail::require_valid(axis, use);
  detail::require_speed_limit(speed_limit);
  if (detail::surplus(axis, torque_at, use, Speed{}) <= Acceleration{}) return Speed{};
  const Speed end = std::min(speed_limit, Speed(detail::beyond_all_motors * axis.transmission));
  Speed high = std::min(end, Speed(detail::slow_shaft * axis.transmission));
  for (;;) {
    const detail::RunningSurplus running(axis, torque_at, use, high);
    const auto ends = [&](Speed v) { return running.upto(v).acceleration <= Acceleration{}; };
    if (ends(high)) return detail::crossing({}, high, ends).after;
    if (!(high < end)) return std::nullopt;
    high = std::min(end, Speed(2.0 * high));
  }
}

}  // namespace pitchline::motion
