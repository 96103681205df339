#include "pitchline/check/rows/drive.hpp"

#include <algorithm>
#include <numbers>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/row.hpp"

namespace pitchline::check {

namespace detail {

namespace {
// A screw has another efficiency where its load drives it, and a self-locking one must be driven
// down: `motion::rigid_torque` knows neither.
bool lowers_as_it_raises(const AxisState& s) {
  return s.seen.gravity > newtons(0) && !s.has_screw();
}

// What the torque behind a row rests on, after where its formula comes from.
std::string torque_source(std::string_view formula, const AxisState& s) {
  return fmt::format("{}; torque: {} [pull-out]", formula, s.at_speed.basis_in_words);
}

std::string per_motor(const AxisState& s) {
  return s.motors() > 1 ? " (the most loaded motor, what travels along the beam over it)" : "";
}
}  // namespace

}  // namespace detail

Finding inertia_finding(const AxisState& s) {
  const Inertia rotor = s.motor().rotor_inertia;
  const Inertia sum = motion::total_inertia(s.seen);
  Finding f = compared("inertia", "inertia at the motor", sum, Bound::at_most,
                       Inertia((1.0 + customary_inertia_ratio) * rotor));
  const double ratio = number((sum - rotor) / rotor);
  f.verdict = Verdict::holds;
  f.reason = fmt::format(
      "what it turns is {} times the rotor{}, up to {} is customary: a rule of thumb for what the "
      "rows of torque and of the motor's swings judge",
      significant(ratio, 3), detail::per_motor(s), significant(customary_inertia_ratio, 3));
  f.source = "rule of the trade [Parker inertia], [Schneider glossary]";
  f.formula = "J_motor + J_driven + m t^2, t the travel per angle of the motor";
  for (const axis::MovingPart& part : machine::moving_parts(s.axis.drive))
    f.details.push_back(detail_of("mass of " + part.name, part.mass));
  f.details.push_back(detail_of("moving mass in all", machine::moving_mass(s.axis.drive)));
  f.details.push_back(detail_of("mass at one motor", s.seen.mass));
  f.details.push_back(detail_of("rotor", rotor));
  if (s.has_belt()) {
    const axis::InertiaAtMotor inertia = axis::inertia_at_motor(s.belt());
    if (s.belt().stage) f.details.push_back(detail_of("stage pulleys", inertia.stage));
    f.details.push_back(detail_of("pulleys", inertia.pulleys));
  } else {
    f.details.push_back(
        detail_of("turning with the motor", Inertia(s.seen.motor_side_inertia - rotor)));
    f.details.push_back(detail_of("turning behind the reduction", s.seen.driven_side_inertia));
  }
  f.details.push_back(detail_of("load", motion::carried_inertia(s.seen.mass, s.seen.transmission)));
  return f;
}

Finding constant_speed_finding(const AxisState& s) {
  const Torque torque = motion::rigid_torque(s.seen, metres_per_second_squared(0));
  Finding f = compared("constant_speed_torque", "torque to keep moving", torque, Bound::at_most,
                       s.at_rest.torque);
  const Force force = motion::constant_speed_force(s.seen);
  f.reason = fmt::format(
      "{} of friction and gravity at the load make {} at the motor; {} are "
      "dependable at low speed",
      force, torque, s.at_rest.torque);
  if (f.verdict == Verdict::fails)
    f.remedy = "the axis does not move at all: more current, a larger motor or a reduction stage";
  f.source = detail::torque_source("statics", s);
  f.details.push_back(detail_of("force at the load", force));
  f.details.push_back(detail_of("of it friction and drag", s.seen.friction));
  if (s.seen.gravity > newtons(0)) {
    f.details.push_back(detail_of("of it gravity, going up", s.seen.gravity));
    f.details.push_back(detail_of("force going down",
                                  motion::constant_speed_force(s.seen, motion::Direction::down)));
  }
  if (detail::lowers_as_it_raises(s)) {
    f.details.push_back(detail_of(
        "torque going down, negative: the load drives",
        motion::rigid_torque(s.seen, metres_per_second_squared(0), motion::Direction::down)));
  }
  return f;
}

Finding accelerating_finding(const AxisState& s) {
  const Acceleration a = s.axis.want.acceleration;
  const Torque torque = motion::rigid_torque(s.seen, a);
  Finding f = compared("accelerating_torque", "torque to accelerate", torque, Bound::at_most,
                       s.at_speed.torque);
  f.reason = fmt::format(
      "a rigid axis needs {} for {} at {}, {} are dependable; an elastic one "
      "needs more, see the torque margin",
      torque, a, s.axis.want.speed, s.at_speed.torque);
  if (f.verdict == Verdict::fails) f.remedy = "see the torque margin: what helps there helps here";
  f.source = detail::torque_source("T = F r + J alpha, textbook", s);
  f.details.push_back(detail_of("force at the load", motion::accelerating_force(s.seen, a)));
  if (detail::lowers_as_it_raises(s)) {
    f.details.push_back(detail_of("torque going down, negative: the load drives",
                                  motion::rigid_torque(s.seen, a, motion::Direction::down)));
  }
  return f;
}

Finding pull_out_finding(const AxisState& s) {
  const Torque needed = motion::rigid_torque(s.seen, metres_per_second_squared(0));
  Finding f = compared("pull_out_torque", "pull-out torque at speed", s.at_speed.torque,
                       Bound::at_least, needed);
  const AngularSpeed corner = motor::corner_speed(s.winding());
  const char* where = s.motor_speed() <= corner ? "below" : "above";
  if (s.loss_free.torque <= newton_metres(0)) {
    // Not even a frictionless axis, which needs no torque, follows here.
    f.margin = 0.0;
    f.verdict = Verdict::fails;
    f.reason = fmt::format("at {} the motor has no torque left on {} and {} peak", s.motor_speed(),
                           s.winding().voltage, s.winding().amplitude);
  } else {
    f.reason = fmt::format(
        "{}, of {} without losses, at {}, {} the corner speed of {}; constant speed takes {}",
        s.at_speed.basis_in_words, s.loss_free.torque, s.motor_speed(), where, corner, needed);
  }
  if (f.verdict == Verdict::fails)
    f.remedy = needed > s.at_rest.torque
                   ? "see the torque to keep moving: it is too little at any speed"
                   : "run slower, raise the supply voltage, or take a motor of lower inductance";
  f.source = detail::torque_source("two-phase machine theory", s);
  f.details.push_back(detail_of("motor speed", s.motor_speed()));
  f.details.push_back(detail_of("loss-free torque at this speed", s.loss_free.torque));
  f.details.push_back(detail_of("corner speed", corner));
  f.details.push_back(
      detail_of("dependable without published points", s.curve.dependable(s.motor_speed())));
  if (const auto measured = s.curve.measured(s.motor_speed()))
    f.details.push_back(detail_of("by the published curve", *measured));
  if (s.curve.points_contradict_loss_free()) {
    f.verdict = std::max(f.verdict, Verdict::unsure);
    f.remedy =
        "a published point of this motor lies above what its figures allow without loss: check its "
        "holding torque, current and whether the curve states RMS or peak";
  }
  return f;
}

namespace detail {

namespace {
// The move that the torque rows judge, in words: "moves of any length, 20 ms of jerk time".
std::string move_in_words(const machine::Want& want) {
  std::string text = want.repeats > 1 ? fmt::format("{} moves in a row", want.repeats) : "a move";
  text += is_unset(want.stroke) ? " of any length" : " of " + print_plain(want.stroke);
  if (want.repeats > 1 && want.dwell > seconds(0))
    text += fmt::format(", {} apart", print_plain(want.dwell));
  if (want.jerk_time > seconds(0))
    text += fmt::format(", {} of jerk time", print_plain(want.jerk_time));
  return text;
}
}  // namespace

}  // namespace detail

Finding torque_margin_finding(const AxisState& s) {
  const motion::TightestMoment moment = tightest_moment(s);
  const double wanted = s.machine.torque_margin.value();
  Finding f = compared("torque_margin", "torque margin", Measure::ratio(moment.margin),
                       Bound::at_least, Measure::ratio(wanted));
  if (!s.in_words) return f;
  f.reason =
      fmt::format("{} dependable over {} {} at {}, in {}, swings of the load included",
                  moment.available, moment.demand.torque, motion::in_words(moment.demand.phase),
                  moment.demand.speed, detail::move_in_words(s.axis.want));
  if (f.verdict != Verdict::holds) {
    f.remedy = fmt::format(
        "the motor would need {} at {}; or lower the mass, the speed or the acceleration, let the "
        "acceleration build up over a jerk time, raise the voltage, or change the pulley",
        Torque(wanted * moment.demand.torque),
        AngularSpeed(moment.demand.speed / s.seen.transmission));
  }
  f.source = detail::torque_source("swings of the move at their worst, derived [swings]", s);
  f.details.push_back(detail_of("largest torque of the move", peak_torque(s)));
  f.details.push_back(detail_of("torque asked at the tightest moment", moment.demand.torque));
  f.details.push_back(detail_of("dependable torque there", moment.available));
  const Acceleration reached = s.loads().reached_acceleration;
  if (reached < s.axis.want.acceleration * (1.0 - 1e-6))
    f.details.push_back(detail_of("acceleration that the move comes to", reached));
  if (s.swing) {
    const Frequency nominal = s.swing->natural_frequency;
    f.details.push_back(detail_of("swing of the load on drive and field, assumed", nominal));
    f.details.push_back(detail_of("slowest that the verdict holds for",
                                  Frequency(nominal * std::sqrt(s.band.least_stiffness))));
    f.details.push_back(
        detail_of("fastest", Frequency(nominal * std::sqrt(s.band.most_stiffness))));
    f.details.push_back(
        detail_of("least damping ratio of it", Measure::ratio(s.band.least_damping.value())));
  }
  return f;
}

motion::HeldRange accelerations_by_torque(const AxisState& s, Acceleration most) {
  AxisState tried = s;
  const auto holds = [&](Acceleration a) {
    tried.axis.want.acceleration = a;
    return tightest_moment(tried).margin >= s.machine.torque_margin.value();
  };
  if (s.seen.breakaway > Force{}) return motion::widest_holding(most, holds);
  return {.most = motion::largest_holding(most, holds)};
}

Acceleration hardest_for(const AxisState& s) {
  const machine::Want& want = s.axis.want;
  const Acceleration most = std::max(hardest_looked_for, want.acceleration);
  if (!(want.jerk_time > seconds(0))) return most;
  return std::min(most, Acceleration(want.speed / want.jerk_time));
}

Finding acceleration_finding(const AxisState& s) {
  const motion::HeldRange range = accelerations_by_torque(s, hardest_for(s));
  const Acceleration allowed = range.most;
  const Acceleration textbook = motion::rigid_acceleration(s.seen, s.at_speed.torque);
  const Acceleration wanted = s.axis.want.acceleration;
  const Torque usable = s.at_speed.torque / s.machine.torque_margin.value();
  const bool too_small = allowed > Acceleration{} && wanted < range.least;
  Finding f =
      too_small
          ? compared("acceleration", "acceleration by torque", range.least, Bound::at_most, wanted)
          : compared("acceleration", "acceleration by torque", allowed, Bound::at_least, wanted);
  f.reason = fmt::format(
      "largest of {} at {} with the torque margin of {}; textbook algebra, which leaves out the "
      "swings and the margin, says {}",
      detail::move_in_words(s.axis.want), print_plain(s.axis.want.speed),
      significant(s.machine.torque_margin.value(), 3), textbook);
  if (range.least > Acceleration{})
    f.reason += fmt::format(
        "; from {} on: below it the load sticks again and again and asks for more", range.least);
  if (too_small) {
    f.remedy = fmt::format("ask for {} at least, or less static friction", print_up(range.least));
  } else if (f.verdict == Verdict::fails) {
    f.remedy =
        allowed > metres_per_second_squared(0)
            ? fmt::format("ask for at most {}, or see the torque margin", print_down(allowed))
            : "no acceleration is left at this speed: see the torque margin";
  }
  f.source = "swings of the move at their worst, derived [swings]";
  f.details.push_back(detail_of("textbook figure, margin 1, no swings", textbook));
  // Two bounds of a single start that bracket what a simulated axis survives.
  f.details.push_back(detail_of("one start, soft drive, with the margin",
                                motion::soft_belt_acceleration(s.seen, usable)));
  f.details.push_back(detail_of("one start, rigid drive, with the margin",
                                motion::rigid_belt_acceleration(s.seen, usable)));
  return f;
}

std::vector<Row> drive_rows() {
  return {
      {.key = "inertia",
       .asks = "inertia at the motor against the customary multiple of its rotor's",
       .applies = always,
       .judge = inertia_finding},
      {.key = "constant_speed_torque",
       .asks = "torque to keep moving slowly against the dependable torque at rest",
       .applies = always,
       .judge = constant_speed_finding},
      {.key = "accelerating_torque",
       .asks = "textbook torque at the wanted acceleration against the dependable torque",
       .applies = always,
       .judge = accelerating_finding},
      {.key = "pull_out_torque",
       .asks = "dependable torque at the wanted speed against what constant speed takes",
       .applies = always,
       .judge = pull_out_finding},
      {.key = "torque_margin",
       .asks = "dependable torque over what the move asks, where that is least, against the margin "
               "wanted",
       .applies = always,
       .judge = torque_margin_finding,
       .binds = Binds::acceleration,
       .mechanism = "motor torque",
       .rests_on = RestsOn::torque},
      {.key = "acceleration",
       .asks = "largest acceleration that the torque allows against the wanted one",
       .applies = always,
       .judge = acceleration_finding,
       .rests_on = RestsOn::torque}};
}

}  // namespace pitchline::check
