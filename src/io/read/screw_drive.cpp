#include "read/keys/screw_drive.hpp"
#include "read/detail/drive_keys.hpp"

namespace pitchline::io::detail {
namespace {

// A stage ahead of a screw has an efficiency of its own, beside that of the screw.
void read_screw_stage(TableReader reader, axis::ScrewAxis& drive) {
  if (const auto ratio = read_ratio(reader)) drive.motor_turns_per_screw_turn = *ratio;
  if (!reader.into(keys::screw_stage::efficiency, drive.stage_efficiency) &&
      !reader.has(keys::screw_stage::efficiency)) {
    drive.stage_efficiency = Efficiency(usual_belt_efficiency);
    reader.assume(
        keys::screw_stage::efficiency,
        fmt::format("efficiency {} of the belt stage", significant(usual_belt_efficiency, 3)));
  }
  reader.finish();
}

// Load ratings of a ball screw, before those of the catalogue. Who gives them says that balls roll.
void read_ratings(TableReader& reader, axis::ScrewBody& screw, bool left_open) {
  const auto read = [&](const QuantityKey<Force>& key, Force& into) {
    if (!reader.has(key)) return;
    const toml::node& node = reader.at(key);
    if (left_open) {
      reader.error(node, fmt::format("{} does not go with a screw that is left open", key.name),
                   "it belongs to a screw of the catalogue");
      return;
    }
    if (reader.has(keys::screw_drive::friction) || (screw.thread && parts::slides(*screw.thread))) {
      reader.error(node, fmt::format("{} is that of balls, and the screw slides", key.name),
                   "leave it out");
      return;
    }
    reader.into(key, into);
    screw.thread = parts::ThreadKind::ball;
  };
  read(keys::screw_drive::dynamic_rating, screw.dynamic_rating);
  read(keys::screw_drive::static_rating, screw.static_rating);
}

void read_what_turns(TableReader& reader, axis::ScrewAxis& drive) {
  reader.into(keys::screw_drive::screws_per_motor, drive.screws_per_motor);
  if (auto stage = reader.table(keys::screw_drive::stage, keys::screw_stage::table))
    read_screw_stage(std::move(*stage), drive);
  if (!reader.into(keys::screw_drive::density, drive.screw.density) &&
      !reader.has(keys::screw_drive::density))
    reader.assume(keys::screw_drive::density,
                  fmt::format("screws of {}, steel", print_plain(drive.screw.density)));
  reader.into(keys::screw_drive::screw_pulley_inertia, drive.screw_pulley_inertia);
  reader.into(keys::drive::motor_pulley_inertia, drive.motor_pulley_inertia);
  reader.into(keys::screw_drive::nut_stiffness, drive.nut_stiffness);
}

}  // namespace

void read_screw_drive(TableReader& reader, machine::Axis& axis, const Catalogue& catalogue,
                      OpenScrew open) {
  auto& drive = std::get<axis::ScrewAxis>(axis.drive);
  axis::ScrewBody& screw = drive.screw;
  const bool left_open = is_open(reader, open);
  if (!left_open) read_screw_body(reader, screw, catalogue);
  if (const auto distance = read_distance(
          reader, keys::screw_drive::bearing_distance, drive.travel,
          "bearing_distance is the free length of the screw between its two bearings"))
    screw.bearing_distance = *distance;
  reader.into(keys::screw_drive::ends, screw.ends);
  read_ratings(reader, screw, left_open);
  if (left_open) {
    read_open_loss(reader, drive);
  } else {
    read_screw_loss(reader, drive);
  }
  read_what_turns(reader, drive);
  axis.assumed.push_back(fmt::format("damping ratio {} of the load on its screw",
                                     significant(machine::damping_of(axis.drive).value(), 2)));
  if (left_open) return;
  const Fraction& turns = drive.motor_turns_per_screw_turn;
  const bool named = reader.has(keys::screw_drive::screw);
  require_countable(
      reader, named ? static_cast<const Key&>(keys::screw_drive::screw) : keys::screw_drive::lead,
      in_pulses(drive.driver.pulses_per_turn) * numerator(turns) *
          denominator(screw.lead_millimetres),
      denominator(turns) * numerator(screw.lead_millimetres));
}

}  // namespace pitchline::io::detail
