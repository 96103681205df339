#pragma once

#include <algorithm>
#include <optional>

#include "pitchline/motor/lossy_winding.hpp"
#include "pitchline/motor/pull_out_curve.hpp"
#include "pitchline/motor/steady_running.hpp"
#include "pitchline/motor/unstable_bands.hpp"

namespace pitchline::motor {

/// Where the torque of a field goes at one speed.
struct TorqueOfField {
  Torque for_verdict = unset<Torque>();  ///< what a verdict rests on, at the shaft
  Torque lost = unset<Torque>();         ///< in iron and bearings
};

/// A motor as a verdict counts on it, at one constant speed; see `VerdictMotor`.
class VerdictMotorAtSpeed {
 public:
  VerdictMotorAtSpeed(const SteadyRunning& running, const TorqueOfField& torque)
      : running_(running), for_verdict_(torque.for_verdict), lost_(torque.lost) {
    if (running.pull_out() > Torque{}) share_ = number((for_verdict_ + lost_) / running.pull_out());
  }

  /// Torque at the shaft for a verdict and what is lost, over the pull-out of the field; 1 where
  /// the field makes none. Below 1 nearly everywhere; above it where a published curve lies above
  /// the model.
  [[nodiscard]] double share() const { return share_; }

  /// How far the field leads the rotor under a torque at the shaft, electrical; nothing where the
  /// torque is above what a verdict rests on. `driver_lag` is part of it.
  ///
  /// \throws InvalidInput  torque not finite
  [[nodiscard]] std::optional<Angle> load_angle(Torque torque) {
    if (torque > for_verdict_ || !(running_.pull_out() > Torque{})) return std::nullopt;
    // At pull-out itself rounding may put the torque above it.
    return running_.load_angle(std::min(Torque((torque + lost_) / share_), running_.pull_out()));
  }

  /// How far the field leads a rotor that it pulls with no torque: the current lags behind the
  /// command of a driver whose voltage is at its limit.
  [[nodiscard]] Angle driver_lag() {
    if (!driver_lag_) driver_lag_ = running_.load_angle(Torque{}).value_or(Angle{});
    return *driver_lag_;
  }

 private:
  SteadyRunning running_;
  Torque for_verdict_, lost_;
  double share_ = 1.0;
  std::optional<Angle> driver_lag_{};  // once it was asked
};

/// The motor that a verdict counts on, as it runs: its winding as it acts, what iron and bearings
/// take, and its torque scaled so that its static pull-out is that of `PullOutCurve::for_verdict`
/// at each speed.
///
/// The scale stands for all that takes torque at speed and is known as torque alone: more eddy
/// currents and saturation than the linear winding has, a published curve that lies elsewhere. It
/// multiplies the torque of the field and so the stiffness of the field, and with that the lag.
class VerdictMotor {
 public:
  /// The curve must outlive this.
  ///
  /// \throws InvalidInput  see `lossy_winding`, `drag_torque`
  VerdictMotor(const parts::StepperMotor& motor, const Feed& feed, const PullOutCurve& curve)
      : curve_(&curve),
        winding_(lossy_winding(motor, feed, curve.losses())),
        iron_(drag_torque(motor, curve.losses())),
        damping_(assumed_motor_damping(motor)) {}

  [[nodiscard]] const DrivenWinding& winding() const { return winding_; }

  /// What iron and bearings take of the torque of the field: T_i + B ω.
  [[nodiscard]] Torque lost(AngularSpeed speed) const { return iron_ + damping_ * speed; }

  /// The motor at constant speed.
  ///
  /// \throws InvalidInput  speed below zero or not finite
  [[nodiscard]] VerdictMotorAtSpeed at(AngularSpeed speed) const {
    return {SteadyRunning(winding_, speed),
            {.for_verdict = curve_->for_verdict(speed).torque, .lost = lost(speed)}};
  }

 private:
  const PullOutCurve* curve_;
  DrivenWinding winding_;
  Torque iron_;
  RotaryDrag damping_;
};

}  // namespace pitchline::motor
