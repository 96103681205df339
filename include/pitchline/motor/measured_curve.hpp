#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <vector>

#include "pitchline/motor/dependable_curve.hpp"
#include "pitchline/motor/feed.hpp"
#include "pitchline/motor/loss_free_torque.hpp"
#include "pitchline/motor/loss_model.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motor {

/// A curve through two or more published points that neither overshoots nor rises between them.
///
/// Monotone cubic in ln T over ln ω: constant power is a straight line there, so that sparse points
/// do not promise more between them than a motor has. Slope at a point: harmonic mean of the
/// slopes of the chords on either side, weighted by their lengths, 0 where they differ in sign; the
/// chord's own at the ends. Below the first point its torque stays constant. A point that lies
/// above one at lower speed is taken down to that one: its speed is reached only by passing the
/// lower one, and `levelled` says so.
///
/// Source: slopes by Fritsch and Butland's rule (from memory); compared with that of Boost.Math,
/// which wants four points, in tests/motor/measured_curve.cpp.
class MeasuredCurve {
 public:
  /// \throws InvalidInput  see `parts::require_valid`; less than two points
  explicit MeasuredCurve(const parts::PublishedCurve& curve) {
    parts::require_valid(curve);
    if (curve.points.size() < 2)
      throw InvalidInput("points of a measured curve", ">= 2",
                         static_cast<double>(curve.points.size()), "");
    feed_ = {curve.voltage, curve.amplitude};
    points_ = curve.points;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      if (i > 0 && points_[i].torque > points_[i - 1].torque) {
        points_[i].torque = points_[i - 1].torque;
        levelled_ = true;
      }
      log_speed_.push_back(std::log(in_radians_per_second(points_[i].speed)));
      log_torque_.push_back(std::log(in_newton_metres(points_[i].torque)));
    }
    slopes_ = monotone_slopes(log_speed_, log_torque_);
  }

  [[nodiscard]] const Feed& feed() const { return feed_; }
  [[nodiscard]] const parts::CurvePoint& first() const { return points_.front(); }
  /// The last point; nothing is known beyond its speed.
  [[nodiscard]] const parts::CurvePoint& last() const { return points_.back(); }
  /// A published point rose with speed and was taken down to the one before.
  [[nodiscard]] bool levelled() const { return levelled_; }
  [[nodiscard]] const std::vector<parts::CurvePoint>& points() const { return points_; }

  /// \throws InvalidInput  speed below zero or NaN
  /// \throws OutsideValidity  speed beyond the last point
  [[nodiscard]] Torque at(AngularSpeed speed) const {
    require_not_negative_or_infinite("speed", speed);
    if (speed > last().speed)
      throw OutsideValidity(
          fmt::format("speed {:.4g} rad/s is beyond the last published point, "
                      "{:.4g} rad/s",
                      in_radians_per_second(speed), in_radians_per_second(last().speed)));
    if (speed <= first().speed) return first().torque;
    const auto next = std::lower_bound(
        points_.begin(), points_.end(), speed,
        [](const parts::CurvePoint& point, AngularSpeed w) { return point.speed < w; });
    if (next->speed == speed) return next->torque;
    const Torque torque = newton_metres(std::exp(
        cubic(static_cast<std::size_t>(next - points_.begin()) - 1, in_radians_per_second(speed))));
    // Rounding of exp and log must not leave the interval.
    return std::clamp(torque, next->torque, (next - 1)->torque);
  }

 private:
  static std::vector<double> monotone_slopes(const std::vector<double>& x,
                                             const std::vector<double>& y) {
    const auto chord = [&](std::size_t i) { return (y[i + 1] - y[i]) / (x[i + 1] - x[i]); };
    std::vector<double> slopes{chord(0)};
    for (std::size_t i = 1; i + 1 < x.size(); ++i) {
      const double before = x[i] - x[i - 1];
      const double after = x[i + 1] - x[i];
      const double slope =
          3.0 * (before + after) /
          ((2.0 * after + before) / chord(i - 1) + (after + 2.0 * before) / chord(i));
      slopes.push_back(chord(i - 1) * chord(i) > 0 ? slope : 0.0);
    }
    slopes.push_back(chord(x.size() - 2));
    return slopes;
  }

  // ln T at a speed past a point: the cubic with the slopes at that point and the next.
  [[nodiscard]] double cubic(std::size_t point, double speed) const {
    const double past = std::log(speed) - log_speed_[point];
    const double length = log_speed_[point + 1] - log_speed_[point];
    const double t = past / length;
    return (1.0 - t) * (1.0 - t) * (log_torque_[point] * (1.0 + 2.0 * t) + slopes_[point] * past) +
           t * t *
               (log_torque_[point + 1] * (3.0 - 2.0 * t) + length * slopes_[point + 1] * (t - 1.0));
  }

  Feed feed_{};
  std::vector<parts::CurvePoint> points_;
  bool levelled_ = false;
  std::vector<double> log_speed_, log_torque_, slopes_;
};

