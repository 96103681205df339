#include "pitchline/check/rows/staying_up.hpp"

#include <algorithm>
#include <optional>
#include <string>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motion/torque_demand.hpp"
#include "pitchline/screw/staying_up.hpp"

namespace pitchline::check {

const axis::ScrewAxis& screw_drive(const AxisState& s) {
  return std::get<axis::ScrewAxis>(s.axis.drive);
}

Length lead_of(const axis::ScrewAxis& drive) {
  return millimetres(to_double(drive.screw.lead_millimetres));
}

screw::SlidingScrew sliding_screw(const axis::ScrewAxis& drive) {
  const auto* thread = std::get_if<axis::ThreadFriction>(&drive.loss);
  if (thread == nullptr) throw InvalidInput("friction of the thread", "given", std::nan(""), "");
  return {.mean_diameter = drive.screw.mean_diameter,
          .lead = lead_of(drive),
          .flank_half_angle = thread->flank_half_angle,
          .thread_friction = {thread->least, thread->most},
          .collar_mean_diameter = thread->collar_mean_diameter,
          .collar_friction = {thread->least_collar_friction, thread->collar_friction}};
}

std::optional<screw::StayingUp> staying_up_of(const axis::ScrewAxis& drive) {
  const auto* efficiency = std::get_if<Efficiency>(&drive.loss);
  if (efficiency == nullptr) return screw::staying_up(sliding_screw(drive));
  if (!(efficiency->value() > 0.5)) return std::nullopt;
  const bool ball = drive.screw.thread == parts::ThreadKind::ball;
  return screw::staying_up(screw::BallScrew{
      .lead = lead_of(drive),
      .efficiency = *efficiency,
      .back_driving_efficiency = Efficiency(ball ? axis::most_ball_screw_efficiency : 1.0)});
}

Torque unpowered_torque(const AxisState& s, const screw::StayingUp& up) {
  const double ratio = to_double(screw_drive(s).motor_turns_per_screw_turn);
  return screw::torque_at_motor(screw::holding_torque(up, s.seen.gravity), GearRatio(ratio));
}

std::optional<screw::RunDown> run_down_of(const AxisState& s, const screw::StayingUp& up) {
  const axis::ScrewAxis& drive = screw_drive(s);
  if (!(drive.incline > degrees(89.9))) return std::nullopt;
  const double ratio = to_double(drive.motor_turns_per_screw_turn);
  return screw::run_down({.mass = s.seen.mass,
                          .lead = lead_of(drive),
                          .back_driving = up.back_driving,
                          .inertia_at_screws = ratio * ratio * s.seen.motor_side_inertia},
                         drive.travel);
}

namespace detail {

std::string in_words(screw::StaysUp verdict) {
  switch (verdict) {
    case screw::StaysUp::holds:
      return "holds by friction";
    case screw::StaysUp::may_creep:
      return "may creep";
    case screw::StaysUp::back_drives:
      return "back-drives";
  }
  return "";
}

namespace {
// The verdict where friction does not hold: what the brake holds, else what was asked.
void judge_brake(Finding& f, const AxisState& s, const machine::Lift& lift,
                 const screw::StayingUp& up, Torque back) {
  const Torque wanted = screw::brake_torque({.at_motor = back});
  if (lift.brake > Torque{}) {
    f.margin = number(lift.brake / back);
    f.verdict = lift.brake >= wanted ? Verdict::holds
                : lift.brake >= back ? Verdict::tight
                                     : Verdict::fails;
    f.reason += fmt::format("; the brake of {} on each motor holds {} of that", lift.brake,
                            significant(f.margin, 3));
    if (f.verdict == Verdict::fails && !lift.stays_up) f.verdict = Verdict::unsure;
    if (f.verdict != Verdict::holds) f.remedy = fmt::format("a brake of {} or more", wanted);
    return;
  }
  if (!lift.stays_up) {
    f.margin = std::numeric_limits<double>::infinity();
    f.verdict = Verdict::holds;
    f.reason += "; the file does not ask that it stays up";
    return;
  }
  const Torque detent = s.motor().detent_torque;
  f.remedy = fmt::format("a screw of less lead, or a brake of {} or more on each motor", wanted);
  const bool detent_may = !is_unset(detent) && detent >= wanted;
  f.verdict =
      detent_may || up.verdict == screw::StaysUp::may_creep ? Verdict::unsure : Verdict::fails;
  if (detent_may)
    f.reason += fmt::format("; the detent of {} may hold that, which nobody promises", detent);
}
}  // namespace

}  // namespace detail

Finding staying_up_finding(const AxisState& s, const machine::Lift& lift) {
  const auto up = staying_up_of(screw_drive(s));
  Finding f;
  f.key = "staying_up";
  f.what = "without power";
  f.source =
      "statics of the thread [Shigley] p. 417, [Roton formulas]; share for vibration: common "
      "practice, no source";
  f.formula =
      "locks while 0.8 times the least friction of the thread is above tan(lead angle) over "
      "the flank factor, collar included";
  if (!up) {
    f.value_text = "not known";
    f.reason = "the file states an efficiency of at most a half, of which a screw may lock or not";
    f.remedy = "give drive.friction in place of drive.efficiency";
    if (!lift.stays_up) f.verdict = Verdict::holds;
    return f;
  }
  f.value = Measure::ratio(up->locking_friction);
  f.limit = Measure::ratio(up->counted_friction);
  f.margin = up->counted_friction / up->locking_friction;
  f.value_text = detail::in_words(up->verdict);
  const Torque back = unpowered_torque(s, *up);
  if (up->verdict == screw::StaysUp::holds) {
    f.verdict = judge(f.margin);
    f.reason = fmt::format(
        "locks above a friction of {}; counted on is {}, the least end of the range less what "
        "vibration takes",
        significant(up->locking_friction, 3), significant(up->counted_friction, 3));
    if (f.verdict != Verdict::holds) f.remedy = "a screw of less lead, or a brake besides";
  } else {
    f.reason =
        up->locking_friction > 0.0
            ? fmt::format(
                  "locks above a friction of {}, of which the favourable end gives {} and the "
                  "least, less what vibration takes, {}; the load turns each motor with {}",
                  significant(up->locking_friction, 3), significant(up->favourable_friction, 3),
                  significant(up->counted_friction, 3), back)
            : fmt::format("nothing in it locks; the load turns each motor with {}", back);
    detail::judge_brake(f, s, lift, *up, back);
  }
  f.details.push_back(detail_of("friction that locks", Measure::ratio(up->locking_friction)));
  f.details.push_back(
      detail_of("friction counted on, unfavourable end", Measure::ratio(up->counted_friction)));
  f.details.push_back(
      detail_of("friction at its favourable end", Measure::ratio(up->favourable_friction)));
  f.details.push_back(detail_of("torque on each motor without power", back));
  f.details.push_back(
      detail_of("brake on each motor that holds it", screw::brake_torque({.at_motor = back})));
  f.details.push_back(detail_of("detent of the motor", s.motor().detent_torque));
  f.details.push_back(detail_of("current that holds it while powered",
                                Current(s.driver().current * number(back / s.at_rest.torque))));
  if (const auto run = run_down_of(s, *up)) {
    f.details.push_back(detail_of("it would run down with", run->acceleration));
    f.details.push_back(detail_of("and arrive with, no faster than", run->end_speed));
    f.details.push_back(detail_of("after", run->time));
  }
  return f;
}

}  // namespace pitchline::check
