#include "pitchline/check/axis_state.hpp"

#include <algorithm>
#include <numbers>
#include <optional>
#include <vector>

#include "pitchline/check/rows/lift_screw.hpp"
#include "pitchline/machine/machine.hpp"
#include "pitchline/motion/move_demand.hpp"
#include "pitchline/motion/peaks_of_move.hpp"
#include "pitchline/motion/swing_range.hpp"
#include "pitchline/motor/load_angle.hpp"
#include "pitchline/motor/pull_out_curve.hpp"
#include "pitchline/motor/resonance.hpp"
#include "pitchline/report/finding.hpp"

namespace pitchline::check {

namespace {

// Stiffness at the load of the drive, so many times the assumed one, and the field behind it, so
// many times as stiff as without load.
Stiffness drive_and_field(const motion::AxisAtMotor& seen, Stiffness stiffness,
                          const motor::DrivenWinding& winding, double of_drive, double of_field) {
  const auto field = motor::field_stiffness(motor::field_at_rest(winding), Torque{});
  const Stiffness at_load = Stiffness(of_field * *field / (seen.transmission * seen.transmission));
  if (!is_finite(stiffness)) return at_load;
  return belt::in_series(Stiffness(of_drive * stiffness), at_load);
}

// Of the field at half of its torque, where its angle is a twelfth of a turn.
const double assumed_field = std::sqrt(3.0) / 2.0;

}  // namespace

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
  const Stiffness both = drive_and_field(seen, stiffness, winding, 1.0, assumed_field);
  const bool rigid = !is_finite(stiffness);
  const Mass mass = motion::accelerated_mass(seen);
  return motion::ElasticMode{
      .natural_frequency = square_root(both / mass) / (2.0 * std::numbers::pi),
      .damping_ratio = DampingRatio(rigid ? 0.0 : of_belt.value() * number(both / stiffness))};
}

motion::SwingBand swing_band(const motion::AxisAtMotor& seen, Stiffness stiffness,
                             DampingRatio of_belt, const motor::DrivenWinding& winding) {
  motion::SwingBand band{};
  if (is_unset(stiffness)) return band;
  const bool rigid = !is_finite(stiffness);
  const auto both = [&](double of_drive, double of_field) {
    return drive_and_field(seen, stiffness, winding, of_drive, of_field);
  };
  const Stiffness nominal = both(1.0, assumed_field);
  band.least_stiffness = number(both(least_drive_stiffness, least_field_stiffness) / nominal);
  band.most_stiffness = number(both(most_drive_stiffness, 1.0) / nominal);
  const auto damping = [&](double ratio, double drive, double share) {
    return rigid ? DampingRatio(0)
                 : DampingRatio(ratio * number(both(drive, share) / (drive * stiffness)));
  };
  // The drive has the least share of the stretch where it is stiff and the field soft.
  band.least_damping = damping(std::min(least_load_damping, of_belt.value()), most_drive_stiffness,
                               least_field_stiffness);
  band.most_damping =
      damping(std::max(most_load_damping, of_belt.value()), least_drive_stiffness, 1.0);
  return band;
}

Speed AxisState::top_speed() const {
  if (is_unset(axis.want.stroke) || !(axis.want.acceleration > Acceleration{}))
    return axis.want.speed;
  return motion::peaks_of(wanted_move(axis.want)).speed;
}

namespace {
motor::Feed feed_of(const machine::Machine& machine, const machine::Axis& axis) {
  return {machine.supply.voltage, parts::current_amplitude(machine::driver_of(axis.drive))};
}

// `dependable` up to the wanted speed, whether or not a move comes to it.
AxisState state_with(const machine::Machine& machine, const machine::Axis& axis,
                     const motor::PullOutCurve& curve, const TabledTorque& dependable) {
  const machine::Drive& drive = axis.drive;
  const motion::AxisAtMotor seen = machine::axis_at_motor(drive);
  const Stiffness stiffness = machine::smallest_stiffness(drive);
  const DampingRatio damping = machine::damping_of(drive);
  AxisState s{
      .machine = machine,
      .axis = axis,
      .seen = seen,
      .curve = curve,
      .loss_free = {},
      .at_rest = curve.for_verdict(radians_per_second(0)),
      .at_speed = {},
      .dependable = dependable,
      .stiffness = stiffness,
      .swing = swinging_load(seen, stiffness, damping, curve.winding()),
      .band = swing_band(seen, stiffness, machine::least_damping_of(drive), curve.winding())};
  const AngularSpeed reached = s.motor_speed();
  s.loss_free = curve.loss_free(reached);
  s.at_speed = curve.for_verdict(reached);
  return s;
}

AngularSpeed wanted_motor_speed(const machine::Axis& axis) {
  return axis.want.speed / machine::axis_at_motor(axis.drive).transmission;
}
}  // namespace

