#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>

#include "pitchline/motion/elastic_mode.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motion {

/// Where in a move a torque is asked for.
enum class MovePhase { starting, speeding_up, running, slowing_down, stopped };

namespace detail {

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
  // What is left in all of `count` swings of which each is `seconds` older than the next, the
  // newest whole: a geometric sum, in a form that keeps its digits where next to nothing decays.
  [[nodiscard]] double sum_left(int count, double seconds) const {
    const double x = decay_ * seconds;
    return x > 0.0 ? std::expm1(-count * x) / std::expm1(-x) : count;
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
    double left = 1.0;  // then, of a swing that was there from the beginning
  };
  [[nodiscard]] Start of_start(double running_wind) const {
    Start start = released(running_wind);
    start.left = left_after(start.at);
    return start;
  }

  // The same without what is left.
  [[nodiscard]] Start released(double running_wind) const {
    const double wind = running_wind + breakaway_;
    // What broke away pulls the load on from the first moment: less is left for the acceleration.
    const double short_of = a_ - breakaway_;
    const double sudden = std::sqrt(short_of * short_of + 2.0 * a_ * wind);
    if (!(omega_ > 0.0)) return {sudden};  // nothing dies down: the moment does not matter
    // Travel of the reference at which the spring pulls with `wind`: ω² s = wind.
    const double travel = wind / (omega_ * omega_);
    if (!(jerk_time_ > 0.0)) return {.swing = sudden, .at = std::sqrt(2.0 * travel / a_)};
    const double jerk = a_ / jerk_time_;
    const double t = std::cbrt(6.0 * travel / jerk);
    if (t > jerk_time_) {
      // Past the build-up: s = a ((t − t_j/2)²/2 + t_j²/24).
      const double since = std::sqrt(2.0 * travel / a_ - jerk_time_ * jerk_time_ / 12.0);
      return {.swing = std::min(sudden, std::hypot(short_of, omega_ * a_ * since)),
              .at = since + jerk_time_ / 2.0};
    }
    // Swing about a rising middle, then the corner where the build-up ends.
    const double speed = jerk * t * t / 2.0;
    const double rising = std::hypot(jerk * t - breakaway_, omega_ * speed - jerk / omega_);
    return {.swing = std::min(sudden, rising + jerk / omega_), .at = t};
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

// A moment of a move: speed of the load in m/s, force over the mass that moves in m/s², gravity
// left out.
struct PlainMoment {
  MovePhase phase{};
  double speed = 0.0;
  double force = 0.0;
};

// The moments of moves of one top speed, each of one cruise, in plain numbers.
class MoveMoments {
 public:
  MoveMoments(const Swing& swing, double top, double cruise)
      : swing_(swing),
        top_(top),
        cruise_(cruise),
        ramp_(top / swing.acceleration()),
        over_ramp_(swing.left_after(ramp_)),
        over_cruise_(cruise > 0.0 ? swing.left_after(cruise) : 1.0) {}

  // What is left of all swings when the last of `count` moves begins, `dwell` between two. Each
  // leaves a part of what it found and adds its own, so the sum of them all is a geometric one.
  [[nodiscard]] double found_by_last(int count, double dwell) const {
    if (count <= 1) return 0.0;
    const double between = 2.0 * ramp_ + cruise_ + dwell;
    const double rested = swing_.left_after(dwell);
    return left_by(0.0, 1.0) * rested * swing_.left_after((count - 2) * between) +
           left_by(0.0, 2.0) * rested * swing_.sum_left(count - 2, between);
  }

  // Calls `take` with every moment of one move that finds a swing of `before` and winds up to
  // `winds` times the friction before it starts.
  template <class Take>
  void visit(double before, double winds, Take&& take) const {
    const double a = swing_.acceleration();
    const double F = swing_.friction();
    const Swing::Start start = swing_.of_start(winds * F);
    take(PlainMoment{MovePhase::starting, 0.0, F + a + before + start.swing});
    each_part(ramp_, take, [&](double t, double left) {
      return PlainMoment{MovePhase::speeding_up, rising(t),
                         F + a + before * left + start.swing * left_of(start, t, left)};
    });
    // A smoothed ramp lasts the jerk time longer: it fades while the speed still rises.
    if (swing_.jerk_time() > 0.0) {
      each_part(swing_.jerk_time(), take, [&](double t, double left) {
        const double gone = over_ramp_ * left;
        return PlainMoment{MovePhase::speeding_up, rising(ramp_ + t),
                           F + swing_.of_fading(t) + before * gone +
                               start.swing * left_of(start, ramp_ + t, gone)};
      });
    }
    double ring =
        before * over_ramp_ + start.swing * left_of(start, ramp_, over_ramp_) + swing_.of_corner();
    // Of the cruise the first moment counts: later ones ask for less, at the same speed.
    take(PlainMoment{MovePhase::running, top_, F + ring});
    ring = ring * over_cruise_ + swing_.of_corner();
    each_part(ramp_, take, [&](double t, double left) {
      return PlainMoment{MovePhase::slowing_down, top_ - rising(t),
                         std::max(F - a, a) + ring * left};
    });
    ring = ring * over_ramp_ + swing_.of_corner();
    take(PlainMoment{MovePhase::stopped, 0.0, F + ring});
  }

 private:
  // The swing that one move leaves, with what it found.
  [[nodiscard]] double left_by(double before, double winds) const {
    const Swing::Start start = swing_.of_start(winds * swing_.friction());
    double ring = before * over_ramp_ + start.swing * swing_.left_after(ramp_ - start.at) +
                  swing_.of_corner();
    ring = ring * over_cruise_ + swing_.of_corner();
    return ring * over_ramp_ + swing_.of_corner();
  }

  // What is left of the swing of the start at a time: all of it until static friction lets go.
  // `left` is what is left of a swing that was there from the beginning.
  [[nodiscard]] double left_of(const Swing::Start& start, double t, double left) const {
    if (t <= start.at) return 1.0;
    // Not by dividing where the quotient is of two numbers that have run out.
    return left > 1e-280 && start.left > 1e-280 ? std::min(1.0, left / start.left)
                                                : swing_.left_after(t - start.at);
  }

  [[nodiscard]] double rising(double t) const {
    return top_ * speed_share(t, ramp_, swing_.jerk_time());
  }

  // The parts of a phase, each with its time and with what is left of a swing since it began.
  template <class Take, class Moment>
  void each_part(double length, Take&& take, Moment&& moment) const {
    const double step = swing_.left_after(length / moments_in_a_phase);
    double left = 1.0;
    for (int i = 0; i <= moments_in_a_phase; ++i) {
      take(moment(length * i / moments_in_a_phase, left));
      left *= step;
    }
  }

  const Swing& swing_;
  double top_;
  double cruise_;
  double ramp_;
  double over_ramp_;    // left of a swing after a ramp
  double over_cruise_;  // and after the cruise
};

}  // namespace detail

}  // namespace pitchline::motion
