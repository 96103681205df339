#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>
#include <vector>

#include "pitchline/motion/elastic_mode.hpp"
#include "pitchline/motion/move_profile.hpp"

namespace pitchline::motion::detail {

/// (e^z − 1)/z, right to the last digits for small z too.
inline std::complex<double> mean_exponential(std::complex<double> z) {
  if (z == 0.0) return 1.0;
  const double half_sine = std::sin(z.imag() / 2.0);
  const std::complex<double> minus_one{
      std::expm1(z.real()) * std::cos(z.imag()) - 2.0 * half_sine * half_sine,
      std::exp(z.real()) * std::sin(z.imag())};
  return minus_one / z;
}

/// The answer of a mode, at rest before, to steps of acceleration; plain SI in here. A jump of 1 at
/// time 0 gives x = −(1 − Re(K e^{pt}))/ω² with p = −ζω + iω_d and K = 1 − iζ/√(1 − ζ²); a jump
/// spread over r is the mean of jumps over that time.
class StepAnswer {
 public:
  StepAnswer(const ElasticMode& mode, const std::vector<AccelerationStep>& steps)
      : omega_(2.0 * std::numbers::pi * in_hertz(mode.natural_frequency)) {
    detail::require_valid(mode);
    const double root = damping_root(mode);
    p_ = omega_ * std::complex<double>(-mode.damping_ratio.value(), root);
    K_ = {1.0, -mode.damping_ratio.value() / root};
    for (const AccelerationStep& each : steps) {
      require_not_negative("step begin", each.at);
      require_finite("acceleration step", each.step);
      require_not_negative("jerk time", each.jerk_time);
      steps_.push_back({in_seconds(each.at),
                        in_metres_per_second_squared(each.step) / (omega_ * omega_),
                        in_seconds(each.jerk_time)});
      end_ = std::max(end_, in_seconds(each.at + each.jerk_time));
    }
    for (const Time& t : breaks(steps)) breaks_.push_back(in_seconds(t));
  }

  /// When the last step is done.
  [[nodiscard]] double end() const { return end_; }

  [[nodiscard]] double stretch(double t) const {
    double x = 0.0;
    for (const Step& each : steps_) {
      const double age = t - each.at;
      if (age < 0.0) continue;
      const double done = std::min(age, each.ramp);
      const double share = each.ramp > 0.0 ? done / each.ramp : 1.0;
      x -= each.stretch * share *
           (1.0 - std::real(K_ * mean_exponential(p_ * done) * std::exp(p_ * (age - done))));
    }
    return x;
  }

  /// Speed of the stretch inside a part without breaks about `middle`.
  [[nodiscard]] double speed(double t, double middle) const {
    double steady = 0.0;
    for (const Step& each : steps_)
      if (each.changes_at(middle)) steady -= each.stretch / each.ramp;
    return steady + std::real(swing(t, middle));
  }

  /// Phasor of the swing's speed at `t`: Re of it, turned and decayed by e^{pt}, is what is added
  /// to the quasi-static speed.
  [[nodiscard]] std::complex<double> swing(double t, double middle) const {
    std::complex<double> sum = 0.0;
    for (const Step& each : steps_) {
      const double age = t - each.at;
      if (middle < each.at) continue;
      sum += each.changes_at(middle) ? each.stretch / each.ramp * K_ * std::exp(p_ * age)
                                     : each.stretch * K_ * p_ * mean_exponential(p_ * each.ramp) *
                                           std::exp(p_ * (age - each.ramp));
    }
    return sum;
  }

  /// Envelope of the free swing after the last step, |C| of x = const + Re(C e^{p(t' − t)}).
  [[nodiscard]] double envelope(double t) const {
    return std::abs(swing(t, std::max(t, end_)) / p_);
  }

  /// Largest |x| up to the end of the last step.
  [[nodiscard]] double peak() const {
    double most = 0.0;
    const auto look_at = [&](double t) { most = std::max(most, std::abs(stretch(t))); };
    for (std::size_t i = 0; i + 1 < breaks_.size(); ++i) {
      const double from = breaks_[i];
      const double to = breaks_[i + 1];
      const double middle = from + (to - from) / 2.0;
      look_at(to);
      const std::complex<double> speed_phasor = swing(from, middle);
      if (std::none_of(steps_.begin(), steps_.end(),
                       [&](const Step& each) { return each.changes_at(middle); })) {
        // The first turning point to each side is the farthest, as the swing decays.
        const double first = from + first_zero(speed_phasor);
        if (first < to) look_at(first);
        if (first + half_swing() < to) look_at(first + half_swing());
        continue;
      }
      if ((to - from) / half_swing() > most_half_swings)
        throw OutsideValidity(
            fmt::format("a change of acceleration must last at most {:.0f} half swings of the "
                        "load, lasts {:.4g}",
                        most_half_swings, (to - from) / half_swing()));
      // Between two zeros of the swing's acceleration the speed is monotone and has one zero or
      // none.
      double low = from;
      for (double high = from + first_zero(p_ * speed_phasor); low < to; high += half_swing()) {
        high = std::min(high, to);
        look_at(turning_point(low, high, middle));
        low = high;
      }
    }
    return most;
  }

 private:
  struct Step {
    double at;
    double stretch;  // the step over ω²
    double ramp;
    [[nodiscard]] bool changes_at(double t) const { return t >= at && t < at + ramp; }
  };
  static constexpr double most_half_swings = 1e5;

  [[nodiscard]] double half_swing() const { return std::numbers::pi / p_.imag(); }
  // First t ≥ 0 at which Re(c e^{pt}) is zero.
  [[nodiscard]] double first_zero(std::complex<double> c) const {
    double turn = std::numbers::pi / 2.0 - std::arg(c);
    while (turn < 0.0) turn += std::numbers::pi;
    while (turn >= std::numbers::pi) turn -= std::numbers::pi;
    return turn / p_.imag();
  }
  // Where the speed passes zero, or `low` if it does not.
  [[nodiscard]] double turning_point(double low, double high, double middle) const;

  double omega_;
  std::complex<double> p_;
  std::complex<double> K_;
  std::vector<Step> steps_;
  std::vector<double> breaks_;
  double end_ = 0.0;
};

}  // namespace pitchline::motion::detail
