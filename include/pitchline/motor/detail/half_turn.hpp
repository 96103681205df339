#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "pitchline/motor/winding.hpp"

namespace pitchline::motor::detail {

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
  [[nodiscard]] static std::size_t kind(int mode) { return mode == 0 ? 1 : 0; }

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

}  // namespace pitchline::motor::detail
