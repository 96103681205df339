#pragma once

#include <algorithm>
#include <array>
#include <numbers>

#include "pitchline/motor/feed.hpp"
#include "pitchline/motor/loss_free_torque.hpp"
#include "pitchline/motor/loss_model.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motor {

namespace detail {

/// The lossy curve for one value of the inductance, without the reserve at speed.
class LossyCurve {
 public:
  LossyCurve(const DrivenWinding& winding, Resistance eddy_resistance, Torque drag)
      : winding_(winding),
        eddy_resistance_(eddy_resistance),
        drag_(drag),
        corner_(corner_speed(winding)),
        at_corner_(unrestrained(corner_)) {}

  /// May be below zero: no torque is left.
  [[nodiscard]] Torque at(AngularSpeed speed) const {
    const Torque torque = unrestrained(speed);
    // Just above the corner the eddy torque falls faster than the rest; pull-out torque may not
    // rise.
    const bool above = speed > corner_ && corner_ > radians_per_second(0);
    return above ? std::min(torque, at_corner_) : torque;
  }
  [[nodiscard]] AngularSpeed corner() const { return corner_; }

 private:
  [[nodiscard]] Torque unrestrained(AngularSpeed speed) const {
    const PullOut most = loss_free_pull_out(winding_, speed);
    if (!(most.torque > newton_metres(0))) return newton_metres(0);
    if (!(speed > radians_per_second(0))) return most.torque - drag_;
    const Resistance reactance = winding_.pole_pairs * speed * winding_.inductance / radian;
    const Voltage across = reactance * most.quadrature;
    const Voltage along = winding_.torque_constant * speed + reactance * most.direct;
    const Torque eddy = (across * across + along * along) / (eddy_resistance_ * speed);
    return most.torque * number(most.torque / (most.torque + eddy)) - drag_;
  }

  DrivenWinding winding_;
  Resistance eddy_resistance_;
  Torque drag_;
  AngularSpeed corner_;
  Torque at_corner_;
};

}  // namespace detail

/// The torque a verdict rests on while the motor has no published point: the loss-free curve of a
/// warm winding on a sagging supply, less what iron and friction take, and far above the corner no
/// more than half of the loss-free torque.
///
///     T   = max(0, min(F(k_L L), F(L), σ T_0))
///     F   = f(ω), above its corner ω_c at most f(ω_c)
///     f   = T_1²/(T_1 + T_e) − T_d
///     T_e = [(X i_q)² + (K_t ω + X i_d)²]/(R_fe ω),  R_fe = Γ L/T_h,  X = N_r ω L
///     T_d = max(k_d T_h, 0.022 N·m, detent torque)
///     σ   = 1 up to ω_c0, falls in proportion to ω to 0.5 at 2 ω_c0, stays; 0.5 where ω_c0 = 0
///
///     T_1, i_q, i_d  loss-free torque and currents at k_R R, k_v V, k_i I and the inductance
///     T_0, ω_c0      loss-free torque and corner at the sheet's R and L, full V and I
///     T_h            holding torque, both phases on
///     k_…, Γ, σ      see LossModel, where each has its source
///     I              feed.amplitude, at most √2 times the rated current: see `counted`
///     T              result, N·m, ≥ 0, never above T_0, never rising with ω
///
/// T_1²/(T_1 + T_e) is T_1 − T_e to first order; eddy currents weaken the flux that drives them, so
/// torque does not fall below zero by them. The flux is the one present at each speed, set by the
/// current below the corner and by the voltage above. The smaller of two inductances: more lowers
/// the torque but where the current is below K_t/(N_r L), and there it moves the end of the curve
/// outwards.
///
/// Scored on 28 published points of four motors at 24 V to 48 V (tests/motor/dependable_curve.cpp):
/// 0.49 to 0.95 of what was published, so the real curve is 1.05 to 2.0 times this one. Nothing was
/// seen above 48 V, of NEMA 24, or of 0.9° motors. Rests on the current convention: RMS read as
/// peak is 41 %. More voltage can lower the torque just at the corner (iron loss), and more current
/// lowers ω_c0 and with it σ.
///
/// Source: derived, but Γ and σ are fitted to the published curves: [pull-out].
class DependableCurve {
 public:
  /// \throws InvalidInput  see `parts::require_valid`, `require_valid(LossModel)`; voltage or
  ///                       amplitude not above zero
  DependableCurve(const parts::StepperMotor& motor, const Feed& feed, const LossModel& model = {})
      : nominal_(driven_winding(motor, counted(motor, feed))),
        corner_(corner_speed(nominal_)),
        share_(model.share_at_speed.value()),
        share_reached_at_(model.share_reached_at.value()),
        lossy_(lossy_pair(motor, nominal_, model)) {}

  /// \throws InvalidInput  speed below zero or not finite
  [[nodiscard]] Torque at(AngularSpeed speed) const {
    Torque torque = share(speed) * loss_free_pull_out(nominal_, speed).torque;
    for (const detail::LossyCurve& curve : lossy_) torque = std::min(torque, curve.at(speed));
    return std::max(torque, newton_metres(0));
  }

  /// Where the torque begins to fall for want of voltage, with the losses counted.
  [[nodiscard]] AngularSpeed corner() const { return lossy_[0].corner(); }

 private:
  static std::array<detail::LossyCurve, 2> lossy_pair(const parts::StepperMotor& motor,
                                                      DrivenWinding winding,
                                                      const LossModel& model) {
    require_valid(model);
    const Torque holding =
        std::numbers::sqrt2 * (winding.torque_constant * motor.rated_current);  // both phases on
    const Resistance eddy_resistance = model.eddy_constant * winding.inductance / holding;
    Torque drag = std::max(model.drag.value() * holding, model.least_drag);
    if (!is_unset(motor.detent_torque)) drag = std::max(drag, motor.detent_torque);
    winding.resistance *= model.hot_winding.value();
    winding.voltage *= model.voltage_share.value();
    winding.amplitude *= model.current_share.value();
    DrivenWinding heavy = winding;
    heavy.inductance *= model.inductance.value();
    return {detail::LossyCurve(heavy, eddy_resistance, drag),
            detail::LossyCurve(winding, eddy_resistance, drag)};
  }

  [[nodiscard]] double share(AngularSpeed speed) const {
    if (speed >= share_reached_at_ * corner_) return share_;
    if (speed <= corner_) return 1.0;
    return 1.0 - (1.0 - share_) * (number(speed / corner_) - 1.0) / (share_reached_at_ - 1.0);
  }

  DrivenWinding nominal_;
  AngularSpeed corner_;
  double share_;
  double share_reached_at_;
  std::array<detail::LossyCurve, 2> lossy_;
};

/// One value of `DependableCurve`.
///
/// \throws InvalidInput  as `DependableCurve`
inline Torque dependable_torque(const parts::StepperMotor& motor, const Feed& feed,
                                AngularSpeed speed, const LossModel& model = {}) {
  return DependableCurve(motor, feed, model).at(speed);
}

}  // namespace pitchline::motor
