#pragma once

#include <algorithm>

#include "pitchline/motor/feed.hpp"
#include "pitchline/motor/loss_free_torque.hpp"
#include "pitchline/motor/loss_model.hpp"
#include "pitchline/motor/lossy_winding.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motor {

/// What published torque was over the predicted one, and how many points and motors that rests on.
struct ComparedRange {
  double least = 0.0;
  double most = 0.0;
  int points = 0;  ///< predicted
  int motors = 0;  ///< each judged by constants fitted to the others alone, but where it says so
};

/// Of the dependable curve, for a motor without a published point: tests/motor/left_out.cpp.
inline constexpr ComparedRange compared_alone{
    .least = 1.10, .most = 1.63, .points = 43, .motors = 6};
/// The same, judged by the constants of all six, the motor's own points among those fitted to.
inline constexpr ComparedRange compared_fitted{
    .least = 1.11, .most = 1.64, .points = 43, .motors = 6};
/// Of the calibrated curve, each published point in turn as the one that is known: below 1 where a
/// published curve rises with speed.
inline constexpr ComparedRange compared_with_one_point{
    .least = 0.96, .most = 1.60, .points = 324, .motors = 6};

/// The torque a verdict rests on while the motor has no published point: the loss-free curve of the
/// winding as it acts, less what hysteresis and friction take.
///
///     T = max(0, min(F(L_e), F(L)) − T_d)
///
///     F    loss-free torque at k_R R, k_v V, k_i I and the inductance
///     L_e  see `effective_inductance`
///     L    inductance of the sheet
///     T_d  see `drag_torque`
///     k_…  see LossModel, where each has its source
///     I    feed.amplitude, at most √2 times the rated current: see `counted`
///     T    result, N·m, ≥ 0; never above the loss-free torque, never rising with ω, never falling
///          as V or I rises
///
/// The smaller of two inductances: more lowers the torque but where the current is below
/// K_t/(N_r L), and there it moves the end of the curve outwards.
///
/// Each of six motors at 24 V to 48 V judged by constants fitted to the other five: 0.61 to 0.91 of
/// what was published, in the mean 0.77 (tests/motor/left_out.cpp), NEMA 17, 23 and 34. Nothing was
/// seen above 48 V, of NEMA 24, or of 0.9° motors. Rests on the current convention: RMS read as
/// peak is 41 %.
///
/// Source: derived; φ and k_i are fitted to the published curves, [pull-out].
class DependableCurve {
 public:
  /// \throws InvalidInput  see `parts::require_valid`, `require_valid(LossModel)`; voltage or
  ///                       amplitude not above zero
  DependableCurve(const parts::StepperMotor& motor, const Feed& feed, const LossModel& model = {})
      : heavy_(lossy_winding(motor, feed, model)),
        light_(heavy_),
        drag_(drag_torque(motor, model)),
        corner_(corner_speed(heavy_)) {
    light_.inductance = motor.inductance;
  }

  /// \throws InvalidInput  speed below zero or not finite
  [[nodiscard]] Torque at(AngularSpeed speed) const {
    const Torque torque = std::min(loss_free_pull_out(heavy_, speed).torque,
                                   loss_free_pull_out(light_, speed).torque);
    return std::max(torque - drag_, newton_metres(0));
  }

  /// Where the torque begins to fall for want of voltage, with the losses counted.
  [[nodiscard]] AngularSpeed corner() const { return corner_; }

 private:
  DrivenWinding heavy_;
  DrivenWinding light_;
  Torque drag_;
  AngularSpeed corner_;
};

/// One value of `DependableCurve`.
///
/// \throws InvalidInput  as `DependableCurve`
inline Torque dependable_torque(const parts::StepperMotor& motor, const Feed& feed,
                                AngularSpeed speed, const LossModel& model = {}) {
  return DependableCurve(motor, feed, model).at(speed);
}

}  // namespace pitchline::motor
