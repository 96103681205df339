#pragma once

#include "pitchline/axis/belt_axis.hpp"
#include "pitchline/check/finding.hpp"
#include "pitchline/machine/machine.hpp"
#include "pitchline/motion/start_acceleration.hpp"
#include "pitchline/motor/dependable_torque.hpp"
#include "pitchline/motor/load_angle.hpp"

namespace pitchline::check {

/// What every check of an axis starts from, computed once.
struct AxisState {
  const machine::Machine& machine;
  const machine::Axis& axis;
  motion::AxisAtMotor seen;  ///< by the deciding motor
  motor::DrivenWinding winding;
  AngularSpeed motor_speed;  ///< at the wanted speed
  motor::PullOut loss_free;  ///< at the wanted speed
  Torque dependable_at_rest;
  Torque dependable_at_speed;
};

/// Works out the state of an axis.
///
/// \throws InvalidInput  a field outside its range, or never set
inline AxisState state_of(const machine::Machine& machine, const machine::Axis& axis) {
  const axis::BeltAxis& drive = axis.drive;
  const motion::AxisAtMotor seen = axis::axis_at_motor(drive);
  const motor::DrivenWinding winding = motor::driven_winding(
      drive.motor, parts::current_amplitude(drive.driver), machine.supply.voltage);
  const AngularSpeed speed = axis.want.speed / seen.transmission;
  return {.machine = machine,
          .axis = axis,
          .seen = seen,
          .winding = winding,
          .motor_speed = speed,
          .loss_free = motor::loss_free_pull_out(winding, speed),
          .dependable_at_rest = motor::dependable_torque(winding, radians_per_second(0)),
          .dependable_at_speed = motor::dependable_torque(winding, speed)};
}

/// A finding with the margin and verdict of `value` against `limit`. A required value of zero or
/// less asks for nothing, and its margin is infinite; where a number is unset, so is the margin.
inline Finding compared(std::string key, std::string what, const Measure& value, Bound bound,
                        const Measure& limit) {
  Finding f;
  f.key = std::move(key);
  f.what = std::move(what);
  f.value = value;
  f.limit = limit;
  f.bound = bound;
  const double allowed = bound == Bound::at_most ? limit.coherent() : value.coherent();
  const double required = bound == Bound::at_most ? value.coherent() : limit.coherent();
  // Not `required > 0 ? ... : infinity`: that would let a figure that is not known pass.
  f.margin = required <= 0 && allowed == allowed ? std::numeric_limits<double>::infinity()
                                                 : allowed / required;
  f.verdict = judge(f.margin);
  return f;
}

}  // namespace pitchline::check
