#include "read/keys/belt_drive.hpp"
#include "pitchline/belt/tension.hpp"
#include "pitchline/belt/two_pulleys.hpp"
#include "read/detail/drive_keys.hpp"

namespace pitchline::io::detail {
namespace {

// Where the file leaves out the span.
const Length span_beyond_travel = millimetres(200);

void read_fitting(TableReader& reader, machine::BeltFitting& fitting) {
  reader.into(keys::belt_drive::tension, fitting.tension);
  reader.into(keys::belt_drive::service_factor, fitting.service_factor);
  reader.into(keys::belt_drive::bore, fitting.bore);
}

void read_span(TableReader& reader, machine::Axis& axis) {
  axis::BeltAxis& drive = machine::belt_drive(axis);
  if (const auto span = read_distance(
          reader, keys::belt_drive::span, drive.travel,
          "span is the distance from the centre of the drive pulley to that of the idler")) {
    drive.span = *span;
  } else if (!reader.has(keys::belt_drive::span)) {
    drive.span = drive.travel + span_beyond_travel;
    reader.assume(keys::belt_drive::span,
                  fmt::format("pulleys {} apart, travel and {}", drive.span, span_beyond_travel));
  }
}

void read_belt_stage(TableReader reader, axis::BeltAxis& drive, const Catalogue& catalogue) {
  parts::BeltStage stage;
  const auto profile = read_profile(reader, catalogue);
  const auto width = reader.read(keys::belt_stage::width);
  const auto motor_teeth = reader.read(keys::belt_stage::motor_teeth);
  const auto driven_teeth = reader.read(keys::belt_stage::driven_teeth);
  const auto distance = reader.read(keys::belt_stage::centre_distance);
  const auto take_up = reader.read(keys::belt_stage::take_up);
  reader.finish();
  if (!profile || !width || !motor_teeth || !driven_teeth || !distance) return;
  if (take_up) stage.take_up = *take_up;
  try {
    belt::belt_length({.profile = *profile,
                       .first_teeth = static_cast<int>(*motor_teeth),
                       .second_teeth = static_cast<int>(*driven_teeth)},
                      *distance);
  } catch (const OutsideValidity& e) {
    reader.error(reader.at(keys::belt_stage::centre_distance), e.what());
    return;
  }
  stage.profile = *profile;
  stage.width = *width;
  stage.motor_teeth = static_cast<int>(*motor_teeth);
  stage.driven_teeth = static_cast<int>(*driven_teeth);
  stage.centre_distance = *distance;
  drive.stage = std::move(stage);
}

axis::ShaftToFarBelt read_cross_shaft(TableReader reader) {
  axis::ShaftToFarBelt cross;
  const auto diameter = reader.read(keys::cross_shaft::diameter);
  if (diameter) cross.shaft.diameter = *diameter;
  read_bore(reader, keys::cross_shaft::bore, diameter, cross.shaft.bore);
  reader.into(keys::cross_shaft::length, cross.shaft.length);
  if (const auto material = reader.read(keys::cross_shaft::material)) {
    const bool steel = *material == 0;
    cross.density = steel ? parts::steel_density : parts::aluminium_density;
    cross.shaft.shear_modulus = steel ? parts::steel_shear_modulus : parts::aluminium_shear_modulus;
  }
  reader.into(keys::cross_shaft::couplings, cross.couplings);
  reader.into(keys::cross_shaft::coupling_stiffness, cross.coupling_stiffness);
  reader.into(keys::cross_shaft::coupling_inertia, cross.coupling_inertia);
  if (cross.couplings > 0) {
    if (!reader.has(keys::cross_shaft::coupling_stiffness))
      reader.assume(keys::cross_shaft::coupling_stiffness);
    if (!reader.has(keys::cross_shaft::coupling_inertia))
      reader.assume(keys::cross_shaft::coupling_inertia);
  }
  reader.finish();
  return cross;
}

void read_gantry(TableReader& reader, machine::Axis& axis) {
  axis::BeltAxis& drive = machine::belt_drive(axis);
  const QuantityKey<Length>& distance = keys::belt_drive::belt_distance;
  reader.into(distance, drive.belt_distance);
  if (drive.motors == 2) {
    if (const auto homed = reader.read(keys::belt_drive::homed))
      drive.each_side_homed = *homed == 1;
  }
  auto cross = reader.table(keys::belt_drive::cross_shaft, keys::cross_shaft::table);
  if (!cross) {
    if (drive.motors == 1 && reader.has(distance) && !reader.has(keys::belt_drive::cross_shaft)) {
      reader.error(reader.at(distance), "belt_distance is given, and the axis has one belt",
                   "give a cross_shaft to the far belt, or motors = 2");
    }
    return;
  }
  drive.cross_shaft = read_cross_shaft(std::move(*cross));
  if (drive.motors != 1) {
    reader.error(reader.at(keys::belt_drive::cross_shaft),
                 "cross_shaft is for a gantry with one motor, and the axis has two",
                 "leave out motors = 2 or the cross_shaft");
  }
  if (!reader.has(distance)) reader.missing(distance);
}

// Stiffness of a whole axis over that of its belt: reference/sources.md, [axis stiffness].
const StiffnessShare usual_stiffness_share{0.7};

// Drag of a belt run of 6 to 9 mm, until it is measured: reference/sources.md, [belt drag].
const Force usual_belt_drag = newtons(3);
const Length width_of_usual_drag = millimetres(7.5);

void assume_belt_drag(TableReader& reader, machine::Axis& axis) {
  axis::BeltAxis& drive = machine::belt_drive(axis);
  axis.usual.push_back(machine::UsualFigure::belt_drag);
  double share = number(drive.belt.width / width_of_usual_drag);
  const parts::Sourced<Force> least = belt::least_tension(drive.belt);
  if (!is_unset(axis.fitting.tension) && least.known())
    share *= number(axis.fitting.tension / least.value);
  drive.belt_drag = share * usual_belt_drag;
  reader.assume(keys::belt_drive::belt_drag,
                fmt::format("{} of drag of each belt run", print(drive.belt_drag, 2)));
}

// What follows from other keys where the file leaves it out.
void read_losses(TableReader& reader, machine::Axis& axis) {
  axis::BeltAxis& drive = machine::belt_drive(axis);
  if (!reader.into(keys::belt_drive::efficiency, drive.efficiency) &&
      !reader.has(keys::belt_drive::efficiency)) {
    const double stages = drive.stage ? usual_belt_efficiency : 1.0;
    drive.efficiency = Efficiency(usual_belt_efficiency * stages);
    reader.assume(
        keys::belt_drive::efficiency,
        fmt::format("efficiency {} of the belts", significant(drive.efficiency.value(), 3)));
  }
  if (reader.into(keys::belt_drive::damping_ratio, drive.belt_damping)) {
    drive.least_belt_damping = drive.belt_damping;
  } else if (!reader.has(keys::belt_drive::damping_ratio)) {
    axis.usual.push_back(machine::UsualFigure::belt_damping);
    reader.assume(keys::belt_drive::damping_ratio,
                  fmt::format("damping ratio {} of the load on its belt",
                              significant(drive.belt_damping.value(), 2)));
  }
  if (!reader.into(keys::belt_drive::stiffness_share, drive.stiffness_share) &&
      !reader.has(keys::belt_drive::stiffness_share)) {
    drive.stiffness_share = usual_stiffness_share;
    axis.usual.push_back(machine::UsualFigure::stiffness_share);
    reader.assume(keys::belt_drive::stiffness_share,
                  fmt::format("an axis {} times as stiff as its belt",
                              significant(usual_stiffness_share.value(), 2)));
  }
  const bool known = drive.pulley_teeth > 0 && !is_unset(drive.belt.width) &&
                     drive.belt.profile.pitch_millimetres > Fraction(0);
  if (!reader.into(keys::belt_drive::belt_drag, drive.belt_drag) && known &&
      !reader.has(keys::belt_drive::belt_drag))
    assume_belt_drag(reader, axis);
  if (!reader.into(keys::belt_drive::pulley_inertia, drive.pulley_inertia) && known &&
      !reader.has(keys::belt_drive::pulley_inertia)) {
    drive.pulley_inertia =
        belt::assumed_pulley_inertia(drive.belt.profile, drive.belt.width, drive.pulley_teeth);
    reader.assume(keys::belt_drive::pulley_inertia,
                  fmt::format("{} for each pulley, a solid aluminium one", drive.pulley_inertia));
  }
}

}  // namespace

void read_belt_drive(TableReader& reader, machine::Axis& axis, const Catalogue& catalogue) {
  axis::BeltAxis& drive = machine::belt_drive(axis);
  if (auto profile = read_profile(reader, catalogue)) drive.belt.profile = std::move(*profile);
  reader.into(keys::belt_drive::width, drive.belt.width);
  reader.into(keys::belt_drive::pulley_teeth, drive.pulley_teeth);
  reader.into(keys::belt_drive::belt, drive.belt.ends);
  if (const auto force = reader.read(keys::belt_drive::tension_per_strain)) {
    drive.belt.profile.stiffness_per_width = *force / drive.belt.width;
    drive.belt.profile.stiffness_source = "given in the machine file";
  }
  read_fitting(reader, axis.fitting);
  if (auto stage = reader.table(keys::belt_drive::stage, keys::belt_stage::table))
    read_belt_stage(std::move(*stage), drive, catalogue);
  read_span(reader, axis);
  read_gantry(reader, axis);
  read_losses(reader, axis);
}

}  // namespace pitchline::io::detail
