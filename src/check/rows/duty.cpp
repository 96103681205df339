#include "pitchline/check/rows/duty.hpp"

#include <algorithm>
#include <limits>
#include <string>
#include <vector>

#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/raster.hpp"
#include "pitchline/motor/heat.hpp"

namespace pitchline::check {

namespace detail {

Current rms_at_rest(const parts::Driver& driver) {
  const Current running = parts::current_rms(driver);
  if (is_unset(driver.at_rest)) return running;
  if (!(driver.at_rest >= amperes(0)) || !is_finite(driver.at_rest))
    throw InvalidInput("driver current at rest", ">= 0", in_amperes(driver.at_rest), "A");
  return running * number(driver.at_rest / driver.current);
}

namespace {
Duty completed(const AxisState& s, Duty duty) {
  for (const motion::DutySegment& segment : duty.segments)
    duty.fastest = std::max({duty.fastest, segment.speed_at_start, segment.speed_at_end});
  duty.rms = motion::rms_torque(duty.segments);
  duty.running = parts::current_rms(s.driver());
  duty.at_rest = rms_at_rest(s.driver());
  duty.rms_current = motion::rms_current({.running = duty.running,
                                          .at_rest = duty.at_rest,
                                          .moving = duty.moving,
                                          .resting = duty.time - duty.moving});
  duty.mean_shaft = motion::shaft_energy(duty.segments).driving / duty.time;
  duty.peak_shaft = motion::peak_power(duty.segments);
  return duty;
}

motion::DutyMove duty_move(const machine::Want& want, const machine::CycleMove& move) {
  return {.stroke = move.stroke,
          .speed = is_unset(move.speed) ? want.speed : move.speed,
          .acceleration = is_unset(move.acceleration) ? want.acceleration : move.acceleration,
          .pause = move.pause,
          .times = move.times,
          .there_and_back = move.there_and_back};
}

Duty duty_of_cycle(const AxisState& s) {
  Duty duty{.of = "cycle"};
  for (const machine::CycleMove& move : s.axis.cycle) {
    const motion::DutyMove each = duty_move(s.axis.want, move);
    for (const motion::DutySegment& segment : motion::duty_of(s.seen, each)) {
      const Time whole = segment.duration * static_cast<double>(segment.times);
      if (segment.speed_at_start > AngularSpeed{} || segment.speed_at_end > AngularSpeed{})
        duty.moving += whole;
      duty.time += whole;
      duty.segments.push_back(segment);
    }
    const Time smoothing =
        s.axis.want.jerk_time * static_cast<double>(each.times * (each.there_and_back ? 2 : 1));
    duty.moving += smoothing;
    duty.time += smoothing;
  }
  duty.period = duty.time;
  return completed(s, duty);
}
}  // namespace

}  // namespace detail

const machine::Axis& axis_across(const AxisState& s) {
  for (const machine::Axis& axis : s.machine.axes)
    if (axis.name == s.axis.raster->across) return axis;
  throw InvalidInput("axes named \"" + s.axis.raster->across + "\"", "one", 0, "");
}

namespace detail {

namespace {
Duty duty_of_raster(const AxisState& s) {
  const RasterRun run = raster_run(s, axis_across(s));
  const double lines = run.lines.lines;
  return completed(s, {.of = "raster",
                       .segments = motion::duty_of(s.seen, run.lines),
                       .time = run.time.all,
                       .period = run.time.line + run.time.step,
                       .moving = lines * run.time.line});
}
}  // namespace

bool averages(const Duty& duty) { return duty.period <= motor::short_thermal_time_constant; }

namespace {
Current heating_current(const Duty& duty) {
  return averages(duty) ? duty.rms_current : std::max(duty.running, duty.at_rest);
}

std::string heating_in_words(const Duty& duty) {
  if (!averages(duty)) {
    return fmt::format("{} counted throughout, since {} pass before it rests again",
                       heating_current(duty), print_plain(duty.period));
  }
  return fmt::format("{} over the {}: {} for {} of motion, {} at rest", duty.rms_current, duty.of,
                     duty.running, duty.moving, duty.at_rest);
}

// The segment that has the least of the dependable torque to spare, over what it asks.
double tightest_segment(const AxisState& s, const Duty& duty) {
  double least = std::numeric_limits<double>::infinity();
  for (const motion::DutySegment& segment : duty.segments) {
    const Torque asked = std::max(segment.torque, Torque(-segment.torque));
    if (!(asked > Torque{})) continue;
    const AngularSpeed speed = std::max(segment.speed_at_start, segment.speed_at_end);
    least = std::min(least, number(s.curve.for_verdict(speed).torque / asked));
  }
  return least;
}
}  // namespace

}  // namespace detail

std::vector<Duty> duties_of(const AxisState& s) {
  std::vector<Duty> duties;
  if (!s.axis.cycle.empty()) duties.push_back(detail::duty_of_cycle(s));
  if (s.axis.raster) duties.push_back(detail::duty_of_raster(s));
  return duties;
}

DutyPower duty_power(const AxisState& s, const Duty& duty) {
  const double motors = s.motors();
  const Resistance resistance = s.motor().resistance;
  return {.mean_shaft = motors * duty.mean_shaft,
          .mean_copper = motors * motor::copper_loss(duty.rms_current, resistance),
          .peak = motors * (duty.peak_shaft + motor::copper_loss(duty.running, resistance))};
}

Finding duty_torque_finding(const AxisState& s, const Duty& duty) {
  const Torque dependable = s.curve.for_verdict(duty.fastest).torque;
  const double tightest = detail::tightest_segment(s, duty);
  Finding f =
      compared(duty.of + "_torque", "RMS torque, " + duty.of, duty.rms, Bound::at_most, dependable);
  f.formula = "sqrt(sum of torque^2 * time / sum of time) over the stretches of the " + duty.of;
  f.source = "definition of the RMS value; Newton's law at the shaft";
  f.reason = fmt::format("{} RMS and {} at most, against {} dependable at {}", duty.rms,
                         motion::peak_torque(duty.segments), dependable, duty.fastest);
  if (tightest < 1.0) {
    f.verdict = Verdict::fails;
    f.margin = std::min(f.margin, tightest);
    f.reason += tightest > 0.0
                    ? fmt::format("; one stretch asks for {} times what is dependable at its speed",
                                  significant(1.0 / tightest, 3))
                    : std::string("; at the speed of one stretch none is left");
  } else if (f.verdict == Verdict::fails) {
    f.verdict = Verdict::unsure;
  }
  if (f.verdict != Verdict::holds)
    f.remedy = "less acceleration or speed in the " + duty.of + ", or more motor";
  f.details.push_back(detail_of("largest torque", motion::peak_torque(duty.segments)));
  f.details.push_back(detail_of("least torque over what a stretch asks", Measure::ratio(tightest)));
  f.details.push_back(detail_of("fastest speed of the motor", duty.fastest));
  return f;
}

Finding duty_current_finding(const AxisState& s, const Duty& duty) {
  Finding f = compared(duty.of + "_current", "RMS current, " + duty.of,
                       detail::heating_current(duty), Bound::at_most, s.motor().rated_current);
  // What a motor is rated for it may be run at.
  if (f.verdict == Verdict::tight) f.verdict = Verdict::holds;
  f.formula = "sqrt((current^2 * time moving + current at rest^2 * time resting) / time)";
  f.source = "definition of the RMS value; rating of the data sheet";
  f.reason = detail::heating_in_words(duty);
  if (f.verdict != Verdict::holds)
    f.remedy = "a lower current, a lower one at standstill, or longer rests";
  f.details.push_back(detail_of("current in motion, RMS", duty.running));
  f.details.push_back(detail_of("current at rest, RMS", duty.at_rest));
  f.details.push_back(detail_of("time in motion", duty.moving));
  return f;
}

Finding duty_heat_finding(const AxisState& s, const Duty& duty) {
  const parts::StepperMotor& motor = s.motor();
  const motor::ThermalPath path = motor::thermal_path(motor, motor.frame);
  const Power copper = motor::copper_loss(detail::heating_current(duty), motor.resistance);
  const motor::WindingHeat heat = motor::winding_heat({.copper_loss = copper}, path.resistance);
  Finding f = compared(duty.of + "_heat", "winding, " + duty.of,
                       heat.rise.value_or(unlimited<TemperatureRise>()), Bound::at_most,
                       motor::class_b_rise);
  f.formula =
      "thermal resistance * copper loss cold / (1 - copper per kelvin * thermal resistance * "
      "copper loss cold), copper loss 2 * current^2 * resistance";
  f.source =
      "heat balance, derived; class B 80 K, thermal resistance from data sheets [thermal ceilings]";
  if (!heat.rise) f.value_text = "runs away";
  f.reason = fmt::format("{} of copper loss cold over {}; {}", copper, path.resistance,
                         detail::heating_in_words(duty));
  if (f.verdict == Verdict::fails) f.verdict = Verdict::unsure;
  if (f.verdict != Verdict::holds)
    f.remedy = "a lower current, a lower one at standstill, or a motor on a metal plate";
  f.details.push_back(detail_of("copper loss, cold", copper));
  f.details.push_back(detail_of("thermal resistance", path.resistance));
  return f;
}

Finding duty_time_finding(const AxisState& s, const Duty& duty) {
  const DutyPower power = duty_power(s, duty);
  Finding f;
  f.key = duty.of + "_time";
  f.what = "time of the " + duty.of;
  f.value = duty.time;
  f.margin = std::numeric_limits<double>::infinity();
  f.verdict = Verdict::holds;
  f.formula = "sum of the times of ramps, cruises, pauses and jerk times";
  f.source = "kinematics; energy balance";
  f.reason = fmt::format(
      "{} in motion; the axis takes {} in the mean and {} at most, without iron "
      "and driver losses and with nothing credited for braking",
      duty.moving, power.mean(), power.peak);
  f.details.push_back(detail_of("time in motion", duty.moving));
  f.details.push_back(detail_of("mean power", power.mean()));
  f.details.push_back(detail_of("mean power, shaft", power.mean_shaft));
  f.details.push_back(detail_of("mean power, copper", power.mean_copper));
  f.details.push_back(detail_of("peak power", power.peak));
  return f;
}

std::vector<Finding> duty_findings(const AxisState& s) {
  std::vector<Finding> rows;
  for (const Duty& duty : duties_of(s)) {
    rows.push_back(duty_time_finding(s, duty));
    rows.push_back(duty_torque_finding(s, duty));
    rows.push_back(duty_current_finding(s, duty));
    rows.push_back(duty_heat_finding(s, duty));
  }
  return rows;
}

std::vector<Row> duty_rows() {
  return {
      {.key = "duty",
       .asks = "time, RMS torque, RMS current and heat of the cycle or raster that is described",
       .applies = [](const AxisState& s) { return !s.axis.cycle.empty() || s.axis.raster; },
       .judge_all = duty_findings}};
}

}  // namespace pitchline::check
