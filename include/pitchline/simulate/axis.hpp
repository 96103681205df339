#pragma once

#include <optional>
#include <vector>

#include "pitchline/motion/torque_demand.hpp"
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

}  // namespace pitchline::simulate
