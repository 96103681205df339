// What a file does not describe of an axis, so that no row judges it.

#include <algorithm>

#include "read/detail/read_axis.hpp"

namespace pitchline::io::detail {
namespace {

using Lines = std::vector<std::string>;

void of_the_guides(const machine::Axis& axis, Lines& lines) {
  lines.emplace_back("load, life and play of the guides: guide.blocks changes nothing yet");
  if (!axis.beam) {
    lines.emplace_back("sag and bending of a beam that it moves (beam)");
  } else {
    lines.emplace_back(
        "sag of the beam under its weight: only its bending along the travel is judged");
  }
}

// A wide gantry pulled on one side skews by the play and give of its guides.
bool is_wide(const machine::Axis& axis) {
  const auto parts = machine::moving_parts(axis.drive);
  return axis.beam.has_value() || std::any_of(parts.begin(), parts.end(), [](const auto& part) {
           return part.travels_along_beam;
         });
}

void of_a_belt(const machine::Axis& axis, Lines& lines) {
  const auto& drive = std::get<axis::BeltAxis>(axis.drive);
  if (drive.motors == 1 && !drive.cross_shaft && is_wide(axis))
    lines.emplace_back(
        "skew of a gantry that is pulled on one side (drive.cross_shaft, or motors = 2)");
  if (drive.motors == 2 && is_unset(drive.belt_distance))
    lines.emplace_back("skew of the gantry (drive.belt_distance)");
  if (is_unset(axis.fitting.tension))
    lines.emplace_back(
        "whether the tension that is set keeps the slack strand tight (drive.tension)");
  if (is_unset(axis.fitting.bore))
    lines.emplace_back("whether the pulley fits the motor's shaft (drive.bore)");
  if (is_unset(drive.motor.shaft_load))
    lines.emplace_back("the maker's limit of the load across the motor's shaft (motor.shaft_load)");
  if (drive.stage && is_unset(drive.stage->take_up))
    lines.emplace_back("a listed belt for the stage (drive.stage.take_up)");
}

void of_a_screw(const machine::Axis& axis, Lines& lines) {
  const auto& drive = std::get<axis::ScrewAxis>(axis.drive);
  if (axis::number_of_screws(drive) == 1 && is_wide(axis))
    lines.emplace_back(
        "skew of a gantry that is pushed by one screw (motors, or "
        "drive.screws_per_motor)");
  if (!axis.lift) return;
  const machine::Lift& lift = *axis.lift;
  if (axis::number_of_screws(drive) > 1 && is_unset(lift.lead_error))
    lines.emplace_back("heights that differ by the leads of the screws (lift.lead_error)");
  if (is_unset(lift.level)) lines.emplace_back("whether the bed stays level (lift.level)");
  if (is_unset(lift.life)) lines.emplace_back("life of screws and nuts (lift.life)");
  if (drive.screws_per_motor > 1 && !lift.belt)
    lines.emplace_back("the belt that ties the screws (lift.belt)");
}

void of_what_turns(const machine::Axis& axis, Lines& lines) {
  if (is_unset(axis.turned.angle_step) && is_unset(axis.turned.surface_step))
    lines.emplace_back("the finest turn (drive.angle_step, drive.surface_step)");
  if (is_unset(axis.turned.axle_height))
    lines.emplace_back("headroom over the bed (drive.axle_height)");
}

}  // namespace

std::vector<std::string> not_looked_at(const machine::Machine& machine, const machine::Axis& axis) {
  Lines lines{};
  if (is_unset(axis.want.position_error))
    lines.emplace_back("position error at rest and at constant speed (want.position_error)");
  if (is_unset(axis.want.corner_error))
    lines.emplace_back("position error while accelerating (want.corner_error)");
  if (!machine::moves_straight(axis.drive)) {
    of_what_turns(axis, lines);
  } else {
    of_the_guides(axis, lines);
  }
  if (machine::as<axis::BeltAxis>(axis.drive) != nullptr) of_a_belt(axis, lines);
  if (machine::as<axis::ScrewAxis>(axis.drive) != nullptr) of_a_screw(axis, lines);
  if (axis.cycle.empty()) lines.emplace_back("averages over what the axis repeats (cycle)");
  if (is_unset(machine::driver_of(axis.drive).highest))
    lines.emplace_back("whether the driver is rated for the voltage (driver.highest_voltage)");
  if (is_unset(machine.supply.capacitance))
    lines.emplace_back("how far a hard stop raises the bus (supply.capacitance)");
  return lines;
}

}  // namespace pitchline::io::detail
