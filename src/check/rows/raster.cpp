#include "pitchline/check/rows/raster.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/accuracy.hpp"
#include "pitchline/check/rows/duty.hpp"
#include "pitchline/check/rows/raster_swing.hpp"
#include "pitchline/motion/raster_offset.hpp"
#include "pitchline/motion/smoothed_raster.hpp"

namespace pitchline::check {

namespace detail {

// Lines whose swings are followed: what one leaves to the next is taken anew from there on.
inline constexpr int lines_that_swing = 8;

}  // namespace detail

namespace detail {

namespace {
std::string tolerance_in_words(const RasterRun& run) {
  return fmt::format("{} {}", run.asked ? "the position error of" : "half the line pitch of",
                     print_plain(run.asked ? run.tolerance : Length(2.0 * run.tolerance)));
}
}  // namespace

}  // namespace detail

RasterRun raster_run(const AxisState& s, const machine::Axis& across) {
  if (!s.axis.raster) throw InvalidInput("lines of a raster", "described", 0, "");
  const machine::Raster& raster = *s.axis.raster;
  const machine::Want& want = s.axis.want;
  RasterRun run;
  motion::LineStart start{
      .speed = raster.speed, .acceleration = want.acceleration, .jerk_time = want.jerk_time};
  run.ramps = motion::overrun_for(start);
  run.asked = !is_unset(want.position_error);
  run.lines = {
      .line = raster.line,
      .overrun = run.ramps,
      .speed = raster.speed,
      .acceleration = want.acceleration,
      .line_pitch = raster.line_pitch,
      .lines = motion::lines_to_cover({.height = raster.height, .line_pitch = raster.line_pitch}),
      .step_speed = across.want.speed,
      .step_acceleration = across.want.acceleration};
  const motion::RasterJerk jerk{.along = want.jerk_time, .across = across.want.jerk_time};
  run.time = motion::raster_time(run.lines, jerk);
  run.tolerance = run.asked ? want.position_error : raster.line_pitch / 2.0;
  run.swing = raster_swing(s,
                           {.speed = raster.speed,
                            .acceleration = want.acceleration,
                            .jerk_time = want.jerk_time,
                            .cruise = raster.line / raster.speed,
                            .rest = run.time.step,
                            .lines = std::min(run.lines.lines, detail::lines_that_swing)},
                           run.tolerance);
  if (!run.swing) return run;
  const Time settling = run.swing->settling;
  if (!is_finite(settling)) return run;
  run.settling = settling;
  start.settling_time = settling;
  run.lines.overrun = motion::overrun_for(start);
  run.time = motion::raster_time(run.lines, jerk);
  return run;
}

Finding raster_offset_finding(const AxisState& s, const RasterRun& run) {
  const AngularSpeed speed = run.lines.speed / s.seen.transmission;
  const Torque torque = s.seen.friction * s.seen.transmission / s.seen.efficiency.value();
  Finding f;
  f.key = "raster_offset";
  f.what = "offset of the two ways";
  f.value = unset<Length>();
  f.limit = run.tolerance;
  f.source = "load angle and stretch, derived";
  f.formula =
      "2 * (rotor behind the field + friction / stiffness of the drive); the step error does not "
      "turn with the motion";
  if (is_unset(s.stiffness)) {
    f.value_text = "unknown";
    f.reason = "the stiffness between motor and load is not known, so its stretch is not";
    f.remedy = "give the stiffness of the drive from the maker's data";
    return f;
  }
  const std::string limit = detail::tolerance_in_words(run);
  const auto error = position_error(s, s.stiffness, s.seen.friction, torque, speed);
  const Torque needed = motion::rigid_torque(s.seen, Acceleration{});
  if (!error || needed > s.curve.for_verdict(speed).torque) {
    f.value_text = "lost";
    f.value = unlimited<Length>();
    f.margin = 0.0;
    f.verdict = Verdict::fails;
    f.reason = fmt::format("the motor cannot hold {} at {}", needed, print_plain(run.lines.speed));
    f.remedy = "a slower raster; see the pull-out torque";
    return f;
  }
  const motion::HeadLag lag{
      .rotor = error->load_angle, .friction = s.seen.friction, .stiffness = s.stiffness};
  const Length stretch = motion::friction_stretch(lag);
  const Length offset = motion::raster_offset(lag);
  const Finding judged = compared(f.key, f.what, offset, Bound::at_most, run.tolerance);
  f.value = offset;
  f.margin = judged.margin;
  f.verdict = judged.verdict;
  // Half the line pitch is a default of this program: nobody asked for it.
  if (f.verdict == Verdict::fails && !run.asked) f.verdict = Verdict::unsure;
  f.reason = fmt::format(
      "at {} the head is behind by {} of the rotor and {} of stretch each way, against {}; a "
      "constant offset can be taken out in the controller",
      print_plain(run.lines.speed), lag.rotor, stretch, limit);
  if (f.verdict != Verdict::holds) {
    f.remedy = fmt::format(
        "shift every other line by {} in the controller, work all lines one way, or {}", offset,
        stretch > lag.rotor ? "take a stiffer drive or less friction"
                            : "take a slower raster, more voltage or more motor");
  }
  f.details.push_back(detail_of("rotor behind the field", lag.rotor));
  f.details.push_back(
      detail_of("of it the driver's current behind its command", error->driver_lag));
  f.details.push_back(detail_of("stretch under the friction", stretch));
  f.details.push_back(detail_of("friction", s.seen.friction));
  f.details.push_back(detail_of("stiffness of the drive", s.stiffness));
  f.details.push_back(detail_of("speed along the line", run.lines.speed));
  return f;
}

namespace {
void add_overrun_details(Finding& f, const RasterRun& run) {
  f.details.push_back(detail_of("ramp alone", run.ramps));
  if (run.settling)
    f.details.push_back(detail_of("time in which the swing settles", *run.settling));
  if (run.swing) {
    const RasterSwing& swing = *run.swing;
    f.details.push_back(detail_of("swing after the ramp", swing.amplitude));
    f.details.push_back(detail_of("frequency of the swing", swing.mode.natural_frequency));
    f.details.push_back(
        detail_of("damping ratio", Measure::ratio(swing.mode.damping_ratio.value())));
    f.details.push_back(detail_of("stiffness at which it settles last, over the nominal one",
                                  Measure::ratio(swing.stiffness_share)));
  }
  f.details.push_back(detail_of("lines", Measure::ratio(run.lines.lines)));
  f.details.push_back(detail_of("time of one line", run.time.line));
  f.details.push_back(detail_of("time of a step to the next", run.time.step));
  f.details.push_back(detail_of("time of all lines", run.time.all));
  f.details.push_back(
      detail_of("share of the time in overrun", Measure::ratio(run.time.overrun_share)));
}
}  // namespace

Finding raster_overrun_finding(const AxisState& s, const RasterRun& run, Length travel) {
  if (!(travel > metres(0)) || !is_finite(travel))
    throw InvalidInput("travel", "> 0", in_metres(travel), "m");
  const Length room = (travel - run.lines.line) / 2.0;
  Finding f =
      compared("raster_overrun", "overrun beside a line", run.lines.overrun, Bound::at_most, room);
  f.source = fmt::format(
      "kinematics; swing of the load on these lines, derived; stiffness of the drive assumed "
      "anywhere from {} to {} of its nominal one",
      least_drive_stiffness, most_drive_stiffness);
  f.formula =
      "speed^2 / (2 * acceleration) + speed * jerk time / 2 + speed * time in which the swing "
      "after the ramp settles; limit (travel - line) / 2";
  const bool ramp_fits = run.ramps <= room;
  const std::string ramp =
      fmt::format("the ramp to {} takes {}", print_plain(run.lines.speed), run.ramps);
  const std::string left = fmt::format("{} are left of the travel on each side", room);
  if (run.settling) {
    f.reason = fmt::format("{}, and {} more go until a swing of {} is within {}; {}", ramp,
                           Length(run.lines.overrun - run.ramps), run.swing->amplitude,
                           detail::tolerance_in_words(run), left);
    if (f.verdict == Verdict::fails && ramp_fits) f.verdict = Verdict::unsure;
    if (f.verdict != Verdict::holds) {
      f.remedy = ramp_fits ? "a shorter line, a slower raster, a jerk time, more damping, or more "
                             "travel"
                           : "a shorter line, a slower raster, more acceleration or more travel";
    }
  } else {
    f.verdict = ramp_fits ? Verdict::unsure : Verdict::fails;
    if (ramp_fits) f.margin = std::nan("");
    f.value_text = fmt::format("> {}", run.ramps);
    const bool known = !is_unset(s.stiffness);
    const std::string why =
        run.swing ? fmt::format("a swing of {} never settles without damping", run.swing->amplitude)
        : known   ? std::string("what the motor cannot hold does not settle")
                  : std::string(
                        "how long the swing after it takes is not known without the stiffness of the "
                          "drive");
    f.reason = fmt::format("{}; {}, and {}", ramp, left, why);
    f.remedy = !ramp_fits  ? "a shorter line, a slower raster, more acceleration or more travel"
               : run.swing ? "give the damping of the drive"
               : known     ? "a slower raster; see the pull-out torque"
                           : "give the stiffness of the drive from the maker's data";
  }
  if (run.swing && run.swing->fed_by_motor && f.verdict != Verdict::fails) {
    f.verdict = Verdict::unsure;
    f.reason +=
        "; at that speed the voltage limits the motor's current, and the motor may keep such a "
        "swing up";
    f.remedy = "see pitchline-move --raster; or a slower raster, or more voltage";
  }
  add_overrun_details(f, run);
  return f;
}

std::vector<Finding> raster_findings(const AxisState& s, const machine::Axis& across,
                                     Length travel) {
  if (!s.axis.raster) return {};
  const RasterRun run = raster_run(s, across);
  return {raster_offset_finding(s, run), raster_overrun_finding(s, run, travel)};
}

std::vector<Row> raster_rows() {
  return {{.key = "raster",
           .asks =
               "offset of lines worked to and fro, and the overrun beside them, against what is "
               "wanted and left of the travel",
           .applies = [](const AxisState& s) { return s.axis.raster.has_value(); },
           .judge_all =
               [](const AxisState& s) {
                 return raster_findings(s, axis_across(s), machine::travel_of(s.axis.drive));
               }}};
}

}  // namespace pitchline::check
