#pragma once

#include <algorithm>
#include <cmath>
#include <utility>

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

// How far a calibrated curve stays below what one point suggests, chosen by the scatter inside each
// motor (tests/motor/left_out.cpp). The inductance that acts is counted
// by a factor exp(0.08) higher than the point shows, the share of the current 5 % lower.
inline constexpr double inductance_reserve = 0.08;
inline constexpr double share_reserve = 0.95;
// Above the speed of the point, torque falls off by (ω V_0/(ω_0 V))^-0.25 beside: some motors lose
// more there than an inductance takes.
inline constexpr double fall_beyond = 0.25;
// No chopper keeps more of its set current in the mean, unless the point itself shows it: simulated
// ones keep 0.93 to 0.99, 0.948 in the mean with fast decay.
inline constexpr double usual_share = 0.95;
// The point itself is trusted up to about 28 % away in speed, voltage or current. Common practice,
// no source.
inline constexpr double trusted_distance = 0.25;
inline constexpr double least_share = 0.05;
inline constexpr double highest_ratio = 10.0;
inline constexpr double unlimited_share = 100.0;

/// `model` with the inductance set for one motor, whatever its rated current says.
inline LossModel with_inductance(LossModel model, double ratio) {
  model.inductance = InductanceRatio(std::clamp(ratio, 1.0, highest_ratio));
  model.characteristic_share = CharacteristicShare(unlimited_share);
  return model;
}

}  // namespace detail

/// One published point of a motor and what it says of its losses.
///
/// A point above the dependable curve bounds two figures of its motor. It cannot have a larger
/// inductance than the one that leads through the point with as much current as a chopper keeps;
/// nor a smaller share of current than its torque needs. Each is counted with a reserve, and
/// neither as worse than the model's own, so that a point at low speed says little of high ones and
/// the other way round. A point below the dependable curve takes away instead: current where the
/// model is limited by current there, inductance where by voltage.
///
/// Calibrated on each of 43 published points of six motors and judged by the 324 other points of
/// the same motors, with the constants of the model fitted to the other motors
/// (tests/motor/left_out.cpp): in the mean 0.86 of what was published, at most 1.04, where the
/// published curve itself rises with speed by 4 %. Between 36 V and 48 V 0.64 to 1.02, in the mean
/// 0.86.
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
    usual_ratio_ = number(effective_inductance(motor_, model_) / motor_.inductance);
    usual_ratio_ = std::min(usual_ratio_, detail::highest_ratio);
    above_ = point_.torque >= DependableCurve(motor_, feed_, model_).at(point_.speed);
    set_losses();
  }

  /// Inductance that acts, over that of the model: as the point shows it, 1 where it tells nothing
  /// less. Above 1 the model alone would have promised too much.
  [[nodiscard]] double level() const { return ratio_ / usual_ratio_; }

  /// Inductance that acts, over that of the sheet, as `level`.
  [[nodiscard]] double inductance_ratio() const { return ratio_; }

  /// The losses of this motor, reserve included.
  [[nodiscard]] const LossModel& losses() const { return losses_; }

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

  void set_losses() {
    const double full = in_newton_metres(torque_constant(motor_) * feed_.amplitude);
    const double asked = in_newton_metres(point_.torque + drag_torque(motor_, model_));
    const double share = std::clamp(asked / full, detail::least_share, 1.0);
    const double of_model = model_.current_share.value();
    const double reserve = std::exp(detail::inductance_reserve);
    ratio_ = usual_ratio_;
    if (above_) {
      ratio_ = std::min(usual_ratio_, ratio_through_point(std::max(detail::usual_share, share)));
      losses_ = detail::with_inductance(model_, std::min(usual_ratio_, ratio_ * reserve));
      losses_.current_share = MeanCurrentShare(std::max(of_model, detail::share_reserve * share));
      return;
    }
    const DrivenWinding usual = lossy_winding(motor_, feed_, model_);
    if (loss_free_pull_out(usual, point_.speed).region == Region::current) {
      losses_ = model_;
      losses_.current_share = MeanCurrentShare(std::min(of_model, detail::share_reserve * share));
    } else {
      ratio_ = ratio_through_point(of_model);
      losses_ = detail::with_inductance(model_, ratio_ * reserve);
    }
  }

  // Largest inductance ratio at which the curve does not fall below the point.
  [[nodiscard]] double ratio_through_point(double share) const {
    const auto above = [&](double ratio) {
      LossModel model = detail::with_inductance(model_, ratio);
      model.current_share = MeanCurrentShare(share);
      return DependableCurve(motor_, feed_, model).at(point_.speed) > point_.torque;
    };
    double low = 1.0;
    double high = detail::highest_ratio;
    if (!above(low)) return low;
    // Fifty halvings of nine leave 8e-15.
    for (int i = 0; i < 50; ++i) {
      const double middle = 0.5 * (low + high);
      (above(middle) ? low : high) = middle;
    }
    return 0.5 * (low + high);
  }

  parts::StepperMotor motor_;
  Feed feed_;
  parts::CurvePoint point_;
  LossModel model_;
  LossModel losses_;
  double usual_ratio_ = 1.0;
  double ratio_ = 1.0;
  bool above_ = false;
  bool contradicts_ = false;
};

