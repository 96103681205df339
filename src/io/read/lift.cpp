// What is wanted of an axis that lifts a bed, and how its screws stand.

#include "read/keys/lift.hpp"
#include "read/detail/drive_keys.hpp"

namespace pitchline::io::detail {
namespace {

constexpr std::string_view place_example = "[\"0 mm\", \"600 mm\"]";

// A place seen from above: two lengths in text.
std::optional<axis::ScrewPlace> read_place(TableReader& reader, const toml::node& node,
                                           std::string_view what) {
  const toml::array* pair = node.as_array();
  if (pair == nullptr || pair->size() != 2 || !pair->get(0)->is_string() ||
      !pair->get(1)->is_string()) {
    reader.error(node, fmt::format("{} must be a pair of lengths in text, x and y", what),
                 fmt::format("for example {}", place_example));
    return std::nullopt;
  }
  axis::ScrewPlace place;
  const auto read = [&](std::size_t at, Length& into) {
    const toml::node& item = *pair->get(at);
    try {
      const auto length = read_quantity<Length>(**item.as_string());
      if (length >= -longest && length <= longest) {
        into = length;
        return true;
      }
      reader.error(item, fmt::format("{} must be within {}, got {}", what, print_plain(longest),
                                     TableReader::describe(item)));
    } catch (const UnreadableQuantity& e) {
      reader.diagnostics().add(item.source(), fmt::format("{}: {}", what, e.what()), {},
                               e.column());
    }
    return false;
  };
  const bool x = read(0, place.x);
  const bool y = read(1, place.y);
  return x && y ? std::optional(place) : std::nullopt;
}

std::vector<axis::ScrewPlace> read_places(TableReader& reader, int screws) {
  const std::string example =
      fmt::format("a list of {} places, each x and y: [{}, ...]", screws, place_example);
  const toml::node* node = reader.node(keys::lift::screws);
  if (node == nullptr) {
    if (screws > 1) reader.missing(keys::lift::screws, example);
    return {};
  }
  const toml::array* list = node->as_array();
  if (list == nullptr || list->size() != static_cast<std::size_t>(screws)) {
    reader.error(*node,
                 fmt::format("screws must be a list of {} places, got {}", screws,
                             list == nullptr ? TableReader::describe(*node)
                                             : fmt::format("{} of them", list->size())),
                 "the axis has so many screws by motors and drive.screws_per_motor");
    return {};
  }
  std::vector<axis::ScrewPlace> places;
  for (const toml::node& item : *list)
    if (const auto place = read_place(reader, item, "a place of screws")) places.push_back(*place);
  if (places.size() != list->size()) return {};
  try {
    axis::screw_shares(places, places.front());
  } catch (const InvalidInput& e) {
    reader.error(*node, e.what(), "every screw has a place of its own");
    return {};
  }
  return places;
}

axis::ScrewPlace middle_of(const std::vector<axis::ScrewPlace>& places) {
  axis::ScrewPlace middle{.x = metres(0), .y = metres(0)};
  for (const axis::ScrewPlace& place : places) {
    middle.x += place.x / static_cast<double>(places.size());
    middle.y += place.y / static_cast<double>(places.size());
  }
  return middle;
}

// Where the screws stand and what they bear.
void read_stand(TableReader& reader, axis::ScrewAxis& drive) {
  const int screws = axis::number_of_screws(drive);
  axis::ScrewStand stand{.places = read_places(reader, screws)};
  std::optional<axis::ScrewPlace> load_at;
  const toml::node* at = reader.node(keys::lift::load_at);
  if (at != nullptr) load_at = read_place(reader, *at, "load_at");
  reader.into(keys::lift::nut_level, stand.nut_level);
  if (!reader.has(keys::lift::nut_level) && screws > 3) reader.assume(keys::lift::nut_level);
  if (stand.places.empty()) return;
  if (at == nullptr) {
    load_at = middle_of(stand.places);
    if (screws > 1) reader.assume(keys::lift::load_at);
  }
  if (!load_at) return;
  stand.load_at = *load_at;
  try {
    axis::largest_share(stand.places, stand.load_at);
  } catch (const OutsideValidity& e) {
    if (at != nullptr)
      reader.error(*at, e.what(), "bring the load over the area between the screws");
    return;
  }
  drive.stand = std::move(stand);
}

}  // namespace

void read_lift(TableReader reader, DriveKind kind, machine::Axis& axis,
               const Catalogue& catalogue) {
  auto* drive = machine::as<axis::ScrewAxis>(axis.drive);
  if (drive == nullptr) {
    reader.diagnostics().add(reader.source(), not_used_with("lift", kind),
                             "it describes a bed that screws lift");
    return;
  }
  // Of an axis that does not say its incline, that is missing.
  if (drive->incline <= degrees(0))
    reader.diagnostics().add(reader.source(), "lift is of an axis that goes up, and this is level",
                             "add incline = \"90 deg\" to the axis");
  machine::Lift lift;
  if (const auto work = reader.read(keys::lift::work))
    drive->moving.push_back({"the heaviest work", *work});
  reader.into(keys::lift::height_step, lift.height_step);
  reader.into(keys::lift::stays_up, lift.stays_up);
  reader.into(keys::lift::bearings, lift.bearings);
  if (const auto thrust = reader.read(keys::lift::thrust_bearing)) lift.hangs = *thrust == 1;
  if (!reader.into(keys::lift::nut_length, lift.nut_length) && !reader.has(keys::lift::nut_length))
    reader.assume(keys::lift::nut_length, fmt::format("nuts {} times as long as the screw is thick",
                                                      significant(machine::usual_nut_length, 2)));
  reader.into(keys::lift::lead_error, lift.lead_error);
  reader.into(keys::lift::level, lift.level);
  reader.into(keys::lift::life, lift.life);
  reader.into(keys::lift::brake, lift.brake);
  read_stand(reader, *drive);
  axis.lift = lift;
  if (auto belt = reader.table(keys::lift::belt, keys::lift_belt::table))
    read_tying_belt(std::move(*belt), axis, catalogue);
  reader.finish();
}

}  // namespace pitchline::io::detail
