#pragma once

#include <numbers>

#include "pitchline/motor/winding.hpp"

namespace pitchline::testing {

/// A two-phase motor with 200 full steps a turn. The rotor is a stand-in where a case has none.
inline parts::StepperMotor stepper(double holding_Nm, double rated_A, double ohm, double mH,
                                   double rotor_kgm2 = 1e-5) {
  return {.name = "test",
          .full_steps_per_turn = full_steps(200),
          .holding_torque = newton_metres(holding_Nm),
          .rated_current = amperes(rated_A),
          .resistance = ohms(ohm),
          .inductance = millihenries(mH),
          .rotor_inertia = kilogram_square_metres(rotor_kgm2)};
}

/// The motors of reference/published/pullout.csv, chosen for that table, no maker's products.
inline parts::StepperMotor tabled_motor(std::string_view name) {
  if (name == "NEMA17") return stepper(0.45, 1.5, 2.0, 3.2);
  if (name == "NEMA23") return stepper(1.9, 2.8, 1.13, 5.4);
  return stepper(8.5, 6.0, 0.5, 5.0);
}

/// Motor A of the check table: 1.89 N*m, 2.8 A, 1.13 ohm, 5.4 mH at 48 V and 2.69 A RMS, the
/// current of its published curve.
inline motor::DrivenWinding motor_a() {
  return motor::driven_winding(stepper(1.89, 2.8, 1.13, 5.4), amperes(3.804235), volts(48));
}

/// Motor B of the check table: 9.0 N*m, 6.0 A, 0.45 ohm, 4.6 mH at 48 V and the full rating.
inline motor::DrivenWinding motor_b() {
  return motor::driven_winding(stepper(9.0, 6.0, 0.45, 4.6), amperes(6.0 * std::numbers::sqrt2),
                               volts(48));
}

}  // namespace pitchline::testing
