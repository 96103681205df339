#pragma once

#include <algorithm>
#include <optional>
#include <string>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motor/unstable_bands.hpp"

namespace pitchline::check {

/// What an axis asks of one of its motors; torques at the motor's shaft, forces and masses at the
/// load.
struct AxisLoad {
  Torque constant_speed = unset<Torque>();  ///< to keep moving, uphill where the axis is inclined
  Torque accelerating = unset<Torque>();    ///< while a rigid axis accelerates as wanted
  Torque start_peak = unset<Torque>();      ///< largest of the move that will run, swings included
  Torque friction = unset<Torque>();        ///< part of `constant_speed` that is no gravity
  Acceleration acceleration = unset<Acceleration>();
  Speed speed = unset<Speed>();
  Transmission transmission = unset<Transmission>();
  Mass mass_behind_belt = unset<Mass>();          ///< with what turns there, as J/t²
  Stiffness belt_stiffness = unset<Stiffness>();  ///< smallest over the travel; unset: not known
  DampingRatio belt_damping{0.0};                 ///< of the load swinging on it
  TorqueMargin margin{1.0};                       ///< that the builder wants over `start_peak`
};

/// A motor with its supply, driver and load: all that a motor sheet is made of.
struct MotorUse {
  std::string name{};  ///< of the machine and axis; empty for a motor by itself
  parts::StepperMotor motor{};
  motor::Feed feed{};
  PulsesPerFullStep microsteps = unset<PulsesPerFullStep>();
  Inertia inertia = unset<Inertia>();  ///< rotor and what sits on its shaft without a spring
  std::optional<AxisLoad> load{};
  std::optional<AngularSpeed> top_speed{};  ///< where the table ends; none: chosen
};

/// The deciding motor of an axis, as the machine uses it.
///
/// \throws InvalidInput  a field of the machine outside its range, or never set
inline MotorUse motor_use(const machine::Machine& machine, const machine::Axis& axis) {
  const AxisState state = state_of(machine, axis);
  const motion::AxisAtMotor& seen = state.seen;
  motion::AxisAtMotor level = seen;
  level.gravity = newtons(0);
  const Acceleration none = metres_per_second_squared(0);
  const auto square = seen.transmission * seen.transmission;
  return {.name = machine.name + ", axis " + axis.name,
          .motor = state.motor(),
          .feed = {machine.supply.voltage, parts::current_amplitude(state.driver())},
          .microsteps = state.driver().pulses_per_turn / state.motor().full_steps_per_turn,
          .inertia = seen.motor_side_inertia,
          .load = AxisLoad{.constant_speed = motion::rigid_torque(seen, none),
                           .accelerating = motion::rigid_torque(seen, axis.want.acceleration),
                           .start_peak = peak_torque(state),
                           .friction = motion::rigid_torque(level, none),
                           .acceleration = axis.want.acceleration,
                           .speed = axis.want.speed,
                           .transmission = seen.transmission,
                           .mass_behind_belt = seen.mass + seen.driven_side_inertia / square,
                           .belt_stiffness = state.stiffness,
                           .belt_damping = machine::damping_of(axis.drive),
                           .margin = machine.torque_margin}};
}

}  // namespace pitchline::check
