#include "read/detail/drive_keys.hpp"

#include <array>

#include "read/detail/read_parts.hpp"
#include "pitchline/belt/two_pulleys.hpp"

namespace pitchline::io::detail {
namespace {

// Bounds that no machine of this kind reaches; beyond them stands a slip of the unit.
const Length thickest_shaft = millimetres(100);
const TorsionalStiffness stiffest_coupling = newton_metres_per_radian(1e7);

// Defaults. Each is named in the report where the file leaves the key out.
const Length span_beyond_travel = millimetres(200);

std::optional<parts::BeltProfile> read_profile(TableReader& reader, const Catalogue& catalogue) {
  const toml::node* node = reader.find("profile", true, "\"GT 2 mm\"");
  if (node == nullptr) return std::nullopt;
  if (const toml::table* table = node->as_table()) {
    return read_belt_profile({*table, reader.path() + ".profile", reader.diagnostics()},
                             "belt of this file");
  }
  const auto name = reader.text("profile", true, "GT 2 mm");
  if (!name) return std::nullopt;
  const auto found = catalogue.belts.find(*name);
  if (found != catalogue.belts.end()) return found->second;
  reader.unknown_word(*node, "belt profile", *name, names_of(catalogue.belts));
  return std::nullopt;
}

void read_fitting(TableReader& reader, machine::BeltFitting& fitting) {
  if (const auto tension = reader.positive<Force>("tension", false, strongest))
    fitting.tension = *tension;
  if (const auto factor = reader.ratio<belt::ServiceFactor>("service_factor", false, "1.6"))
    fitting.service_factor = *factor;
  if (const auto bore = reader.positive<Length>("bore", false, thickest_shaft))
    fitting.bore = *bore;
}

void read_span(TableReader& reader, machine::Axis& axis) {
  axis::BeltAxis& drive = machine::belt_drive(axis);
  if (const auto span = read_distance(
          reader, "span", false, drive.travel,
          "span is the distance from the centre of the drive pulley to that of the idler")) {
    drive.span = *span;
  } else if (!reader.has("span")) {
    drive.span = drive.travel + span_beyond_travel;
    axis.assumed.push_back(fmt::format("pulleys {} apart, travel and {} (drive.span)", drive.span,
                                       span_beyond_travel));
  }
}

void read_belt_stage(TableReader reader, axis::BeltAxis& drive, const Catalogue& catalogue) {
  parts::BeltStage stage;
  const auto profile = read_profile(reader, catalogue);
  const auto width = reader.positive<Length>("width", true, millimetres(500));
  const auto motor_teeth = reader.whole("motor_teeth", true, 6, 500, "20");
  const auto driven_teeth = reader.whole("driven_teeth", true, 6, 500, "60");
  const auto distance = reader.positive<Length>("centre_distance", true, metres(5));
  const auto take_up = reader.positive<Length>("take_up", false, metres(5));
  reader.finish();
  if (!profile || !width || !motor_teeth || !driven_teeth || !distance) return;
  if (take_up) stage.take_up = *take_up;
  try {
    belt::belt_length({.profile = *profile,
                       .first_teeth = static_cast<int>(*motor_teeth),
                       .second_teeth = static_cast<int>(*driven_teeth)},
                      *distance);
  } catch (const OutsideValidity& e) {
    reader.error(*reader.find("centre_distance", false, {}), e.what());
    return;
  }
  stage.profile = *profile;
  stage.width = *width;
  stage.motor_teeth = static_cast<int>(*motor_teeth);
  stage.driven_teeth = static_cast<int>(*driven_teeth);
  stage.centre_distance = *distance;
  drive.stage = std::move(stage);
}

axis::ShaftToFarBelt read_cross_shaft(TableReader reader, std::vector<std::string>& assumed) {
  axis::ShaftToFarBelt cross;
  const auto diameter = reader.positive<Length>("diameter", true, thickest_shaft);
  if (diameter) cross.shaft.diameter = *diameter;
  read_bore(reader, diameter, cross.shaft.bore);
  if (const auto length = reader.positive<Length>("length", true, longest))
    cross.shaft.length = *length;
  if (const auto material = reader.choice("material", true, {"steel", "aluminium"})) {
    const bool steel = *material == 0;
    cross.density = steel ? parts::steel_density : parts::aluminium_density;
    cross.shaft.shear_modulus = steel ? parts::steel_shear_modulus : parts::aluminium_shear_modulus;
  }
  const auto couplings = reader.whole("couplings", true, 0, 8, "2");
  if (couplings) cross.couplings = static_cast<int>(*couplings);
  const auto stiffness =
      reader.positive<TorsionalStiffness>("coupling_stiffness", false, stiffest_coupling);
  if (stiffness) {
    cross.coupling_stiffness = *stiffness;
  } else if (!reader.has("coupling_stiffness") && cross.couplings > 0) {
    assumed.emplace_back("couplings that do not give (drive.cross_shaft.coupling_stiffness)");
  }
  std::vector<std::string> none{};
  read_or_none(reader, "coupling_inertia", largest_inertia, cross.coupling_inertia,
               "couplings without inertia", cross.couplings > 0 ? assumed : none);
  reader.finish();
  return cross;
}

void read_gantry(TableReader& reader, machine::Axis& axis) {
  axis::BeltAxis& drive = machine::belt_drive(axis);
  if (const auto distance = reader.positive<Length>("belt_distance", false, longest))
    drive.belt_distance = *distance;
  if (drive.motors == 2) {
    if (const auto homed = reader.choice("homed", false, {"together", "each side"})) {
      drive.each_side_homed = *homed == 1;
    } else if (!reader.has("homed")) {
      axis.assumed.emplace_back("both sides homed together (drive.homed)");
    }
  }
  const toml::table* table = reader.table(
      "cross_shaft", false,
      "{ diameter = \"12 mm\", length = \"1150 mm\", material = \"steel\", couplings = 2 }");
  if (table == nullptr) {
    if (drive.motors == 1 && reader.has("belt_distance") && !reader.has("cross_shaft")) {
      reader.error(*reader.find("belt_distance", false, {}),
                   "belt_distance is given, and the axis has one belt",
                   "give a cross_shaft to the far belt, or motors = 2");
    }
    return;
  }
  drive.cross_shaft = read_cross_shaft(
      {*table, reader.path() + ".cross_shaft", reader.diagnostics()}, axis.assumed);
  if (drive.motors != 1) {
    reader.error(*table, "cross_shaft is for a gantry with one motor, and the axis has two",
                 "leave out motors = 2 or the cross_shaft");
  }
  if (!reader.has("belt_distance")) reader.missing("belt_distance", "\"1200 mm\"");
}

void read_belt_drive(TableReader& reader, machine::Axis& axis, const Catalogue& catalogue) {
  axis::BeltAxis& drive = machine::belt_drive(axis);
  if (auto profile = read_profile(reader, catalogue)) drive.belt.profile = std::move(*profile);
  if (const auto width = reader.positive<Length>("width", true, millimetres(500)))
    drive.belt.width = *width;
  if (const auto tooth_count = reader.whole("pulley_teeth", true, 6, 500, "20"))
    drive.pulley_teeth = static_cast<int>(*tooth_count);
  if (const auto ends = reader.choice("belt", false, {"open ended", "closed loop", "welded"})) {
    static constexpr std::array kinds{parts::BeltEnds::open, parts::BeltEnds::closed_loop,
                                      parts::BeltEnds::welded};
    drive.belt.ends = kinds.at(*ends);
  }
  if (const auto force = reader.positive<Force>("tension_per_strain", false, newtons(1e8))) {
    drive.belt.profile.stiffness_per_width = *force / drive.belt.width;
    drive.belt.profile.stiffness_source = "given in the machine file";
  }
  read_fitting(reader, axis.fitting);
  if (const auto* t = reader.table(
          "stage", false,
          "{ profile = \"GT 2 mm\", width = \"6 mm\", motor_teeth = 20, driven_teeth = 60, "
          "centre_distance = \"90 mm\" }"))
    read_belt_stage({*t, reader.path() + ".stage", reader.diagnostics()}, drive, catalogue);
  read_span(reader, axis);
  read_gantry(reader, axis);
  if (const auto efficiency = reader.ratio<Efficiency>("efficiency", false, "0.95")) {
    drive.efficiency = *efficiency;
  } else if (!reader.has("efficiency")) {
    const double stages = drive.stage ? usual_belt_efficiency : 1.0;
    drive.efficiency = Efficiency(usual_belt_efficiency * stages);
    axis.assumed.push_back(fmt::format("efficiency {} of the belts (drive.efficiency)",
                                       significant(drive.efficiency.value(), 3)));
  }
  if (const auto damping = reader.ratio<DampingRatio>("damping_ratio", false, "0.02")) {
    drive.belt_damping = *damping;
  } else if (!reader.has("damping_ratio")) {
    axis.assumed.push_back(
        fmt::format("damping ratio {} of the load on its belt "
                    "(drive.damping_ratio)",
                    significant(drive.belt_damping.value(), 2)));
  }
  if (const auto inertia = reader.not_negative<Inertia>("pulley_inertia", false, largest_inertia)) {
    drive.pulley_inertia = *inertia;
  } else if (!reader.has("pulley_inertia") && drive.pulley_teeth > 0 &&
             !is_unset(drive.belt.width) && drive.belt.profile.pitch_millimetres > Fraction(0)) {
    drive.pulley_inertia =
        belt::assumed_pulley_inertia(drive.belt.profile, drive.belt.width, drive.pulley_teeth);
    axis.assumed.push_back(
        fmt::format("{} for each pulley, a solid aluminium one "
                    "(drive.pulley_inertia)",
                    drive.pulley_inertia));
  }
}

}  // namespace

std::string_view in_words(DriveKind kind) {
  static constexpr std::array<std::string_view, 4> words{"belt", "screw", "chuck", "rollers"};
  return words.at(static_cast<std::size_t>(kind));
}

std::string not_used_with(std::string_view key, DriveKind kind) {
  return fmt::format("{} is not used with {}{}", key, kind == DriveKind::chuck ? "a " : "",
                     in_words(kind));
}

DriveKind read_drive_kind(TableReader& reader, const toml::table& table) {
  static constexpr std::array kinds{DriveKind::belt, DriveKind::screw, DriveKind::chuck,
                                    DriveKind::rollers};
  if (const auto kind = reader.choice("kind", true, {"belt", "screw", "chuck", "rollers"}))
    return kinds.at(*kind);
  if (table.contains("lead") || table.contains("screw")) return DriveKind::screw;
  if (table.contains("roller_diameter")) return DriveKind::rollers;
  return table.contains("workpiece") ? DriveKind::chuck : DriveKind::belt;
}

machine::Drive empty_drive(DriveKind kind) {
  const parts::Guide guide{.friction = FrictionCoefficient(0)};
  switch (kind) {
    case DriveKind::screw:
      return axis::ScrewAxis{.loss = Efficiency(1), .guide = guide};
    case DriveKind::chuck:
      return axis::RotaryAxis{};
    case DriveKind::rollers:
      return axis::RotaryAxis{.hold = axis::Rollers{.grip = FrictionCoefficient(0)}};
    case DriveKind::belt:
      break;
  }
  return axis::BeltAxis{.guide = guide};
}

void read_drive(TableReader& reader, DriveKind kind, machine::Axis& axis,
                const Catalogue& catalogue, OpenScrew open) {
  if (kind == DriveKind::belt) read_belt_drive(reader, axis, catalogue);
  if (kind == DriveKind::screw) read_screw_drive(reader, axis, catalogue, open);
  if (is_turning(kind)) read_turning_drive(reader, axis);
  reader.finish();
}

}  // namespace pitchline::io::detail
