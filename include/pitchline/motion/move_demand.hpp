#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <concepts>
#include <numbers>
#include <optional>
#include <vector>

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

/// Where in a move a torque is asked for.
enum class MovePhase { starting, speeding_up, running, slowing_down, stopped };

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

namespace detail {

inline void require_valid(const RunningMove& move) {
  if (!(move.speed > metres_per_second(0)) || !is_finite(move.speed))
    throw InvalidInput("speed", "> 0", in_metres_per_second(move.speed), "m/s");
  if (!(move.acceleration >= metres_per_second_squared(0)) || !is_finite(move.acceleration))
    throw InvalidInput("acceleration", ">= 0", in_metres_per_second_squared(move.acceleration),
                       "m/s^2");
  if (!is_unset(move.stroke) && (!(move.stroke > metres(0)) || !is_finite(move.stroke)))
    throw InvalidInput("stroke", "> 0", in_metres(move.stroke), "m");
  if (!(move.jerk_time >= seconds(0)) || !is_finite(move.jerk_time))
    throw InvalidInput("jerk time", ">= 0", in_seconds(move.jerk_time), "s");
  if (!(move.in_succession >= 1))
    throw InvalidInput("moves in succession", ">= 1", move.in_succession, "");
  if (!(move.dwell >= seconds(0)) || !is_finite(move.dwell))
    throw InvalidInput("dwell", ">= 0", in_seconds(move.dwell), "s");
}

// The swing in plain numbers: everything below is a force over the mass that moves, in m/s².
class Swing {
 public:
  Swing(const std::optional<ElasticMode>& mode, Acceleration acceleration, Time jerk_time,
        Acceleration friction, Acceleration breakaway)
      : omega_(mode ? 2.0 * std::numbers::pi * in_hertz(mode->natural_frequency) : 0.0),
        decay_(mode ? mode->damping_ratio.value() * omega_ : 0.0),
        a_(in_metres_per_second_squared(acceleration)),
        jerk_time_(in_seconds(jerk_time)),
        friction_(in_metres_per_second_squared(friction)),
        breakaway_(in_metres_per_second_squared(breakaway)) {}

  // What is left of a swing after a time.
  [[nodiscard]] double left_after(double seconds) const {
    return std::exp(-decay_ * std::max(0.0, seconds));
  }

  // Amplitude that one corner of the move adds: a step of acceleration smoothed over the jerk time,
  // a |sin x / x| with x = ω t_j / 2; its envelope, since nobody knows ω well enough for the zeros.
  [[nodiscard]] double of_corner() const {
    const double x = omega_ * jerk_time_ / 2.0;
    if (x <= 0.0) return a_;
    return x < std::numbers::pi / 2.0 ? a_ * std::sin(x) / x : a_ / x;
  }

  // Force over mass in the spring while the acceleration dies away over the jerk time, `seconds`
  // after that has begun. The answer to a(t) = a (1 - t/t_j) is a(t) + a sin(w t)/(w t_j), and for
  // sin x <= x no more than a.
  [[nodiscard]] double of_fading(double seconds) const {
    if (!(omega_ > 0.0) || !(jerk_time_ > 0.0)) return a_;
    return a_ * std::min(1.0, 1.0 - seconds / jerk_time_ + 1.0 / (omega_ * jerk_time_));
  }