/// The curve of a calibrated motor at one feed.
///
///     s(ω) = D_c(ω) min(1, ω_0 V/(ω V_0))^0.25, at least D(ω) where the point lies above D
///     ρ    = max(1, T_0/s_0(ω_0))^max(0, 1 − d/0.25)
///     u(ω) = max(s_b(ω), ρ s_b(ω_0))                          up to ω_0
///          = s_b(ω) ρ^max(0, 1 − ln(ω/ω_0)/0.25)              above
///     T    = max(s(ω), u(ω)), and T_0 up to ω_0 where neither V nor I is below the point's
///
///     ω_0, T_0, V_0, I_0  the published point
///     D, D_c  dependable torque with the losses of the model and with those of the calibration
///     s_0     s at the feed of the point
///     s_b     s at the smaller of both voltages and the smaller of both currents, which is d away
///             from that of the point, see `distance`
///     T       result, N·m, never above the loss-free curve, never rising with ω, never falling as
///             V or I rises
///
/// Passes through the point at the point's own feed. Score and source: see `Calibration`.
class CalibratedCurve {
 public:
  /// \throws InvalidInput  voltage or amplitude not above zero
  CalibratedCurve(const Calibration& calibration, const Feed& feed)
      : point_(calibration.point()),
        nominal_(driven_winding(calibration.motor_, counted(calibration.motor_, feed))),
        here_(calibration, {nominal_.voltage, nominal_.amplitude}),
        base_(calibration, smaller({nominal_.voltage, nominal_.amplitude}, calibration.feed())) {
    const Feed& then = calibration.feed();
    const double away = distance(smaller({nominal_.voltage, nominal_.amplitude}, then), then);
    const Torque there = Shown(calibration, then).at(point_.speed);  // s_0(ω_0)
    if (there > newton_metres(0)) {
      const double off = number(point_.torque / there);
      if (off > 1.0) rise_ = std::pow(off, std::max(0.0, 1.0 - away / detail::trusted_distance));
      here_.lower_by(std::min(1.0, off));
      base_.lower_by(std::min(1.0, off));
    }
    held_ = rise_ * base_.at(point_.speed);
    // Where nothing is left of s at the point, the point itself still holds.
    if (away == 0.0) held_ = std::max(held_, point_.torque);
  }

  /// \throws InvalidInput  speed below zero or not finite
  [[nodiscard]] Torque at(AngularSpeed speed) const {
    const Torque bound = loss_free_pull_out(nominal_, speed).torque;
    Torque torque = base_.at(speed);
    if (speed <= point_.speed) {
      torque = std::max(torque, held_);
    } else {
      const double away = std::log(number(speed / point_.speed)) / detail::trusted_distance;
      torque *= std::pow(rise_, std::max(0.0, 1.0 - away));
    }
    return std::min(bound, std::max(torque, here_.at(speed)));
  }

 private:
  // s of the class comment.
  class Shown {
   public:
    Shown(const Calibration& calibration, const Feed& feed)
        : curve_(calibration.motor_, feed, calibration.losses_),
          usual_(calibration.motor_, feed, calibration.model_),
          above_(calibration.above_),
          until_(calibration.point_.speed * number(feed.voltage / calibration.feed_.voltage)) {}

    void lower_by(double factor) { factor_ = factor; }

    [[nodiscard]] Torque at(AngularSpeed speed) const {
      Torque torque = curve_.at(speed);
      if (speed > until_) torque *= std::pow(number(until_ / speed), detail::fall_beyond);
      return factor_ * (above_ ? std::max(torque, usual_.at(speed)) : torque);
    }

   private:
    DependableCurve curve_;
    DependableCurve usual_;
    bool above_;
    AngularSpeed until_;
    double factor_ = 1.0;  // below 1 where no loss of the model leads as low as the point
  };

  static Feed smaller(const Feed& a, const Feed& b) {
    return {std::min(a.voltage, b.voltage), std::min(a.amplitude, b.amplitude)};
  }

  parts::CurvePoint point_;
  DrivenWinding nominal_;
  Shown here_;
  Shown base_;
  double rise_ = 1.0;
  Torque held_{};
};

}  // namespace pitchline::motor
