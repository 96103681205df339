#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <optional>
#include <vector>

#include "pitchline/motor/loss_free_torque.hpp"
#include "pitchline/motor/winding.hpp"

namespace pitchline::motor {

/// How fast the current of a driver follows below its voltage limit: L over the gain in volts per
/// ampere. The 5 µs are those of the tables in reference/published/ that were made by simulation;
/// no source beside them.
inline constexpr Time usual_current_time_constant = seconds(5e-6);

namespace detail {

// One phase over half a turn of the rotor's field, in plain SI numbers. At an electrical angle θ of
// the rotor the command is I cos(θ + δ), the voltage that the turning makes is −e sin θ.
class HalfTurn {
 public:
  HalfTurn(const DrivenWinding& w, AngularSpeed speed, Time current_time_constant)
      : K_(in_newton_metres_per_ampere(w.torque_constant)),
        R_(in_ohms(w.resistance)),
        L_(in_henries(w.inductance)),
        I_(in_amperes(w.amplitude)),
        V_(in_volts(w.voltage)),
        gain_(L_ / in_seconds(current_time_constant)),
        turning_(w.pole_pairs * in_radians_per_second(speed)),
        emf_(K_ * in_radians_per_second(speed)),
        driven_(over({0.0, -emf_}, R_, turning_ * L_)),
        fading_{R_ / L_ / turning_, (gain_ + R_) / L_ / turning_},
        faded_{std::exp(-fading_[0] * width), std::exp(-fading_[1] * width)} {}

  // Mean torque of both phases.
  [[nodiscard]] double torque(double load_angle) {
    sine_ = std::sin(load_angle);
    cosine_ = std::cos(load_angle);
    const double X = turning_ * L_;
    // Followed without limit: (gain + R + jX) i = gain i* − j e, with e^{jθ} left out.
    followed_ = over({gain_ * I_ * cosine_, gain_ * I_ * sine_ - emf_}, gain_ + R_, X);
    const double u_d = gain_ * (I_ * cosine_ - followed_.real);
    const double u_q = gain_ * (I_ * sine_ - followed_.imaginary);
    if (u_d * u_d + u_q * u_q <= V_ * V_ || !(turning_ > 0.0)) return K_ * followed_.imaginary;
    // The current turns over in half a turn: i(π) = −i(0). A start that is higher makes the end
    // higher by `kept_`, the share of it that has not died away, so that what is missing rises with
    // a slope of 1 to 2; with 1.5 for it no step makes what is missing larger than a third.
    for (int n = 0;; ++n) {
      const double missing = after_half_turn(start_) + start_;
      if (n == most_tries || std::fabs(missing) <= 1e-9 * I_) break;
      start_ -= missing / (n < most_tries / 2 ? 1.0 + kept_ : 1.5);
    }
    return 2.0 * K_ * charge_ / std::numbers::pi;
  }

  // Load angle of the largest torque, were the voltage limited as a vector: |u| = 4/π V. Where the
  // voltage gives less current than is commanded, u = (−X, R) |u|/Z and i* = i + u/κ with |i*| = I.
  [[nodiscard]] double fundamental_pull_out() const {
    const double X = turning_ * L_;
    const double Z = std::sqrt(R_ * R_ + X * X);
    const double voltage = 4.0 / std::numbers::pi * V_;
    const Wave u{-X / Z * voltage, R_ / Z * voltage};
    const Wave i = over({u.real, u.imaginary - emf_}, R_, X);
    const double along = i.real * u.real + i.imaginary * u.imaginary;
    const double missing = I_ * I_ - i.real * i.real - i.imaginary * i.imaginary;
    if (!(missing > 0.0)) return std::numbers::pi / 2.0;
    const double share =
        (std::sqrt(along * along + voltage * voltage * missing) - along) / (voltage * voltage);
    return std::atan2(i.imaginary + share * u.imaginary, i.real + share * u.real);
  }

 private:
  static constexpr std::size_t parts = 64;
  static constexpr int most_tries = 40;
  static constexpr double width = std::numbers::pi / parts;

  // A cosθ − B sinθ as A + jB.
  struct Wave {
    double real = 0.0, imaginary = 0.0;
    [[nodiscard]] double at(double cosine, double sine) const {
      return real * cosine - imaginary * sine;
    }
  };
  static Wave over(const Wave& w, double real, double imaginary) {
    const double square = real * real + imaginary * imaginary;
    return {(w.real * real + w.imaginary * imaginary) / square,
            (w.imaginary * real - w.real * imaginary) / square};
  }
  struct Place {
    double angle = 0.0, cosine = 1.0, sine = 0.0;
    static Place to(double angle) { return {angle, std::cos(angle), std::sin(angle)}; }
  };
  static const std::array<Place, parts + 1>& places() {
    static const std::array<Place, parts + 1> all = [] {
      std::array<Place, parts + 1> made;
      for (std::size_t n = 0; n <= parts; ++n)
        made.at(n) = Place::to(width * static_cast<double>(n));
      return made;
    }();
    return all;
  }

