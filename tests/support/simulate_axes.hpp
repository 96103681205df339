#pragma once

#include <cmath>
#include <string_view>

#include "pitchline/simulate/completing.hpp"
#include "support/csv.hpp"
#include "support/windings.hpp"

namespace pitchline::testing {

/// An axis of reference/published/axis_step_loss.csv, with its smooth friction.
inline simulate::SimulatedAxis tabled_axis(const CsvRow& row) {
  const double stiffness = row.number("belt_stiffness_N_per_m");
  const double mass = row.number("mass_kg");
  const double damping = row.number("belt_damping_Ns_per_m");
  return {.axis = {.transmission = metres_per_radian(row.number("pulley_pitch_radius_m")),
                   .mass = kilograms(mass),
                   .motor_side_inertia = kilogram_square_metres(row.number("J_motor_kgm2") +
                                                                row.number("J_pulley_kgm2")),
                   .friction = newtons(row.number("coulomb_N"))},
          .winding = motor::driven_winding(tabled_motor(row.text("motor")),
                                           amperes(row.number("I_pk_A")), volts(row.number("V_V"))),
          .belt_stiffness = newtons_per_metre(stiffness),
          .belt_damping = DampingRatio(damping / 2.0 / std::sqrt(stiffness * mass)),
          .motor_drag = newton_metre_seconds_per_radian(row.number("B_motor_Nms_per_rad")),
          .friction_model = simulate::FrictionModel::smooth};
}

/// The first axis of that table, C1: NEMA 17, 24 V, 1 kg.
inline simulate::SimulatedAxis first_tabled_axis() {
  return tabled_axis(published("axis_step_loss.csv").front());
}

/// The motors of pullout_simulated.csv turning alone: the rotors that the table was made with, a
/// travel of 10 mm a radian, and next to no mass. Damped as there, to some 0.3 of critical.
inline simulate::SimulatedAxis spinning_motor(std::string_view name, Current amplitude,
                                              Voltage voltage) {
  const double inertia = name == "NEMA17" ? 54e-7 : name == "NEMA23" ? 480e-7 : 2700e-7;
  const motor::DrivenWinding winding =
      motor::driven_winding(tabled_motor(name), amplitude, voltage);
  const double field_stiffness = winding.pole_pairs *
                                 in_newton_metres_per_ampere(winding.torque_constant) *
                                 in_amperes(amplitude);
  return {.axis = {.transmission = metres_per_radian(0.01),
                   .mass = kilograms(1e-9),
                   .motor_side_inertia = kilogram_square_metres(inertia)},
          .winding = winding,
          .belt_stiffness = unlimited<Stiffness>(),
          .belt_damping = DampingRatio(0.0),
          .swing_damping =
              newton_metre_seconds_per_radian(2.0 * 0.3 * std::sqrt(field_stiffness * inertia)),
          .friction_model = simulate::FrictionModel::smooth};
}

}  // namespace pitchline::testing
