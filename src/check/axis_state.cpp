#include "pitchline/check/axis_state.hpp"

#include <algorithm>
#include <numbers>
#include <optional>
#include <vector>

#include "pitchline/check/rows/lift_screw.hpp"
#include "pitchline/machine/machine.hpp"
#include "pitchline/motion/move_demand.hpp"
#include "pitchline/motor/load_angle.hpp"
#include "pitchline/motor/pull_out_curve.hpp"
#include "pitchline/motor/resonance.hpp"
#include "pitchline/report/finding.hpp"

namespace pitchline::check {

motion::RunningMove wanted_move(const machine::Want& want) {
  return {.speed = want.speed,
          .acceleration = want.acceleration,
          .stroke = want.stroke,
          .jerk_time = want.jerk_time,
          .in_succession = want.repeats,
          .dwell = want.dwell};
}

std::optional<motion::ElasticMode> swinging_load(const motion::AxisAtMotor& seen,
                                                 Stiffness stiffness, DampingRatio of_belt,
                                                 const motor::DrivenWinding& winding) {
  if (is_unset(stiffness)) return std::nullopt;
  const motor::RotorField field = motor::field_at_rest(winding);
  const auto of_field = motor::field_stiffness(field, field.torque_amplitude / 2.0);
  const Stiffness at_load = Stiffness(*of_field / (seen.transmission * seen.transmission));
  const bool rigid = !is_finite(stiffness);
  const Stiffness both = rigid ? at_load : belt::in_series(stiffness, at_load);
  const Mass mass = motion::accelerated_mass(seen);
  return motion::ElasticMode{
      .natural_frequency = square_root(both / mass) / (2.0 * std::numbers::pi),
      .damping_ratio = DampingRatio(rigid ? 0.0 : of_belt.value() * number(both / stiffness))};
}

AxisState state_of(const machine::Machine& machine, const machine::Axis& axis) {
  const machine::Drive& drive = axis.drive;
  const motion::AxisAtMotor seen = machine::axis_at_motor(drive);
  const motor::PullOutCurve curve(
      machine::motor_of(drive),
      {machine.supply.voltage, parts::current_amplitude(machine::driver_of(drive))});
  const AngularSpeed speed = axis.want.speed / seen.transmission;
  const Stiffness stiffness = machine::smallest_stiffness(drive);
  return {.machine = machine,
          .axis = axis,
          .seen = seen,
          .curve = curve,
          .motor_speed = speed,
          .loss_free = curve.loss_free(speed),
          .at_rest = curve.for_verdict(radians_per_second(0)),
          .at_speed = curve.for_verdict(speed),
          .dependable =
              TabledTorque(speed, [&](AngularSpeed at) { return curve.for_verdict(at).torque; }),
          .stiffness = stiffness,
          .swing = swinging_load(seen, stiffness, machine::damping_of(drive), curve.winding())};
}

double standstill_share(const AxisState& s) {
  const parts::Driver& driver = s.driver();
  return is_unset(driver.at_rest) ? 1.0 : number(driver.at_rest / driver.current);
}

namespace {

bool same(const motion::RunningMove& x, const motion::RunningMove& y) {
  const bool any_stroke = is_unset(x.stroke) && is_unset(y.stroke);
  return x.speed == y.speed && x.acceleration == y.acceleration && x.jerk_time == y.jerk_time &&
         x.in_succession == y.in_succession && x.dwell == y.dwell &&
         (any_stroke || x.stroke == y.stroke);
}

// The belt carries the load alone; rotor and pulleys sit on its other end.
motion::AxisAtMotor behind_the_belt(const AxisState& s) {
  motion::AxisAtMotor load = s.seen;
  load.motor_side_inertia = {};
  load.driven_side_inertia = {};
  load.efficiency = Efficiency(1);
  return load;
}

}  // namespace

const MoveLoads& AxisState::loads() const {
  const motion::RunningMove move = wanted_move(axis.want);
  if (known_loads && same(known_move, move)) return *known_loads;
  MoveLoads loads;
  const motion::LargestAndTightest asked = motion::largest_and_tightest(
      seen, swing, move, [this](Speed speed) { return available(speed); });
  loads.tightest = asked.tightest;
  loads.peak_torque = asked.largest.torque;
  loads.belt_force = motion::largest_demand(behind_the_belt(*this), swing, move).force;
  if (std::holds_alternative<axis::ScrewAxis>(axis.drive))
    loads.nut_force = motion::largest_demand(at_deciding_nut(*this), swing, move).force;
  known_move = move;
  known_loads = loads;
  return *known_loads;
}

motor::VerdictMotorAtSpeed& AxisState::running(AngularSpeed speed) const {
  if (!known_running || known_speed != speed) {
    const motor::Feed feed{machine.supply.voltage, parts::current_amplitude(driver())};
    known_running = motor::VerdictMotor(motor(), feed, curve).at(speed);
    known_speed = speed;
  }
  return *known_running;
}

motion::TightestMoment tightest_moment(const AxisState& s) { return s.loads().tightest; }

Torque peak_torque(const AxisState& s) { return s.loads().peak_torque; }

Force belt_peak_force(const AxisState& s) { return s.loads().belt_force; }

Finding compared(std::string key, std::string what, const Measure& value, Bound bound,
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
