#pragma once

#include <algorithm>
#include <optional>
#include <string_view>
#include <vector>

#include "pitchline/motor/calibration.hpp"
#include "pitchline/motor/dependable_curve.hpp"
#include "pitchline/motor/feed.hpp"
#include "pitchline/motor/loss_free_torque.hpp"
#include "pitchline/motor/loss_model.hpp"
#include "pitchline/motor/measured_curve.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motor {

/// What a torque for a verdict rests on.
enum class Basis {
  dependable,            ///< the model alone
  calibrated,            ///< the model, its inductance set by one published point of this motor
  measured,              ///< the motor's published curve at this feed
  measured_transferred,  ///< its published curve at another feed, carried over by the model
  beyond_measured,       ///< beyond the last published point: the model, set by that point
};

/// The same in words.
constexpr std::string_view in_words(Basis basis) {
  switch (basis) {
    case Basis::dependable:
      return "dependable curve of the model";
    case Basis::calibrated:
      return "model calibrated on one published point";
    case Basis::measured:
      return "published curve";
    case Basis::measured_transferred:
      return "published curve carried to this supply and current by the model";
    case Basis::beyond_measured:
      return "beyond the published points: model";
  }
  return "";
}

/// A torque that a verdict may rest on, and why.
struct VerdictTorque {
  Torque torque{};
  Basis basis = Basis::dependable;
  std::string_view basis_in_words{};
};

/// The pull-out torque of one motor at one feed: loss-free, dependable and, where the motor has
/// published points, calibrated and measured.
///
/// A verdict rests on the published curve of two or more points whose feed is nearest, else on the
/// model calibrated on the nearest single point, else on the dependable curve; nearest by
/// `distance`. Never above the loss-free curve. With one published curve it never falls as voltage
/// or current rise; of several, another may be the nearest at the next voltage. All that does not
/// depend on speed is done once, so that a curve may be asked thousands of times.
class PullOutCurve {
 public:
  /// \throws InvalidInput  as `DependableCurve`
  PullOutCurve(const parts::StepperMotor& motor, const Feed& feed, const LossModel& model = {})
      : winding_(driven_winding(motor, feed)), dependable_(motor, feed, model), losses_(model) {
    const parts::PublishedCurve* nearest = nullptr;
    const auto farther = [&](const parts::PublishedCurve& curve) {
      const bool fewer = (curve.points.size() < 2) != (nearest->points.size() < 2);
      if (fewer) return curve.points.size() < 2;
      return distance(feed, {curve.voltage, curve.amplitude}) >=
             distance(feed, {nearest->voltage, nearest->amplitude});
    };
    for (const parts::PublishedCurve& curve : motor.curves)
      if (!nearest || !farther(curve)) nearest = &curve;
    if (!nearest) return;

    const Feed then{nearest->voltage, nearest->amplitude};
    parts::CurvePoint point = nearest->points.back();
    if (nearest->points.size() >= 2) {
      const MeasuredCurve measured(*nearest);
      levelled_ = measured.levelled();
      point = measured.last();
      source_feed_ = then;
      last_speed_ = point.speed;
      transferred_ = distance(feed, then) > same_feed;
      for (const parts::CurvePoint& each : measured.points())
        contradicts_ =
            contradicts_ ||
            each.torque > loss_free_pull_out(driven_winding(motor, then), each.speed).torque;
      measured_ = transferred_ ? carried(measured, motor, feed, model) : measured;
      at_last_ = this->measured(point.speed).value_or(newton_metres(0));
    }
    const Calibration calibration(motor, {then, point}, model);
    contradicts_ = contradicts_ || calibration.contradicts_loss_free();
    level_ = calibration.level();
    losses_ = calibration.losses();
    inductance_ = calibration.inductance_ratio() * motor.inductance;
    calibrated_.emplace(calibration, feed);
  }

  [[nodiscard]] PullOut loss_free(AngularSpeed speed) const {
    return loss_free_pull_out(winding_, speed);
  }
  [[nodiscard]] Torque dependable(AngularSpeed speed) const { return dependable_.at(speed); }
  /// Nothing where the motor has no published point.
  [[nodiscard]] std::optional<Torque> calibrated(AngularSpeed speed) const {
    if (!calibrated_) return std::nullopt;
    return calibrated_->at(speed);
  }
  /// Nothing where the motor has no curve of two points or the speed is beyond the last one.
  [[nodiscard]] std::optional<Torque> measured(AngularSpeed speed) const {
    if (!measured_ || speed > measured_->last().speed) return std::nullopt;
    return std::min(measured_->at(speed), loss_free(speed).torque);
  }

  /// \throws InvalidInput  speed below zero or not finite
  [[nodiscard]] VerdictTorque for_verdict(AngularSpeed speed) const {
    const auto on = [](Torque torque, Basis basis) {
      return VerdictTorque{torque, basis, in_words(basis)};
    };
    if (last_speed_ && speed > *last_speed_)
      return on(std::min(calibrated_->at(speed), at_last_), Basis::beyond_measured);
    if (const auto torque = measured(speed))
      return on(*torque, transferred_ ? Basis::measured_transferred : Basis::measured);
    // Carried over, the curve may end at zero before its last speed.
    if (last_speed_) return on(newton_metres(0), Basis::measured_transferred);
    if (calibrated_) return on(calibrated_->at(speed), Basis::calibrated);
    return on(dependable_.at(speed), Basis::dependable);
  }

  [[nodiscard]] const DrivenWinding& winding() const { return winding_; }
  /// Inductance that acts over that of the model, see `Calibration::level`; nothing without a
  /// published point.
  [[nodiscard]] std::optional<double> loss_level() const { return level_; }
  /// Inductance that acts, as a published point shows it; nothing without one.
  [[nodiscard]] std::optional<Inductance> shown_inductance() const { return inductance_; }
  /// The losses that are counted: those of the model, or of this motor by its published point. A
  /// simulation takes them too, so that it moves the same motor.
  [[nodiscard]] const LossModel& losses() const { return losses_; }
  /// A published point used here lies above the loss-free curve: see `Calibration`.
  [[nodiscard]] bool points_contradict_loss_free() const { return contradicts_; }
  /// A published point rose with speed and was taken down: see `MeasuredCurve`.
  [[nodiscard]] bool points_levelled() const { return levelled_; }
  /// The feed of the published curve of two or more points that is used here.
  [[nodiscard]] std::optional<Feed> measured_feed() const { return source_feed_; }

 private:
  static constexpr double same_feed = 1e-9;  // √2 of an RMS value may be rounded differently

  DrivenWinding winding_;
  DependableCurve dependable_;
  std::optional<CalibratedCurve> calibrated_;
  std::optional<MeasuredCurve> measured_;
  std::optional<AngularSpeed> last_speed_;
  Torque at_last_{};
  std::optional<Feed> source_feed_;
  LossModel losses_;
  std::optional<double> level_;
  std::optional<Inductance> inductance_;
  bool transferred_ = false;
  bool levelled_ = false;
  bool contradicts_ = false;
};

}  // namespace pitchline::motor
