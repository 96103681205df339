#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <string>

#include "pitchline/motion/detail/swing_rule.hpp"
#include "support/chance.hpp"
#include "support/sticking_load.hpp"

namespace pitchline::testing {

/// A run of moves and the load that it meets, to be held against the rule: mass, nominal stiffness
/// and acceleration are 1, so that nothing else is left to vary.
struct Attack {
  double friction = 0.0;
  double breakaway = 0.0;
  double top = 1.0;
  double jerk_time = 0.0;
  double cruise = 0.0;
  double dwell = 0.0;
  int moves = 1;
  bool onward = false;
  bool wound = false;
  double stiffness = 1.0;
  double zeta = 0.01;
};

inline motion::detail::SwingCase swing_case(const Attack& x) {
  motion::detail::SwingCase c{};
  c.omega_low = std::sqrt(0.6);
  c.omega_high = std::sqrt(1.6);
  c.zeta_low = 0.005;
  c.zeta_high = 0.05;
  c.friction = c.credited_friction = x.friction;
  c.breakaway = x.breakaway;
  c.acceleration = 1.0;
  c.jerk_time = x.jerk_time;
  c.trapezoid_top = x.top;
  c.top = motion::detail::smoothed_top(x.top, 1.0, x.cruise, x.jerk_time);
  c.credited_top = c.top;
  c.cruise = x.cruise;
  c.dwell = x.dwell;
  c.moves = x.moves;
  c.wound = x.wound;
  return c;
}

inline double periods_of(const Attack& x) {
  const double one = 2.0 * x.top + x.cruise + x.jerk_time + x.dwell;
  return std::sqrt(x.stiffness) / 6.2831853 * one * x.moves;
}

struct AttackOutcome {
  /// Integrated force over the largest bound at that speed or a higher one, both without what
  /// static friction holds, which would hide how near they come.
  double ratio = 0.0;
  double whole = 0.0;  ///< the same with the friction
  double force = 0.0;
  double speed = 0.0;
};

/// Integrates the run and holds each force against what the rule had counted at that speed of the
/// command or a higher one: what a motor whose torque falls with speed is asked for.
inline AttackOutcome outcome_of(const Attack& x, int steps_per_period = 40) {
  const motion::detail::SwingCase c = swing_case(x);
  const auto t = motion::detail::swing_terms(c);
  const auto peaks = motion::detail::swing_peaks(c, t, motion::detail::last_swing(c, t));
  std::array<motion::detail::SwingPeak, motion::detail::SwingPeaks::most> stair{};
  std::size_t n = 0;
  for (const auto& peak : peaks) {
    stair[n] = peak;
    ++n;
  }
  std::sort(stair.begin(), stair.begin() + static_cast<std::ptrdiff_t>(n),
            [](const auto& p, const auto& q) { return p.speed > q.speed; });
  for (std::size_t i = 1; i < n; ++i) stair[i].force = std::max(stair[i].force, stair[i - 1].force);
  AttackOutcome worst{};
  const double least = stair[0].force;
  const double held = x.friction + x.breakaway;
  const auto see = [&](double speed, double force) {
    if (force <= 1.001 * held) return;
    // The last step of the stair at this speed or above it.
    const auto* const past =
        std::partition_point(stair.begin(), stair.begin() + n,
                             [&](const auto& p) { return p.speed >= speed * (1.0 - 1e-12); });
    const double bound = past == stair.begin() ? least : (past - 1)->force;
    const double base = bound > 1.001 * held ? held : 0.0;
    const double ratio = (force - base) / (bound - base);
    if (ratio > worst.ratio) worst = {ratio, force / bound, force, speed};
  };
  const StickingLoad load{.omega = std::sqrt(x.stiffness),
                          .zeta = x.zeta,
                          .friction = x.friction,
                          .breakaway = x.breakaway,
                          .wound = x.wound ? -(x.friction + x.breakaway) * (1.0 - 1e-9) : 0.0};
  const RunOfMoves run{.top = x.top,
                       .acceleration = 1.0,
                       .jerk_time = x.jerk_time,
                       .cruise = x.cruise,
                       .dwell = x.dwell,
                       .moves = x.moves,
                       .onward = x.onward};
  run_sticking_load(load, run, steps_per_period, see);
  return worst;
}

inline std::string in_words(const Attack& x) {
  return fmt::format(
      "F {:.6g} B {:.6g} v {:.6g} t_j {:.6g} t_c {:.6g} dwell {:.6g} moves {} {}{} k {:.5g} "
      "zeta {:.4g}",
      x.friction, x.breakaway, x.top, x.jerk_time, x.cruise, x.dwell, x.moves,
      x.onward ? "onward" : "to and fro", x.wound ? " wound" : "", x.stiffness, x.zeta);
}

/// Draws and bends attacks.
class Attacker {
 public:
  double most_breakaway = 10.0;  ///< of the friction
  double least_friction = 0.02;  ///< of M a, where there is any
  bool overlap = false;          ///< also ramps of which one begins before the other ends

