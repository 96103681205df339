#pragma once

#include <algorithm>
#include <cmath>

#include "pitchline/motor/dependable_curve.hpp"
#include "pitchline/motor/feed.hpp"
#include "pitchline/motor/loss_free_torque.hpp"
#include "pitchline/motor/loss_model.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motor {

/// One published point with the supply and current it was measured at.
struct PublishedPoint {
  Feed feed{};
  parts::CurvePoint point{};
};

namespace detail {

// How far a calibrated curve stays below what one point suggests. The first two are fitted to the
// published curves: the scatter of the level inside one motor. The third is common practice, no
// source: the point itself is trusted up to about 28 % away in speed, voltage or current.
inline constexpr double level_reserve = 0.20;
inline constexpr double torque_reserve = 0.95;
inline constexpr double trusted_distance = 0.25;
inline constexpr double highest_level = 40.0;

/// What losses of one level come to: `voltage` scales what the voltage-limited region feels,
/// `current` what the region below the corner feels. 1 is `model`, 0 has no loss but the warm
/// winding.
inline LossModel scaled(LossModel model, double voltage, double current) {
  // Nothing is scaled out of the range that the ratios allow.
  const auto less = [](double share, double level) {
    return std::max(0.05, 1.0 - (1.0 - share) * level);
  };
  const auto more = [](double ratio, double level) {
    return std::min(10.0, 1.0 + (ratio - 1.0) * level);
  };
  model.inductance = InductanceRatio(more(model.inductance.value(), voltage));
  model.voltage_share = VoltageShare(less(model.voltage_share.value(), voltage));
  model.eddy_constant /= std::max(voltage, 1e-12);
  model.current_share = MeanCurrentShare(less(model.current_share.value(), current));
  model.drag = DragShare(std::min(10.0, model.drag.value() * current));
  model.least_drag *= current;
  return model;
}

/// The dependable curve with its losses scaled; a detent torque scales with the drag.
inline DependableCurve scaled_curve(parts::StepperMotor motor, const Feed& feed,
                                    const LossModel& model, double voltage, double current) {
  motor.detent_torque *= current;
  return {motor, feed, scaled(model, voltage, current)};
}

}  // namespace detail

/// One published point of a motor and what it says of its losses.
///
/// One level λ scales every loss of the model together: 0 is a warm motor without loss, 1 the
/// model's own. λ is where the curve passes through the point, so it falls where the point is high.
///
/// What is predicted from it stays below: λ + 0.20, then 0.95 of the torque. A point at or below
/// the corner says nothing of the voltage-limited region, which keeps λ ≥ 1 there and the reserve
/// at speed (`LossModel::share_at_speed`); a point above it has shown that speed and drops that
/// reserve.
///
/// Calibrated on each of 28 published points of four motors and judged by the 214 other points of
/// the same motors, other voltages included (tests/motor/calibration.cpp): in the mean 0.845 of
/// what was published, at most 1.04, where the published curve itself rises with speed by 4 %.
///
/// Source: fitted to the published curves, [pull-out].
class Calibration {
 public:
  /// \throws InvalidInput  as `DependableCurve`; a speed or torque of the point not greater than 0
  Calibration(parts::StepperMotor motor, const PublishedPoint& published,
              const LossModel& model = {})
      : motor_(std::move(motor)),
        feed_(counted(motor_, published.feed)),
        point_(published.point),
        model_(model) {
    parts::require_valid(parts::PublishedCurve{.points = {point_},
                                               .voltage = published.feed.voltage,
                                               .amplitude = published.feed.amplitude});
    const auto loss_free = [&](const Feed& feed) {
      return loss_free_pull_out(driven_winding(motor_, feed), point_.speed).torque;
    };
    contradicts_ = point_.torque > loss_free(published.feed);
    // Of current that is not counted on, the point keeps the share that the rest would have.
    if (feed_.amplitude < published.feed.amplitude && !contradicts_)
      point_.torque *= number(loss_free(feed_) / loss_free(published.feed));
    motor_.curves.clear();  // not looked at below, and the motor is copied at each step
    const bool below_corner = point_.speed <= DependableCurve(motor_, feed_, model_).corner();
    const LossModel with_reserve = model_;
    model_.share_at_speed = TorqueShare(1);
    level_ = level_through_point();
    current_level_ = level_ + detail::level_reserve;
    voltage_level_ = below_corner ? std::max(1.0, current_level_) : current_level_;
    if (below_corner) model_.share_at_speed = with_reserve.share_at_speed;
  }

