#pragma once

#include <algorithm>
#include <cmath>
#include <optional>

#include "pitchline/motion/torque_demand.hpp"
#include "pitchline/motor/microstep.hpp"
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
  /// The 5 µs are those of the tables in reference/published/ that were made by simulation; no
  /// source beside them.
  Time current_time_constant = seconds(5e-6);
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
};

/// The losses of a drive of which one efficiency is known.
///
/// \throws InvalidInput  see `Efficiency`
inline DriveLoss loss_of(Efficiency efficiency) {
  return {.driving = 1.0 / efficiency.value() - 1.0, .driven = 1.0 - efficiency.value()};
}

namespace detail {
inline void require_not_negative(double x, const char* field, const char* unit) {
  if (!(x >= 0.0) || !std::isfinite(x)) throw InvalidInput(field, ">= 0", x, unit);
}
inline void require_above_zero(double x, const char* field, const char* unit) {
  if (!(x > 0.0) || !std::isfinite(x)) throw InvalidInput(field, "> 0", x, unit);
}

inline void require_valid(const CurrentDriver& driver) {
  require_above_zero(in_seconds(driver.current_time_constant), "current time constant", "s");
  require_above_zero(in_hertz(driver.switching_frequency), "switching frequency", "Hz");
  require_not_negative(in_seconds(driver.blanking), "blanking", "s");
  require_not_negative(in_volts(driver.drop), "drop", "V");
  require_not_negative(in_seconds(driver.pulse_tick), "pulse tick", "s");
  if (!(driver.microsteps >= pulses_per_full_step(1)))
    throw InvalidInput("microsteps", ">= 1", in_pulses_per_full_step(driver.microsteps),
                       "pulse/step");
}

inline void require_valid(const Gantry& g) {
  require_not_negative(in_kilograms(g.travelling), "travelling mass", "kg");
  if (!(g.place >= 0.0 && g.place <= 1.0))
    throw InvalidInput("place along the beam", "from 0 to 1", g.place, "");
  require_above_zero(in_kilograms(g.beam), "mass of the beam", "kg");
  for (const Force& f : {g.near_friction, g.far_friction})
    require_not_negative(in_newtons(f), "friction", "N");
  for (const Force& f : {g.near_gravity, g.far_gravity})
    require_not_negative(in_newtons(f), "gravity", "N");
  require_not_negative(in_newtons_per_metre(g.squaring), "squaring stiffness", "N/m");
}

inline void require_valid_parts(const SimulatedAxis& a) {
  const bool rigid = !is_finite(a.belt_stiffness);
  if (a.strands) {
    require_above_zero(in_newtons(a.strands->tension), "strand tension", "N");
    require_above_zero(in_newtons_per_metre(a.strands->up), "stiffness of the upper strand", "N/m");
    require_above_zero(in_newtons_per_metre(a.strands->down), "stiffness of the lower strand",
                       "N/m");
    const double sum = number((a.strands->up + a.strands->down) / a.belt_stiffness);
    if (!(std::fabs(sum - 1.0) < 1e-9))
      throw InvalidInput("stiffness of both strands over that of the belt", "1", sum, "");
  }
  if (a.loss) {
    require_not_negative(a.loss->driving, "loss while driving", "");
    require_not_negative(a.loss->driven, "loss while driven", "");
  }
  const bool lossy =
      a.loss ? a.loss->driving > 0.0 || a.loss->driven > 0.0 : a.axis.efficiency.value() < 1.0;
  if (rigid && (lossy || a.beam || a.gantry))
    throw OutsideValidity(
        "a rigid belt has no losses, no beam and no second motor: give a belt "
        "stiffness");
  if (a.beam) {
    require_above_zero(in_kilograms(a.beam->mass), "mass of the beam mode", "kg");
    require_above_zero(in_newtons_per_metre(a.beam->stiffness), "stiffness of the beam", "N/m");
    const Mass most = a.gantry ? Mass(a.gantry->travelling + a.gantry->beam) : a.axis.mass;
    if (!(a.beam->mass < most))
      throw InvalidInput("mass of the beam mode", "below what it is part of",
                         in_kilograms(a.beam->mass), "kg");
  }
  if (a.gantry) require_valid(*a.gantry);
  if (a.bus) {
    require_above_zero(in_volts(a.bus->no_load), "supply voltage", "V");
    require_not_negative(in_ohms(a.bus->resistance), "supply resistance", "ohm");
    require_above_zero(in_farads(a.bus->capacitance), "capacitance", "F");
  }
}

inline void require_valid(const SimulatedAxis& a) {
  motion::detail::require_valid(a.axis);
  if (!a.gantry) require_above_zero(in_kilograms(a.axis.mass), "mass", "kg");
  require_above_zero(
      in_kilogram_square_metres(a.axis.motor_side_inertia + a.axis.driven_side_inertia),
      "inertia at the motor", "kg*m^2");
  require_not_negative(in_newtons(a.axis.friction), "friction", "N");
  require_not_negative(in_newtons(a.axis.gravity), "gravity", "N");
  const motor::DrivenWinding& w = a.winding;
  require_above_zero(in_newton_metres_per_ampere(w.torque_constant), "torque constant", "N*m/A");
  require_above_zero(in_ohms(w.resistance), "resistance", "ohm");
  require_above_zero(in_henries(w.inductance), "inductance", "H");
  require_above_zero(w.pole_pairs, "pole pairs", "");
  require_above_zero(in_amperes(w.amplitude), "current amplitude", "A");
  require_above_zero(in_volts(w.voltage), "voltage", "V");
  require_valid(a.driver);
  if (!((a.bus ? a.bus->no_load : w.voltage) > a.driver.drop))
    throw InvalidInput("drop", "below the voltage", in_volts(a.driver.drop), "V");
  if (!(a.belt_stiffness > newtons_per_metre(0)))
    throw InvalidInput("belt stiffness", "> 0", in_newtons_per_metre(a.belt_stiffness), "N/m");
  require_not_negative(in_newton_metre_seconds_per_radian(a.motor_drag), "motor drag", "N*m*s/rad");
  require_not_negative(in_newton_metre_seconds_per_radian(a.swing_damping), "swing damping",
                       "N*m*s/rad");
  require_not_negative(in_newton_metres(a.detent_torque), "detent torque", "N*m");
  require_not_negative(in_newton_metres(a.iron_torque), "iron torque", "N*m");
  require_not_negative(in_newtons(a.static_friction), "static friction", "N");
  require_above_zero(in_metres_per_second(a.friction_speed), "friction speed", "m/s");
  require_valid_parts(a);
}
}  // namespace detail

}  // namespace pitchline::simulate
