#include "read/detail/drive_keys.hpp"
#include "read/detail/name_in.hpp"

#include "read/detail/read_parts.hpp"
#include "read/keys/drive.hpp"

namespace pitchline::io::detail {

std::optional<Length> read_distance(TableReader& reader, const QuantityKey<Length>& key,
                                    const Length& travel, std::string_view meaning) {
  auto distance = reader.read(key);
  if (!distance || is_unset(travel) || *distance >= travel) return distance;
  const toml::node& node = reader.at(key);
  reader.error(node,
               fmt::format("{} must be at least the travel of {}, got {}", key.name,
                           print_plain(travel), TableReader::describe(node)),
               std::string(meaning));
  return std::nullopt;
}

bool read_bore(TableReader& reader, const QuantityKey<Length>& key, std::optional<Length> diameter,
               Length& bore) {
  const auto read = reader.read(key);
  if (!read) return !reader.has(key);
  bore = *read;
  if (!diameter || bore < *diameter) return true;
  reader.error(reader.at(key), fmt::format("bore must be below the diameter of {}, got {}",
                                           print_plain(*diameter), print_plain(bore)));
  return false;
}

std::optional<Fraction> read_ratio(TableReader& reader) {
  const auto motor_teeth = reader.read(keys::drive_stage::motor_teeth);
  const auto driven_teeth = reader.read(keys::drive_stage::driven_teeth);
  if (!motor_teeth || !driven_teeth) return std::nullopt;
  return Fraction(*driven_teeth, *motor_teeth);
}

std::optional<parts::BeltProfile> read_profile(TableReader& reader, const Catalogue& catalogue) {
  const NodeKey& key = keys::drive::profile;
  const toml::node* node = reader.node(key);
  if (node == nullptr) return std::nullopt;
  if (const toml::table* table = node->as_table()) {
    return read_belt_profile({*table, reader.path() + ".profile", reader.diagnostics()},
                             "belt of this file");
  }
  const Key& as_text = key;
  const auto name = reader.read(TextKey{as_text});
  if (!name) return std::nullopt;
  if (const auto known = name_in(reader, *node, *name, "profile", catalogue.belts))
    return catalogue.belts.at(*known);
  return std::nullopt;
}

void require_countable(TableReader& reader, const Key& key, double numerator, double denominator) {
  constexpr double most = 1e8;                      // of what `motion::kept_at` takes
  constexpr double largest = 9.2e17;                // a tenth of what 64 bits hold
  if (!(numerator > 0 && denominator > 0)) return;  // what is not known has its own error
  if (numerator < largest && denominator < largest && numerator / denominator <= most) return;
  reader.error(reader.at(key),
               fmt::format("{} makes pulses that cannot be counted exactly", key.name),
               "round it to 0.001 mm, or correct its unit");
}

}  // namespace pitchline::io::detail
