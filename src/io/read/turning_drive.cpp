#include "read/keys/turning_drive.hpp"
#include "pitchline/axis/roller_grip.hpp"
#include "read/detail/drive_keys.hpp"

namespace pitchline::io::detail {
namespace {

// The heaviest workpiece; whether all of it is known.
bool read_workpiece(TableReader reader, axis::RotaryAxis& drive) {
  axis::Workpiece& work = drive.heaviest;
  std::optional<Length> diameter;
  if (const auto millimetres_exactly = reader.read(keys::workpiece::diameter)) {
    drive.heaviest_diameter_millimetres = *millimetres_exactly;
    diameter = millimetres(to_double(*millimetres_exactly));
    work.diameter = *diameter;
  }
  bool good = read_bore(reader, keys::workpiece::bore, diameter, work.bore);
  reader.into(keys::workpiece::length, work.length);
  reader.into(keys::workpiece::density, work.density);
  reader.into(keys::workpiece::eccentricity, work.eccentricity);
  if (diameter && work.eccentricity >= *diameter / 2.0) {
    reader.error(reader.at(keys::workpiece::eccentricity),
                 fmt::format("eccentricity must be below the radius of {}, got {}",
                             print_plain(*diameter / 2.0), print_plain(work.eccentricity)));
    good = false;
  }
  reader.finish();
  return good && diameter && !is_unset(work.length) && !is_unset(work.density);
}

void read_chuck(TableReader& reader, axis::Chuck& chuck) {
  reader.into(keys::turning_drive::chuck_inertia, chuck.inertia);
  reader.into(keys::turning_drive::chuck_drag, chuck.drag);
}

// Whether all that the grip depends on is known.
bool read_rollers(TableReader& reader, axis::Rollers& rollers) {
  const bool diameter =
      reader.into(keys::turning_drive::roller_diameter, rollers.diameter_millimetres);
  const bool distance = reader.into(keys::turning_drive::centre_distance, rollers.centre_distance);
  reader.into(keys::turning_drive::driven, rollers.driven);
  const bool grip = reader.into(keys::turning_drive::grip, rollers.grip);
  reader.into(keys::turning_drive::roller_inertia, rollers.inertia);
  reader.into(keys::turning_drive::roller_drag, rollers.drag);
  return diameter && distance && grip;
}

// What is wanted of the turning, and where it stands.
void read_wanted(TableReader& reader, machine::TurnedWork& turned) {
  reader.into(keys::turning_drive::angle_step, turned.angle_step);
  reader.into(keys::turning_drive::surface_step, turned.surface_step);
  reader.into(keys::turning_drive::axle_height, turned.axle_height);
}

// Whether the heaviest workpiece lies on the rollers at all, and stays there.
void require_resting(TableReader& reader, const axis::RotaryAxis& drive) {
  try {
    axis::roller_grip(drive);
  } catch (const OutsideValidity& e) {
    reader.error(reader.at(keys::turning_drive::grip), e.what());
  } catch (const InvalidInput& e) {
    reader.error(reader.at(keys::turning_drive::centre_distance), e.what());
  }
}

}  // namespace

void read_turning_drive(TableReader& reader, machine::Axis& axis) {
  auto& drive = std::get<axis::RotaryAxis>(axis.drive);
  auto workpiece = reader.table(keys::turning_drive::workpiece, keys::workpiece::table);
  const bool work_known = workpiece && read_workpiece(std::move(*workpiece), drive);
  auto* chuck = std::get_if<axis::Chuck>(&drive.hold);
  auto* rollers = std::get_if<axis::Rollers>(&drive.hold);
  auto stage = reader.table(keys::turning_drive::stage, keys::turning_stage::table);
  if (stage) {
    if (const auto ratio = read_ratio(*stage))
      (chuck ? chuck->motor_turns_per_chuck_turn : rollers->motor_turns_per_roller_turn) = *ratio;
    stage->finish();
  }
  if (chuck) read_chuck(reader, *chuck);
  const bool rollers_known = rollers && read_rollers(reader, *rollers);
  reader.into(keys::drive::motor_pulley_inertia, drive.motor_pulley_inertia);
  const RatioKey<Efficiency>& efficiency = keys::turning_drive::efficiency;
  if (!reader.into(efficiency, drive.efficiency) && !reader.has(efficiency)) {
    drive.efficiency = Efficiency(stage ? usual_belt_efficiency : 1.0);
    reader.assume(efficiency,
                  stage ? fmt::format("efficiency {} of the belt stage",
                                      significant(usual_belt_efficiency, 3))
                        : fmt::format("no loss between motor and {}", chuck ? "chuck" : "rollers"));
  }
  read_wanted(reader, axis.turned);
  if (!work_known || !rollers_known) return;
  require_resting(reader, drive);
  const Fraction& turns = rollers->motor_turns_per_roller_turn;
  const Fraction& work = drive.heaviest_diameter_millimetres;
  require_countable(
      reader, keys::turning_drive::roller_diameter,
      in_pulses(drive.driver.pulses_per_turn) * numerator(turns) * numerator(work) *
          denominator(rollers->diameter_millimetres),
      360 * denominator(turns) * denominator(work) * numerator(rollers->diameter_millimetres));
}

}  // namespace pitchline::io::detail
