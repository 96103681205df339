#pragma once

#include <array>

#include "pitchline/check/accuracy.hpp"
#include "pitchline/check/beam.hpp"
#include "pitchline/check/belt_condition.hpp"
#include "pitchline/check/belt_stage.hpp"
#include "pitchline/check/bus_voltage.hpp"
#include "pitchline/check/capability.hpp"
#include "pitchline/check/drive.hpp"
#include "pitchline/check/duty.hpp"
#include "pitchline/check/gantry.hpp"
#include "pitchline/check/holding.hpp"
#include "pitchline/check/influence.hpp"
#include "pitchline/check/lift.hpp"
#include "pitchline/check/motor_condition.hpp"
#include "pitchline/check/motor_shaft.hpp"
#include "pitchline/check/raster.hpp"
#include "pitchline/check/settings.hpp"
#include "pitchline/check/supply.hpp"
#include "pitchline/check/to_order.hpp"
#include "pitchline/check/turning.hpp"
#include "pitchline/check/vibration.hpp"
#include "pitchline/check/what_binds.hpp"

namespace pitchline::check {

namespace detail {

inline std::string in_words(const axis::BeltAxis& d) {
  std::string text = fmt::format("belt {}, {} wide, {} teeth", d.belt.profile.name,
                                 print_plain(d.belt.width), d.pulley_teeth);
  if (d.stage)
    text += fmt::format("; stage {} to {} teeth", d.stage->motor_teeth, d.stage->driven_teeth);
  if (d.cross_shaft)
    text += fmt::format("; cross shaft {} to a second belt",
                        print_plain(d.cross_shaft->shaft.diameter));
  return text;
}
inline std::string in_words(const axis::ScrewAxis& d) {
  return fmt::format("screw {}{} thick, lead {}{}", d.screw.name.empty() ? "" : d.screw.name + ", ",
                     print_plain(d.screw.outer_diameter),
                     print_plain(millimetres(to_double(d.screw.lead_millimetres))),
                     d.screws_per_motor > 1 ? fmt::format(", {} a motor", d.screws_per_motor) : "");
}
inline std::string in_words(const axis::RotaryAxis& d) {
  return fmt::format("{}, workpiece up to {}",
                     std::holds_alternative<axis::Chuck>(d.hold) ? "chuck" : "driven rollers",
                     print_plain(d.heaviest.diameter));
}

inline std::string parts_in_words(const machine::Axis& axis) {
  static constexpr std::array counts = {"", "", "two of ", "three of ", "four of "};
  const parts::Driver& driver = machine::driver_of(axis.drive);
  return fmt::format("{}{} at {} {}; {}",
                     counts.at(static_cast<std::size_t>(machine::motors_of(axis.drive))),
                     machine::motor_of(axis.drive).name, print_plain(driver.current),
                     driver.current_is == parts::CurrentIs::rms ? "RMS" : "peak",
                     std::visit([](const auto& d) { return in_words(d); }, axis.drive));
}

}  // namespace detail

/// The cautions that apply to a machine, in plain words.
inline std::vector<std::string> cautions(const machine::Machine& machine) {
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

/// How much a check works out.
struct Effort {
  /// How far the answer of each axis moves with each thing that a builder can change: the whole
  /// search anew, some twenty times an axis.
  bool influences = false;
  /// The curves of each axis: the search at some fifty speeds.
  bool capability = false;
};

namespace detail {

inline void require_valid(const machine::Machine& machine) {
  if (!(machine.supply.power > watts(0)))
    throw InvalidInput("supply power", "> 0", in_watts(machine.supply.power), "W");
  if (!(machine.controller.pulse_rate > pulses_per_second(0)))
    throw InvalidInput("pulse rate", "> 0", in_pulses_per_second(machine.controller.pulse_rate),
                       "pulse/s");
}

inline std::vector<AxisState> states_of(const machine::Machine& machine) {
  std::vector<AxisState> states{};
  for (const machine::Axis& axis : machine.axes) states.push_back(state_of(machine, axis));
  return states;
}

// What binds one axis while the others do what is wanted of them.
inline std::vector<Binding> what_binds_among(const std::vector<AxisState>& states,
                                             std::size_t place) {
  const AxisState& s = states.at(place);
  return what_binds(s, [&](const AxisState& asked) {
    std::vector<const AxisState*> all{};
    all.reserve(states.size());
    for (const AxisState& each : states) all.push_back(&each);
    all.at(place) = &asked;
    return supply_finding(s.machine, all);
  });
}

inline std::vector<Finding> belt_findings(const AxisState& s) {
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

inline std::vector<Finding> findings_of(const AxisState& s) {
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

}  // namespace detail

/// Runs every check over a machine.
///
/// \throws InvalidInput     a field of the machine outside its range, or never set
/// \throws OutsideValidity  the pulleys of a reduction stage overlap
inline Report check_machine(const machine::Machine& machine, const Effort& effort = {}) {
  detail::require_valid(machine);
  Report report;
  report.machine = machine.name;
  const std::vector<AxisState> states = detail::states_of(machine);
  std::vector<const AxisState*> all{};
  for (std::size_t i = 0; i < states.size(); ++i) {
    const AxisState& s = states[i];
    AxisReport out;
    out.name = s.axis.name;
    out.parts = detail::parts_in_words(s.axis);
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
