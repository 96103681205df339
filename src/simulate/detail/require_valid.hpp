#pragma once

#include <cmath>

#include "pitchline/simulate/axis.hpp"

namespace pitchline::simulate::detail {

inline void require_valid(const CurrentDriver& driver) {
  require_positive("current time constant", driver.current_time_constant);
  require_positive("switching frequency", driver.switching_frequency);
  require_not_negative("blanking", driver.blanking);
  require_not_negative("drop", driver.drop);
  require_not_negative("pulse tick", driver.pulse_tick);
  if (!(driver.microsteps >= pulses_per_full_step(1)))
    throw InvalidInput("microsteps", ">= 1", in_pulses_per_full_step(driver.microsteps),
                       "pulse/step");
}

inline void require_valid(const Gantry& g) {
  require_not_negative("travelling mass", g.travelling);
  require_in_range("place along the beam", g.place, 0.0, 1.0);
  require_positive("mass of the beam", g.beam);
  for (const Force& f : {g.near_friction, g.far_friction}) require_not_negative("friction", f);
  for (const Force& f : {g.near_gravity, g.far_gravity}) require_not_negative("gravity", f);
  require_not_negative("squaring stiffness", g.squaring);
}

inline void require_valid_parts(const SimulatedAxis& a) {
  const bool rigid = !is_finite(a.belt_stiffness);
  if (a.strands) {
    require_positive("strand tension", a.strands->tension);
    require_positive("stiffness of the upper strand", a.strands->up);
    require_positive("stiffness of the lower strand", a.strands->down);
    const double sum = number((a.strands->up + a.strands->down) / a.belt_stiffness);
    if (!(std::fabs(sum - 1.0) < 1e-9))
      throw InvalidInput("stiffness of both strands over that of the belt", "1", sum, "");
  }
  if (a.loss) {
    require_not_negative("loss while driving", a.loss->driving);
    require_not_negative("loss while driven", a.loss->driven);
  }
  const bool lossy =
      a.loss ? a.loss->driving > 0.0 || a.loss->driven > 0.0 : a.axis.efficiency.value() < 1.0;
  if (rigid && (lossy || a.beam || a.gantry))
    throw OutsideValidity(
        "a rigid belt has no losses, no beam and no second motor: give a belt "
        "stiffness");
  if (a.beam) {
    require_positive("mass of the beam mode", a.beam->mass);
    require_positive("stiffness of the beam", a.beam->stiffness);
    const Mass most = a.gantry ? Mass(a.gantry->travelling + a.gantry->beam) : a.axis.mass;
    if (!(a.beam->mass < most))
      throw InvalidInput("mass of the beam mode", "below what it is part of",
                         in_kilograms(a.beam->mass), "kg");
  }
  if (a.gantry) require_valid(*a.gantry);
  if (a.bus) {
    require_positive("supply voltage", a.bus->no_load);
    require_not_negative("supply resistance", a.bus->resistance);
    require_positive("capacitance", a.bus->capacitance, shown::farads);
  }
  if (a.share) {
    require_positive("top speed of the torque share", a.share->top);
    if (a.share->shares.size() < 2)
      throw InvalidInput("torque shares", "at least two",
                         static_cast<double>(a.share->shares.size()), "");
    for (const double each : a.share->shares)
      if (!(each > 0.0) || !std::isfinite(each))
        throw InvalidInput("torque share", "> 0", each, "");
  }
}

inline void require_valid(const SimulatedAxis& a) {
  motion::require_valid(a.axis);
  if (!a.gantry) require_positive("mass", a.axis.mass);
  require_positive("inertia at the motor", a.axis.motor_side_inertia + a.axis.driven_side_inertia);
  require_not_negative("friction", a.axis.friction);
  require_not_negative("gravity", a.axis.gravity);
  const motor::DrivenWinding& w = a.winding;
  require_positive("torque constant", w.torque_constant);
  require_positive("resistance", w.resistance);
  require_positive("inductance", w.inductance);
  require_positive("pole pairs", w.pole_pairs);
  require_positive("current amplitude", w.amplitude);
  require_positive("voltage", w.voltage);
  require_valid(a.driver);
  if (!((a.bus ? a.bus->no_load : w.voltage) > a.driver.drop))
    throw InvalidInput("drop", "below the voltage", in_volts(a.driver.drop), "V");
  require_positive_or_infinite("belt stiffness", a.belt_stiffness);
  require_not_negative("motor drag", a.motor_drag);
  require_not_negative("swing damping", a.swing_damping);
  require_not_negative("detent torque", a.detent_torque);
  require_not_negative("iron torque", a.iron_torque);
  require_not_negative("static friction", a.static_friction);
  require_positive("friction speed", a.friction_speed);
  require_valid_parts(a);
}

}  // namespace pitchline::simulate::detail