  /// λ: losses over those of the model. Above 1 the model alone would have promised too much.
  [[nodiscard]] double level() const { return level_; }

  /// The point lies above the loss-free curve: its current, voltage or the motor's figures are not
  /// what they are taken for (RMS and peak, one phase and two). Nothing above the loss-free curve
  /// is predicted all the same.
  [[nodiscard]] bool contradicts_loss_free() const { return contradicts_; }

  /// The feed of the point with the current that is counted on, see `counted`.
  [[nodiscard]] const Feed& feed() const { return feed_; }
  /// The point at that feed: its torque is less where its current was more.
  [[nodiscard]] const parts::CurvePoint& point() const { return point_; }

 private:
  friend class CalibratedCurve;

  [[nodiscard]] double level_through_point() const {
    const auto above = [this](double level) {
      return detail::scaled_curve(motor_, feed_, model_, level, level).at(point_.speed) >
             point_.torque;
    };
    if (!above(0.0)) return 0.0;
    double low = 0.0;
    double high = detail::highest_level;
    // Forty halvings of forty leave 4e-11 of a level.
    for (int i = 0; i < 40; ++i) {
      const double middle = 0.5 * (low + high);
      (above(middle) ? low : high) = middle;
    }
    return 0.5 * (low + high);
  }

  [[nodiscard]] DependableCurve reserved(const Feed& feed) const {
    return detail::scaled_curve(motor_, feed, model_, voltage_level_, current_level_);
  }

  parts::StepperMotor motor_;
  Feed feed_;
  parts::CurvePoint point_;
  LossModel model_;
  double level_ = 0.0;
  double current_level_ = 0.0;
  double voltage_level_ = 0.0;
  bool contradicts_ = false;
};

/// The curve of a calibrated motor at one feed.
///
///     s(ω)  = 0.95 times the curve of the calibrated, reserved losses at this feed
///     ρ_0   = max(1, T_0/s_0(ω_0)),  s_0 = s at the feed of the point
///     ρ     = ρ_0^max(0, 1 − d/0.25),  d = |ln V/V_0| + |ln I/I_0|
///             at least T_0/s(ω_0) where neither V nor I is below the point's
///     T     = max(s(ω), ρ s(ω_0))                         up to ω_0
///           = s(ω) ρ^max(0, 1 − ln(ω/ω_0)/0.25)           above
///
///     ω_0, T_0, V_0, I_0  the published point
///     T                   result, N·m, never above the loss-free curve, never rising with ω
///
/// Passes through the point at the point's own feed. Score and source: see `Calibration`.
class CalibratedCurve {
 public:
  /// \throws InvalidInput  voltage or amplitude not above zero
  CalibratedCurve(const Calibration& calibration, const Feed& feed)
      : point_(calibration.point()),
        nominal_(driven_winding(calibration.motor_, counted(calibration.motor_, feed))),
        curve_(calibration.reserved(feed)) {
    const Feed now{nominal_.voltage, nominal_.amplitude};
    const Feed& then = calibration.feed();
    const Torque there =
        detail::torque_reserve * calibration.reserved(then).at(point_.speed);  // s_0(ω_0)
    const Torque here = reserved(point_.speed);                                // s(ω_0)
    const Torque none = newton_metres(0);
    if (there > none && point_.torque > there) {
      const double trust = std::max(0.0, 1.0 - distance(now, then) / detail::trusted_distance);
      rise_ = std::pow(number(point_.torque / there), trust);
    }
    held_ = rise_ * here;
    if (now.voltage >= then.voltage && now.amplitude >= then.amplitude) {
      if (here > none) rise_ = std::max(rise_, number(point_.torque / here));
      held_ = std::max(held_, point_.torque);
    }
  }

  /// \throws InvalidInput  speed below zero or not finite
  [[nodiscard]] Torque at(AngularSpeed speed) const {
    const Torque bound = loss_free_pull_out(nominal_, speed).torque;
    const Torque torque = reserved(speed);
    if (speed <= point_.speed) return std::min(bound, std::max(torque, held_));
    const double away = std::log(number(speed / point_.speed)) / detail::trusted_distance;
    return std::min(bound, torque * std::pow(rise_, std::max(0.0, 1.0 - away)));
  }

 private:
  [[nodiscard]] Torque reserved(AngularSpeed speed) const {
    return detail::torque_reserve * curve_.at(speed);
  }

  parts::CurvePoint point_;
  DrivenWinding nominal_;
  DependableCurve curve_;
  double rise_ = 1.0;
  Torque held_{};
};

}  // namespace pitchline::motor
