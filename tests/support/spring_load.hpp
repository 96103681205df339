#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

namespace pitchline::testing {

/// A mass on a damped spring with sticking friction, in SI numbers: an independent model to hold
/// against what the headers derive.
struct SpringLoad {
  double mass = 1.0;
  double frequency = 20.0;  ///< Hz
  double damping_ratio = 0.0;
  double friction = 0.0;   ///< N, while it moves
  double breakaway = 0.0;  ///< N, beyond that until it moves
};

/// Rest-to-rest move: a symmetric trapezoid of speed, smoothed by a box of `jerk_time`.
struct SmoothedMove {
  double top = 0.0;
  double acceleration = 0.0;
  double stroke = 0.0;
  double jerk_time = 0.0;

  [[nodiscard]] double ramp() const { return top / acceleration; }
  [[nodiscard]] double duration() const { return stroke / top + ramp() + jerk_time; }
  [[nodiscard]] double plain_speed(double t) const {
    const double end = stroke / top + ramp();
    return std::clamp(std::min(acceleration * t, acceleration * (end - t)), 0.0, top);
  }
  [[nodiscard]] double plain_place(double t) const {
    const double r = ramp();
    const double c = stroke / top - r;
    if (t <= 0.0) return 0.0;
    if (t < r) return acceleration * t * t / 2.0;
    if (t < r + c) return top * (t - r / 2.0);
    const double left = std::max(0.0, 2.0 * r + c - t);
    return stroke - acceleration * left * left / 2.0;
  }
  // The speed of a box-filtered move is a difference of places.
  [[nodiscard]] double speed(double t) const {
    if (jerk_time <= 0.0) return plain_speed(t);
    return (plain_place(t) - plain_place(t - jerk_time)) / jerk_time;
  }
};

/// Integrates `count` moves to and fro with rests between them and finds the least of
/// `available(speed of the reference)` over the force in the spring.
template <class Available>
double least_margin_in_time(const SpringLoad& load, const SmoothedMove& move, int count,
                            double dwell, Available&& available) {
  const double omega = 2.0 * std::numbers::pi * load.frequency;
  const double k = load.mass * omega * omega;
  const double c = 2.0 * load.damping_ratio * load.mass * omega;
  const double step = 1.0 / (load.frequency * 600.0);
  double stretch = 0.0;  // reference minus load
  double v = 0.0;        // of the load
  bool sticks = true;
  double least = 1e300;
  for (int n = 0; n < count; ++n) {
    const double sense = n % 2 == 0 ? 1.0 : -1.0;
    // After the last move the swing that is left at rest is looked at for two periods.
    const double rest = n + 1 == count ? 2.0 / load.frequency : dwell;
    const double end = move.duration() + rest;
    for (double t = 0.0; t < end; t += step) {
      const auto reference = [&](double at) {
        return at < move.duration() ? sense * move.speed(at) : 0.0;
      };
      const double u = reference(t + step / 2.0);
      const double spring = k * stretch + c * (u - v);
      least = std::min(least, available(std::fabs(u)) / std::max(1e-12, std::fabs(spring)));
      if (sticks && std::fabs(spring) > load.friction + load.breakaway) sticks = false;
      if (sticks) {
        stretch += u * step;
        v = 0.0;
        continue;
      }
      const double direction = v != 0.0 ? (v > 0.0 ? 1.0 : -1.0) : (spring > 0.0 ? 1.0 : -1.0);
      // Midpoint rule.
      const auto force = [&](double s, double w) {
        return (k * s + c * (u - w) - direction * load.friction) / load.mass;
      };
      const double v_half = v + force(stretch, v) * step / 2.0;
      const double s_half = stretch + (u - v) * step / 2.0;
      const double v_next = v + force(s_half, v_half) * step;
      stretch += (u - v_half) * step;
      if (load.friction > 0.0 && v != 0.0 && v_next * v < 0.0) {
        v = 0.0;
        sticks = std::fabs(k * stretch + c * u) <= load.friction + load.breakaway;
      } else {
        v = v_next;
      }
    }
  }
  return least;
}

}  // namespace pitchline::testing
