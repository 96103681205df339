#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "pitchline/motion/torque_demand.hpp"
#include "pitchline/motor/microstep.hpp"
#include "pitchline/motor/steady_running.hpp"
#include "pitchline/motor/winding.hpp"
#include "pitchline/units.hpp"

namespace pitchline::simulate {

/// How Coulomb friction is computed where the speed passes zero.
enum class FrictionModel {
  sticking,  ///< holds what is below the static limit, exactly
  smooth,    ///< F tanh(v/v_s): creeps instead of sticking, and has no events
};

/// How the driver makes the current.
enum class Regulation {
  averaged,   ///< proportional to what is missing, up to its voltage; no ripple
  switching,  ///< full voltage from each tick of a clock until the current is reached, then decay
};

/// A current driver and the pulses that it is sent.
struct CurrentDriver {
  Regulation regulation = Regulation::averaged;
  /// Averaged: L over the gain in volts per ampere, how fast the current follows below the limit.
  Time current_time_constant = motor::usual_current_time_constant;
  /// Switching: its clock. Common practice, no source: 20 to 40 kHz.
  Frequency switching_frequency = hertz(30e3);
  /// Switching: shortest time that the full voltage stands. From the same tables.
  Time blanking = seconds(1e-6);
  Voltage drop{};  ///< lost in the bridge at any current; ≥ 0
  /// Jumps of the commanded angle; unlimited: it turns without jumps.
  PulsesPerFullStep microsteps = unlimited<PulsesPerFullStep>();
  Time pulse_tick{};  ///< pulses leave the controller at multiples of this; 0: when they are due
};

/// The two strands of a belt that pull one load, each from its own side.
struct BeltStrands {
  Force tension = unset<Force>();     ///< in both at rest, without load; > 0
  Stiffness up = unset<Stiffness>();  ///< of the strand that pulls upwards
  Stiffness down = unset<Stiffness>();
};

/// Losses of a drive that grow with the force it passes on, of that force at the motor.
struct DriveLoss {
  double driving = 0.0;  ///< while the motor drives the load: 1/η − 1
  double driven = 0.0;   ///< while the load drives the motor: 1 − η; above 1 the drive locks
};

/// One way in which a beam bends, carrying the tool.
struct BeamMode {
  Mass mass = unset<Mass>();  ///< that swings; part of what is moved, the travelling part first
  Stiffness stiffness = unset<Stiffness>();
  DampingRatio damping;
};

/// Two motors with a belt each at the ends of a rigid beam. `axis.mass`, friction and gravity of
/// the axis are then not used.
struct Gantry {
  Mass travelling = unset<Mass>();  ///< what travels along the beam
  double place = 0.0;               ///< where it stands, 0 at the near side, 1 at the far
  Mass beam = unset<Mass>();        ///< all the rest, even along the beam
  Force near_friction{}, far_friction{};
  Force near_gravity{}, far_gravity{};
  /// Resistance of guides against one side running ahead, as force on each side over how far it is
  /// ahead of the other; 0: none.
  Stiffness squaring{};
};

/// A supply behind which a capacitor stands, feeding this axis alone.
struct Bus {
  Voltage no_load = unset<Voltage>();
  Resistance resistance{};  ///< between supply and capacitor; it only gives
  Capacitance capacitance = unset<Capacitance>();
};

/// What a motor really gives over what the torque of its field comes to, at commanded speeds from
/// rest up: straight lines between even steps. The field is as stiff as it is strong, so the load
/// angle is what a motor of that torque has. What a share below 1 keeps back counts as a loss of
/// the motor, so that the account of energy stays exact.
struct TorqueShare {
  AngularSpeed top = unset<AngularSpeed>();  ///< of the shaft; > 0
  std::vector<double> shares{};              ///< at least two, each > 0; the last at `top`
};

/// One straight axis with its motor, its belt and its driver, as it moves in time.
struct SimulatedAxis {
  motion::AxisAtMotor axis{};  ///< its friction is the kinetic one
  /// Its resistance with driver and cable, hot. Its voltage limits each phase by itself: fully at
  /// the limit the fundamental is 4/π of it.
  motor::DrivenWinding winding{};
  Stiffness belt_stiffness = unset<Stiffness>();  ///< at the load; unlimited: rigid
  DampingRatio belt_damping;  ///< of the load alone on the belt, the rotor held still
  RotaryDrag motor_drag{};
  Torque detent_torque{};      ///< T_d
  Torque iron_torque{};        ///< constant, against the turning of the rotor
  RotaryDrag swing_damping{};  ///< on the rotor's speed less the commanded one, so without drag
  Force static_friction{};     ///< of the load; what is below `axis.friction` counts as that
  FrictionModel friction_model = FrictionModel::sticking;
  /// Of the smooth model. The 2 mm/s are those of the tables in reference/published/.
  Speed friction_speed = metres_per_second(2e-3);
  CurrentDriver driver{};
  std::optional<BeltStrands> strands{};  ///< whose sum is the belt stiffness; a strand can go slack
  std::optional<DriveLoss> loss{};       ///< nothing: as the efficiency of the axis says
  std::optional<BeamMode> beam{};
  std::optional<Gantry> gantry{};
  std::optional<Bus> bus{};
  std::optional<TorqueShare> share{};  ///< nothing: all of it, at every speed
};

/// The losses of a drive of which one efficiency is known.
///
/// \throws InvalidInput  see `Efficiency`
inline DriveLoss loss_of(Efficiency efficiency) {
  return {.driving = 1.0 / efficiency.value() - 1.0, .driven = 1.0 - efficiency.value()};
}

namespace detail {
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
}  // namespace detail

}  // namespace pitchline::simulate
