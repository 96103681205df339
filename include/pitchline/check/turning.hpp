#pragma once

#include <string>
#include <vector>

#include "pitchline/axis/roller_grip.hpp"
#include "pitchline/check/axis_state.hpp"
#include "pitchline/motion/steps_per_turn.hpp"

namespace pitchline::check {

/// Pulses per degree of the heaviest workpiece, exact and as the controller keeps them, with what
/// the rounding costs at its surface over one turn.
///
/// \throws InvalidInput  as `axis::pulses_per_degree`
inline Finding steps_per_degree_finding(const AxisState& s) {
  const auto& drive = std::get<axis::RotaryAxis>(s.axis.drive);
  const Fraction diameter = drive.heaviest_diameter_millimetres;
  const Fraction exact = axis::pulses_per_degree(drive, diameter);
  const int decimals = s.machine.controller.decimals;
  const Fraction kept = motion::kept_at(exact, decimals);
  const bool asked = !is_unset(s.axis.want.position_error);
  const Length limit = asked ? s.axis.want.position_error : millimetres(0.05);
  // One turn at the surface is travelled too far by the share that too many pulses are sent.
  const double share = to_double(kept) / to_double(exact) - 1.0;
  const Length error = std::fabs(share) * machine::travel_of(s.axis.drive);
  Finding f = compared("steps_per_degree", "pulses per degree", error, Bound::at_most, limit);
  // Judged by the error, shown as the count: there is no kind for pulses per angle to print.
  f.value = Measure::ratio(to_double(exact));
  f.value_text =
      exact == kept ? fmt::format("{:.{}f}", to_double(kept), decimals)
                    : fmt::format("{} = {:.{}f}", print_fraction(exact), to_double(kept), decimals);
  const motion::PiFraction surface = axis::pulses_per_surface_millimetre(drive, diameter);
  f.reason = fmt::format(
      "{} at the surface over one turn by rounding to {} decimals; per mm of "
      "surface {} pulses",
      error, decimals, motion::print_pi_fraction(surface));
  if (f.verdict != Verdict::holds) f.remedy = "a controller that keeps more decimals";
  f.source = "counting, exact, pi kept";
  f.formula = "pulses a turn of the motor times its turns a turn of the workpiece, over 360";
  f.details.push_back(detail_of("error at the surface over one turn", error));
  f.details.push_back(detail_of("travel of the surface per pulse",
                                millimetres(1.0 / motion::decimal_value(surface))));
  f.details.push_back(detail_of("heaviest workpiece", axis::mass(drive.heaviest)));
  return f;
}

/// Whether driven rollers turn the heaviest workpiece without slip at the wanted acceleration.
///
/// \throws InvalidInput     as `axis::roller_grip`
/// \throws OutsideValidity  as `axis::roller_grip`
inline Finding roller_grip_finding(const AxisState& s) {
  const auto& drive = std::get<axis::RotaryAxis>(s.axis.drive);
  const axis::RollerGrip grip = axis::roller_grip(drive);
  Finding f = compared("roller_grip", "grip of the rollers", grip.largest_acceleration(),
                       Bound::at_least, s.axis.want.acceleration);
  f.reason = fmt::format("{} of friction at the surface, {} of it taken by unbalance, move {}",
                         grip.limit, grip.standing, grip.mass);
  if (f.verdict != Verdict::holds)
    f.remedy = "rougher rollers, a second driven roller, or less acceleration";
  f.source = "statics of a cylinder on two rollers, derived";
  f.formula = "(friction limit - unbalance) / mass at the surface";
  return f;
}

/// All that is found of a turning attachment beside the rows of every axis.
inline std::vector<Finding> turning_findings(const AxisState& s) {
  std::vector<Finding> list{steps_per_degree_finding(s)};
  const auto& drive = std::get<axis::RotaryAxis>(s.axis.drive);
  if (std::holds_alternative<axis::Rollers>(drive.hold)) list.push_back(roller_grip_finding(s));
  return list;
}

}  // namespace pitchline::check
