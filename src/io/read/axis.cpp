#include <optional>

#include "pitchline/io/part_names.hpp"
#include "read/detail/catalogue_kinds.hpp"
#include "read/detail/read_axis.hpp"
#include "read/detail/read_drives.hpp"
#include "read/detail/read_parts.hpp"
#include "read/keys/axis.hpp"
#include "read/keys/lift.hpp"
#include "read/keys/motor.hpp"

namespace pitchline::io::detail {
namespace {

void refuse_keys_of_straight_axes(TableReader& reader, DriveKind kind) {
  const std::array<const Key*, 7> keys{
      &keys::axis::travel,  &keys::axis::moving_mass, &keys::axis::carries, &keys::axis::beam,
      &keys::axis::incline, &keys::axis::guide,       &keys::axis::motors};
  for (const Key* key : keys) {
    if (reader.has(*key))
      reader.error(reader.at(*key), not_used_with(key->name, kind),
                   "what turns is described by drive.workpiece, and one motor turns it");
  }
}

void read_moving_mass(TableReader& reader, std::vector<axis::MovingPart>& moving) {
  const NodeKey& key = keys::axis::moving_mass;
  const toml::node* node = reader.node(key);
  if (node == nullptr) return;
  const auto read = [&](TableReader& from, std::string_view name, const std::string& part) {
    QuantityKey<Mass> mass = keys::axis::mass;
    mass.name = name;
    if (const auto value = from.read(mass)) moving.push_back({part, *value});
  };
  if (const toml::table* table = node->as_table()) {
    TableReader parts(*table, fmt::format("{}.{}", reader.path(), key.name), reader.diagnostics());
    if (table->empty()) reader.error(*node, "moving_mass must name at least one part");
    for (const auto& [name, value] : *table) read(parts, name.str(), std::string(name.str()));
    parts.finish();
  } else {
    read(reader, key.name, "the moving part");
  }
  Mass sum{};
  for (const axis::MovingPart& part : moving) sum += part.mass;
  if (sum > heaviest)
    reader.error(*node, fmt::format("moving_mass must be at most {} together, got {}",
                                    print_plain(heaviest), print_plain(sum)));
}

// Static friction over running friction, in the order of the words for a guide:
// reference/sources.md, [static friction].
constexpr std::array usual_static_ratio = {1.1, 1.3, 1.1, 1.5};

void read_guide(TableReader reader, machine::Axis& axis, parts::Guide& guide) {
  const auto kind = reader.read(keys::guide::kind);
  if (kind) {
    const auto place = static_cast<std::size_t>(*kind);
    guide.kind = keys::guide::kind.words.at(place).word;
    if (!reader.has(keys::guide::breakaway)) {
      guide.static_ratio = StaticRatio(usual_static_ratio.at(place));
      axis.usual.push_back(machine::UsualFigure::static_friction);
      reader.assume(
          keys::guide::breakaway,
          fmt::format("static friction {} times the running one, as of {}",
                      significant(guide.static_ratio.value(), 2),
                      place == 3 ? "plain guides" : guide.kind + (place == 1 ? "" : "s")));
    }
  }
  reader.into(keys::guide::blocks, guide.blocks);
  reader.into(keys::guide::friction, guide.friction);
  reader.into(keys::guide::drag, guide.drag);
  reader.into(keys::guide::breakaway, guide.breakaway);
  reader.finish();
}

void read_incline(TableReader& reader, Angle& incline) {
  if (reader.has(keys::axis::incline) || !reader.has(keys::axis::lift)) {
    reader.into(keys::axis::incline, incline);
  } else {
    // Level without a word would hold a bed up that falls.
    reader.missing(keys::axis::incline);
    incline = unset<Angle>();
  }
}

void read_straight_axis(TableReader& reader, machine::Axis& axis, AxisEntry& entry,
                        DriveKind kind) {
  const machine::StraightFields part = *machine::straight_fields(axis.drive);
  reader.into(keys::axis::travel, part.travel);
  read_moving_mass(reader, part.moving);
  if (reader.has(keys::axis::carries))
    if (auto carries = reader.list_of_texts(keys::axis::carries.name))
      entry.carries = std::move(*carries);
  read_incline(reader, part.incline);
  if (auto guide = reader.table(keys::axis::guide, keys::guide::table))
    read_guide(std::move(*guide), axis, part.guide);
  if (auto beam = reader.table(keys::axis::beam, keys::beam::table))
    axis.beam = read_beam(std::move(*beam), part.moving, !entry.carries.empty());
  WholeKey motors = keys::axis::motors;
  if (kind == DriveKind::belt) motors.most = 2;
  reader.into(motors, part.motors);
}

bool take_catalogue_motor(TableReader& reader, const Key& key, parts::StepperMotor& motor,
                          const Catalogue& catalogue) {
  const auto name = reader.read(TextKey{key});
  if (!name) return false;
  const Named found = named_motor(*name, catalogue);
  if (!found.name) {
    reader.error(reader.at(key), found.message, found.help);
    return false;
  }
  motor = catalogue.motors.at(*found.name);
  return true;
}

// A motor of the catalogue with some of its figures changed.
bool take_over_motor(TableReader& reader, const Key& key, const toml::table& table,
                     parts::StepperMotor& into, const Catalogue& catalogue) {
  TableReader name_reader = reader.inside(key, table, keys::motor::table);
  const auto name = name_reader.read(keys::listed::like);
  if (!name) return false;
  Named found = named_motor_to_change(*name, catalogue);
  const bool known = found.name.has_value();
  if (!known) {
    reader.error(name_reader.at(keys::listed::like), found.message, found.help);
    // Any motor serves to see what else is wrong.
    const std::vector<std::string> names = catalogue.motors.names();
    if (names.empty()) return false;
    found.name = names.front();
  }
  const auto base = entry_of<parts::StepperMotor>(catalogue, *found.name);
  Diagnostics diagnostics;
  diagnostics.stand_in(table.source());
  auto motor = read_motor(
      {table, keys::motor::table, {.path = name_reader.path(), .base = &*base}, diagnostics},
      *found.name);
  if (known && motor && !motor->lacks.empty()) {
    const Named lacking = named_motor(*found.name, catalogue);
    reader.error(name_reader.at(keys::listed::like), lacking.message, lacking.help);
  }
  if (!known || (motor && !motor->lacks.empty())) motor.reset();
  reader.diagnostics().add_all(diagnostics);
  if (motor) into = std::move(*motor);
  return motor.has_value();
}

bool read_motor_of_axis(TableReader& reader, parts::StepperMotor& into,
                        const Catalogue& catalogue) {
  const NodeKey& key = keys::axis::motor;
  if (!reader.has(key)) {
    reader.missing(key,
                   "one of the catalogue, \"nema17 48mm 2A\" for example (pitchline-parts --kind "
                   "motor lists them), or a table with the figures of its data sheet");
    return false;
  }
  const toml::table* table = reader.at(key).as_table();
  if (table == nullptr) return take_catalogue_motor(reader, key, into, catalogue);
  if (table->contains(keys::listed::like.name)) {
    return take_over_motor(reader, key, *table, into, catalogue);
  }
  auto motor = read_motor(reader.inside(key, *table, keys::motor::table), "motor of this file");
  if (motor) into = std::move(*motor);
  return motor.has_value();
}

// Of a turning axis, speed and acceleration are those of the surface of its heaviest workpiece.
void read_want(TableReader reader, machine::Want& want) {
  reader.into(keys::want::speed, want.speed);
  reader.into(keys::want::acceleration, want.acceleration);
  reader.into(keys::want::position_error, want.position_error);
  reader.into(keys::want::corner_error, want.corner_error);
  reader.finish();
}

}  // namespace

void read_axis(TableReader reader, machine::Axis& axis, AxisEntry& entry,
               const Catalogue& catalogue, LiftScrews screws) {
  DriveKind kind = DriveKind::belt;
  std::optional<TableReader> drive_reader = open_drive(reader, kind);
  axis.drive = empty_drive(kind);
  if (is_turning(kind)) {
    refuse_keys_of_straight_axes(reader, kind);
  } else {
    read_straight_axis(reader, axis, entry, kind);
  }
  const bool motor_known = read_motor_of_axis(reader, machine::motor_of(axis.drive), catalogue);
  if (auto driver = reader.table(keys::axis::driver, keys::driver::table))
    read_driver(std::move(*driver), machine::driver_of(axis.drive),
                motor_known ? &machine::motor_of(axis.drive) : nullptr);
  if (drive_reader) {
    // A lift whose screw is left open is what one program chooses for, and no other can use.
    const auto open = !reader.has(keys::axis::lift)       ? OpenScrew::unknown
                      : screws == LiftScrews::may_be_open ? OpenScrew::allowed
                                                          : OpenScrew::refused;
    read_drive(*drive_reader, kind, axis, catalogue, open);
  }
  if (auto lift = reader.table(keys::axis::lift, keys::lift::table))
    read_lift(std::move(*lift), kind, axis, catalogue);
  // A screw that lifts nothing has no keys for how it is held, and rows that judge by it all the
  // same.
  if (kind == DriveKind::screw && !reader.has(keys::axis::lift))
    axis.assumed.push_back(fmt::format(
        "bearings that let the screw tilt, a screw that is pushed, and nuts {} times as "
        "long as it is thick",
        significant(machine::usual_nut_length, 2)));
  if (auto want = reader.table(keys::axis::want, keys::want::table))
    read_want(std::move(*want), axis.want);
  entry.across = read_work(reader, kind, axis);
  reader.finish();
}

}  // namespace pitchline::io::detail
