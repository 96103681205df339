#include "pitchline/check/check_machine.hpp"

#include <array>

#include "pitchline/check/rows/accuracy.hpp"
#include "pitchline/check/rows/beam.hpp"
#include "pitchline/check/rows/belt_condition.hpp"
#include "pitchline/check/rows/belt_stage.hpp"
#include "pitchline/check/rows/bus_voltage.hpp"
#include "pitchline/check/rows/drive.hpp"
#include "pitchline/check/rows/duty.hpp"
#include "pitchline/check/rows/gantry.hpp"
#include "pitchline/check/rows/holding.hpp"
#include "pitchline/check/rows/lift.hpp"
#include "pitchline/check/rows/motor_condition.hpp"
#include "pitchline/check/rows/motor_shaft.hpp"
#include "pitchline/check/rows/raster.hpp"
#include "pitchline/check/rows/steps.hpp"
#include "pitchline/check/rows/supply.hpp"
#include "pitchline/check/rows/turning.hpp"
#include "pitchline/check/rows/vibration.hpp"
#include "pitchline/check/search/capability.hpp"
#include "pitchline/check/search/influence.hpp"
#include "pitchline/check/search/what_binds.hpp"
#include "pitchline/check/to_order.hpp"

namespace pitchline::check {

namespace {

std::string in_words(const axis::BeltAxis& d) {
  std::string text = fmt::format("belt {}, {} wide, {} teeth", d.belt.profile.name,
                                 print_plain(d.belt.width), d.pulley_teeth);
  if (d.stage)
    text += fmt::format("; stage {} to {} teeth", d.stage->motor_teeth, d.stage->driven_teeth);
  if (d.cross_shaft)
    text += fmt::format("; cross shaft {} to a second belt",
                        print_plain(d.cross_shaft->shaft.diameter));
  return text;
}

std::string in_words(const axis::ScrewAxis& d) {
  return fmt::format("screw {}{} thick, lead {}{}", d.screw.name.empty() ? "" : d.screw.name + ", ",
                     print_plain(d.screw.outer_diameter),
                     print_plain(millimetres(to_double(d.screw.lead_millimetres))),
                     d.screws_per_motor > 1 ? fmt::format(", {} a motor", d.screws_per_motor) : "");
}

std::string in_words(const axis::RotaryAxis& d) {
  return fmt::format("{}, workpiece up to {}",
                     std::holds_alternative<axis::Chuck>(d.hold) ? "chuck" : "driven rollers",
                     print_plain(d.heaviest.diameter));
}

}  // namespace

std::string parts_in_words(const machine::Axis& axis) {
  static constexpr std::array counts = {"", "", "two of ", "three of ", "four of "};
  const parts::Driver& driver = machine::driver_of(axis.drive);
  return fmt::format("{}{} at {} {}; {}",
                     counts.at(static_cast<std::size_t>(machine::motors_of(axis.drive))),
                     machine::motor_of(axis.drive).name, print_plain(driver.current),
                     driver.current_is == parts::CurrentIs::rms ? "RMS" : "peak",
                     std::visit([](const auto& d) { return in_words(d); }, axis.drive));
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
    const bool screw = std::holds_alternative<axis::ScrewAxis>(axis.drive);
    // Of a lift `lift_cautions` knows whether its screw holds.
    if (machine::incline_of(axis.drive) > degrees(0) && !axis.lift) {
      list.push_back(fmt::format(
          "Axis {} is inclined: {}, so its load falls unless a brake or a counterweight holds it.",
          axis.name,
          screw ? "a screw may turn back under its load when power goes"
                : "a belt holds nothing up when power goes"));
    }
    if (std::holds_alternative<axis::RotaryAxis>(axis.drive)) {
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

// What binds one axis while the others do what is wanted of them.
std::vector<Binding> what_binds_among(const std::vector<AxisState>& states, std::size_t place) {
  const AxisState& s = states.at(place);
  return what_binds(s, [&](const AxisState& asked) {
    std::vector<const AxisState*> all{};
    all.reserve(states.size());
    for (const AxisState& each : states) all.push_back(&each);
    all.at(place) = &asked;
    return supply_finding(s.machine, all);
  });
}

std::vector<Finding> belt_findings(const AxisState& s) {
  std::vector<Finding> list{belt_tension_finding(s)};
  if (!is_unset(s.axis.fitting.tension)) list.push_back(slack_strand_finding(s));
  list.push_back(tooth_mesh_finding(s));
  list.push_back(smallest_pulley_finding(s));
  for (Finding& f : stage_findings(s)) list.push_back(std::move(f));
  list.push_back(pulley_bore_finding(s));
  list.push_back(shaft_load_finding(s));
  for (Finding& f : gantry_findings(s)) list.push_back(std::move(f));
  return list;
}

std::vector<Finding> findings_of(const AxisState& s) {
  std::vector<Finding> list{inertia_finding(s),       constant_speed_finding(s),
                            accelerating_finding(s),  pull_out_finding(s),
                            torque_margin_finding(s), acceleration_finding(s)};
  const auto add = [&](std::vector<Finding> more) {
    for (Finding& f : more) list.push_back(std::move(f));
  };
  if (auto holding = holding_finding(s)) list.push_back(std::move(*holding));
  if (!is_unset(s.axis.want.position_error)) list.push_back(position_error_finding(s));
  if (!is_unset(s.axis.want.corner_error)) list.push_back(corner_error_finding(s));
  if (s.axis.beam) list.push_back(beam_finding(s));
  if (s.has_belt()) add(belt_findings(s));
  if (s.is_turning()) {
    add(turning_findings(s));
  } else {
    list.push_back(steps_per_mm_finding(s));
  }
  if (s.axis.lift) add(lift_findings(s));
  list.push_back(pulse_rate_finding(s));
  list.push_back(current_finding(s));
  list.push_back(heat_finding(s));
  list.push_back(microstep_finding(s));
  list.push_back(supply_voltage_finding(s));
  list.push_back(stability_finding(s));
  list.push_back(residual_vibration_finding(s));
  if (s.axis.raster) add(raster_findings(s, axis_across(s), machine::travel_of(s.axis.drive)));
  add(duty_findings(s));
  add(figure_findings(s));
  for (Finding& f : list) {
    if (f.verdict == Verdict::unsure && f.margin < 1.0 && f.margin_without_factor >= 1.0)
      f.reason += "; without that factor it would hold, so this is no failure for certain";
  }
  return list;
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
    AxisReport out;
    out.name = s.axis.name;
    out.parts = parts_in_words(s.axis);
    out.assumed = s.axis.assumed;
    out.findings = detail::findings_of(s);
    out.to_order = to_order(s, out.findings);
    out.to_set = to_set(s, out.findings);
    out.wanted_speed = s.axis.want.speed;
    out.wanted_acceleration = s.axis.want.acceleration;
    out.textbook = motion::rigid_acceleration(s.seen, s.at_speed.torque);
    out.binds = detail::what_binds_among(states, i);
    if (effort.influences) {
      out.influences = influences(machine, i, [](const machine::Machine& other, std::size_t place) {
        return detail::what_binds_among(detail::states_of(other), place);
      });
    }
    if (effort.capability) out.capability = capability(s);
    report.axes.push_back(std::move(out));
    all.push_back(&s);
  }
  report.common = supply_findings(machine, all);
  report.cautions = cautions(machine);
  for (const AxisState& s : states)
    if (s.axis.lift)
      for (std::string& caution : lift_cautions(s)) report.cautions.push_back(std::move(caution));
  return report;
}

}  // namespace pitchline::check
