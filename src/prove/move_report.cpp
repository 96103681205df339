#include "pitchline/prove/move_report.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/check/check_machine.hpp"
#include "pitchline/prove/trust_map.hpp"

namespace pitchline::prove {

using namespace check;

namespace {
constexpr std::string_view no_bench_test =
    "iron that does not saturate, and parts as their sheets say: a simulation of linear magnetics "
    "is no bench test";
}  // namespace

namespace detail {

namespace {
std::string motor_in_words(const simulate::SimulatedAxis& axis, const motor::LossModel& losses) {
  const motor::DrivenWinding& w = axis.winding;
  return fmt::format(
      "motor with the losses that the check counts: winding hot, {} and {}; {} of current, {} of "
      "the set one; {} against the turning of the rotor; a drag of {}, which is assumed",
      w.resistance, w.inductance, w.amplitude, significant(losses.current_share.value(), 2),
      axis.iron_torque, axis.motor_drag);
}

std::string torque_in_words(const AxisState& s, const simulate::SimulatedAxis& axis) {
  if (!axis.share)
    return "torque as the linear winding makes it, which at speed is more than the check counts on";
  const std::vector<double>& shares = axis.share->shares;
  const auto [least, most] = std::minmax_element(shares.begin(), shares.end());
  return fmt::format(
      "torque scaled to what the check counts on at each speed up to {}, {} at {}: {} to {} of "
      "what "
      "the winding makes; the driver lags behind its command where its voltage is at the limit, "
      "as one without integrator does, which is assumed",
      axis.share->top * s.seen.transmission, s.at_speed.torque, print_plain(s.axis.want.speed),
      significant(*least, 3), significant(*most, 3));
}

std::string supply_in_words(const simulate::SimulatedAxis& axis, const motor::LossModel& losses) {
  if (axis.bus)
    return fmt::format(
        "supply of {} behind {}, with {} across it, for this axis alone; the driver loses {}",
        print_plain(axis.bus->no_load), print_plain(axis.bus->resistance),
        print_plain(axis.bus->capacitance), axis.driver.drop);
  return fmt::format(
      "supply that holds its voltage, of which {} reach the winding: {} of it; give the supply a "
      "resistance and a capacitance to see it sag and rise",
      axis.winding.voltage, significant(losses.voltage_share.value(), 2));
}

std::string driver_in_words(const AxisState& s, const simulate::SimulatedAxis& axis) {
  const simulate::CurrentDriver& driver = axis.driver;
  std::string text =
      driver.regulation == simulate::Regulation::switching
          ? fmt::format("driver that switches at {}", print_plain(driver.switching_frequency))
          : std::string("driver as its average, without ripple");
  text += is_finite(driver.microsteps)
              ? fmt::format("; {:.0f} microsteps to a full step, each at a tick of {}",
                            in_pulses_per_full_step(driver.microsteps),
                            print_plain(s.machine.controller.pulse_rate))
              : std::string("; the field turns evenly, without microsteps");
  return text;
}

std::string drive_in_words(const AxisState& s, const simulate::SimulatedAxis& axis) {
  std::string text = "drive ";
  text += is_finite(s.stiffness) ? fmt::format("of {}, its least over the travel", s.stiffness)
                                 : std::string("counted as rigid");
  text += fmt::format("; damping ratio {} of the load on it, an assumption unless measured",
                      significant(axis.belt_damping.value(), 2));
  if (axis.loss && axis.loss->driving > 0.0)
    text += fmt::format("; for each newton that it passes on it loses {} N while it drives",
                        significant(axis.loss->driving, 3));
  if (axis.strands) text += fmt::format("; strands tensioned to {}", axis.strands->tension);
  return text;
}

std::string load_in_words(const AxisState& s, const simulate::SimulatedAxis& axis) {
  if (axis.gantry)
    return fmt::format(
        "two motors, each on its belt, at the ends of a rigid beam; {} travel along it and stand "
        "at {} of its length; guides that do not hold it square",
        axis.gantry->travelling, significant(axis.gantry->place, 2));
  std::string text =
      fmt::format("load of {} with {} of friction", axis.axis.mass, axis.axis.friction);
  if (axis.static_friction > axis.axis.friction)
    text += fmt::format(", {} before it moves", axis.static_friction);
  if (axis.axis.gravity != Force{}) text += fmt::format(", and {} of weight", axis.axis.gravity);
  if (s.motors() > 1) text += "; the deciding motor stands for all";
  return text;
}
}  // namespace

}  // namespace detail

std::vector<std::string> model_in_words(const AxisState& s, const simulate::SimulatedAxis& axis,
                                        const SimulationChoice& choice) {
  const motor::LossModel& losses = choice.losses ? *choice.losses : s.curve.losses();
  return {detail::motor_in_words(axis, losses),
          detail::torque_in_words(s, axis),
          detail::supply_in_words(axis, losses),
          detail::driver_in_words(s, axis),
          detail::drive_in_words(s, axis),
          detail::load_in_words(s, axis),
          std::string(no_bench_test)};
}

namespace {

// Not what was assumed of the move: this one is described.
std::vector<std::string> assumed_of_the_axis(std::vector<std::string> assumed) {
  assumed.erase(std::remove_if(assumed.begin(), assumed.end(),
                               [](const std::string& each) {
                                 return each.find("(move") != std::string::npos;
                               }),
                assumed.end());
  return assumed;
}

}  // namespace

MoveReport move_report(const AxisState& s, const simulate::SimulatedAxis& axis,
                       const SimulationChoice& choice) {
  return {.name = s.machine.name + ", axis " + s.axis.name,
          .parts = parts_in_words(s.axis),
          .model = model_in_words(s, axis, choice),
          .assumed = assumed_of_the_axis(s.axis.assumed),
          .cautions = cautions(s.machine),
          .has_belt = s.has_belt(),
          .pair = axis.gantry.has_value(),
          .place = choice.place,
          .bus = axis.bus.has_value()};
}

}  // namespace pitchline::prove
