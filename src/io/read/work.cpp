// What an axis is to do: the move it really runs, its raster and its cycle.

#include "read/detail/read_drives.hpp"

namespace pitchline::io::detail {
namespace {

// Bounds that no machine of this kind reaches; beyond them stands a slip of the unit.
const Speed fastest = metres_per_second(20);
const Acceleration hardest = metres_per_second_squared(200);
const Time longest_pause = seconds(3600);

// A length that must lie within the travel of the axis; a turning one has none.
std::optional<Length> read_within(TableReader& reader, std::string_view key, bool required,
                                  const machine::Axis& axis) {
  auto length = reader.positive<Length>(key, required, longest);
  if (!length || std::holds_alternative<axis::RotaryAxis>(axis.drive)) return length;
  const Length travel = machine::travel_of(axis.drive);
  if (is_unset(travel) || *length <= travel) return length;
  const toml::node& node = *reader.find(key, false, {});
  reader.error(node, fmt::format("{} must be at most the travel of {}, got {}", key,
                                 print_plain(travel), TableReader::describe(node)));
  return std::nullopt;
}

// A speed or an acceleration; the rows of an axis cover it only up to what is wanted of the axis.
template <class Q>
std::optional<Q> read_as_wanted(TableReader& reader, std::string_view key, bool required,
                                const Q& most, const Q& wanted) {
  auto q = reader.positive<Q>(key, required, most);
  if (!q || is_unset(wanted) || *q <= wanted) return q;
  const toml::node& node = *reader.find(key, false, {});
  reader.error(node,
               fmt::format("{} must be at most want.{} of {}, got {}", key, key,
                           print_plain(wanted), TableReader::describe(node)),
               "want is the most that is asked of the axis");
  return std::nullopt;
}

void read_move(TableReader reader, machine::Axis& axis) {
  machine::Want& want = axis.want;
  if (const auto stroke = read_within(reader, "stroke", false, axis)) want.stroke = *stroke;
  if (const auto repeats = reader.whole("repeats", false, 1, 10'000, "10"))
    want.repeats = static_cast<int>(*repeats);
  if (const auto dwell = reader.not_negative<Time>("dwell", false, longest_pause))
    want.dwell = *dwell;
  if (const auto jerk_time = reader.not_negative<Time>("jerk_time", false, seconds(10)))
    want.jerk_time = *jerk_time;
  reader.finish();
}

const toml::node* read_raster(TableReader reader, machine::Axis& axis) {
  machine::Raster raster;
  const toml::node* across = nullptr;
  if (const auto line = read_within(reader, "line", true, axis)) raster.line = *line;
  if (const auto speed = read_as_wanted(reader, "speed", true, fastest, axis.want.speed))
    raster.speed = *speed;
  if (const auto height = reader.positive<Length>("height", true, longest)) raster.height = *height;
  if (const auto pitch = reader.quantity<Length>(
          "pitch", true, "from 0.001 mm to 20000 mm",
          [](const Length& p) { return p >= millimetres(0.001) && p <= longest; }))
    raster.line_pitch = *pitch;
  if (raster.line_pitch > raster.height) {
    const toml::node& node = *reader.find("pitch", false, {});
    reader.error(node, fmt::format("pitch must be at most the height of {}, got {}",
                                   print_plain(raster.height), TableReader::describe(node)));
  }
  if (const auto name = reader.text("across", true, "y")) {
    raster.across = *name;
    across = reader.find("across", false, {});
  }
  reader.finish();
  axis.raster = std::move(raster);
  return across;
}

machine::CycleMove read_cycle_move(TableReader reader, const machine::Axis& axis) {
  const machine::Want& want = axis.want;
  machine::CycleMove move{.speed = want.speed, .acceleration = want.acceleration};
  if (const auto stroke = read_within(reader, "stroke", true, axis)) move.stroke = *stroke;
  if (const auto v = read_as_wanted(reader, "speed", false, fastest, want.speed)) move.speed = *v;
  if (const auto a = read_as_wanted(reader, "acceleration", false, hardest, want.acceleration))
    move.acceleration = *a;
  if (const auto pause = reader.not_negative<Time>("pause", false, longest_pause))
    move.pause = *pause;
  if (const auto times = reader.whole("times", false, 1, 10'000, "4"))
    move.times = static_cast<int>(*times);
  if (const toml::node* node = reader.find("there_and_back", false, {})) {
    if (const auto* both = node->as_boolean()) {
      move.there_and_back = both->get();
    } else {
      reader.error(*node, fmt::format("there_and_back must be true or false, got {}",
                                      TableReader::describe(*node)));
    }
  }
  reader.finish();
  return move;
}

void read_cycle(TableReader& reader, machine::Axis& axis) {
  constexpr std::string_view example =
      "for example cycle = [{ stroke = \"300 mm\", pause = \"0.5 s\", times = 4, there_and_back = "
      "true }]";
  const toml::node* node = reader.find("cycle", false, {});
  if (node == nullptr) return;
  const toml::array* list = node->as_array();
  if (list == nullptr || list->empty()) {
    reader.error(*node, "cycle must be a list of tables, one for each stroke",
                 std::string(example));
    return;
  }
  for (const toml::node& item : *list) {
    if (const toml::table* table = item.as_table()) {
      axis.cycle.push_back(
          read_cycle_move({*table, reader.path() + ".cycle", reader.diagnostics()}, axis));
    } else {
      reader.error(item, fmt::format("cycle must hold tables, got {}", TableReader::describe(item)),
                   std::string(example));
    }
  }
}

}  // namespace

const toml::node* read_work(TableReader& reader, DriveKind kind, machine::Axis& axis) {
  if (const auto* t = reader.table(
          "move", false,
          "{ stroke = \"300 mm\", repeats = 10, dwell = \"0.1 s\", jerk_time = \"20 ms\" }")) {
    read_move({*t, reader.path() + ".move", reader.diagnostics()}, axis);
  } else {
    axis.assumed.emplace_back("a single move of any length, acceleration at once (move)");
  }
  read_cycle(reader, axis);
  const toml::table* raster =
      reader.table("raster", false,
                   "{ line = \"300 mm\", speed = \"250 mm/s\", height = \"200 mm\", pitch = \"0.1 "
                   "mm\", across = \"y\" }");
  if (raster == nullptr) return nullptr;
  if (!is_turning(kind))
    return read_raster({*raster, reader.path() + ".raster", reader.diagnostics()}, axis);
  reader.error(*raster, not_used_with("raster", kind),
               "its lines run along an axis that moves straight; one that turns may be the axis "
               "across");
  return nullptr;
}

}  // namespace pitchline::io::detail
