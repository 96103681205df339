#pragma once

#include <algorithm>
#include <limits>
#include <string>
#include <vector>

#include "pitchline/check/raster.hpp"
#include "pitchline/motor/heat.hpp"

namespace pitchline::check {

/// What an axis does over and over: its cycle or its raster, as one of its motors sees it.
struct Duty {
  std::string of{};  ///< "cycle" or "raster", also the head of its keys
  std::vector<motion::DutySegment> segments{};
  Time time{};             ///< of all of it, jerk times included
  Time period{};           ///< after which motion and rest come again
  Time moving{};           ///< of `time`
  AngularSpeed fastest{};  ///< of the motor
  Torque rms{};            ///< of the torque at the shaft
  Current running{};       ///< RMS
  Current at_rest{};       ///< RMS, as the driver is set for standstill
  Current rms_current{};   ///< over `time`
  Power mean_shaft{};      ///< of one motor, braking not credited
  Power peak_shaft{};      ///< of one motor
};

namespace detail {

// The setting at standstill means what the setting in motion means, RMS or peak.
inline Current rms_at_rest(const parts::Driver& driver) {
  const Current running = parts::current_rms(driver);
  if (is_unset(driver.at_rest)) return running;
  if (!(driver.at_rest >= amperes(0)) || !is_finite(driver.at_rest))
    throw InvalidInput("driver current at rest", ">= 0", in_amperes(driver.at_rest), "A");
  return running * number(driver.at_rest / driver.current);
}

inline Duty completed(const AxisState& s, Duty duty) {
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

inline motion::DutyMove duty_move(const machine::Want& want, const machine::CycleMove& move) {
  return {.stroke = move.stroke,
          .speed = is_unset(move.speed) ? want.speed : move.speed,
          .acceleration = is_unset(move.acceleration) ? want.acceleration : move.acceleration,
          .pause = move.pause,
          .times = move.times,
          .there_and_back = move.there_and_back};
}

inline Duty duty_of_cycle(const AxisState& s) {
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

inline const machine::Axis& axis_across(const AxisState& s) {
  for (const machine::Axis& axis : s.machine.axes)
    if (axis.name == s.axis.raster->across) return axis;
  throw InvalidInput("axes named \"" + s.axis.raster->across + "\"", "one", 0, "");
}

inline Duty duty_of_raster(const AxisState& s) {
  const RasterRun run = raster_run(s, axis_across(s));
  const double lines = run.lines.lines;
  return completed(s, {.of = "raster",
                       .segments = motion::duty_of(s.seen, run.lines),
                       .time = run.time.all,
                       .period = run.time.line + run.time.step,
                       .moving = lines * run.time.line});
}

// A rest that is longer than the motor takes to warm up cools nothing while it runs.
inline bool averages(const Duty& duty) { return duty.period <= motor::short_thermal_time_constant; }

inline Current heating_current(const Duty& duty) {
  return averages(duty) ? duty.rms_current : std::max(duty.running, duty.at_rest);
}

inline std::string heating_in_words(const Duty& duty) {
  if (!averages(duty)) {
    return fmt::format("{} counted throughout, since {} pass before it rests again",
                       heating_current(duty), print_plain(duty.period));
  }
  return fmt::format("{} over the {}: {} for {} of motion, {} at rest", duty.rms_current, duty.of,
                     duty.running, duty.moving, duty.at_rest);
}

// The segment that has the least of the dependable torque to spare, over what it asks.
inline double tightest_segment(const AxisState& s, const Duty& duty) {
  double least = std::numeric_limits<double>::infinity();
  for (const motion::DutySegment& segment : duty.segments) {
    const Torque asked = std::max(segment.torque, Torque(-segment.torque));
    if (!(asked > Torque{})) continue;
    const AngularSpeed speed = std::max(segment.speed_at_start, segment.speed_at_end);
    least = std::min(least, number(s.curve.for_verdict(speed).torque / asked));
  }
  return least;
}

}  // namespace detail

/// The cycle and the raster that an axis does, as far as they are described.
///
/// Rigid torques: no swings, which the wanted move is judged with. The current changes to that at
/// rest without delay. A jerk time makes the moves longer and is left out of the torques.
///
/// \throws InvalidInput  a number of a move, of the raster or of the driver outside its range, or
///                       never set; the machine has no axis of the name that steps across
inline std::vector<Duty> duties_of(const AxisState& s) {
  std::vector<Duty> duties;
  if (!s.axis.cycle.empty()) duties.push_back(detail::duty_of_cycle(s));
  if (s.axis.raster) duties.push_back(detail::duty_of_raster(s));
  return duties;
}

/// Electrical power of all motors of an axis: shaft and copper. Leaves out iron and drivers.
struct DutyPower {
  Power mean_shaft{};
  Power mean_copper{};  ///< cold, as in `motor::copper_loss`
  Power peak{};         ///< shaft and copper at once

  [[nodiscard]] Power mean() const { return mean_shaft + mean_copper; }
};

inline DutyPower duty_power(const AxisState& s, const Duty& duty) {
  const double motors = s.motors();
  const Resistance resistance = s.motor().resistance;
  return {.mean_shaft = motors * duty.mean_shaft,
          .mean_copper = motors * motor::copper_loss(duty.rms_current, resistance),
          .peak = motors * (duty.peak_shaft + motor::copper_loss(duty.running, resistance))};
}

/// RMS torque of a duty against the dependable torque at its fastest speed.
///
/// A stepper is heated by the current that is set, not by this: what exceeds the limit here is
/// `unsure`. It fails where a stretch of the cycle asks for more than is dependable at its speed.
inline Finding duty_torque_finding(const AxisState& s, const Duty& duty) {
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

/// Current that heats the motor over a duty against the rated current.
inline Finding duty_current_finding(const AxisState& s, const Duty& duty) {
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

/// Rise of the winding over a duty against class B. As in `heat_finding`, a rise above it is
/// `unsure`: the thermal resistance is a ceiling.
inline Finding duty_heat_finding(const AxisState& s, const Duty& duty) {
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

/// Time of a duty, with its power beside it. Nothing is asked of it, so it holds.
inline Finding duty_time_finding(const AxisState& s, const Duty& duty) {
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

/// The rows of an axis that has a cycle or a raster; none where neither is described.
///
/// \throws InvalidInput  as `duties_of`
inline std::vector<Finding> duty_findings(const AxisState& s) {
  std::vector<Finding> rows;
  for (const Duty& duty : duties_of(s)) {
    rows.push_back(duty_time_finding(s, duty));
    rows.push_back(duty_torque_finding(s, duty));
    rows.push_back(duty_current_finding(s, duty));
    rows.push_back(duty_heat_finding(s, duty));
  }
  return rows;
}

}  // namespace pitchline::check
