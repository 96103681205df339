#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>

#include "pitchline/motion/elastic_mode.hpp"

namespace pitchline::motion {

/// Lines that are worked to and fro, one after the other, as a swing sees them.
struct LinesInTurn {
  Speed speed = unset<Speed>();                       ///< along a line, > 0
  Acceleration acceleration = unset<Acceleration>();  ///< of the ramps, > 0
  Time jerk_time{};  ///< ≥ 0, over which each step of it is spread
  Time cruise{};     ///< ≥ 0, at the speed, from the end of one ramp to the start of the next
  Time rest{};       ///< ≥ 0, between two lines, the step across
  int lines = 1;     ///< ≥ 1, in turn
  Acceleration friction{};  ///< ≥ 0, Coulomb friction over the mass that moves
  /// ≥ 0, over that mass: more friction that the drive winds up against before a start, and that
  /// takes nothing from a swing in the rest.
  Acceleration in_drive{};
};

namespace detail {

// A ramp of speed from rest, smoothed over the jerk time; plain SI.
struct SmoothedRamp {
  double speed, acceleration, jerk_time;

  [[nodiscard]] double length() const { return speed / acceleration; }
  [[nodiscard]] double end() const { return length() + jerk_time; }
  [[nodiscard]] double acceleration_at(double t) const {
    return acceleration * (risen(t) - risen(t - length()));
  }
  [[nodiscard]] double speed_at(double t) const {
    return acceleration * (summed(t) - summed(t - length()));
  }
  [[nodiscard]] double travel_at(double t) const {
    return acceleration * (summed_twice(t) - summed_twice(t - length()));
  }
  /// When it has travelled so far; its end where it does not come to that.
  [[nodiscard]] double when(double travel) const {
    if (!(travel > 0.0)) return 0.0;
    double low = 0.0;
    double high = end();
    if (!(travel_at(high) > travel)) return high;
    for (int i = 0; i < 60; ++i) {
      const double middle = (low + high) / 2.0;
      (travel_at(middle) < travel ? low : high) = middle;
    }
    return high;
  }

 private:
  // A step that is spread over the jerk time, and its integrals.
  [[nodiscard]] double risen(double t) const {
    if (!(jerk_time > 0.0)) return t >= 0.0 ? 1.0 : 0.0;
    return std::clamp(t / jerk_time, 0.0, 1.0);
  }
  [[nodiscard]] double summed(double t) const {
    if (t <= 0.0) return 0.0;
    return t < jerk_time ? t * t / (2.0 * jerk_time) : t - jerk_time / 2.0;
  }
  [[nodiscard]] double summed_twice(double t) const {
    if (t <= 0.0) return 0.0;
    if (t < jerk_time) return t * t * t / (6.0 * jerk_time);
    const double after = t - jerk_time;
    return jerk_time * jerk_time / 6.0 + after * (jerk_time + after) / 2.0;
  }
};

/// What friction leaves of a swing, half swing by half swing; stretch x of the drive and its rate,
/// the drive at rest.
class SwingAtRest {
 public:
  SwingAtRest(double omega, double zeta, double held)
      : held_(held), sigma_(zeta * omega), damped_(omega * std::sqrt(1.0 - zeta * zeta)) {}

  double x = 0.0, rate = 0.0;
  bool sticks = false;

  void pass(double time) {
    for (int n = 0; n < most_half_swings && time > 0.0 && !sticks; ++n) time -= half_swing(time);
  }
  /// Time up to the next turning point.
  [[nodiscard]] double to_turning() const {
    const double y = x - middle();
    const double b = (rate + sigma_ * y) / damped_;
    double turn = rate == 0.0 ? std::numbers::pi
                              : std::atan2(damped_ * b - sigma_ * y, sigma_ * b + damped_ * y);
    if (turn < 1e-12) turn += std::numbers::pi;
    return turn / damped_;
  }

 private:
  static constexpr int most_half_swings = 400;

  [[nodiscard]] double middle() const {
    const bool upwards = rate == 0.0 ? x < 0.0 : rate > 0.0;
    return upwards ? -held_ : held_;
  }
  // Passes at most one half swing, and gives the time that it took.
  double half_swing(double at_most) {
    if (rate == 0.0 && std::abs(x) <= held_) {
      sticks = true;
      return at_most;
    }
    const double about = middle();
    const double y = x - about;
    const double b = (rate + sigma_ * y) / damped_;
    const double whole = to_turning();
    const double t = std::min(whole, at_most);
    const double fade = std::exp(-sigma_ * t);
    const double cosine = fade * std::cos(damped_ * t);
    const double sine = fade * std::sin(damped_ * t);
    x = about + y * cosine + b * sine;
    rate = t < whole ? (damped_ * b - sigma_ * y) * cosine - (sigma_ * b + damped_ * y) * sine : 0;
    if (rate == 0.0 && std::abs(x) <= held_) sticks = true;
    return t;
  }

  double held_, sigma_, damped_;
};

/// The swing of one mode over the lines, carried as S of x = −F/k − Im(S)/ω_d.
class SwingOnLines {
 public:
  SwingOnLines(const ElasticMode& mode, const LinesInTurn& run)
      : omega_(2.0 * std::numbers::pi * in_hertz(mode.natural_frequency)),
        zeta_(mode.damping_ratio.value()),
        damped_(omega_ * damping_root(mode)),
        p_(-zeta_ * omega_, damped_),
        held_(in_metres_per_second_squared(run.friction) / (omega_ * omega_)),
        in_drive_(in_metres_per_second_squared(run.in_drive) / (omega_ * omega_)),
        ramp_{in_metres_per_second(run.speed), in_metres_per_second_squared(run.acceleration),
              in_seconds(run.jerk_time)},
        cruise_(in_seconds(run.cruise)),
        rest_(in_seconds(run.rest)),
        lines_(run.lines) {}