  // The swing that a start leaves once static friction has let go, and when that is. `wind` is the
  // force that the spring takes up before, without what breaks away at once.
  struct Start {
    double swing = 0.0;
    double at = 0.0;
  };
  [[nodiscard]] Start of_start(double running_wind) const {
    const double wind = running_wind + breakaway_;
    // What broke away pulls the load on from the first moment: less is left for the acceleration.
    const double short_of = a_ - breakaway_;
    const double sudden = std::sqrt(short_of * short_of + 2.0 * a_ * wind);
    if (!(omega_ > 0.0)) return {sudden, 0.0};  // nothing dies down: the moment does not matter
    // Travel of the reference at which the spring pulls with `wind`: ω² s = wind.
    const double travel = wind / (omega_ * omega_);
    if (!(jerk_time_ > 0.0)) return {sudden, std::sqrt(2.0 * travel / a_)};
    const double jerk = a_ / jerk_time_;
    const double t = std::cbrt(6.0 * travel / jerk);
    if (t > jerk_time_) {
      // Past the build-up: s = a ((t − t_j/2)²/2 + t_j²/24).
      const double since = std::sqrt(2.0 * travel / a_ - jerk_time_ * jerk_time_ / 12.0);
      return {std::min(sudden, std::hypot(short_of, omega_ * a_ * since)),
              since + jerk_time_ / 2.0};
    }
    // Swing about a rising middle, then the corner where the build-up ends.
    const double speed = jerk * t * t / 2.0;
    const double rising = std::hypot(jerk * t - breakaway_, omega_ * speed - jerk / omega_);
    return {std::min(sudden, rising + jerk / omega_), t};
  }

  [[nodiscard]] double ramp_of_short_moves() const {
    return omega_ > 0.0 ? 2.0 / omega_ : std::numeric_limits<double>::infinity();
  }
  [[nodiscard]] double friction() const { return friction_; }
  [[nodiscard]] double acceleration() const { return a_; }
  [[nodiscard]] double jerk_time() const { return jerk_time_; }

