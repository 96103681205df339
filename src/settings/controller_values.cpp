#include "pitchline/settings/controller_values.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/rows/duty.hpp"
#include "pitchline/check/rows/raster.hpp"
#include "pitchline/motion/kept_figure.hpp"

namespace pitchline::settings {

using namespace check;

namespace detail {

motion::PiFraction per_pulse(const motion::PiFraction& pulses, std::int64_t parts) {
  return {.factor = Fraction(parts) / pulses.factor, .pi_power = -pulses.pi_power};
}

namespace {
std::string direction_note(const machine::Axis& axis) {
  std::string note;
  if (machine::incline_of(axis.drive) > degrees(0)) note += "support the load first; ";
  note += fmt::format(
      "jog it slowly by {}; if it goes the wrong way, invert it in the controller, or swap the "
      "leads of one coil with the power off",
      machine::first_jog(axis.drive));
  const auto* turning = machine::as<axis::RotaryAxis>(axis.drive);
  if (turning != nullptr && axis::on_rollers(*turning))
    note += "; the workpiece turns against its rollers";
  if (machine::motors_of(axis.drive) > 1)
    note += fmt::format("; {}", machine::trial_of_several(axis.drive));
  return note;
}
}  // namespace

std::vector<std::string> failing(const std::vector<Finding>& findings) {
  std::vector<std::string> list{};
  for (const Finding& f : findings)
    if (f.verdict == Verdict::fails) list.push_back(f.what);
  return list;
}

namespace {
TurningValues turning_values(const axis::RotaryAxis& drive, const machine::Want& want,
                             int decimals) {
  const motion::PiFraction exact{
      .factor = axis::pulses_per_degree(drive, drive.heaviest_diameter_millimetres)};
  const Length radius = drive.heaviest.diameter / 2.0;
  return {.diameter = drive.heaviest.diameter,
          .of_this_diameter = axis::on_rollers(drive),
          .pulses_per_degree = motion::kept_pulses(exact, decimals),
          .whole_per_degree = motion::kept_pulses(exact, 0),
          .degrees_per_pulse = motion::kept_travel(per_pulse(exact, 1), decimals),
          .speed = want.speed / radius * radian,
          .acceleration = want.acceleration / radius * radian};
}
}  // namespace

}  // namespace detail

std::vector<OverrunAt> overruns(const machine::Machine& machine, const machine::Axis& axis) {
  if (!machine::moves_straight(axis.drive)) return {};
  std::vector<Speed> speeds{};
  for (const double share : {0.25, 0.5, 0.75, 1.0}) speeds.push_back(share * axis.want.speed);
  std::optional<AxisState> state{};
  if (axis.raster) {
    if (std::find(speeds.begin(), speeds.end(), axis.raster->speed) == speeds.end())
      speeds.push_back(axis.raster->speed);
    std::sort(speeds.begin(), speeds.end());
    state.emplace(state_of(machine, axis));
  }
  std::vector<OverrunAt> list{};
  for (const Speed& speed : speeds) {
    OverrunAt at{
        .speed = speed,
        .ramp = motion::overrun_for(motion::LineStart{.speed = speed,
                                                      .acceleration = axis.want.acceleration,
                                                      .jerk_time = axis.want.jerk_time})};
    if (state) {
      state->axis.raster->speed = speed;
      const RasterRun run = raster_run(*state, axis_across(*state));
      if (run.settling) at.settled = run.lines.overrun;
    }
    list.push_back(at);
  }
  return list;
}

AxisValues axis_values(const machine::Machine& machine, const machine::Axis& axis) {
  const parts::Driver& driver = machine::driver_of(axis.drive);
  const int decimals = machine.controller.decimals;
  const motion::PiFraction exact = machine::pulses_per_millimetre(axis.drive);
  AxisValues v{.name = axis.name, .drive = machine::word_of(axis.drive)};
  v.pulses_per_mm = motion::kept_pulses(exact, decimals);
  v.whole_per_mm = motion::kept_pulses(exact, 0);
  v.um_per_pulse = motion::kept_travel(detail::per_pulse(exact, 1000), decimals);
  v.travel = machine::travel_of(axis.drive);
  if (const auto* turning = machine::as<axis::RotaryAxis>(axis.drive))
    v.turning = detail::turning_values(*turning, axis.want, decimals);
  v.speed = axis.want.speed;
  v.acceleration = axis.want.acceleration;
  v.jerk_time = axis.want.jerk_time;
  if (v.jerk_time > seconds(0)) v.jerk = v.acceleration / v.jerk_time;
  v.rms = parts::current_rms(driver);
  v.peak = parts::current_amplitude(driver);
  if (!is_unset(driver.at_rest)) v.rms_at_rest = v.rms * number(driver.at_rest / driver.current);
  v.pulses_per_turn = axis::whole_pulses_per_turn(driver);
  v.microsteps = driver.pulses_per_turn / machine::motor_of(axis.drive).full_steps_per_turn;
  v.motors = machine::motors_of(axis.drive);
  v.direction = detail::direction_note(axis);
  v.needed = motion::pulse_rate(exact, axis.want.speed);
  v.room = axis.raster ? Length((v.travel - axis.raster->line) / 2.0) : unset<Length>();
  v.overruns = overruns(machine, axis);
  return v;
}

ControllerValues controller_values(const machine::Machine& machine, const Report& report) {
  ControllerValues values{.machine = machine.name,
                          .controller = machine.controller,
                          .common_fails = detail::failing(report.common),
                          .worst = report.worst()};
  for (const machine::Axis& axis : machine.axes) {
    const auto checked =
        std::find_if(report.axes.begin(), report.axes.end(),
                     [&](const AxisReport& each) { return each.name == axis.name; });
    if (checked == report.axes.end())
      throw InvalidInput("axes \"" + axis.name + "\" of the report", "one", 0, "");
    AxisValues v = axis_values(machine, axis);
    v.parts = checked->parts;
    v.fails = detail::failing(checked->findings);
    values.axes.push_back(std::move(v));
  }
  return values;
}

}  // namespace pitchline::settings
