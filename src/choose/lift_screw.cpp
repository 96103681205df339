#include "pitchline/choose/lift_screw.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/accuracy.hpp"
#include "pitchline/check/rows/drive.hpp"
#include "pitchline/check/rows/holding.hpp"
#include "pitchline/check/rows/lift.hpp"
#include "pitchline/check/rows/lift_screw.hpp"
#include "pitchline/check/rows/steps.hpp"
#include "pitchline/motion/trapezoid.hpp"

namespace pitchline::choose {

namespace detail {

// Speeds of the motor above this are not looked at: no stepper lifts there.
inline constexpr AngularSpeed fastest_motor = revolutions_per_minute(4000);

}  // namespace detail

namespace detail {

namespace {
// The rows whose margins do not depend on how the lift is built, or that count something else.
bool counts_in_order(const report::Finding& f) {
  return f.key != "steps_per_mm" && std::isfinite(f.margin);
}

// Whether the file states the efficiency of a ball screw, which then counts for every one.
bool states_ball_efficiency(const axis::ScrewAxis& drive) {
  return drive.screw.thread == parts::ThreadKind::ball &&
         std::holds_alternative<Efficiency>(drive.loss);
}
}  // namespace

std::optional<machine::Axis> with_screw(const machine::Axis& axis, const parts::Screw& screw,
                                        std::string& why_not) {
  machine::Axis other = axis;
  auto& drive = std::get<axis::ScrewAxis>(other.drive);
  const bool stated = states_ball_efficiency(drive);
  axis::take_screw(drive.screw, screw);
  if (!parts::slides(screw.thread)) {
    if (!stated) drive.loss = Efficiency(axis::least_ball_screw_efficiency);
    return other;
  }
  auto* friction = std::get_if<axis::ThreadFriction>(&drive.loss);
  if (friction == nullptr) {
    why_not =
        "the file states an efficiency and no friction: give drive.friction with a sliding screw, "
        "and both kinds are compared";
    return std::nullopt;
  }
  friction->flank_half_angle = parts::flank_half_angle(screw.thread);
  return other;
}

JudgedRows rows_of(const check::AxisState& s) {
  JudgedRows judged{.rows = {check::torque_margin_finding(s)}};
  std::vector<report::Finding>& rows = judged.rows;
  judged.torque = rows.front().value.coherent();
  judged.critical_speed = check::critical_speed_finding(s).margin;
  judged.column = check::column_finding(s).margin;
  if (std::holds_alternative<axis::ThreadFriction>(check::screw_drive(s).loss))
    judged.wear = check::nut_findings(s).back().margin;
  if (auto holding = check::holding_finding(s)) rows.push_back(std::move(*holding));
  if (!is_unset(s.axis.want.position_error)) rows.push_back(check::position_error_finding(s));
  rows.push_back(check::steps_per_mm_finding(s));
  rows.push_back(check::pulse_rate_finding(s));
  for (report::Finding& f : check::judged_by(check::screw_rows(), s)) rows.push_back(std::move(f));
  if (check::screw_drive(s).stand) rows.push_back(check::level_finding(s));
  if (s.axis.lift->belt) {
    rows.push_back(check::lift_belt_tension_finding(s));
    rows.push_back(check::lift_belt_mesh_finding(s));
  }
  return judged;
}

}  // namespace detail

Speed fastest_lift(const machine::Machine& machine, const machine::Axis& axis) {
  machine::Axis at_top = axis;
  const motion::AxisAtMotor seen = machine::axis_at_motor(axis.drive);
  at_top.want.speed = detail::fastest_motor * seen.transmission;
  check::AxisState tried = check::state_of(machine, at_top);
  const Speed top = at_top.want.speed;
  const auto lifts = [&](Speed speed) {
    tried.axis.want.speed = speed;
    return check::tightest_moment(tried).margin >= machine.torque_margin.value();
  };
  constexpr int steps = 48;
  Speed good = 1e-3 / steps * top;
  if (!lifts(good)) return metres_per_second(0);
  Speed bad = top;
  bool failed = false;
  for (int i = 1; i <= steps && !failed; ++i) {
    const Speed speed = static_cast<double>(i) / steps * top;
    failed = !lifts(speed);
    (failed ? bad : good) = speed;
  }
  if (!failed) return top;
  for (int i = 0; i < 24; ++i) {
    const Speed middle = (good + bad) / 2.0;
    (lifts(middle) ? good : bad) = middle;
  }
  return good;
}

LiftScrew judged(const machine::Machine& machine, const machine::Axis& axis,
                 const parts::Screw& screw) {
  LiftScrew found{.screw = screw};
  std::string why_not;
  const auto with = detail::with_screw(axis, screw, why_not);
  if (!with) {
    found.rejected.push_back(std::move(why_not));
    return found;
  }
  try {
    const check::AxisState s = check::state_of(machine, *with);
    detail::JudgedRows judged = detail::rows_of(s);
    found.rows = std::move(judged.rows);
    found.raising = motion::rigid_torque(s.seen, metres_per_second_squared(0));
    found.torque_margin = judged.torque;
    found.fastest = fastest_lift(machine, *with);
    const machine::Want& want = with->want;
    const Speed speed = std::min(want.speed, found.fastest);
    found.time = unlimited<Time>();
    if (speed > Speed{}) {
      const motion::Trapezoid move = motion::fastest_trapezoid(
          machine::travel_of(with->drive), {speed, want.acceleration, want.acceleration});
      found.time = move.duration() + want.jerk_time;
    }
    if (const auto up = check::staying_up_of(check::screw_drive(s))) found.stays_up = up->verdict;
    found.critical_margin = judged.critical_speed;
    found.column_margin = judged.column;
    found.wear_margin = judged.wear;
    found.per_full_step =
        s.seen.transmission * (revolution / in_full_steps(s.motor().full_steps_per_turn));
    found.per_pulse = s.seen.transmission * (revolution / in_pulses(s.driver().pulses_per_turn));
    found.steps_per_millimetre = check::exact_steps_per_millimetre(s);
  } catch (const InvalidInput& e) {
    found.rejected.emplace_back(e.what());
    return found;
  } catch (const OutsideValidity& e) {
    found.rejected.emplace_back(e.what());
    return found;
  }
  found.verdict = report::Verdict::holds;
  for (const report::Finding& f : found.rows) {
    found.verdict = std::max(found.verdict, f.verdict);
    if (f.verdict == report::Verdict::fails)
      found.rejected.push_back(fmt::format("{}: {}", f.what, f.reason));
    if (detail::counts_in_order(f) && !(f.margin >= found.smallest_margin)) {
      found.smallest_margin = f.margin;
      found.weakest = f.what;
    }
  }
  return found;
}

bool stands_before(const LiftScrew& a, const LiftScrew& b) {
  if (a.verdict != b.verdict) return a.verdict < b.verdict;
  const auto counted = [](const LiftScrew& s) {
    return std::round(
        1e6 * (std::isfinite(s.smallest_margin) ? std::min(ample_margin, s.smallest_margin) : 0.0));
  };
  if (counted(a) != counted(b)) return counted(a) > counted(b);
  if (a.screw.outer_diameter != b.screw.outer_diameter)
    return a.screw.outer_diameter < b.screw.outer_diameter;
  const double torque_a = std::round(1e6 * a.torque_margin);
  const double torque_b = std::round(1e6 * b.torque_margin);
  if (torque_a != torque_b) return torque_a > torque_b;
  return a.screw.name < b.screw.name;
}

std::string why_first(const std::vector<LiftScrew>& fitting) {
  if (fitting.empty()) return {};
  const LiftScrew& first = fitting.front();
  const std::string name = first.screw.name;
  const std::string rows = first.verdict == report::Verdict::holds ? "every row holds"
                           : first.verdict == report::Verdict::tight
                               ? "nothing is worse than tight"
                               : "nothing fails, though a row is unsure";
  const std::string weakest =
      fmt::format("{} of {}", significant(first.smallest_margin, 3), first.weakest);
  if (fitting.size() == 1) return fmt::format("{} is the only one that fits: {}", name, rows);
  const LiftScrew& second = fitting[1];
  if (first.verdict != second.verdict)
    return fmt::format("{} is the only one of which {}", name, rows);
  const auto counted = [](const LiftScrew& s) {
    return std::round(1e6 * std::min(ample_margin, s.smallest_margin));
  };
  if (counted(first) != counted(second))
    return fmt::format(
        "{} is first because {}, and no other so has a smallest margin as large as its {}", name,
        rows, weakest);
  if (first.screw.outer_diameter != second.screw.outer_diameter)
    return fmt::format(
        "{} is first because {}, and it is the thinnest of those whose smallest "
        "margin counts the same, here {}",
        name, rows, weakest);
  if (std::round(1e6 * first.torque_margin) != std::round(1e6 * second.torque_margin))
    return fmt::format(
        "{} is first because {}, and of the thinnest with that smallest margin, {}, "
        "its torque margin is the largest",
        name, rows, weakest);
  return fmt::format("{} is first by its name alone: {} is as good", name, second.screw.name);
}

LiftChoice choose_lift_screw(const machine::Machine& machine, const machine::Axis& axis,
                             const std::vector<parts::Screw>& screws) {
  const auto* drive = machine::as<axis::ScrewAxis>(axis.drive);
  if (!axis.lift || drive == nullptr)
    throw InvalidInput("lift of axis " + axis.name, "given", std::nan(""), "");
  const Mass lifted = axis::moving_mass(*drive);
  LiftChoice choice{.machine = machine.name,
                    .axis = axis.name,
                    .own = drive->screw.name,
                    .own_is_open = axis::is_left_open(drive->screw),
                    .lifted = lifted,
                    .travel = drive->travel,
                    .speed = axis.want.speed,
                    .acceleration = axis.want.acceleration,
                    .height_step = axis.lift->height_step,
                    .stays_up = axis.lift->stays_up,
                    .motors = drive->motors,
                    .screws = axis::number_of_screws(*drive),
                    .torque_margin_wanted = machine.torque_margin.value(),
                    .assumed = axis.assumed};
  for (const parts::Screw& screw : screws) {
    LiftScrew found = judged(machine, axis, screw);
    (found.rejected.empty() ? choice.fitting : choice.rejected).push_back(std::move(found));
  }
  std::sort(choice.fitting.begin(), choice.fitting.end(), stands_before);
  choice.why_first = why_first(choice.fitting);
  const bool any_ball = std::any_of(screws.begin(), screws.end(), [](const parts::Screw& s) {
    return s.thread == parts::ThreadKind::ball;
  });
  if (any_ball && !detail::states_ball_efficiency(*drive))
    choice.assumed.push_back(fmt::format("efficiency {} of ball screws",
                                         significant(axis::least_ball_screw_efficiency, 3)));
  // The screw that is first, or else that of the file.
  std::string unused;
  std::optional<machine::Axis> chosen;
  if (!choice.fitting.empty()) {
    chosen = detail::with_screw(axis, choice.fitting.front().screw, unused);
  } else if (!choice.own_is_open) {
    chosen = axis;
  }
  if (chosen)
    choice.nut_share = axis::largest_nut_share(
        choice.own_is_open ? std::get<axis::ScrewAxis>(chosen->drive) : *drive,
        lifted * standard_gravity);
  choice.cautions = {
      "These figures size a lift, they do not certify it. Legal codes and licensed practice go "
      "before any of them.",
      "Keep hands out of screws, belts and the path of the bed while power is on, and fit an "
      "emergency stop.",
      "Check the maker's data sheet of screw and nut before ordering them."};
  if (chosen) {
    for (std::string& caution : check::lift_cautions(check::state_of(machine, *chosen)))
      choice.cautions.push_back(std::move(caution));
  } else {
    choice.cautions.push_back(
        fmt::format("Axis {}: no screw is chosen, so nothing holds its bed.", axis.name));
  }
  return choice;
}

}  // namespace pitchline::choose
