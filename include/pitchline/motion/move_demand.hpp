#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <concepts>
#include <numbers>
#include <optional>
#include <utility>
#include <vector>

#include "pitchline/motion/detail/swing_of_move.hpp"
#include "pitchline/motion/elastic_mode.hpp"
#include "pitchline/motion/start_acceleration.hpp"

namespace pitchline::motion {

/// A move as it will really run: from rest to rest, once or several times in a row.
struct RunningMove {
  Speed speed = unset<Speed>();                       ///< wanted, > 0
  Acceleration acceleration = unset<Acceleration>();  ///< of both ramps, ≥ 0
  /// Length of the move. Unset: any length, and the least favourable one decides.
  Length stroke = unset<Length>();
  Time jerk_time{};       ///< time over which the acceleration builds up, ≥ 0
  int in_succession = 1;  ///< moves one after the other, there and back or onward, ≥ 1
  Time dwell{};           ///< rest between two of them, at least, ≥ 0
};

inline const char* in_words(MovePhase phase) {
  constexpr std::array words = {"at the start", "while speeding up", "at full speed",
                                "while slowing down", "on stopping"};
  return words.at(static_cast<std::size_t>(phase));
}

/// Torque that a move asks of its motor at one moment, with the speed it has there.
struct MomentaryDemand {
  MovePhase phase{};
  Speed speed{};    ///< of the load
  Force force{};    ///< at the load, as the motor feels it: losses of the drive included
  Torque torque{};  ///< at the motor
};

/// Refuses a field outside its range.
///
/// \throws InvalidInput  such a field, or one never set but for the stroke
inline void require_valid(const RunningMove& move) {
  require_positive("speed", move.speed);
  require_not_negative("acceleration", move.acceleration);
  if (!is_unset(move.stroke)) require_positive("stroke", move.stroke, shown::metres);
  require_not_negative("jerk time", move.jerk_time);
  require_at_least("moves in succession", move.in_succession, 1);
  require_not_negative("dwell", move.dwell);
}

namespace detail {

// From plain numbers back to what a motor feels.
struct DemandScale {
  Mass mass{};
  Force gravity{};
  Transmission transmission{};

