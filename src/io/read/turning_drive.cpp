#include "read/detail/drive_keys.hpp"
#include "pitchline/axis/roller_grip.hpp"

namespace pitchline::io::detail {
namespace {

const Density densest = kilograms_per_cubic_metre(25'000);

// The heaviest workpiece; whether all of it is known.
bool read_workpiece(TableReader reader, axis::RotaryAxis& drive,
                    std::vector<std::string>& assumed) {
  axis::Workpiece& work = drive.heaviest;
  std::optional<Length> diameter;
  if (const auto millimetres_exactly = read_exact(reader, "diameter", thickest_workpiece)) {
    drive.heaviest_diameter_millimetres = *millimetres_exactly;
    diameter = millimetres(to_double(*millimetres_exactly));
    work.diameter = *diameter;
  }
  bool good = read_bore(reader, diameter, work.bore);
  if (!reader.has("bore")) assumed.emplace_back("a solid workpiece (drive.workpiece.bore)");
  if (const auto length = reader.positive<Length>("length", true, longest)) work.length = *length;
  if (const auto density = reader.positive<Density>("density", true, densest))
    work.density = *density;
  read_or_none(reader, "eccentricity", thickest_workpiece, work.eccentricity,
               "a workpiece without unbalance", assumed);
  if (diameter && work.eccentricity >= *diameter / 2.0) {
    reader.error(*reader.find("eccentricity", false, {}),
                 fmt::format("eccentricity must be below the radius of {}, got {}",
                             print_plain(*diameter / 2.0), print_plain(work.eccentricity)));
    good = false;
  }
  reader.finish();
  return good && diameter && !is_unset(work.length) && !is_unset(work.density);
}

void read_chuck(TableReader& reader, axis::Chuck& chuck, std::vector<std::string>& assumed) {
  read_or_none(reader, "chuck_inertia", largest_inertia, chuck.inertia, "a chuck without inertia",
               assumed);
  read_or_none(reader, "chuck_drag", newton_metres(100), chuck.drag,
               "no drag of the chuck and its tailstock", assumed);
}

// Whether all that the grip depends on is known.
bool read_rollers(TableReader& reader, axis::Rollers& rollers, std::vector<std::string>& assumed) {
  const auto diameter = read_exact(reader, "roller_diameter", thickest_workpiece);
  if (diameter) rollers.diameter_millimetres = *diameter;
  const auto distance = reader.positive<Length>("centre_distance", true, longest);
  if (distance) rollers.centre_distance = *distance;
  if (const auto driven = reader.whole("driven", false, 1, 2, "1")) {
    rollers.driven = static_cast<int>(*driven);
  } else if (!reader.has("driven")) {
    assumed.emplace_back("one driven roller (drive.driven)");
  }
  const auto grip = reader.ratio<FrictionCoefficient>("grip", true, "0.3");
  if (grip) rollers.grip = *grip;
  read_or_none(reader, "roller_inertia", largest_inertia, rollers.inertia,
               "rollers without inertia", assumed);
  read_or_none(reader, "roller_drag", strongest, rollers.drag, "no drag of the rollers", assumed);
  return diameter && distance && grip;
}

// What is wanted of the turning, and where it stands.
void read_wanted(TableReader& reader, machine::TurnedWork& turned) {
  if (const auto step = reader.positive<Angle>("angle_step", false, degrees(90)))
    turned.angle_step = *step;
  if (const auto step = reader.positive<Length>("surface_step", false, millimetres(100)))
    turned.surface_step = *step;
  if (const auto height = reader.not_negative<Length>("axle_height", false, thickest_workpiece))
    turned.axle_height = *height;
}

// Whether the heaviest workpiece lies on the rollers at all, and stays there.
void require_resting(TableReader& reader, const axis::RotaryAxis& drive) {
  try {
    axis::roller_grip(drive);
  } catch (const OutsideValidity& e) {
    reader.error(*reader.find("grip", false, {}), e.what());
  } catch (const InvalidInput& e) {
    reader.error(*reader.find("centre_distance", false, {}), e.what());
  }
}

}  // namespace

void read_turning_drive(TableReader& reader, machine::Axis& axis) {
  auto& drive = std::get<axis::RotaryAxis>(axis.drive);
  const toml::table* workpiece = reader.table(
      "workpiece", true, "{ diameter = \"60 mm\", length = \"400 mm\", density = \"700 kg/m^3\" }");
  const bool work_known =
      workpiece != nullptr &&
      read_workpiece({*workpiece, reader.path() + ".workpiece", reader.diagnostics()}, drive,
                     axis.assumed);
  auto* chuck = std::get_if<axis::Chuck>(&drive.hold);
  auto* rollers = std::get_if<axis::Rollers>(&drive.hold);
  const auto* stage = reader.table("stage", false, "{ motor_teeth = 20, driven_teeth = 60 }");
  if (stage != nullptr) {
    TableReader inner(*stage, reader.path() + ".stage", reader.diagnostics());
    if (const auto ratio = read_ratio(inner))
      (chuck ? chuck->motor_turns_per_chuck_turn : rollers->motor_turns_per_roller_turn) = *ratio;
    inner.finish();
  }
  if (chuck) read_chuck(reader, *chuck, axis.assumed);
  const bool rollers_known = rollers && read_rollers(reader, *rollers, axis.assumed);
  read_or_none(reader, "motor_pulley_inertia", largest_inertia, drive.motor_pulley_inertia,
               "no coupling or pulley on the motor", axis.assumed);
  if (const auto efficiency = reader.ratio<Efficiency>("efficiency", false, "0.95")) {
    drive.efficiency = *efficiency;
  } else if (!reader.has("efficiency")) {
    drive.efficiency = Efficiency(stage ? usual_belt_efficiency : 1.0);
    axis.assumed.push_back(stage ? fmt::format("efficiency {} of the belt stage (drive.efficiency)",
                                               significant(usual_belt_efficiency, 3))
                                 : fmt::format("no loss between motor and {} (drive.efficiency)",
                                               chuck ? "chuck" : "rollers"));
  }
  read_wanted(reader, axis.turned);
  if (!work_known || !rollers_known) return;
  require_resting(reader, drive);
  const Fraction& turns = rollers->motor_turns_per_roller_turn;
  const Fraction& work = drive.heaviest_diameter_millimetres;
  require_countable(
      reader, "roller_diameter",
      in_pulses(drive.driver.pulses_per_turn) * numerator(turns) * numerator(work) *
          denominator(rollers->diameter_millimetres),
      360 * denominator(turns) * denominator(work) * numerator(rollers->diameter_millimetres));
}

}  // namespace pitchline::io::detail
