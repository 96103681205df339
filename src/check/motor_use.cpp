#include "pitchline/check/motor_use.hpp"

#include <algorithm>
#include <optional>
#include <string>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motor/unstable_bands.hpp"

namespace pitchline::check {

MotorUse motor_use(const machine::Machine& machine, const machine::Axis& axis) {
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
                           .belt_damping = machine::least_damping_of(axis.drive),
                           .margin = machine.torque_margin}};
}

}  // namespace pitchline::check
