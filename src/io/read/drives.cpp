#include <array>

#include "read/detail/drive_keys.hpp"
#include "read/keys/axis.hpp"
#include "read/keys/belt_drive.hpp"
#include "read/keys/screw_drive.hpp"
#include "read/keys/turning_drive.hpp"

namespace pitchline::io::detail {

std::string_view in_words(DriveKind kind) {
  static constexpr std::array<std::string_view, 4> words{"belt", "screw", "chuck", "rollers"};
  return words.at(static_cast<std::size_t>(kind));
}

std::string not_used_with(std::string_view key, DriveKind kind) {
  return fmt::format("{} is not used with {}{}", key, kind == DriveKind::chuck ? "a " : "",
                     in_words(kind));
}

namespace {

const KeyTable& keys_of(DriveKind kind) {
  static const std::array<const KeyTable*, 4> tables{
      &keys::belt_drive::table, &keys::screw_drive::table, &keys::turning_drive::chuck_table,
      &keys::turning_drive::rollers_table};
  return *tables.at(static_cast<std::size_t>(kind));
}

DriveKind kind_by_keys(const toml::table& table) {
  const auto has = [&](const Key& key) { return table.contains(key.name); };
  if (has(keys::screw_drive::lead) || has(keys::screw_drive::screw)) return DriveKind::screw;
  if (has(keys::turning_drive::roller_diameter)) return DriveKind::rollers;
  return has(keys::turning_drive::workpiece) ? DriveKind::chuck : DriveKind::belt;
}

}  // namespace

std::optional<TableReader> open_drive(TableReader& axis, DriveKind& kind) {
  const NodeKey& key = keys::axis::drive;
  kind = DriveKind::belt;
  // Its keys depend on its kind, so that is read first.
  auto drive = axis.table(key, keys::belt_drive::table);
  if (!drive) return drive;
  const toml::table& table = *axis.at(key).as_table();
  kind = drive->read(keys::drive::kind).value_or(kind_by_keys(table));
  return {axis.inside(key, table, keys_of(kind))};
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