  [[nodiscard]] double largest() const {
    const std::complex<double> brake = pushed(0.0);
    double most = 0.0;
    SwingAtRest start(omega_, zeta_, held_);
    start.sticks = true;
    double in_drive = in_drive_;
    const auto started = [&](SwingAtRest load, bool goes_on) {
      return swing_after_start(load, goes_on, in_drive);
    };
    for (int n = 0; n < lines_; ++n) {
      std::complex<double> swing = started(start, true);
      const std::complex<double> stopped = started(start, false);
      if (std::abs(stopped) > std::abs(swing)) swing = stopped;
      most = std::max(most, std::abs(swing) / damped_);
      const std::complex<double> end = swing * std::exp(p_ * (cruise_ + ramp_.end())) - brake;
      start = SwingAtRest(omega_, zeta_, held_);
      start.x = -held_ - end.imag() / damped_;
      start.rate = -(p_ * end).imag() / damped_;
      start.pass(rest_);
      // The next line goes the other way.
      start.x = -start.x;
      start.rate = -start.rate;
      in_drive = 2.0 * in_drive_;
    }
    return most;
  }

 private:
  // S at the end of a ramp. A load that still swings as the line begins goes on with it at once, or
  // stops first at its next turning point: both are asked, for the command may move it meanwhile.
  [[nodiscard]] std::complex<double> swing_after_start(SwingAtRest load, bool goes_on,
                                                       double in_drive) const {
    if (!load.sticks && (!goes_on || load.rate < 0.0)) load.pass(load.to_turning() * (1.0 + 1e-9));
    const double y = load.x + held_;
    if (load.sticks) {
      const double travel = y + in_drive;
      return pushed(travel > 0.0 ? ramp_.when(travel) : 0.0);
    }
    const std::complex<double> carried{-load.rate - zeta_ * omega_ * y, -damped_ * y};
    return pushed(0.0) + carried * std::exp(p_ * ramp_.end());
  }

  // ∫ a e^{p(T − t)} dt over a ramp up to its end T, what was done before the load was let go as
  // one push at that time.
  [[nodiscard]] std::complex<double> pushed(double let_go) const {
    const double end = ramp_.end();
    std::array<double, 5> times{0.0, ramp_.jerk_time, ramp_.length(), end, let_go};
    std::sort(times.begin(), times.end());
    std::complex<double> sum = ramp_.speed_at(let_go) * std::exp(p_ * (end - let_go));
    for (std::size_t i = 0; i + 1 < times.size(); ++i) {
      const double from = times.at(i);
      const double to = times.at(i + 1);
      // A step within rounding of another has no time to push.
      if (from < let_go || to - from < 1e-9 * end) continue;
      // Read inside the part, since the acceleration may jump at its ends.
      const double inset = (to - from) / 8.0;
      const double inner = ramp_.acceleration_at(from + inset);
      const double jerk = (ramp_.acceleration_at(to - inset) - inner) / (to - from - 2.0 * inset);
      const double first = inner - jerk * inset;
      const double last = first + jerk * (to - from);
      const std::complex<double> early = std::exp(p_ * (end - from));
      const std::complex<double> late = std::exp(p_ * (end - to));
      sum += (first * early - last * late) / p_ + jerk / (p_ * p_) * (early - late);
    }
    return sum;
  }

  double omega_, zeta_, damped_;
  std::complex<double> p_;
  double held_, in_drive_;  // F/k
  SmoothedRamp ramp_;
  double cruise_, rest_;
  int lines_;
};

}  // namespace detail

/// Largest amplitude with which a load swings at the end of the ramp to a line, of all the lines.
///
///     x'' + 2 ζ ω x' + ω² x = −a(t) ∓ F/M
///     A = |∫ a(t) e^{p(T − max(t, t₀))} dt + C e^{pT}|/ω_d,  p = −ζω + iω_d,  ω_d = ω √(1 − ζ²)
///
///     ω    2π natural_frequency       rad/s  > 0
///     ζ    damping_ratio              –      [0, 1)
///     a    the smoothed ramp, which ends at T = v/a + t_j
///     v    speed                      m/s    > 0
///     a    acceleration               m/s²   > 0
///     t_j  jerk_time                  s      ≥ 0
///     F/M  friction                   m/s²   ≥ 0
///     F_d  in_drive                   N      over M, ≥ 0
///     t₀   when the load is let go: until then friction holds it and the drive winds up to F + F_d
///     C    what the line before left: its ramp down and its own swing, less what a rest with
///          friction takes of it, half swing by half swing
///     A    result                     m, of the stretch; it then falls as e^{−ζωt}
///
/// At constant speed friction pulls one way and takes nothing from a swing slower than the line.
/// The first line begins without a force in the drive. Where the load still swings as the next line
/// begins, friction is taken to pull against that line from then on. Leaves out static friction
/// beyond the running one, and a motor that yields.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived, response of a damped oscillator to its base; compared with integration in time.
inline Length largest_swing_on_lines(const ElasticMode& mode, const LinesInTurn& run) {
  detail::require_valid(mode);
  require_positive("speed", run.speed);
  require_positive("acceleration", run.acceleration);
  require_not_negative("jerk time", run.jerk_time);
  require_not_negative("cruise", run.cruise);
  require_not_negative("rest", run.rest);
  require_at_least("lines", run.lines, 1);
  require_not_negative("friction over mass", run.friction);
  require_not_negative("friction in the drive over mass", run.in_drive);
  return metres(detail::SwingOnLines(mode, run).largest());
}

}  // namespace pitchline::motion