AxisState state_of(const machine::Machine& machine, const machine::Axis& axis) {
  require_not_negative("speed", axis.want.speed);
  const motor::PullOutCurve curve(machine::motor_of(axis.drive), feed_of(machine, axis));
  const TabledTorque dependable(wanted_motor_speed(axis),
                                [&](AngularSpeed at) { return curve.for_verdict(at).torque; });
  return state_with(machine, axis, curve, dependable);
}

AxisState state_beside(const AxisState& known, const machine::Machine& machine,
                       const machine::Axis& axis) {
  const motor::Feed feed = feed_of(machine, axis);
  const motor::Feed before = feed_of(known.machine, known.axis);
  if (feed.voltage != before.voltage || feed.amplitude != before.amplitude ||
      wanted_motor_speed(axis) != wanted_motor_speed(known.axis))
    return state_of(machine, axis);
  AxisState s = state_with(machine, axis, known.curve, known.dependable);
  s.known_running = known.known_running;
  return s;
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

// A load that sticks so hard that no bound on its swings is known: as one that sticks and slips for
// ever, at the worst of the speeds up to the one it reaches.
motion::LargestAndTightest sticking_for_ever(const AxisState& s,
                                             const motion::SwingingAxis& swinging, Speed top) {
  constexpr int parts = 64;
  motion::LargestAndTightest both;
  both.tightest.margin = std::numeric_limits<double>::infinity();
  for (int i = 1; i <= parts; ++i) {
    const Speed speed = top * (static_cast<double>(i) / parts);
    const Force force = motion::stick_slip_force(swinging, speed);
    const motion::MomentaryDemand demand{motion::MovePhase::running, speed, force,
                                         force * swinging.axis.transmission};
    const Torque has = s.available(speed);
    const double margin = number(has / demand.torque);
    if (demand.torque > both.largest.torque) both.largest = demand;
    if (margin < both.tightest.margin) both.tightest = {demand, has, margin};
  }
  return both;
}

}  // namespace

motion::LargestAndTightest asked_of(const AxisState& s, const motion::AxisAtMotor& seen,
                                    const motion::RunningMove& move) {
  const auto available = [&s](Speed speed) { return s.available(speed); };
  if (!s.swing || !(motion::accelerated_mass(seen) > kilograms(0)) ||
      !(move.acceleration > Acceleration{}))
    return motion::largest_and_tightest(seen, std::nullopt, move, available);
  const motion::SwingingAxis swinging{.axis = seen,
                                      .natural_frequency = s.swing->natural_frequency,
                                      .band = s.band,
                                      // No axis moves only once in its life.
                                      .wound_at_start = true};
  const motion::SwingBound bound = motion::swing_bound(swinging, move);
  if (bound.cover == motion::SwingCover::not_covered)
    return sticking_for_ever(s, swinging, bound.reached_speed);
  const motion::TightestPart part = motion::tightest_part(bound, available);
  return {.largest = bound.largest(), .tightest = {part.demand, part.available, part.margin}};
}

const MoveLoads& AxisState::loads() const {
  const motion::RunningMove move = wanted_move(axis.want);
  if (known_loads && same(known_move, move)) return *known_loads;
  MoveLoads loads;
  const motion::LargestAndTightest asked = asked_of(*this, seen, move);
  loads.tightest = asked.tightest;
  loads.peak_torque = asked.largest.torque;
  loads.reached_acceleration =
      move.jerk_time > seconds(0)
          ? std::min(move.acceleration, Acceleration(top_speed() / move.jerk_time))
          : move.acceleration;
  loads.belt_force = asked_of(*this, behind_the_belt(*this), move).largest.force;
  if (has_screw()) loads.nut_force = asked_of(*this, at_deciding_nut(*this), move).largest.force;
  known_move = move;
  known_loads = loads;
  return *known_loads;
}

motor::VerdictMotorAtSpeed& AxisState::running(AngularSpeed speed) const {
  const auto known = known_running.find(speed);
  if (known != known_running.end()) return known->second;
  const motor::Feed feed = feed_of(machine, axis);
  return known_running.emplace(speed, motor::VerdictMotor(motor(), feed, curve).at(speed))
      .first->second;
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