  // 0: in proportion; 1 and −1: at the limit.
  [[nodiscard]] int mode(double wanted) const { return wanted > V_ ? 1 : wanted < -V_ ? -1 : 0; }
  [[nodiscard]] double wanted(const Place& p, double i) const {
    return gain_ * (I_ * (p.cosine * cosine_ - p.sine * sine_) - i);
  }
  // What the current comes to in a mode once its start has died away.
  [[nodiscard]] double settled(int mode, const Place& p) const {
    return mode == 0 ? followed_.at(p.cosine, p.sine)
                     : mode * V_ / R_ + driven_.at(p.cosine, p.sine);
  }
  [[nodiscard]] std::size_t kind(int mode) const { return mode == 0 ? 1 : 0; }

  // A stretch in one mode: where it begins, and what of its current has to die away.
  struct Stretch {
    int mode = 0;
    Place from{};
    double current = 0.0, dying = 0.0;
  };
  [[nodiscard]] Stretch begun(int mode, const Place& from, double i) const {
    return {mode, from, i, i - settled(mode, from)};
  }
  // Goes on to a place, with the share of the current that has not died away by then. Weighs the
  // current with what makes torque, −sin θ, by the trapezoid rule.
  void go_on(Stretch& s, const Place& to, double then, double faded) {
    charge_ -= 0.5 * (s.current * s.from.sine + then * to.sine) * (to.angle - s.from.angle);
    kept_ *= faded;
    s.dying *= faded;
    s.from = to;
    s.current = then;
  }

  [[nodiscard]] double after_half_turn(double i) {
    charge_ = 0.0;
    kept_ = 1.0;
    const std::array<Place, parts + 1>& all = places();
    Stretch s = begun(mode(wanted(all[0], i)), all[0], i);
    for (std::size_t n = 1; n <= parts; ++n) {
      const Place& to = all[n];
      double faded = faded_[kind(s.mode)];
      // What happens within a part of a turn: rarely more than one change.
      for (int change = 0;; ++change) {
        const double then = settled(s.mode, to) + s.dying * faded;
        const int next = mode(wanted(to, then));
        if (next == s.mode || change == 3) {
          go_on(s, to, then, faded);
          if (next != s.mode) s = begun(next, to, then);
          break;
        }
        change_mode(s, next, to, then);
        if (!(s.from.angle < to.angle)) break;
        faded = std::exp(-fading_[kind(s.mode)] * (to.angle - s.from.angle));
      }
    }
    return s.current;
  }
  // Goes on to where the wanted voltage passes the limit, and changes the mode there. Newton's
  // steps from false position, halved where they leave what is known to hold the place.
  void change_mode(Stretch& s, int next, const Place& to, double then) {
    const double limit = (s.mode == 0 ? next : s.mode) * V_;
    const double fading = fading_[kind(s.mode)];
    const Wave& wave = s.mode == 0 ? followed_ : driven_;
    const double at_low = wanted(s.from, s.current) - limit;
    const double at_high = wanted(to, then) - limit;
    double low = s.from.angle;
    double high = to.angle;
    double angle = at_low == at_high
                       ? high
                       : low + std::clamp(at_low / (at_low - at_high), 0.0, 1.0) * (high - low);
    Place at = to;
    double current = then;
    double faded = 1.0;
    for (int n = 0; n < 8; ++n) {
      at = Place::to(angle);
      faded = std::exp(-fading * (angle - s.from.angle));
      current = settled(s.mode, at) + s.dying * faded;
      const double there = wanted(at, current) - limit;
      ((there > 0.0) == (at_low > 0.0) ? low : high) = angle;
      const double rise =
          gain_ * (-I_ * (at.sine * cosine_ + at.cosine * sine_) + wave.real * at.sine +
                   wave.imaginary * at.cosine + fading * s.dying * faded);
      double better = angle - there / rise;
      if (!(better >= low && better <= high)) better = 0.5 * (low + high);
      if (std::fabs(better - angle) < 1e-7 * width) break;
      angle = better;
    }
    go_on(s, at, current, faded);
    s = begun(s.mode == 0 ? next : 0, at, current);
  }

  double K_, R_, L_, I_, V_, gain_, turning_, emf_;
  Wave driven_;
  std::array<double, 2> fading_;  // per angle: at the limit, in proportion
  std::array<double, 2> faded_;   // over one part
  double sine_ = 0.0, cosine_ = 1.0;
  Wave followed_{};
  double start_ = 0.0;   // current at θ = 0, of the last asked: the next is near
  double charge_ = 0.0;  // ∫ −i sin θ dθ
  double kept_ = 1.0;    // d i(π) / d i(0)
};

}  // namespace detail

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
