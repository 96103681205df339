#pragma once

#include <cmath>
#include <numbers>

#include "pitchline/parts/stepper_motor.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motor {

/// Torque per ampere of one phase at its best angle, equal to the back-EMF constant.
///
///     K_t = T_h / (√2 I_r)   both phases on at I_r: the two torques add at right angles
///     K_t = T_h / I_r        one phase on
///
///     T_h  holding_torque  N·m  > 0
///     I_r  rated_current   A    > 0
///     K_t  result          N·m/A = V·s/rad
///
/// \throws InvalidInput  see `parts::require_valid`
///
/// Source: [AMCI] and others for the convention; the √2 is derived, two sines a quarter period
/// apart. Checked against the printed back-EMF examples of [Duet].
inline TorqueConstant torque_constant(const parts::StepperMotor& motor) {
  parts::require_valid(motor);
  const double phases =
      motor.holding_rating == parts::HoldingRating::two_phases_on ? std::numbers::sqrt2 : 1.0;
  return motor.holding_torque / (phases * motor.rated_current);
}

/// Pole pairs: electrical turns per turn of the shaft, a quarter of the full steps.
///
/// Source: [Kosow] example 11-3: 50 rotor teeth give 1.8°.
inline double pole_pairs(const parts::StepperMotor& motor) {
  return in_full_steps(motor.full_steps_per_turn) / 4.0;
}

/// One motor winding behind one current driver: all that the pull-out curve depends on.
struct DrivenWinding {
  TorqueConstant torque_constant = unset<TorqueConstant>();
  Resistance resistance = unset<Resistance>();
  Inductance inductance = unset<Inductance>();
  double pole_pairs = std::numeric_limits<double>::quiet_NaN();
  Current amplitude = unset<Current>();  ///< of the sinusoidal phase current the driver commands
  Voltage voltage = unset<Voltage>();    ///< largest amplitude of the phase-voltage fundamental
};

/// The winding of `motor` fed with current of `amplitude` from a bridge on `voltage`.
///
/// \throws InvalidInput  see `parts::require_valid`; amplitude or voltage not above zero
inline DrivenWinding driven_winding(const parts::StepperMotor& motor, Current amplitude,
                                    Voltage voltage) {
  require_positive("phase current", amplitude);
  require_positive("voltage", voltage);
  return {.torque_constant = torque_constant(motor),
          .resistance = motor.resistance,
          .inductance = motor.inductance,
          .pole_pairs = pole_pairs(motor),
          .amplitude = amplitude,
          .voltage = voltage};
}

}  // namespace pitchline::motor