  explicit Attacker(std::uint32_t seed) : chance_(seed) {}

  Attack draw() {
    Attack x{};
    x.friction = maybe(0.1, 0.02, 50.0);
    x.breakaway = maybe(0.3, 0.003, 100.0);
    x.top = log_between(0.05, 60.0);
    x.jerk_time = maybe(0.4, 0.1, 80.0);
    x.cruise = overlap ? maybe(0.4, 0.05, 100.0) : x.jerk_time + maybe(0.4, 0.05, 100.0);
    x.dwell = maybe(0.4, 0.01, 30.0);
    x.moves = chance_.between(0, 1) < 0.3 ? 1 : static_cast<int>(log_between(2.0, 12.99));
    x.onward = chance_.between(0, 1) < 0.5;
    x.wound = chance_.between(0, 1) < 0.2;
    x.stiffness = within(chance_.between(0.4, 1.8), 0.6, 1.6);
    x.zeta = chance_.between(0, 1) < 0.6 ? 0.005 : log_between(0.005, 0.05);
    return fit(x);
  }
  Attack bend(Attack x, double size) {
    const auto shift = [&](double& value) {
      if (chance_.between(0, 1) < 0.5) value *= std::exp(size * chance_.normal());
    };
    shift(x.friction);
    shift(x.breakaway);
    shift(x.top);
    double left = overlap ? x.cruise : x.cruise - x.jerk_time;
    shift(x.jerk_time);
    shift(left);
    x.cruise = overlap ? left : x.jerk_time + left;
    shift(x.dwell);
    shift(x.stiffness);
    if (chance_.between(0, 1) < 0.3) shift(x.zeta);
    if (chance_.between(0, 1) < 0.1) x.onward = !x.onward;
    if (chance_.between(0, 1) < 0.1) x.moves += chance_.between(0, 1) < 0.5 ? 1 : -1;
    if (chance_.between(0, 1) < 0.05) x.cruise = overlap ? 0.0 : x.jerk_time;
    if (chance_.between(0, 1) < 0.05) x.dwell = 0.0;
    return fit(x);
  }
  /// The worst that is found in so many evaluations: half drawn, half climbed from the worst drawn.
  template <class Report>
  void search(long evaluations, Report&& report) {
    constexpr int drawn = 60;
    constexpr int climbed = 100;
    for (long done = 0; done < evaluations;) {
      Attack best{};
      double ratio = 0.0;
      for (int i = 0; i < drawn; ++i, ++done) keep(draw(), best, ratio, report);
      double size = 0.3;
      for (int i = 0; i < climbed; ++i, ++done) {
        if (!keep(bend(best, size), best, ratio, report)) size = std::max(0.002, size * 0.96);
      }
    }
  }

 private:
  template <class Report>
  bool keep(const Attack& x, Attack& best, double& ratio, Report&& report) {
    if (periods_of(x) > 400.0) return false;
    const double found = outcome_of(x).ratio;
    if (!(found > ratio)) return false;
    ratio = found;
    best = x;
    report(x, found);
    return true;
  }
  static double within(double x, double low, double high) { return std::clamp(x, low, high); }
  Attack fit(Attack x) {
    x.stiffness = within(x.stiffness, 0.6, 1.6);
    x.zeta = within(x.zeta, 0.005, 0.05);
    x.moves = std::clamp(x.moves, 1, 20);
    x.friction = std::min(x.friction, 100.0);
    x.breakaway = std::min(x.breakaway, 200.0);
    x.breakaway = std::min(x.breakaway, most_breakaway * x.friction);
    x.top = std::max(x.top, 0.02);
    if (x.friction > 0.0) x.friction = std::max(x.friction, least_friction);
    // A stroke that never gets the load going shows nothing.
    const double pull = 0.8 * x.stiffness * x.top * (x.top + x.cruise);
    if (const double held = x.friction + x.breakaway; held > pull) {
      x.friction *= pull / held;
      x.breakaway *= pull / held;
    }
    return x;
  }
  double log_between(double low, double high) {
    return std::exp(chance_.between(std::log(low), std::log(high)));
  }
  double maybe(double zero, double low, double high) {
    return chance_.between(0, 1) < zero ? 0.0 : log_between(low, high);
  }

  Chance chance_;
};

}  // namespace pitchline::testing
