#pragma once

#include "pitchline/machine/machine.hpp"

namespace pitchline::testing {

/// One belt axis of the kite loft, our own invented machine: no figure of it is a measurement.
inline axis::BeltAxis kite_loft_drive() {
  axis::BeltAxis drive{.motor = {.name = "invented NEMA 17",
                                 .full_steps_per_turn = full_steps(200),
                                 .holding_torque = newton_metres(0.55),
                                 .rated_current = amperes(2.0),
                                 .resistance = ohms(1.4),
                                 .inductance = millihenries(2.6),
                                 .rotor_inertia = kilogram_square_metres(8e-6),
                                 .source = "invented",
                                 .shaft_diameter = millimetres(5),
                                 .shaft_load = newtons(80)},
                       .driver = {.current = amperes(2.0),
                                  .current_is = parts::CurrentIs::rms,
                                  .pulses_per_turn = pulses(3200)},
                       .pulley_teeth = 20,
                       .pulley_inertia = kilogram_square_metres(2e-7),
                       .efficiency = Efficiency(0.95),
                       .travel = millimetres(1500),
                       .span = millimetres(1700),
                       .moving = {{.name = "carriage", .mass = kilograms(0.9)}},
                       .guide = {.kind = "profile rail",
                                 .blocks = 2,
                                 .friction = FrictionCoefficient(0.004),
                                 .drag = newtons(4)},
                       .incline = degrees(0)};
  drive.belt.profile.name = "GT 2 mm";
  drive.belt.profile.pitch_millimetres = Fraction(2);
  drive.belt.profile.stiffness_per_width = newtons_per_millimetre(3115);
  drive.belt.profile.mass_per_width = kilograms_per_metre(0.0014) / millimetres(1);
  drive.belt.profile.pitch_line_differential = {millimetres(0.254), "invented"};
  drive.belt.profile.tooth_height = {millimetres(0.76), "invented"};
  drive.belt.profile.construction = parts::Construction::rubber_glass;
  drive.belt.profile.open_ended_tension = {.rows = {{millimetres(9), newtons(39)}},
                                           .source = "invented"};
  drive.belt.profile.smallest_pulley = {.limits = {{.teeth = 12}}, .source = "invented"};
  drive.belt.width = millimetres(9);
  return drive;
}

/// The kite loft with that one axis.
inline machine::Machine kite_loft() {
  machine::Machine loft{.name = "Kite loft", .torque_margin = TorqueMargin(1.1)};
  loft.supply = {.voltage = volts(36), .power = watts(350)};
  loft.controller = {.pulse_rate = pulses_per_second(200e3), .decimals = 3};
  loft.axes.push_back({.name = "x",
                       .drive = kite_loft_drive(),
                       .want = {.speed = millimetres_per_second(300),
                                .acceleration = metres_per_second_squared(2),
                                .position_error = millimetres(0.5),
                                .corner_error = millimetres(1.0)}});
  return loft;
}

}  // namespace pitchline::testing
