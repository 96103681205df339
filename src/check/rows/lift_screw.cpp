#include "pitchline/check/rows/lift_screw.hpp"

#include <algorithm>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/lift_balls.hpp"
#include "pitchline/check/rows/staying_up.hpp"
#include "pitchline/screw/column.hpp"
#include "pitchline/screw/critical_speed.hpp"
#include "pitchline/screw/nut_wear.hpp"
#include "pitchline/screw/thread_load.hpp"

namespace pitchline::check {

AngularSpeed screw_speed(const AxisState& s) {
  return s.axis.want.speed / (lead_of(screw_drive(s)) / revolution);
}

motion::AxisAtMotor at_deciding_nut(const AxisState& s) {
  const axis::ScrewAxis& drive = screw_drive(s);
  const Mass mass = axis::mass_at_deciding_nut(drive);
  const Force weight = mass * standard_gravity;
  const double screws = axis::number_of_screws(drive);
  motion::AxisAtMotor nut = s.seen;
  nut.mass = mass;
  nut.motor_side_inertia = {};
  nut.driven_side_inertia = {};
  nut.friction = drive.guide.friction.value() * weight * std::cos(in_radians(drive.incline)) +
                 drive.guide.drag / screws;
  nut.breakaway = parts::static_beyond_running(drive.guide, nut.friction, screws);
  nut.gravity = weight * std::sin(in_radians(drive.incline));
  nut.efficiency = Efficiency(1);
  return nut;
}

namespace detail {

Length nut_length(const machine::ScrewFit& fit, const axis::ScrewAxis& drive) {
  return is_unset(fit.nut_length) ? Length(machine::usual_nut_length * drive.screw.outer_diameter)
                                  : fit.nut_length;
}

namespace {
screw::EngagedThread engaged(const machine::ScrewFit& fit, const axis::ScrewAxis& drive) {
  return {.mean_diameter = drive.screw.mean_diameter,
          .minor_diameter = drive.screw.minor_diameter,
          .pitch = lead_of(drive) / static_cast<double>(drive.screw.starts),
          .nut_length = nut_length(fit, drive)};
}
}  // namespace

std::string in_kilometres(Length way) {
  return fmt::format("{} km", significant(in_metres(way) / 1000.0, 3));
}

}  // namespace detail

Force standing_nut_force(const AxisState& s) {
  const motion::AxisAtMotor nut = at_deciding_nut(s);
  return nut.gravity + nut.friction;
}

Force nut_peak_force(const AxisState& s) { return s.loads().nut_force; }

Finding starting_torque_finding(const AxisState& s) {
  const axis::ScrewAxis& drive = screw_drive(s);
  const auto& thread = std::get<axis::ThreadFriction>(drive.loss);
  const bool by_name = thread.nut && thread.lubrication;
  const double most =
      by_name
          ? screw::starting_friction(screw::nut_friction(*thread.nut, *thread.lubrication)).value()
          : thread.most.value() * screw::most_starting_ratio;
  const Force load = s.seen.gravity + s.seen.friction + s.seen.breakaway;
  const double behind =
      to_double(drive.motor_turns_per_screw_turn) * drive.stage_efficiency.value();
  auto torque = unlimited<Torque>();
  if (most < 1.0) {
    screw::PowerScrew starting = axis::power_screw(drive.screw, thread, FrictionCoefficient(most));
    try {
      torque = screw::raising_torque(starting, load) / behind;
    } catch (const OutsideValidity&) {  // NOLINT(bugprone-empty-catch)
      // It locks when it is to raise: no torque starts it.
    }
  }
  Finding f =
      compared("starting_torque", "starting torque", torque, Bound::at_most, s.at_rest.torque);
  if (!is_finite(torque)) f.value_text = "locks";
  f.reason = fmt::format("{} on the thread at a friction of {} at rest, the most that is counted",
                         load, significant(most, 3));
  if (f.verdict == Verdict::fails)
    f.remedy = "less lead, grease in the thread, a reduction stage or a larger motor";
  f.source = fmt::format(
      "statics; friction at rest over running: {}; torque at rest: {}",
      by_name ? "that of the pair, or 1.67 [Shigley] table 8-6" : "1.67 [Shigley] table 8-6",
      s.at_rest.basis_in_words);
  f.details.push_back(detail_of("running, at the most friction",
                                motion::rigid_torque(s.seen, metres_per_second_squared(0))));
  return f;
}

Finding column_finding(const AxisState& s) {
  const machine::ScrewFit fit = machine::fit_of(s.axis);
  const axis::ScrewAxis& drive = screw_drive(s);
  const Force force = nut_peak_force(s);
  // A nut holds its end no better than a support, see `screw::EndFixity`.
  const bool tilts = fit.bearings == screw::EndFixity::supported_supported;
  const screw::Column column = screw::core_column(
      {.minor_diameter = drive.screw.minor_diameter,
       .length = (drive.screw.bearing_distance + drive.travel) / 2.0,
       .ends = tilts ? screw::EndFixity::supported_supported : screw::EndFixity::fixed_supported});
  const screw::AllowedPush push = screw::allowed_push(column);
  const Force limit = fit.hangs ? screw::compression_limit(column) : push.load;
  Finding f = compared("column", fit.hangs ? "tension in a screw" : "column strength", force,
                       Bound::at_most, limit);
  if (!s.in_words) return f;
  f.reason = fit.hangs
                 ? fmt::format("{} at the peak in the most loaded screw, whose core bears {}",
                               force, limit)
                 : fmt::format("{} at the peak in the most loaded screw; {} long it fails at {}",
                               force, column.length, push.strength.load);
  if (f.verdict != Verdict::holds)
    f.remedy = "a thicker or shorter screw, a fixed bearing, or a thrust bearing above the nut";
  f.source = "Euler and Johnson [Shigley] 4-11 to 4-13, half of it and core stress [THK screws]";
  f.formula = "half of pi^2 C E I/L^2, or of Johnson's where it is short, and 147 MPa in the core";
  f.details.push_back(detail_of(
      "part on the most loaded nut",
      Measure::ratio(axis::largest_nut_share(drive, axis::moving_mass(drive) * standard_gravity))));
  f.details.push_back(detail_of("standing", standing_nut_force(s)));
  f.details.push_back(detail_of("slenderness", Measure::ratio(push.strength.slenderness)));
  return f;
}

Finding critical_speed_finding(const AxisState& s) {
  const axis::ScrewAxis& drive = screw_drive(s);
  const screw::WhirlingScrew whirling{.minor_diameter = drive.screw.minor_diameter,
                                      .unsupported_length = drive.screw.bearing_distance,
                                      .ends = machine::fit_of(s.axis).bearings,
                                      .density = drive.screw.density};
  const AngularSpeed allowed = screw::allowed_speed(whirling);
  Finding f = compared("critical_speed", "critical speed", screw_speed(s), Bound::at_most, allowed);
  f.reason =
      fmt::format("they whirl at {}, between bearings {} apart", screw::critical_speed(whirling),
                  print_plain(drive.screw.bearing_distance));
  if (f.verdict != Verdict::holds)
    f.remedy = "more lead, a thicker or shorter screw, or fixed bearings";
  f.source = "[THK screws]";
  f.formula =
      "0.8 times lambda^2 d/(4 L^2) sqrt(E/rho), d the core; the nut is not counted as support";
  return f;
}

std::vector<Finding> nut_findings(const AxisState& s) {
  const axis::ScrewAxis& drive = screw_drive(s);
  const auto& friction = std::get<axis::ThreadFriction>(drive.loss);
  const screw::EngagedThread thread = detail::engaged(machine::fit_of(s.axis), drive);
  const Force force = standing_nut_force(s);
  const Length wanted = machine::fit_of(s.axis).life;
  const Speed rubbing = screw::rubbing_speed(
      {.mean_diameter = drive.screw.mean_diameter, .lead = lead_of(drive)}, screw_speed(s));
  const Pressure mean = screw::bearing_pressure(thread, force);
  Finding wear;
  wear.key = "nut_wear";
  wear.what = "PV value of the nut";
  if (!friction.nut) {
    wear.value = mean * rubbing;
    wear.reason =
        fmt::format("{} rub with {}; what a nut bears depends on its material", mean, rubbing);
    wear.remedy = "name it: drive.friction.nut";
    wear.source = "not known";
    return {wear};
  }
  const screw::NutLimit& limit = screw::nut_limit(*friction.nut);
  Pressure allowed = limit.pressure;
  std::string source(limit.source);
  bool from_memory = false;
  const auto* moving = screw::pressure_at_speed(*friction.nut, rubbing);
  if (moving != nullptr && moving->least < allowed) {
    allowed = moving->least;
    from_memory = moving->mark == "M";
    source = from_memory ? "[Shigley] table 8-4 at that speed, from memory"
                         : "[Shigley] table 8-4 at that speed";
  }
  const Pressure deciding = screw::deciding_pressure(thread, force, *friction.nut);
  Finding pressure =
      compared("nut_pressure", "pressure in the nut", deciding, Bound::at_most, allowed);
  pressure.reason = fmt::format("{} on {} threads of a nut of {}, rubbing with {}", force,
                                significant(screw::engaged_threads(thread), 3),
                                screw::in_words(*friction.nut), rubbing);
  if (pressure.verdict != Verdict::holds) pressure.remedy = "a longer nut or a thicker screw";
  // What is above a figure from memory is no failure for certain.
  if (from_memory && pressure.verdict == Verdict::fails) pressure.verdict = Verdict::unsure;
  pressure.source = std::move(source);
  pressure.details.push_back(detail_of("mean of all threads", mean));

  wear = compared("nut_wear", "PV value of the nut", mean * rubbing, Bound::at_most,
                  limit.pressure_velocity);
  if (wear.verdict == Verdict::fails) wear.verdict = Verdict::unsure;
  wear.reason = fmt::format("{} rub with {}, of {} in steady running: an assumed limit", mean,
                            rubbing, limit.pressure_velocity);
  if (wear.verdict != Verdict::holds)
    wear.remedy = "more lead, a longer nut, or ask its maker: a lift runs now and then";
  wear.source = std::string(limit.source);
  wear.details.push_back(detail_of("rubbing speed", rubbing));
  const auto* life =
      friction.lubrication ? screw::nut_wear(*friction.nut, *friction.lubrication) : nullptr;
  if (life != nullptr && force > newtons(0)) {
    const screw::NutLife travel =
        screw::nut_life({.thread = thread,
                         .lead = lead_of(drive),
                         .flank_half_angle = friction.flank_half_angle,
                         .load = force,
                         .wear = *life,
                         .allowed_play = screw::worn_share_of_pitch * thread.pitch});
    const auto in_words = [](Length way) {
      return fmt::format("{} km", significant(in_metres(way) / 1000.0, 2));
    };
    // An estimate of this width fails nothing, and promises only what its lower end does.
    if (travel.shortest < wanted) {
      wear.verdict = Verdict::unsure;
      wear.reason += fmt::format("; the nut may be worn after {}, of {} wanted",
                                 in_words(travel.shortest), detail::in_kilometres(wanted));
      wear.remedy = "a longer nut, a thicker screw, or a nut that is easy to change";
    }
    wear.details.push_back(
        {"travel until worn, at least, an estimate", in_words(travel.shortest), travel.shortest});
    wear.details.push_back({"and at most", in_words(travel.longest), travel.longest});
  } else if (life == nullptr && !is_unset(wanted)) {
    wear.verdict = Verdict::unsure;
    wear.reason += "; how long the nut lasts is not known";
    wear.remedy = "name a pair of which wear is known: drive.friction.nut and lubrication";
  }
  return {pressure, wear};
}

Finding height_step_finding(const AxisState& s) {
  const Length wanted = s.axis.lift->height_step;
  const Length full =
      s.seen.transmission * (revolution / in_full_steps(s.motor().full_steps_per_turn));
  const Length pulse = s.seen.transmission * (revolution / in_pulses(s.driver().pulses_per_turn));
  Finding f = compared("height_step", "height per pulse", pulse, Bound::at_most, wanted);
  f.reason = fmt::format("a full step moves {}, a pulse {}", full, pulse);
  if (f.verdict != Verdict::fails && full > wanted) {
    f.verdict = Verdict::unsure;
    f.reason += "; only microsteps reach what is wanted, and those yield under load";
    f.remedy = "less lead, a reduction stage or a motor with more steps a turn";
  }
  if (f.verdict == Verdict::fails) f.remedy = "less lead, or more pulses a turn";
  f.source = "counting, exact";
  f.details.push_back(detail_of("height of a full step", full));
  return f;
}

std::vector<Row> screw_rows() {
  const auto is_lift = [](const AxisState& s) { return s.axis.lift.has_value(); };
  const auto has_screw = [](const AxisState& s) { return s.has_screw(); };
  const auto slides = [](const AxisState& s) {
    const auto* drive = s.drive_as<axis::ScrewAxis>();
    return drive != nullptr && std::holds_alternative<axis::ThreadFriction>(drive->loss);
  };
  const auto has_balls = [](const AxisState& s) {
    const auto* drive = s.drive_as<axis::ScrewAxis>();
    return drive != nullptr && drive->screw.thread == parts::ThreadKind::ball;
  };
  return {
      {.key = "staying_up",
       .asks = "friction at its least against what the thread needs to hold the bed",
       .applies = is_lift,
       .judge = [](const AxisState& s) { return staying_up_finding(s, *s.axis.lift); }},
      {.key = "starting_torque",
       .asks = "torque to start at the most friction against the torque at rest",
       .applies = slides,
       .judge = starting_torque_finding},
      {.key = "column",
       .asks = "push or pull in the most loaded screw at the peak against its column strength",
       .applies = has_screw,
       .judge = column_finding,
       .binds = Binds::acceleration,
       .mechanism = "column strength"},
      {.key = "critical_speed",
       .asks = "speed of the screws against 0.8 of their critical speed",
       .applies = has_screw,
       .judge = critical_speed_finding,
       .binds = Binds::speed,
       .mechanism = "whirling of the screws"},
      {.key = "ball_speed",
       .asks = "speed of the balls against what the nut bears",
       .applies = has_balls,
       .judge = ball_speed_finding,
       .binds = Binds::speed,
       .mechanism = "speed of the balls"},
      {.key = "ball_life",
       .asks = "life of the balls against the one wanted",
       .applies = has_balls,
       .judge = ball_life_finding},
      {.key = "ball_static",
       .asks = "load on the balls against their static rating",
       .applies =
           [](const AxisState& s) {
             const auto* drive = s.drive_as<axis::ScrewAxis>();
             return drive != nullptr && drive->screw.thread == parts::ThreadKind::ball &&
                    !is_unset(drive->screw.static_rating);
           },
       .judge = ball_static_finding},
      {.key = "nut",
       .asks = "pressure in the nut, and that times rubbing speed, against what its material bears",
       .applies = slides,
       .judge_all = nut_findings},
      {.key = "height_step",
       .asks = "change of height by one pulse against the finest wanted",
       .applies = is_lift,
       .judge = height_step_finding}};
}

}  // namespace pitchline::check
