#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <optional>
#include <vector>

#include "pitchline/motor/detail/half_turn.hpp"
#include "pitchline/motor/loss_free_torque.hpp"
#include "pitchline/motor/winding.hpp"

namespace pitchline::motor {

/// How fast the current of a driver follows below its voltage limit: L over the gain in volts per
/// ampere. The 5 µs are those of the tables in reference/published/ that were made by simulation;
/// no source beside them.
inline constexpr Time usual_current_time_constant = seconds(5e-6);

/// A motor that turns evenly in step at one speed, behind a driver that puts a voltage in
/// proportion to the missing current on each phase, up to its limit: the field leads the rotor by
/// the load angle, the current lags behind its command.
///
///     L i' = u − R i + K ω sin θ,   u = (L/τ)(I cos(θ + δ) − i) within ±V,   T = 2 ⟨−K i sin θ⟩
///
///     K, R, L, N, I, V  winding               V its limit of each phase by itself: fully at the
///                                             limit the fundamental is 4/π of it
///     τ   current time constant   s      > 0
///     ω   speed, of the shaft     rad/s  ≥ 0
///     θ   N times the angle of the rotor,  δ  load angle, electrical
///     T   mean torque of the field        N·m
///
/// The periodic current of a phase, found from stretches that are exact; the torque is right to
/// some 0.3 %. It counts the lag of the driver, which is there without load, and no losses of
/// iron and bearings.
///
/// Source: derived; checked against integration in time (tests/motor/steady_running.cpp).
class SteadyRunning {
 public:
  /// \throws InvalidInput  a number outside the table, or a field never set
  SteadyRunning(const DrivenWinding& winding, AngularSpeed speed,
                Time current_time_constant = usual_current_time_constant)
      : phase_((detail::require_valid(winding), require_not_negative("speed", speed),
                require_positive("current time constant", current_time_constant), winding),
               speed, current_time_constant) {
    // Uphill to the top of a coarse scale, from where the fundamental wave has its pull-out.
    std::array<double, coarse + 1> torque{};
    torque.fill(std::numeric_limits<double>::quiet_NaN());
    const auto at = [&](std::size_t n) {
      if (std::isnan(torque.at(n))) torque.at(n) = phase_.torque(angle_of(n));
      return torque.at(n);
    };
    const double guess = (phase_.fundamental_pull_out() - first) / step;
    auto best = static_cast<std::size_t>(std::clamp(std::round(guess), 1.0, coarse - 1.0));
    while (best < coarse && at(best + 1) > at(best)) ++best;
    while (best > 0 && at(best - 1) >= at(best)) --best;
    most_ = at(best);
    at_most_ = angle_of(best);
    if (best == 0 || best == coarse) return;
    // The top of the parabola through the three.
    const double bend = at(best - 1) - 2.0 * at(best) + at(best + 1);
    if (!(bend < 0.0)) return;
    const double aside = 0.5 * (at(best - 1) - at(best + 1)) / bend;
    const double top = at_most_ + aside * step;
    const double there = phase_.torque(top);
    if (there > most_) {
      most_ = there;
      at_most_ = top;
    }
  }

  /// Torque that the field makes at a load angle.
  [[nodiscard]] Torque torque(Angle load_angle) {
    return newton_metres(phase_.torque(in_radians(load_angle)));
  }
  /// The largest torque of any load angle: static pull-out.
  [[nodiscard]] Torque pull_out() const { return newton_metres(most_); }

  /// The load angle at which the field makes a torque; nothing above `pull_out`. The torque is
  /// taken as rising from a quarter turn before no load up to pull-out.
  ///
  /// \throws InvalidInput  torque not finite
  [[nodiscard]] std::optional<Angle> load_angle(Torque wanted) {
    if (!is_finite(wanted)) throw InvalidInput("torque", "finite", in_newton_metres(wanted), "N*m");
    const double torque = in_newton_metres(wanted);
    if (torque > most_) return std::nullopt;
    // What was asked before brackets what is asked now.
    if (rising_.empty()) rising_ = {{first, phase_.torque(first)}, {at_most_, most_}};
    if (!(rising_.front().torque < torque)) return std::nullopt;
    const auto above = std::lower_bound(rising_.begin(), rising_.end(), torque,
                                        [](const Known& k, double x) { return k.torque < x; });
    Known low = *(above - 1);
    Known high = *above;
    Known third = above + 1 < rising_.end() ? *(above + 1) : rising_.front();
    for (int n = 0; n < 60 && high.angle - low.angle > 1e-9; ++n) {
      // Bisection now and then, since the curve is flat at its top.
      const double middle =
          n % 4 == 3 ? 0.5 * (low.angle + high.angle) : angle_through(low, high, third, torque);
      const Known there{middle, phase_.torque(middle)};
      Known& replaced = there.torque < torque ? low : high;
      third = replaced;
      replaced = there;
      if (std::fabs(there.torque - torque) < 1e-8 * most_) break;
    }
    const Known& found = torque - low.torque < high.torque - torque ? low : high;
    keep(found);
    return radians(found.angle);
  }

 private:
  static constexpr double first = -std::numbers::pi / 2.0;
  static constexpr double step = std::numbers::pi / 24.0;  // 7.5 degrees
  static constexpr std::size_t coarse = 36;
  struct Known {
    double angle = 0.0, torque = 0.0;
  };
  // The angle at a torque between two known ones: by the parabola through them and a third, or by
  // the straight line between them where that leaves it.
  static double angle_through(const Known& low, const Known& high, const Known& third, double x) {
    const auto weight = [x](const Known& own, const Known& a, const Known& b) {
      return own.angle * ((x - a.torque) / (own.torque - a.torque)) *
             ((x - b.torque) / (own.torque - b.torque));
    };
    const double curved =
        weight(low, high, third) + weight(high, low, third) + weight(third, low, high);
    if (curved > low.angle && curved < high.angle) return curved;
    const double share = std::clamp((x - low.torque) / (high.torque - low.torque), 0.02, 0.98);
    return low.angle + share * (high.angle - low.angle);
  }
  // Kept in the order of both angle and torque.
  void keep(const Known& found) {
    const auto next = std::lower_bound(rising_.begin(), rising_.end(), found.torque,
                                       [](const Known& k, double x) { return k.torque < x; });
    if (next == rising_.begin() || next == rising_.end()) return;
    const Known& before = *(next - 1);
    if (before.angle < found.angle && found.angle < next->angle && found.torque < next->torque)
      rising_.insert(next, found);
  }
  static double angle_of(std::size_t n) { return first + step * static_cast<double>(n); }

  detail::HalfTurn phase_;
  double most_ = 0.0;
  double at_most_ = 0.0;
  std::vector<Known> rising_{};
};

}  // namespace pitchline::motor
