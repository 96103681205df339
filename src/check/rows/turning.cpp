#include "pitchline/check/rows/turning.hpp"

#include <string>
#include <vector>

#include "pitchline/axis/roller_grip.hpp"
#include "pitchline/axis/turned_work.hpp"
#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/row.hpp"
#include "pitchline/motion/kept_figure.hpp"
#include "pitchline/motion/steps_per_turn.hpp"

namespace pitchline::check {

Finding steps_per_degree_finding(const AxisState& s) {
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
  f.value_text = motion::print_kept(exact, kept, decimals);
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

Finding roller_grip_finding(const AxisState& s) {
  const auto& drive = std::get<axis::RotaryAxis>(s.axis.drive);
  const axis::RollerGrip grip = axis::roller_grip(drive);
  Finding f = compared("roller_grip", "grip of the rollers", grip.largest_acceleration(),
                       Bound::at_least, s.axis.want.acceleration);
  if (!s.in_words) return f;
  f.reason = fmt::format("{} of friction at the surface, {} of it taken by unbalance, move {}",
                         grip.limit, grip.standing, grip.mass);
  if (f.verdict != Verdict::holds)
    f.remedy = "rougher rollers, a second driven roller, or less acceleration";
  f.source = "statics of a cylinder on two rollers, derived";
  f.formula = "(friction limit - unbalance) / mass at the surface";
  return f;
}

Finding angle_step_finding(const AxisState& s) {
  const auto& drive = std::get<axis::RotaryAxis>(s.axis.drive);
  const Angle wanted = s.axis.turned.angle_step;
  const Angle pulse = axis::angle_per_pulse(drive, drive.heaviest_diameter_millimetres);
  Finding f = compared("angle_step", "angle per pulse", pulse, Bound::at_most, wanted);
  const auto least = axis::smallest_diameter(drive, wanted);
  if (axis::on_rollers(drive)) {
    f.reason =
        fmt::format("rollers turn thin work further: down to {} thick it turns as finely", *least);
    f.details.push_back(detail_of("smallest workpiece that keeps it", *least));
  } else {
    f.reason = "a chuck turns work of every diameter alike";
  }
  if (f.verdict == Verdict::fails) f.remedy = "a reduction stage, or more pulses a turn";
  f.source = "counting, exact";
  f.formula = "a turn over pulses a turn of the motor and its turns a turn of the workpiece";
  return f;
}

Finding surface_step_finding(const AxisState& s) {
  const auto& drive = std::get<axis::RotaryAxis>(s.axis.drive);
  const Length wanted = s.axis.turned.surface_step;
  const motion::PiFraction exact =
      axis::pulses_per_surface_millimetre(drive, drive.heaviest_diameter_millimetres);
  Finding f = compared("surface_step", "surface per pulse",
                       millimetres(1.0 / motion::decimal_value(exact)), Bound::at_most, wanted);
  const auto largest = axis::largest_diameter(drive, wanted);
  if (std::holds_alternative<axis::Chuck>(drive.hold)) {
    f.reason = fmt::format(
        "{} pulses a mm; in a chuck the surface of thick work moves further: up "
        "to {} it is as fine",
        motion::print_pi_fraction(exact), *largest);
    f.details.push_back(detail_of("largest workpiece that keeps it", *largest));
  } else {
    f.reason = fmt::format("{} pulses a mm; rollers move the surface of all work alike",
                           motion::print_pi_fraction(exact));
  }
  if (f.verdict == Verdict::fails) f.remedy = "a reduction stage, or more pulses a turn";
  f.source = "counting, exact, pi kept";
  return f;
}

Finding headroom_finding(const AxisState& s) {
  const auto& drive = std::get<axis::RotaryAxis>(s.axis.drive);
  const Length top = axis::top_above_bed(drive, s.axis.turned.axle_height);
  const machine::Axis* lift = nullptr;
  for (const machine::Axis& other : s.machine.axes)
    for (const axis::MovingPart& part : machine::moving_parts(other.drive))
      if (part.carried_axis == s.axis.name && machine::incline_of(other.drive) > degrees(0))
        lift = &other;
  Finding f = compared("headroom", "top of the work", top, Bound::at_most,
                       lift ? machine::travel_of(lift->drive) : unset<Length>());
  f.source = "geometry, derived";
  f.formula =
      "axle height, radius and eccentricity; on rollers the height of their triangle besides";
  if (lift == nullptr) {
    f.reason =
        fmt::format("the work stands {} above the bed, and no axis that goes up carries it", top);
    f.remedy = "name this axis in carries of the lift, so that its travel is judged";
    return f;
  }
  f.reason = fmt::format(
      "axis {} must bring the bed down by it from where the bare bed is in focus; "
      "it travels {}",
      lift->name, print_plain(machine::travel_of(lift->drive)));
  if (f.verdict == Verdict::fails)
    f.remedy = "more travel of the lift, thinner work or a lower axle";
  return f;
}

std::vector<Row> turning_rows() {
  const auto turns = [](const AxisState& s) { return s.is_turning(); };
  return {
      {.key = "steps_per_degree",
       .asks = "what the controller's decimals cost over a turn",
       .applies = turns,
       .judge = steps_per_degree_finding},
      {.key = "roller_grip",
       .asks = "acceleration at which the work slips on its rollers against the wanted one",
       .applies =
           [](const AxisState& s) {
             const auto* drive = s.drive_as<axis::RotaryAxis>();
             return drive != nullptr && axis::on_rollers(*drive);
           },
       .judge = roller_grip_finding,
       .binds = Binds::acceleration,
       .mechanism = "grip of the rollers"},
      {.key = "angle_step",
       .asks = "turn by one pulse against the finest turn wanted",
       .applies =
           [](const AxisState& s) { return s.is_turning() && !is_unset(s.axis.turned.angle_step); },
       .judge = angle_step_finding},
      {.key = "surface_step",
       .asks = "travel of the surface by one pulse against the finest wanted",
       .applies =
           [](const AxisState& s) {
             return s.is_turning() && !is_unset(s.axis.turned.surface_step);
           },
       .judge = surface_step_finding},
      {.key = "headroom",
       .asks = "radius of the heaviest workpiece against the height of its axle",
       .applies =
           [](const AxisState& s) {
             return s.is_turning() && !is_unset(s.axis.turned.axle_height);
           },
       .judge = headroom_finding}};
}

}  // namespace pitchline::check
