#include "pitchline/check/rows/motor_condition.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/row.hpp"
#include "pitchline/motor/heat.hpp"
#include "pitchline/motor/microstep.hpp"
#include "pitchline/motor/unstable_bands.hpp"
#include "pitchline/parts/plausibility.hpp"

namespace pitchline::check {

motor::SwingingShaft swinging_shaft(const AxisState& s) {
  motor::SwingingShaft shaft{.inertia = s.seen.motor_side_inertia,
                             .viscous_damping = motor::assumed_motor_damping(s.motor())};
  if (is_finite(s.stiffness)) {
    shaft.belt = motor::BeltAtMotor{.stiffness = s.stiffness,
                                    .damping_ratio = machine::least_damping_of(s.axis.drive),
                                    .transmission = s.seen.transmission};
  }
  return shaft;
}

namespace {

// A saturated bridge approaches a square wave, whose fundamental is 4/π of the supply: the
// amplitude for which the linear model was checked against integration in time.
motor::DrivenWinding saturated(const AxisState& s) {
  motor::DrivenWinding winding = s.winding();
  winding.voltage *= 4.0 / std::numbers::pi;
  return winding;
}

// The motor may be asked for more torque than it has; the torque rows say so.
auto torque_made(const AxisState& s) {
  return [&s, torque = motion::rigid_torque(s.seen, s.axis.want.acceleration)](AngularSpeed speed) {
    return std::min(torque, Torque(0.999 * s.curve.loss_free(speed).torque));
  };
}

}  // namespace

std::vector<motor::UnstableBand> unstable_bands(const AxisState& s) {
  return motor::unstable_bands(saturated(s), swinging_shaft(s), s.motor_speed(), torque_made(s));
}

bool has_unstable_band(const AxisState& s) {
  return motor::has_unstable_band(saturated(s), swinging_shaft(s), s.motor_speed(), torque_made(s));
}

Finding stability_finding(const AxisState& s) {
  const Torque torque = motion::rigid_torque(s.seen, s.axis.want.acceleration);
  Finding f;
  f.key = "stability";
  f.what = "swings of the motor";
  f.value = RotaryDrag{};
  f.source = "linearised motor and driver, derived [midband]; damping assumed";
  const std::vector<motor::UnstableBand> bands = unstable_bands(s);
  // Where saturation begins the voltage is still a sine: the supply itself, the safe side.
  const auto saturation = motor::saturation_speed(s.winding(), std::min(torque, s.at_rest.torque));
  f.details.push_back(detail_of("damping assumed in the motor", swinging_shaft(s).viscous_damping));
  if (bands.empty()) {
    const bool saturates = !saturation || *saturation < s.motor_speed();
    f.value_text = "none found";
    f.verdict = saturates ? Verdict::unsure : Verdict::holds;
    f.margin = saturates ? std::nan("") : std::numeric_limits<double>::infinity();
    if (saturates) {
      f.reason = fmt::format(
          "the voltage limits the current from {} on; the damping assumed is enough up to {}, but "
          "it is assumed",
          saturation ? print(*saturation) : "rest", s.motor_speed());
      f.remedy = "try it before you rely on it, or stay below that speed";
    } else {
      f.reason = fmt::format(
          "the driver forces its current at every speed up to {}, so the motor damps itself",
          s.motor_speed());
    }
    return f;
  }
  const motor::UnstableBand& worst =
      *std::max_element(bands.begin(), bands.end(),
                        [](const auto& a, const auto& b) { return a.missing < b.missing; });
  f.verdict = Verdict::unsure;
  f.value = worst.missing;
  f.value_text = fmt::format("{} to {} rpm", significant(in_revolutions_per_minute(worst.from), 3),
                             significant(in_revolutions_per_minute(worst.to), 3));
  f.reason = fmt::format(
      "between these speeds a swing of {} may grow: at {} it needs a damping of {}, and {} is "
      "missing{}",
      worst.oscillation, worst.worst, worst.needed, worst.missing,
      worst.worst_near_saturation ? "; close to the corner the model overstates this" : "");
  f.remedy =
      "a damper on the motor shaft, a higher supply voltage, a lower speed, less torque asked, or "
      "pass through the band quickly";
  for (const motor::UnstableBand& band : bands) {
    f.details.push_back(detail_of("band from", band.from));
    f.details.push_back(detail_of("band to", band.to));
    f.details.push_back(detail_of("damping missing at its worst", band.missing));
    f.details.push_back(detail_of("frequency of the swing", band.oscillation));
  }
  return f;
}

namespace {
// The finest move that somebody asks of the axis; unset where nobody does.
Length finest_move_wanted(const AxisState& s) {
  if (s.axis.lift && !is_unset(s.axis.lift->height_step)) return s.axis.lift->height_step;
  if (s.is_turning()) return s.axis.turned.surface_step;
  return s.axis.want.position_error;
}
}  // namespace

Finding microstep_finding(const AxisState& s) {
  const Torque friction = std::max(
      Torque{}, Torque(motion::rigid_torque(s.seen, metres_per_second_squared(0)) +
                       s.seen.breakaway * s.seen.transmission / s.seen.efficiency.value()));
  const parts::StepperMotor& motor = s.motor();
  const PulsesPerFullStep set = s.driver().pulses_per_turn / motor.full_steps_per_turn;
  const auto finest = motor::finest_moving_microsteps(motor::field_at_rest(s.winding()), friction);
  const Length pulse = revolution * s.seen.transmission / in_pulses(s.driver().pulses_per_turn);
  // Friction swallows as many pulses as it takes until the field pulls harder.
  const double swallowed = finest ? std::ceil(number(set / *finest) * (1.0 - 1e-9))
                                  : std::numeric_limits<double>::infinity();
  const Length sure = std::max(1.0, swallowed) * pulse;
  const Length wanted = finest_move_wanted(s);
  Finding f = compared("microsteps", "least move that is sure", sure, Bound::at_most,
                       is_unset(wanted) ? unlimited<Length>() : wanted);
  f.reason = fmt::format("{} of friction stand against {} of the field, so that {}; a pulse is {}",
                         friction, motor::field_at_rest(s.winding()).torque_amplitude,
                         swallowed <= 1.0 ? "each pulse moves it"
                         : std::isfinite(swallowed)
                             ? fmt::format("it moves after {:.0f} pulses at most", swallowed)
                             : "no step moves it",
                         pulse);
  if (f.verdict != Verdict::holds)
    f.remedy = "less friction, more current, or less travel per turn of the motor";
  f.source = "torque of one microstep, T sin(90 deg/n) [Faulhaber microstepping]";
  f.details.push_back(detail_of("travel of one pulse", pulse));
  return f;
}

Finding heat_finding(const AxisState& s) {
  const parts::StepperMotor& motor = s.motor();
  const motor::ThermalPath path = motor::thermal_path(motor, motor.frame);
  const Power copper = motor::copper_loss(parts::current_rms(s.driver()), motor.resistance);
  const motor::WindingHeat heat = motor::winding_heat({.copper_loss = copper}, path.resistance);
  Finding f = compared("winding_heat", "winding at full current",
                       heat.rise.value_or(unlimited<TemperatureRise>()), Bound::at_most,
                       motor::class_b_rise);
  const std::string basis = path.basis == motor::ThermalBasis::frame_class
                                ? "the default of its frame"
                                : "its own rating";
  if (heat.rise) {
    f.reason = fmt::format("{} of copper loss cold, {} hot, over {} from {}", copper, heat.loss,
                           path.resistance, basis);
  } else {
    f.value_text = "runs away";
    f.reason = fmt::format("{} of copper loss over {} from {} heat the copper faster than it cools",
                           copper, path.resistance, basis);
  }
  // The thermal resistance is a ceiling: the real motor is cooler. A rise above the limit is no
  // failure for certain.
  if (f.verdict == Verdict::fails) f.verdict = Verdict::unsure;
  if (f.verdict != Verdict::holds)
    f.remedy = "a lower current, current reduction at standstill, or a motor on a metal plate";
  f.source =
      "heat balance, derived; class B 80 K, thermal resistance from data sheets [thermal ceilings]";
  f.details.push_back(detail_of("copper loss, cold", copper));
  f.details.push_back(detail_of("thermal resistance", path.resistance));
  return f;
}

std::vector<Finding> figure_findings(const AxisState& s) {
  std::vector<Finding> findings;
  for (const parts::Question& question : parts::questions(s.motor())) {
    Finding f;
    f.key = "motor_figures";
    f.what = fmt::format("motor: {}", parts::name(question.figure));
    f.value_text = "looks wrong";
    f.verdict = Verdict::unsure;
    f.reason = question.text;
    f.remedy = "compare it with the data sheet";
    f.source = "compared with the motors of many data sheets [listed motors]";
    findings.push_back(std::move(f));
  }
  return findings;
}

std::vector<Row> motor_rows() {
  return {{.key = "winding_heat",
           .asks = "rise of the winding at full current and standstill against class B",
           .applies = always,
           .judge = heat_finding},
          {.key = "microsteps",
           .asks = "least move that friction does not swallow against the finest that is wanted",
           .applies = always,
           .judge = microstep_finding}};
}

std::vector<Row> stability_rows() {
  return {{.key = "stability",
           .asks = "damping present against what keeps swings of the motor from growing",
           .applies = always,
           .judge = stability_finding,
           .binds = Binds::acceleration,
           .mechanism = "swings of the motor",
           // What has a band at the wanted acceleration is decided there, not by a search.
           .is_asked = [](const AxisState& s) { return !has_unstable_band(s); },
           .allows = [](const AxisState& s) { return !has_unstable_band(s); },
           .rests_on = RestsOn::torque}};
}

std::vector<Row> figure_rows() {
  return {{.key = "motor_figures",
           .asks = "whether the figures of the motor fit each other",
           .applies = always,
           .judge_all = figure_findings}};
}

}  // namespace pitchline::check
