#pragma once

#include "pitchline/check/accuracy.hpp"
#include "pitchline/check/belt_condition.hpp"
#include "pitchline/check/drive.hpp"
#include "pitchline/check/motor_condition.hpp"
#include "pitchline/check/settings.hpp"

namespace pitchline::check {

namespace detail {

inline std::string parts_in_words(const machine::Axis& axis) {
  const axis::BeltAxis& d = axis.drive;
  std::string text = fmt::format(
      "{}{} at {} {}; belt {}, {} wide, {} teeth", d.motors == 2 ? "two of " : "", d.motor.name,
      print_plain(d.driver.current), d.driver.current_is == parts::CurrentIs::rms ? "RMS" : "peak",
      d.belt.profile.name, print_plain(d.belt.width), d.pulley_teeth);
  if (d.stage)
    text += fmt::format("; stage {} to {} teeth", d.stage->motor_teeth, d.stage->driven_teeth);
  return text;
}

}  // namespace detail

/// Electrical power while every axis accelerates at once at its wanted speed, against the supply.
///
/// Shaft power at the peak of the start plus copper loss 2 I²R of each motor. Leaves out iron and
/// driver losses, so a margin below 1.5 is `unsure` at best.
inline Finding supply_finding(const machine::Machine& machine,
                              const std::vector<AxisState>& states) {
  Power total{};
  Finding f;
  std::vector<Detail> details{};
  for (const AxisState& s : states) {
    const double motors = s.axis.drive.motors;
    const Current rms = parts::current_rms(s.axis.drive.driver);
    const Power shaft =
        motors * motion::rigid_torque(s.seen, s.axis.want.acceleration) * s.motor_speed;
    const Power copper = motors * 2.0 * rms * rms * s.axis.drive.motor.resistance;
    total += shaft + copper;
    details.push_back(detail_of("axis " + s.axis.name + ", shaft", shaft));
    details.push_back(detail_of("axis " + s.axis.name + ", copper", copper));
  }
  f = compared("supply_power", "supply power, peak", total, Bound::at_most, machine.supply.power);
  f.reason = fmt::format(
      "all axes accelerating at top speed at once take {} of {}, without iron "
      "and driver losses",
      total, machine.supply.power);
  if (f.margin >= 1.0 && f.margin < 1.5) f.verdict = Verdict::unsure;
  if (f.verdict != Verdict::holds) f.remedy = fmt::format("a supply of {} or more", 1.5 * total);
  f.source = "energy balance";
  f.details = std::move(details);
  return f;
}

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
    if (axis.drive.incline > degrees(0)) {
      list.push_back(
          fmt::format("Axis {} is inclined: a belt holds nothing up when power goes, so "
                      "its load falls unless a brake or a counterweight holds it.",
                      axis.name));
    }
  }
  return list;
}

/// Runs every check over a machine.
///
/// \throws InvalidInput  a field of the machine outside its range, or never set
inline Report check_machine(const machine::Machine& machine) {
  if (!(machine.supply.power > watts(0)))
    throw InvalidInput("supply power", "> 0", in_watts(machine.supply.power), "W");
  if (!(machine.controller.pulse_rate > pulses_per_second(0)))
    throw InvalidInput("pulse rate", "> 0", in_pulses_per_second(machine.controller.pulse_rate),
                       "pulse/s");
  Report report;
  report.machine = machine.name;
  std::vector<AxisState> states{};
  for (const machine::Axis& axis : machine.axes) {
    const AxisState s = state_of(machine, axis);
    AxisReport out;
    out.name = axis.name;
    out.parts = detail::parts_in_words(axis);
    out.assumed = axis.assumed;
    out.findings = {inertia_finding(s),  constant_speed_finding(s), accelerating_finding(s),
                    pull_out_finding(s), torque_margin_finding(s),  acceleration_finding(s)};
    if (!is_unset(axis.want.position_error)) out.findings.push_back(position_error_finding(s));
    if (!is_unset(axis.want.corner_error)) out.findings.push_back(corner_error_finding(s));
    out.findings.push_back(belt_tension_finding(s));
    out.findings.push_back(tooth_mesh_finding(s));
    out.findings.push_back(smallest_pulley_finding(s));
    out.findings.push_back(steps_per_mm_finding(s));
    out.findings.push_back(pulse_rate_finding(s));
    out.findings.push_back(current_finding(s));
    out.findings.push_back(heat_finding(s));
    out.findings.push_back(microstep_finding(s));
    out.findings.push_back(stability_finding(s));
    for (Finding& f : figure_findings(s)) out.findings.push_back(std::move(f));
    report.axes.push_back(std::move(out));
    states.push_back(s);
  }
  report.common.push_back(supply_finding(machine, states));
  report.cautions = cautions(machine);
  return report;
}

}  // namespace pitchline::check