 private:
  double omega_;
  double decay_;
  double a_;
  double jerk_time_;
  double friction_;
  double breakaway_;
};

// Moments looked at in one phase; the torque asked falls and the torque had falls with time, so the
// worst may lie inside. Eight times as many move the answer by four thousandths at most.
inline constexpr int moments_in_a_phase = 12;

// Part of a smoothed ramp's top speed reached after part `x` of its duration, the jerk time being
// part `j` of the unsmoothed ramp's duration.
inline double speed_share(double t, double ramp, double jerk_time) {
  if (!(jerk_time > 0.0)) return std::clamp(t / ramp, 0.0, 1.0);
  // A ramp of length `ramp` filtered by a box of length `jerk_time`.
  const auto area = [&](double x) {
    if (x <= 0.0) return 0.0;
    return x < ramp ? x * x / (2.0 * ramp) : x - ramp / 2.0;
  };
  return std::clamp((area(t) - area(t - jerk_time)) / jerk_time, 0.0, 1.0);
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
  detail::require_valid(axis);
  if (mode) detail::require_valid(*mode);
  detail::require_valid(move);
  const double efficiency = axis.efficiency.value();
  const Mass mass = accelerated_mass(axis);
  const Force gravity = axis.gravity / efficiency;
  const Force friction = axis.friction / efficiency;
  std::vector<MomentaryDemand> moments{};
  const auto add = [&](MovePhase phase, Speed speed, Force force) {
    moments.push_back({phase, speed, force, force * axis.transmission});
  };
  if (!(move.acceleration > metres_per_second_squared(0)) || !(mass > kilograms(0))) {
    add(MovePhase::running, move.speed, gravity + friction);
    return moments;
  }
  const detail::Swing swing(mode, move.acceleration, move.jerk_time, friction / mass,
                            axis.breakaway / efficiency / mass);

  // One move of a given top speed and cruise, its swings on top of `before`; what is left of all of
  // them when it ends comes back.
  const auto run = [&](double top, double cruise, double before, double wind, bool keep) {
    const double a = swing.acceleration();
    const double F = swing.friction();
    const double ramp = top / a;
    const auto demand = [&](MovePhase phase, double speed, double force) {
      if (keep)
        add(phase, metres_per_second(speed), gravity + mass * metres_per_second_squared(force));
    };
    const auto look_at = [&](MovePhase phase, double length, auto&& speed, auto&& force) {
      for (int i = 0; keep && i <= detail::moments_in_a_phase; ++i) {
        const double t = length * i / detail::moments_in_a_phase;
        demand(phase, speed(t), force(t));
      }
    };
    const auto rising = [&](double t) {
      return top * detail::speed_share(t, ramp, swing.jerk_time());
    };
    const detail::Swing::Start start = swing.of_start(wind);
    const auto first = [&](double t) {
      return before * swing.left_after(t) + start.swing * swing.left_after(t - start.at);
    };
    demand(MovePhase::starting, 0.0, F + a + first(0.0));
    look_at(MovePhase::speeding_up, ramp, rising, [&](double t) { return F + a + first(t); });
    // A smoothed ramp lasts the jerk time longer: it fades while the speed still rises.
    if (swing.jerk_time() > 0.0) {
      look_at(
          MovePhase::speeding_up, swing.jerk_time(), [&](double t) { return rising(ramp + t); },
          [&](double t) { return F + swing.of_fading(t) + first(ramp + t); });
    }
    double ring = first(ramp) + swing.of_corner();
    look_at(
        MovePhase::running, cruise, [&](double) { return top; },
        [&](double t) { return F + ring * swing.left_after(t); });
    ring = ring * swing.left_after(cruise) + swing.of_corner();
    look_at(
        MovePhase::slowing_down, ramp, [&](double t) { return top - rising(t); },
        [&](double t) { return std::max(F - a, a) + ring * swing.left_after(t); });
    ring = ring * swing.left_after(ramp) + swing.of_corner();
    demand(MovePhase::stopped, 0.0, F + ring);
    return ring;
  };
  const auto run_all = [&](double top, double cruise) {
    double left = 0.0;
    for (int n = 1; n <= move.in_succession; ++n) {
      const double wind = (n == 1 ? 1.0 : 2.0) * swing.friction();
      left = run(top, cruise, left, wind, n == move.in_succession);
      left *= swing.left_after(in_seconds(move.dwell));
    }
  };

  const double v = in_metres_per_second(move.speed);
  const double a = swing.acceleration();
  if (!is_unset(move.stroke)) {
    const double s = in_metres(move.stroke);
    const double top = std::min(v, std::sqrt(s * a));
    run_all(top, std::max(0.0, s / top - top / a));
  } else {
    // Without cruise nothing dies down between the ramps; a shorter stroke leaves less time for it
    // and turns round at a lower speed. Below ramps of 2/ω a move is shorter than 4 M a stretches
    // the spring, and cannot leave such a swing.
    constexpr int strokes = 8;
    const double shortest = std::clamp(swing.ramp_of_short_moves() * a / v, 1e-3, 1.0);
    for (int i = 0; i < strokes; ++i) run_all(v * std::pow(shortest, i / (strokes - 1.0)), 0.0);
  }
  return moments;
}

/// Largest torque that a move asks for, and where; `move_demand` without a torque curve.
inline MomentaryDemand largest_demand(const AxisAtMotor& axis,
                                      const std::optional<ElasticMode>& mode,
                                      const RunningMove& move) {
  const auto moments = move_demand(axis, mode, move);
  return *std::max_element(moments.begin(), moments.end(),
                           [](const auto& x, const auto& y) { return x.torque < y.torque; });
}

/// The moment of a move at which the torque that the motor has is least over the torque asked.
struct TightestMoment {
  MomentaryDemand demand{};
  Torque available{};  ///< at the speed of that moment
  double margin = 0;   ///< available over asked; infinite where nothing is asked
};

/// Finds the tightest moment; `available` gives the torque that the motor has at a speed of the
/// load.
///
/// \throws InvalidInput  as `move_demand`
template <std::invocable<Speed> Available>
TightestMoment tightest_moment(const AxisAtMotor& axis, const std::optional<ElasticMode>& mode,
                               const RunningMove& move, Available&& available) {
  std::optional<TightestMoment> tightest{};
  for (const MomentaryDemand& demand : move_demand(axis, mode, move)) {
    const Torque has = available(demand.speed);
    const double margin = demand.torque > Torque{} ? number(has / demand.torque)
                                                   : std::numeric_limits<double>::infinity();
    if (!tightest || margin < tightest->margin) tightest = TightestMoment{demand, has, margin};
  }
  return *tightest;
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
  while (bad - good > 1e-6 * bad) {
    const Acceleration middle = (good + bad) / 2.0;
    (holds(middle) ? good : bad) = middle;
  }
  return good;
}

}  // namespace pitchline::motion
