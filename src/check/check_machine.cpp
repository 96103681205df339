#include "pitchline/check/check_machine.hpp"

#include <array>

#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/drive.hpp"
#include "pitchline/check/rows/lift.hpp"
#include "pitchline/check/rows/supply.hpp"
#include "pitchline/check/search/capability.hpp"
#include "pitchline/check/search/influence.hpp"
#include "pitchline/check/search/to_measure.hpp"
#include "pitchline/check/search/what_binds.hpp"
#include "pitchline/check/to_order.hpp"

namespace pitchline::check {

std::string parts_in_words(const machine::Axis& axis) {
  static constexpr std::array counts = {"", "", "two of ", "three of ", "four of "};
  const parts::Driver& driver = machine::driver_of(axis.drive);
  return fmt::format(
      "{}{} at {} {}; {}", counts.at(static_cast<std::size_t>(machine::motors_of(axis.drive))),
      machine::motor_of(axis.drive).name, print_plain(driver.current),
      driver.current_is == parts::CurrentIs::rms ? "RMS" : "peak", machine::in_words(axis.drive));
}

std::vector<std::string> cautions(const machine::Machine& machine) {
  std::vector<std::string> list{
      "These figures size a machine, they do not certify it. Legal codes and licensed practice go "
      "before any of them.",
      "Keep hands out of belts and the path of the gantry while power is on, and fit an emergency "
      "stop.",
      "Mains wiring and a laser supply are work for a licensed person under the local code. Never "
      "run a beam machine unattended; interlock its lid, and choose the enclosure for the beam's "
      "wavelength and for fire.",
      "Check the maker's data sheet of every part before ordering it."};
  for (const machine::Axis& axis : machine.axes) {
    // Of a lift `lift_cautions` knows whether its screw holds.
    if (machine::incline_of(axis.drive) > degrees(0) && !axis.lift) {
      list.push_back(fmt::format(
          "Axis {} is inclined: {}, so its load falls unless a brake or a counterweight holds it.",
          axis.name, machine::when_power_goes(axis.drive)));
    }
    if (!machine::moves_straight(axis.drive)) {
      list.push_back(fmt::format(
          "Axis {} turns a workpiece: keep hair, sleeves and cables away from it, and guard it.",
          axis.name));
    }
  }
  return list;
}

namespace detail {

void require_valid(const machine::Machine& machine) {
  if (!(machine.supply.power > watts(0)))
    throw InvalidInput("supply power", "> 0", in_watts(machine.supply.power), "W");
  if (!(machine.controller.pulse_rate > pulses_per_second(0)))
    throw InvalidInput("pulse rate", "> 0", in_pulses_per_second(machine.controller.pulse_rate),
                       "pulse/s");
}

namespace {
std::vector<AxisState> states_of(const machine::Machine& machine) {
  std::vector<AxisState> states{};
  for (const machine::Axis& axis : machine.axes) states.push_back(state_of(machine, axis));
  return states;
}

// The supply with one axis as it is asked, while the others do what is wanted of them.
SupplyJudge supply_among(const std::vector<AxisState>& states, std::size_t place) {
  return [&states, place](const AxisState& asked) {
    std::vector<const AxisState*> all{};
    all.reserve(states.size());
    for (const AxisState& each : states) all.push_back(&each);
    all.at(place) = &asked;
    return supply_finding(asked.machine, all);
  };
}

}  // namespace

}  // namespace detail

Report check_machine(const machine::Machine& machine, const Effort& effort) {
  detail::require_valid(machine);
  Report report;
  report.machine = machine.name;
  const std::vector<AxisState> states = detail::states_of(machine);
  std::vector<const AxisState*> all{};
  for (std::size_t i = 0; i < states.size(); ++i) {
    const AxisState& s = states[i];
    all.push_back(&s);
    if (!effort.only.empty() && s.axis.name != effort.only) continue;
    AxisReport out;
    out.name = s.axis.name;
    out.parts = parts_in_words(s.axis);
    out.assumed = s.axis.assumed;
    out.not_looked_at = s.axis.not_looked_at;
    out.findings = findings_of(s);
    out.to_order = to_order(s);
    out.to_set = to_set(s);
    out.wanted_speed = s.axis.want.speed;
    out.wanted_acceleration = s.axis.want.acceleration;
    if (s.axis.want.jerk_time > seconds(0)) out.reachable = hardest_for(s);
    out.textbook = motion::rigid_acceleration(s.seen, s.at_speed.torque);
    out.binds = what_binds(s, detail::supply_among(states, i));
    if (effort.influences) {
      out.influences = influences(
          machine, i, std::min(allowed_acceleration(out.binds), out.reachable),
          // What the other axes draw does not change with this one, nor with the supply's voltage.
          [&states](const machine::Machine& other, std::size_t place, Acceleration near) {
            return first_to_bind(state_beside(states[place], other, other.axes.at(place)),
                                 detail::supply_among(states, place), near);
          });
    }
    if (effort.influences) out.to_measure = to_measure(s, out.findings);
    if (effort.capability) out.capability = capability(s);
    report.axes.push_back(std::move(out));
  }
  report.common = supply_findings(machine, all);
  report.cautions = cautions(machine);
  for (const AxisState& s : states)
    if (s.axis.lift)
      for (std::string& caution : lift_cautions(s)) report.cautions.push_back(std::move(caution));
  return report;
}

}  // namespace pitchline::check