  [[nodiscard]] MomentaryDemand demand(const PlainMoment& at) const {
    const Force force = gravity + mass * metres_per_second_squared(at.force);
    return {at.phase, metres_per_second(at.speed), force, force * transmission};
  }
};

inline DemandScale demand_scale(const AxisAtMotor& axis) {
  require_valid(axis);
  const Mass mass = accelerated_mass(axis);
  // Nothing that moves: what friction and gravity ask is counted of a kilogram that is not there.
  return {mass > kilograms(0) ? mass : kilograms(1), axis.gravity / axis.efficiency.value(),
          axis.transmission};
}

// Calls `take` with every moment of the moves, in their order.
template <class Take>
void each_moment(const AxisAtMotor& axis, const std::optional<ElasticMode>& mode,
                 const RunningMove& move, Take&& take) {
  const DemandScale scale = demand_scale(axis);
  if (mode) require_valid(*mode);
  require_valid(move);
  const double efficiency = axis.efficiency.value();
  const Acceleration friction = axis.friction / efficiency / scale.mass;
  const double v = in_metres_per_second(move.speed);
  if (!(move.acceleration > metres_per_second_squared(0)) ||
      !(accelerated_mass(axis) > kilograms(0))) {
    take(PlainMoment{MovePhase::running, v, in_metres_per_second_squared(friction)});
    return;
  }
  const Swing swing(mode, move.acceleration, move.jerk_time, friction,
                    axis.breakaway / efficiency / scale.mass);
  const double winds = move.in_succession > 1 ? 2.0 : 1.0;
  const auto visit = [&](double top, double cruise) {
    const MoveMoments moments(swing, top, cruise);
    moments.visit(moments.found_by_last(move.in_succession, in_seconds(move.dwell)), winds, take);
  };
  const double a = swing.acceleration();
  if (!is_unset(move.stroke)) {
    const double s = in_metres(move.stroke);
    const double top = std::min(v, std::sqrt(s * a));
    visit(top, std::max(0.0, s / top - top / a));
    return;
  }
  // Without cruise nothing dies down between the ramps; a shorter stroke leaves less time for it
  // and turns round at a lower speed. Below ramps of 2/ω a move is shorter than 4 M a stretches
  // the spring, and cannot leave such a swing.
  constexpr int strokes = 8;
  const double shortest = std::clamp(swing.ramp_of_short_moves() * a / v, 1e-3, 1.0);
  const double shorter = std::pow(shortest, 1.0 / (strokes - 1.0));
  double top = v;
  for (int i = 0; i < strokes; ++i, top *= shorter) visit(top, 0.0);
}

}  // namespace detail

/// The torque that a move asks for at its decisive moments, with every swing of the load at its
/// worst, in the order of the move; of several moves in a row the last, which is the worst.
///
/// A corner of the move (acceleration on or off) sets the load swinging on its belt with the
/// amplitude M a, or less where the acceleration builds up over a jerk time; the amplitudes of all
/// corners so far add, each decayed since. What is asked is
///
///     starting, speeding up   G + F + M a + swing         running   G + F + swing
///     its acceleration fading G + F + min(M a, M a (1 − t/t_j + 1/(ω t_j))) + swing
///     slowing down            G + max(F − M a, M a) + swing
///     stopped                 G + F + swing
///
///     swing  Σ_k A_k exp(−ζ ω (t − t_k)),  A_k = M a S(ω t_j/2),  S(x) = sin x/x, 1/x from π/2 on
///     A_1    √((M a − B)² + 2 M a W) at a start at once: while friction holds the load, the belt
///            winds up to W = F + B, or 2 F + B after another move
///
///     M  accelerated_mass   kg     everything that moves, counted behind the belt
///     F  friction           N      ≥ 0, over the efficiency; not credited where it helps to brake
///     B  breakaway          N      ≥ 0, over the efficiency
///     G  gravity            N      ≥ 0, over the efficiency; of the less favourable direction
///     a  acceleration       m/s²   ≥ 0
///     ω  2π natural_frequency  rad/s  lowest over the travel; without a mode nothing is counted as
///                                  dying down, nor as softened by a jerk time
///     ζ  damping_ratio      –      [0, 1)
///     t_j  jerk_time        s      ≥ 0
///
/// Adding amplitudes takes every corner at the worst phase: nobody knows ω of a real machine well
/// enough to count on swings that cancel. For the same reason a stroke that is not given is the
/// worst of all that fit. For a single start without damping this is `soft_belt_peak_torque`.
/// Leaves out the second, higher mode, whose part of the moved inertia is counted in the first.
///
/// \throws InvalidInput  a number outside the table, or never set; speed or stroke not above zero;
///                       fewer than one move
///
/// Source: derived, superposition of the steps of a linear oscillator; the start from the energy of
/// the load on its spring, as in `soft_belt_acceleration`. Checked against integration in time.
inline std::vector<MomentaryDemand> move_demand(const AxisAtMotor& axis,
                                                const std::optional<ElasticMode>& mode,
                                                const RunningMove& move) {
  std::vector<MomentaryDemand> moments{};
  const detail::DemandScale scale = detail::demand_scale(axis);
  detail::each_moment(axis, mode, move,
                      [&](const detail::PlainMoment& at) { moments.push_back(scale.demand(at)); });
  return moments;
}

/// Largest torque that a move asks for, and where; `move_demand` without a torque curve.
inline MomentaryDemand largest_demand(const AxisAtMotor& axis,
                                      const std::optional<ElasticMode>& mode,
                                      const RunningMove& move) {
  std::optional<detail::PlainMoment> largest{};
  detail::each_moment(axis, mode, move, [&](const detail::PlainMoment& at) {
    if (!largest || at.force > largest->force) largest = at;
  });
  return detail::demand_scale(axis).demand(*largest);
}

/// The moment of a move at which the torque that the motor has is least over the torque asked.
struct TightestMoment {
  MomentaryDemand demand{};
  Torque available{};  ///< at the speed of that moment
  double margin = 0;   ///< available over asked; infinite where nothing is asked
};

/// Both the largest demand of a move and its tightest moment.
struct LargestAndTightest {
  MomentaryDemand largest{};
  TightestMoment tightest{};
};

/// Finds both in one pass; `available` gives the torque that the motor has at a speed of the load.
///
/// \throws InvalidInput  as `move_demand`
template <std::invocable<Speed> Available>
LargestAndTightest largest_and_tightest(const AxisAtMotor& axis,
                                        const std::optional<ElasticMode>& mode,
                                        const RunningMove& move, Available&& available) {
  const detail::DemandScale scale = detail::demand_scale(axis);
  LargestAndTightest both{};
  bool first = true;
  detail::each_moment(axis, mode, move, [&](const detail::PlainMoment& at) {
    const MomentaryDemand demand = scale.demand(at);
    const Torque has = available(demand.speed);
    const double margin = demand.torque > Torque{} ? number(has / demand.torque)
                                                   : std::numeric_limits<double>::infinity();
    if (first || demand.torque > both.largest.torque) both.largest = demand;
    if (first || margin < both.tightest.margin) both.tightest = {demand, has, margin};
    first = false;
  });
  return both;
}

/// Finds the tightest moment; `available` gives the torque that the motor has at a speed of the
/// load.
///
/// \throws InvalidInput  as `move_demand`
template <std::invocable<Speed> Available>
TightestMoment tightest_moment(const AxisAtMotor& axis, const std::optional<ElasticMode>& mode,
                               const RunningMove& move, Available&& available) {
  return largest_and_tightest(axis, mode, move, std::forward<Available>(available)).tightest;
}

/// The largest acceleration that holds between one that does and one that does not, halved to a
/// part in a million.
template <std::predicate<Acceleration> Holds>
Acceleration halved_between(Acceleration good, Acceleration bad, Holds&& holds) {
  while (bad - good > 1e-6 * bad) {
    const Acceleration middle = (good + bad) / 2.0;
    (holds(middle) ? good : bad) = middle;
  }
  return good;
}

/// Largest acceleration that satisfies a condition which all smaller ones satisfy too: the first
/// failure on a scan upward, then halved to a part in a million. Zero where even the smallest
/// scanned fails; `most` where none does.
template <std::predicate<Acceleration> Holds>
Acceleration largest_holding(Acceleration most, Holds&& holds) {
  constexpr double finest = 1e-6;  // of `most`: below it an axis does not move in practice
  constexpr double growth = 1.25;
  Acceleration good{};
  auto bad = unset<Acceleration>();
  for (Acceleration a = finest * most; is_unset(bad);
       a = std::min(most, Acceleration(growth * a))) {
    if (!holds(a)) {
      bad = a;
    } else {
      good = a;
      if (!(a < most)) return most;
    }
  }
  if (!(good > Acceleration{})) return good;
  return halved_between(good, bad, holds);
}

}  // namespace pitchline::motion
