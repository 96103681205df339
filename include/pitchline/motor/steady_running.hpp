#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <optional>

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
        emf_(K_ * in_radians_per_second(speed)) {}

  // Mean torque of both phases.
  [[nodiscard]] double torque(double load_angle) {
    sine_ = std::sin(load_angle);
    cosine_ = std::cos(load_angle);
    const double X = turning_ * L_;
    // Followed without limit: (gain + R + jX) i = gain i* − j e, with e^{jθ} left out.
    const Wave followed = over({gain_ * I_ * cosine_, gain_ * I_ * sine_ - emf_}, gain_ + R_, X);
    const double u_d = gain_ * (I_ * cosine_ - followed.real);
    const double u_q = gain_ * (I_ * sine_ - followed.imaginary);
    if (u_d * u_d + u_q * u_q <= V_ * V_ || !(turning_ > 0.0)) return K_ * followed.imaginary;
    followed_ = followed;
    driven_ = over({0.0, -emf_}, R_, X);
    // The current turns over in half a turn: i(π) = −i(0). With a start that is higher the end is
    // higher by no more, so that what is missing rises with a slope of 1 to 2.
    double at = start_;
    double missing = after_half_turn(at) + at;
    double slope = 1.5;
    for (int n = 0; n < most_tries && std::fabs(missing) > 1e-7 * I_; ++n) {
      const double next = at - missing / slope;
      const double then = after_half_turn(next) + next;
      if (next != at) slope = std::clamp((then - missing) / (next - at), 1.0, 2.0);
      at = next;
      missing = then;
    }
    start_ = at;
    return 2.0 * K_ * charge_ / std::numbers::pi;
  }

 private:
  static constexpr int parts = 64;
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

  [[nodiscard]] double wanted(const Place& p, double i) const {
    return gain_ * (I_ * (p.cosine * cosine_ - p.sine * sine_) - i);
  }
  // 0: in proportion; 1 and −1: at the limit.
  [[nodiscard]] int mode(double wanted) const { return wanted > V_ ? 1 : wanted < -V_ ? -1 : 0; }
  [[nodiscard]] double moved(int mode, const Place& from, double i, const Place& to) const {
    const double time = (to.angle - from.angle) / turning_;
    const Wave& wave = mode == 0 ? followed_ : driven_;
    const double even = mode * V_ / R_;
    const double decay = std::exp(-time * (mode == 0 ? gain_ + R_ : R_) / L_);
    return even + wave.at(to.cosine, to.sine) +
           (i - even - wave.at(from.cosine, from.sine)) * decay;
  }
  // Weighs the current with what makes torque, −sin θ, by the trapezoid rule.
  void weigh(const Place& from, double i, const Place& to, double then) {
    charge_ -= 0.5 * (i * from.sine + then * to.sine) * (to.angle - from.angle);
  }

  [[nodiscard]] double after_half_turn(double i) {
    charge_ = 0.0;
    static const std::array<Place, parts + 1> places = [] {
      std::array<Place, parts + 1> all;
      for (std::size_t n = 0; n <= parts; ++n)
        all.at(n) = Place::to(width * static_cast<double>(n));
      return all;
    }();
    Place from = places[0];
    int now = mode(wanted(from, i));
    for (std::size_t n = 1; n <= parts; ++n) {
      const Place& to = places.at(n);
      // What happens within a part of a turn: rarely more than one change.
      for (int change = 0; from.angle < to.angle; ++change) {
        double then = moved(now, from, i, to);
        const int next = mode(wanted(to, then));
        if (next == now || change == 3) {
          weigh(from, i, to, then);
          from = to;
          i = then;
          now = next;
          break;
        }
        const Place at = change_of_mode(now, next, from, i, to, then);
        then = moved(now, from, i, at);
        weigh(from, i, at, then);
        from = at;
        i = then;
        now = now == 0 ? next : 0;
      }
    }
    return i;
  }
  // Where the wanted voltage passes the limit: by false position.
  [[nodiscard]] Place change_of_mode(int now, int next, const Place& from, double i,
                                     const Place& to, double then) const {
    const double limit = (now == 0 ? next : now) * V_;
    double low = from.angle;
    double high = to.angle;
    double at_low = wanted(from, i) - limit;
    double at_high = wanted(to, then) - limit;
    Place at = to;
    for (int n = 0; n < 4; ++n) {
      if (at_low == at_high) break;
      const double share = std::clamp(at_low / (at_low - at_high), 0.0, 1.0);
      at = Place::to(low + share * (high - low));
      const double there = wanted(at, moved(now, from, i, at)) - limit;
      if ((there > 0.0) == (at_low > 0.0)) {
        low = at.angle;
        at_low = there;
        at_high *= 0.5;
      } else {
        high = at.angle;
        at_high = there;
        at_low *= 0.5;
      }
    }
    return at;
  }

  double K_, R_, L_, I_, V_, gain_, turning_, emf_;
  double sine_ = 0.0, cosine_ = 1.0;
  Wave followed_{}, driven_{};
  double start_ = 0.0;   // current at θ = 0, of the last asked: the next is near
  double charge_ = 0.0;  // ∫ −i sin θ dθ
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
    constexpr int coarse = 36;
    std::array<double, coarse + 1> torque{};
    std::size_t best = 0;
    for (std::size_t n = 0; n <= coarse; ++n) {
      torque.at(n) = phase_.torque(angle_of(n));
      if (torque.at(n) > torque.at(best)) best = n;
    }
    most_ = torque.at(best);
    at_most_ = angle_of(best);
    if (best == 0 || best == coarse) return;
    // The top of the parabola through the three.
    const double bend = torque.at(best - 1) - 2.0 * torque.at(best) + torque.at(best + 1);
    if (!(bend < 0.0)) return;
    const double aside = 0.5 * (torque.at(best - 1) - torque.at(best + 1)) / bend;
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
    double low = first;
    double high = at_most_;
    double at_low = phase_.torque(low) - torque;
    double at_high = most_ - torque;
    if (!(at_low < 0.0)) return std::nullopt;
    for (int n = 0; n < 60 && high - low > 1e-7; ++n) {
      // Bisection now and then, since the curve is flat at its top.
      const double share = n % 3 == 2 ? 0.5 : std::clamp(at_low / (at_low - at_high), 0.02, 0.98);
      const double middle = low + share * (high - low);
      const double there = phase_.torque(middle) - torque;
      if (std::fabs(there) < 1e-6 * most_) return radians(middle);
      if (there < 0.0) {
        low = middle;
        at_low = there;
      } else {
        high = middle;
        at_high = there;
      }
    }
    return radians(high);
  }

 private:
  static constexpr double first = -std::numbers::pi / 2.0;
  static constexpr double step = std::numbers::pi / 24.0;  // 7.5 degrees
  static double angle_of(std::size_t n) { return first + step * static_cast<double>(n); }

  detail::HalfTurn phase_;
  double most_ = 0.0;
  double at_most_ = 0.0;
};

}  // namespace pitchline::motor
