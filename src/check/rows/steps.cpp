#include "pitchline/check/rows/steps.hpp"

#include <algorithm>
#include <optional>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/row.hpp"
#include "pitchline/motion/kept_figure.hpp"
#include "pitchline/motion/steps_per_length.hpp"
#include "pitchline/motion/steps_per_turn.hpp"

namespace pitchline::check {

Fraction exact_steps_per_millimetre(const AxisState& s) {
  const motion::PiFraction exact = machine::pulses_per_millimetre(s.axis.drive);
  if (exact.pi_power != 0)
    throw InvalidInput("power of pi in the pulses per mm", "0, as of a belt or a screw",
                       exact.pi_power, "");
  return exact.factor;
}

std::optional<motion::ExactChoice> nearest_exact_choice(const AxisState& s) {
  const axis::BeltAxis& drive = s.belt();
  const motion::StepTrain train = axis::step_train(drive);
  const auto choices = motion::exact_choices(
      {.pulses_per_turn = train.pulses_per_turn,
       .other_pulses_per_turn = {motion::customary_pulses_per_turn.begin(),
                                 motion::customary_pulses_per_turn.end()},
       .turns_per_output_turn = train.turns_per_pulley_turn,
       .millimetres_per_tooth = drive.belt.profile.pitch_millimetres,
       .teeth = drive.pulley_teeth,
       .least_teeth = std::min(drive.pulley_teeth, std::max(10, drive.pulley_teeth / 2)),
       .most_teeth = 2 * drive.pulley_teeth,
       .decimals = s.machine.controller.decimals});
  if (choices.empty()) return std::nullopt;
  return choices.front();
}

Finding steps_per_mm_finding(const AxisState& s) {
  const Fraction exact = exact_steps_per_millimetre(s);
  const int decimals = s.machine.controller.decimals;
  const Fraction kept = motion::kept_at(exact, decimals);
  const bool asked = !is_unset(s.axis.want.position_error);
  const Length limit = asked ? s.axis.want.position_error : rounding_allowed;

  Finding f;
  if (kept == Fraction(0)) {
    f = compared("steps_per_mm", "steps per mm", pulses_per_millimetre(to_double(exact)),
                 Bound::at_least, pulses_per_millimetre(1.0));
    f.verdict = Verdict::fails;
    f.reason = fmt::format("{} rounds to zero at {} decimals", print_fraction(exact), decimals);
    f.remedy = "more microsteps or a controller that keeps more decimals";
  } else {
    const Length error =
        motion::travel_error(machine::travel_of(s.axis.drive), {.exact = exact, .kept = kept});
    const Length size = error < metres(0) ? Length(-error) : error;
    f = compared("steps_per_mm", "steps per mm", size, Bound::at_most, limit);
    f.value = pulses_per_millimetre(to_double(exact));
    f.reason = exact == kept ? fmt::format("exact at {} decimals", decimals)
                             : fmt::format("{} {} over {} by rounding to {} decimals", size,
                                           error > metres(0) ? "too far" : "too short",
                                           print_plain(machine::travel_of(s.axis.drive)), decimals);
    if (f.verdict != Verdict::holds)
      f.remedy = "teeth or microsteps that the controller keeps exactly: see --axis";
    if (exact != kept) {
      if (const auto choice = s.has_belt() ? nearest_exact_choice(s) : std::nullopt) {
        f.details.push_back(
            {"exact would be",
             fmt::format("{} teeth, {} pulses a turn", choice->teeth, choice->pulses_per_turn),
             pulses_per_millimetre(to_double(choice->pulses_per_millimetre))});
      }
    }
    f.details.push_back(detail_of("error over the travel", error));
    f.details.push_back(
        detail_of(asked ? "allowed, the position error" : "allowed, by default", limit));
    f.details.push_back(detail_of("travel per pulse", millimetres(1.0 / to_double(exact))));
  }
  f.value_text = motion::print_kept(exact, kept, decimals);
  f.source = "counting, exact";
  return f;
}

Finding pulse_rate_finding(const AxisState& s) {
  const PulseRate most = s.machine.controller.pulse_rate;
  const PulseRate rate =
      s.driver().pulses_per_turn * number(s.motor_speed() * seconds(1) / revolution) / seconds(1);
  Finding f = compared("pulse_rate", "pulse rate at speed", rate, Bound::at_most, most);
  f.reason = fmt::format("{:.0f} pulses a turn at {} of the motor; the controller gives {} at most",
                         in_pulses(s.driver().pulses_per_turn), s.motor_speed(), most);
  if (f.verdict == Verdict::fails) {
    f.remedy = fmt::format("fewer microsteps, or at most {}",
                           Speed(number(most / rate) * s.axis.want.speed));
  }
  f.source = "counting, exact";
  f.formula = "pulses a turn times turns a second";
  return f;
}

Finding current_finding(const AxisState& s) {
  const Current rms = parts::current_rms(s.driver());
  Finding f = compared("driver_current", "driver current, RMS", rms, Bound::at_most,
                       s.motor().rated_current);
  f.reason = fmt::format("{} RMS is {} peak; the motor is rated {} a phase with both on", rms,
                         s.winding().amplitude, s.motor().rated_current);
  if (f.verdict == Verdict::fails)
    f.remedy = "lower the setting, or ask whether the driver's number is a peak value";
  f.source = "rated current of the motor";
  f.details.push_back(detail_of("peak", s.winding().amplitude));
  return f;
}

std::vector<Row> step_rows() {
  return {{.key = "steps_per_mm",
           .asks = "what the controller's decimals cost over the travel",
           .applies = [](const AxisState& s) { return !s.is_turning(); },
           .judge = steps_per_mm_finding}};
}

std::vector<Row> controller_rows() {
  return {{.key = "pulse_rate",
           .asks = "pulses a second at the wanted speed against the most of the controller",
           .applies = always,
           .judge = pulse_rate_finding,
           .binds = Binds::speed,
           .mechanism = "pulse rate"},
          {.key = "driver_current",
           .asks = "current set against the rated current of the motor",
           .applies = always,
           .judge = current_finding}};
}

}  // namespace pitchline::check
