#pragma once

#include <optional>
#include <string>

#include "pitchline/motor/feed.hpp"
#include "pitchline/parts/stepper_motor.hpp"
#include "pitchline/units.hpp"

namespace pitchline::report {

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

}  // namespace pitchline::report
