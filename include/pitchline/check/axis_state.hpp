#pragma once

#include "pitchline/axis/belt_axis.hpp"
#include "pitchline/check/finding.hpp"
#include "pitchline/machine/machine.hpp"
#include "pitchline/motion/start_acceleration.hpp"
#include "pitchline/motor/load_angle.hpp"
#include "pitchline/motor/pull_out_curve.hpp"

namespace pitchline::check {

/// What every check of an axis starts from, computed once.
struct AxisState {
  const machine::Machine& machine;
  const machine::Axis& axis;
  motion::AxisAtMotor seen;  ///< by the deciding motor
  motor::PullOutCurve curve;
  AngularSpeed motor_speed;       ///< at the wanted speed
  motor::PullOut loss_free;       ///< at the wanted speed
  motor::VerdictTorque at_rest;   ///< what a verdict rests on, at rest
  motor::VerdictTorque at_speed;  ///< and at the wanted speed

  [[nodiscard]] const motor::DrivenWinding& winding() const { return curve.winding(); }
};

/// Works out the state of an axis.
///
/// \throws InvalidInput  a field outside its range, or never set
inline AxisState state_of(const machine::Machine& machine, const machine::Axis& axis) {
  const axis::BeltAxis& drive = axis.drive;
  const motion::AxisAtMotor seen = axis::axis_at_motor(drive);
  const motor::PullOutCurve curve(drive.motor,
                                  {machine.supply.voltage, parts::current_amplitude(drive.driver)});
  const AngularSpeed speed = axis.want.speed / seen.transmission;
  return {.machine = machine,
          .axis = axis,
          .seen = seen,
          .curve = curve,
          .motor_speed = speed,
          .loss_free = curve.loss_free(speed),
          .at_rest = curve.for_verdict(radians_per_second(0)),
          .at_speed = curve.for_verdict(speed)};
}

/// Largest force on the belt of the deciding motor in the wanted start, overshoot included. The
/// belt carries the load alone; rotor and pulleys sit on its other end.
///
///     G + F + m a + √((m a)² + 2 m a F)        as `motion::soft_belt_peak_torque`
inline Force belt_peak_force(const AxisState& s) {
  const Force inertial = s.seen.mass * s.axis.want.acceleration;
  const Force friction = s.seen.friction;
  return s.seen.gravity + friction + inertial +
         square_root(inertial * inertial + 2.0 * inertial * friction);
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
