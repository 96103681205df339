#pragma once

#include <algorithm>
#include <cmath>
#include <concepts>
#include <optional>

#include "pitchline/motion/swing_bound.hpp"

namespace pitchline::motion {

/// The part of a move at which the torque that the motor has is least over the torque asked.
struct TightestPart {
  MomentaryDemand demand{};
  Torque available{};
  double margin = 0.0;
};

/// Finds the tightest part of a bound; `available` gives the torque that the motor has at a speed
/// of the load, and must not rise with it.
template <std::invocable<Speed> Available>
TightestPart tightest_part(const SwingBound& bound, Available&& available) {
  TightestPart tightest{.margin = std::numeric_limits<double>::infinity()};
  for (const MomentaryDemand& demand : bound) {
    const Torque has = available(demand.speed);
    const double margin = demand.torque > Torque{} ? number(has / demand.torque)
                                                   : std::numeric_limits<double>::infinity();
    if (margin <= tightest.margin) tightest = {demand, has, margin};
  }
  return tightest;
}

/// Accelerations at which a move is safe.
struct SafeAccelerations {
  Acceleration lower{};  ///< 0 where every smaller acceleration is safe
  Acceleration upper{};
  Acceleration reached{};         ///< at the upper end: the jerk time may not let it come to that
  bool all_smaller_safe = false;  ///< the lower end is 0
  bool ends_at_most = false;      ///< safe up to what was asked; the motor is not the limit
};

struct SafeAccelerationQuestion {
  Acceleration most = unset<Acceleration>();  ///< none above is asked for, > 0
  double margin = 1.0;                        ///< wanted, torque had over torque asked, > 0
};

/// Whether every acceleration below one that is safe is safe too: the motor keeps the margin where
/// the load sticks and slips for ever, at each speed up to the one the move reaches.
///
///     available(V) >= margin t (G + F + √(B² + M k V²))    for M w V <= B/√(4 π ζ), V <= speed
///
/// True without static friction.
///
/// \throws InvalidInput  as `swing_bound`
template <std::invocable<Speed> Available>
bool all_smaller_safe(const SwingingAxis& swinging, Speed top, double margin,
                      Available&& available) {
  detail::require_valid(swinging);
  if (!(swinging.axis.breakaway > Force{})) return true;
  // The speed rises in steps: the force at their upper end stands against the torque there.
  constexpr int steps = 64;
  for (int i = 0; i <= steps; ++i) {
    const Speed speed = top * (static_cast<double>(i) / steps);
    const Torque asked = stick_slip_force(swinging, speed) * swinging.axis.transmission;
    if (!(available(speed) >= margin * asked)) return false;
  }
  return true;
}

/// The widest contiguous range of accelerations at which a move keeps a margin of torque.
///
/// Pass and fail do not follow one another once: a load that sticks and slips asks for more at a
/// small acceleration, so that the range may have a lower end. It is scanned downward in steps of
/// 7 %, and either end then found to a part in a million. With a jerk time no acceleration above
/// v/t_j is reached, and none is scanned. Empty where no acceleration is safe. A range narrower
/// than a step may be missed, and so may a gap; over the band of stiffness no resonance is that
/// narrow.
///
/// \throws InvalidInput  as `swing_bound`; `most` or `margin` not above zero
template <std::invocable<Speed> Available>
std::optional<SafeAccelerations> safe_accelerations(const SwingingAxis& swinging, RunningMove move,
                                                    const SafeAccelerationQuestion& question,
                                                    Available&& available) {
  if (!(question.most > Acceleration{}) || !is_finite(question.most))
    throw InvalidInput("most", "> 0", in_metres_per_second_squared(question.most), "m/s^2");
  if (!(question.margin > 0.0) || !std::isfinite(question.margin))
    throw InvalidInput("margin", "> 0", question.margin, "");
  Acceleration most = question.most;
  if (move.jerk_time > seconds(0)) most = std::min(most, Acceleration(move.speed / move.jerk_time));
  const bool small_safe = all_smaller_safe(swinging, move.speed, question.margin, available);
  const auto holds = [&](Acceleration a) {
    move.acceleration = a;
    const SwingBound bound = swing_bound(swinging, move);
    if (bound.cover == SwingCover::not_covered) return small_safe;
    return tightest_part(bound, available).margin >= question.margin;
  };
  const auto edge = [&](Acceleration good, Acceleration bad) {
    while (std::max(good, bad) - std::min(good, bad) > 1e-6 * std::max(good, bad)) {
      const Acceleration middle = (good + bad) / 2.0;
      (holds(middle) ? good : bad) = middle;
    }
    return good;
  };
  constexpr double step = 1.07;
  constexpr double finest = 1e-6;  // of `most`: below it an axis does not move in practice
  std::optional<SafeAccelerations> widest;
  const auto keep = [&](const SafeAccelerations& range) {
    if (!widest || range.upper - range.lower > widest->upper - widest->lower) widest = range;
  };
  SafeAccelerations range{};
  bool inside = false;
  Acceleration last = most;
  for (Acceleration a = most; a >= finest * most; a = a / step) {
    const bool good = holds(a);
    if (good && !inside)
      range = {.upper = a < most ? edge(a, last) : a, .ends_at_most = !(a < most)};
    if (!good && inside) {
      range.lower = edge(last, a);
      keep(range);
    }
    inside = good;
    last = a;
  }
  if (inside) {
    range.lower = small_safe ? Acceleration{} : last;
    range.all_smaller_safe = small_safe;
    keep(range);
  }
  if (widest) {
    move.acceleration = widest->upper;
    widest->reached = swing_bound(swinging, move).reached_acceleration;
  }
  return widest;
}

}  // namespace pitchline::motion
