// What an axis is to do: the move it really runs, its raster and its cycle.

#include "read/keys/work.hpp"
#include "read/detail/read_drives.hpp"
#include "read/keys/axis.hpp"

namespace pitchline::io::detail {
namespace {

// A length that must lie within the travel of the axis; a turning one has none.
std::optional<Length> read_within(TableReader& reader, const QuantityKey<Length>& key,
                                  const machine::Axis& axis) {
  auto length = reader.read(key);
  if (!length || !machine::moves_straight(axis.drive)) return length;
  const Length travel = machine::travel_of(axis.drive);
  if (is_unset(travel) || *length <= travel) return length;
  const toml::node& node = reader.at(key);
  reader.error(node, fmt::format("{} must be at most the travel of {}, got {}", key.name,
                                 print_plain(travel), TableReader::describe(node)));
  return std::nullopt;
}

// A speed or an acceleration; the rows of an axis cover it only up to what is wanted of the axis.
template <class Q>
std::optional<Q> read_as_wanted(TableReader& reader, const QuantityKey<Q>& key, const Q& wanted) {
  auto q = reader.read(key);
  if (!q || is_unset(wanted) || *q <= wanted) return q;
  const toml::node& node = reader.at(key);
  reader.error(node,
               fmt::format("{} must be at most want.{} of {}, got {}", key.name, key.name,
                           print_plain(wanted), TableReader::describe(node)),
               "want is the most that is asked of the axis");
  return std::nullopt;
}

void read_move(TableReader reader, machine::Axis& axis) {
  machine::Want& want = axis.want;
  if (const auto stroke = read_within(reader, keys::move::stroke, axis)) want.stroke = *stroke;
  reader.into(keys::move::jerk_time, want.jerk_time);
  reader.into(keys::move::repeats, want.repeats);
  // Between repeated moves alone is there a rest.
  if (!reader.into(keys::move::dwell, want.dwell) && !reader.has(keys::move::dwell) &&
      want.repeats > 1)
    reader.assume(keys::move::dwell);
  reader.finish();
}

const toml::node* read_raster(TableReader reader, machine::Axis& axis) {
  machine::Raster raster;
  if (const auto line = read_within(reader, keys::raster::line, axis)) raster.line = *line;
  if (const auto speed = read_as_wanted(reader, keys::raster::speed, axis.want.speed))
    raster.speed = *speed;
  reader.into(keys::raster::height, raster.height);
  reader.into(keys::raster::pitch, raster.line_pitch);
  if (raster.line_pitch > raster.height) {
    const toml::node& node = reader.at(keys::raster::pitch);
    reader.error(node, fmt::format("pitch must be at most the height of {}, got {}",
                                   print_plain(raster.height), TableReader::describe(node)));
  }
  const toml::node* across =
      reader.into(keys::raster::across, raster.across) ? &reader.at(keys::raster::across) : nullptr;
  reader.finish();
  axis.raster = std::move(raster);
  return across;
}

machine::CycleMove read_cycle_move(TableReader reader, const machine::Axis& axis) {
  const machine::Want& want = axis.want;
  machine::CycleMove move{.speed = want.speed, .acceleration = want.acceleration};
  if (const auto stroke = read_within(reader, keys::cycle::stroke, axis)) move.stroke = *stroke;
  if (const auto v = read_as_wanted(reader, keys::cycle::speed, want.speed)) move.speed = *v;
  if (const auto a = read_as_wanted(reader, keys::cycle::acceleration, want.acceleration))
    move.acceleration = *a;
  reader.into(keys::cycle::pause, move.pause);
  reader.into(keys::cycle::times, move.times);
  reader.into(keys::cycle::there_and_back, move.there_and_back);
  reader.finish();
  return move;
}

void read_cycle(TableReader& reader, machine::Axis& axis) {
  const NodeKey& key = keys::axis::cycle;
  const std::string example = fmt::format("for example cycle = {}", key.example);
  const toml::node* node = reader.node(key);
  if (node == nullptr) return;
  const toml::array* list = node->as_array();
  if (list == nullptr || list->empty()) {
    reader.error(*node, "cycle must be a list of tables, one for each stroke", example);
    return;
  }
  for (const toml::node& item : *list) {
    if (const toml::table* table = item.as_table()) {
      axis.cycle.push_back(read_cycle_move(reader.inside(key, *table, keys::cycle::table), axis));
    } else {
      reader.error(item, fmt::format("cycle must hold tables, got {}", TableReader::describe(item)),
                   example);
    }
  }
}

}  // namespace

const toml::node* read_work(TableReader& reader, DriveKind kind, machine::Axis& axis) {
  if (auto move = reader.table(keys::axis::move, keys::move::table))
    read_move(std::move(*move), axis);
  read_cycle(reader, axis);
  auto raster = reader.table(keys::axis::raster, keys::raster::table);
  if (!raster) return nullptr;
  if (!is_turning(kind)) return read_raster(std::move(*raster), axis);
  reader.error(reader.at(keys::axis::raster), not_used_with("raster", kind),
               "its lines run along an axis that moves straight; one that turns may be the axis "
               "across");
  return nullptr;
}

}  // namespace pitchline::io::detail