namespace detail {

// Share of a carried torque that is kept once the feeds are 28 % apart or more, in proportion to
// the distance below. Fitted to the published curves: the one pair at two voltages needs 0.937 to
// stay within 5 %.
inline constexpr double transfer_reserve = 0.90;
inline constexpr double transfer_distance = 0.25;
// Points put between two published ones, so that the model's ratio is followed.
inline constexpr int transfer_steps = 16;

// What of a torque measured at one feed is left at another: the smaller ratio of two curves.
class CarriedShare {
 public:
  // One feed that torque is carried to.
  struct At {
    DependableCurve sure;
    DrivenWinding winding;
  };

  CarriedShare(const parts::StepperMotor& motor, const Feed& then, const LossModel& model)
      : motor_(motor), model_(model), then_(at(then)) {}

  [[nodiscard]] At at(const Feed& feed) const {
    return {DependableCurve(motor_, feed, model_), driven_winding(motor_, feed)};
  }
  [[nodiscard]] double of(const At& now, AngularSpeed speed) const {
    const Torque sure = then_.sure.at(speed);
    if (!(sure > newton_metres(0))) return 0.0;
    const Torque bound = loss_free_pull_out(then_.winding, speed).torque;
    return std::min(number(now.sure.at(speed) / sure),
                    number(loss_free_pull_out(now.winding, speed).torque / bound));
  }

 private:
  const parts::StepperMotor& motor_;
  const LossModel& model_;
  At then_;
};

}  // namespace detail

/// `measured` carried to another supply voltage or current.
///
///     T(ω) = max(r b(V_b, I_b), 0.90 b(V, I)),  b = T_m(ω) min(D(ω)/D_m(ω), T_0(ω)/T_0m(ω))
///
///     T_m, D_m, T_0m  measured, dependable and loss-free torque at the measured feed
///     D, T_0          dependable and loss-free torque at the feed in brackets
///     V, I            of `feed`
///     V_b, I_b        the smaller of both voltages, the smaller of both currents
///     r               1 − 0.10 min(1, d/0.25),  d = |ln V_b/V_m| + |ln I_b/I_m|
///     T               at most T_0(V, I); never falling as V or I rises; made to fall with ω from
///                     the low-speed side
///
/// The smaller of the two ratios, because the dependable torque goes to zero where the loss-free
/// one does not and its ratio then says nothing. Where D_m is zero, nothing is carried.
///
/// Judged by the one pair of published curves of a motor, 36 V and 48 V, both ways
/// (tests/motor/measured_curve.cpp).
///
/// \return  nothing where no torque is left at any of the speeds measured
/// \throws InvalidInput  as `DependableCurve`
///
/// Source: fitted to the published curves, [pull-out].
inline std::optional<MeasuredCurve> carried(const MeasuredCurve& measured,
                                            const parts::StepperMotor& motor, const Feed& feed,
                                            const LossModel& model = {}) {
  const Feed& then = measured.feed();
  const Feed& now = feed;
  const Feed base{std::min(now.voltage, then.voltage), std::min(now.amplitude, then.amplitude)};
  const detail::CarriedShare share(motor, then, model);
  const detail::CarriedShare::At at_now = share.at(now);
  const detail::CarriedShare::At at_base = share.at(base);
  const double far = std::min(1.0, distance(base, then) / detail::transfer_distance);
  const double reserve = 1.0 - (1.0 - detail::transfer_reserve) * far;
  const Torque none = newton_metres(0);

  const auto torque_at = [&](AngularSpeed speed) {
    const double kept = std::max(reserve * share.of(at_base, speed),
                                 detail::transfer_reserve * share.of(at_now, speed));
    return std::min(kept * measured.at(speed), loss_free_pull_out(at_now.winding, speed).torque);
  };

  parts::PublishedCurve result{.voltage = now.voltage, .amplitude = now.amplitude};
  const auto add = [&](AngularSpeed speed) {
    const Torque torque = torque_at(speed);
    if (torque > none) result.points.push_back({speed, torque});
    return torque > none;
  };
  const std::vector<parts::CurvePoint>& points = measured.points();
  bool left = add(points.front().speed);
  for (std::size_t i = 1; left && i < points.size(); ++i) {
    const double step = number(points[i].speed / points[i - 1].speed);
    const int parts = step > 1.01 ? detail::transfer_steps : 1;
    for (int k = 1; left && k < parts; ++k)
      left = add(points[i - 1].speed * std::pow(step, static_cast<double>(k) / parts));
    left = left && add(points[i].speed);
  }
  if (result.points.size() < 2) return std::nullopt;
  return MeasuredCurve(result);  // takes down what rises
}

}  // namespace pitchline::motor
