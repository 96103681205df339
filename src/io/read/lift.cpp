// What is wanted of an axis that lifts a bed, how its screws stand, and the belt that ties them.

#include <array>

#include "read/detail/drive_keys.hpp"
#include "read/detail/read_loop_pulleys.hpp"
#include "read/detail/read_parts.hpp"

namespace pitchline::io::detail {
namespace {

const Mass heaviest = kilograms(2000);
const Length finest = millimetres(10);
const Length longest_life = metres(1e9);

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
      const Length length = read_quantity<Length>(**item.as_string());
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
  const toml::node* node = reader.find("screws", false, {});
  if (node == nullptr) {
    if (screws > 1) reader.missing("screws", example);
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
void read_stand(TableReader& reader, axis::ScrewAxis& drive, std::vector<std::string>& assumed) {
  const int screws = axis::number_of_screws(drive);
  axis::ScrewStand stand{.places = read_places(reader, screws)};
  std::optional<axis::ScrewPlace> load_at;
  const toml::node* at = reader.find("load_at", false, {});
  if (at != nullptr) load_at = read_place(reader, *at, "load_at");
  const auto level = reader.not_negative<Length>("nut_level", false, finest);
  if (level) stand.nut_level = *level;
  if (!reader.has("nut_level") && screws > 3)
    assumed.emplace_back(
        "nuts set so unevenly that one bears the most that statics leaves it (lift.nut_level)");
  if (stand.places.empty()) return;
  if (at == nullptr) {
    load_at = middle_of(stand.places);
    if (screws > 1) assumed.emplace_back("a load in the middle of the screws (lift.load_at)");
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

// The pulleys that turn screws, by their places, and the one that the motor turns, by its name.
bool find_pulleys(TableReader& reader, const toml::table& table, const axis::ScrewAxis& drive,
                  const BeltLayout& layout, machine::LiftBelt& belt) {
  const auto& pulleys = layout.loop.pulleys;
  const auto fail = [&](std::string message, std::string help) {
    reader.diagnostics().add(table.source(), std::move(message), std::move(help));
    return false;
  };
  const auto motor =
      std::find_if(pulleys.begin(), pulleys.end(), [](const auto& p) { return p.name == "motor"; });
  if (motor == pulleys.end())
    return fail(fmt::format("{} has no pulley \"motor\"", reader.path()),
                "name the one that the motor turns so");
  belt.tying.motor = static_cast<std::size_t>(motor - pulleys.begin());
  belt.motor_teeth = layout.pulleys[belt.tying.motor].teeth;
  for (const axis::ScrewPlace& place : drive.stand->places) {
    const auto found = std::find_if(pulleys.begin(), pulleys.end(), [&](const auto& p) {
      const auto near = [](Length a, Length b) {
        return a - b < millimetres(0.001) && b - a < millimetres(0.001);
      };
      return near(p.x, place.x) && near(p.y, place.y);
    });
    if (found == pulleys.end())
      return fail(fmt::format("{} has no pulley on the screw at x {}, y {}", reader.path(),
                              print_plain(place.x), print_plain(place.y)),
                  "the pulleys of the screws stand where lift.screws says");
    const auto at = static_cast<std::size_t>(found - pulleys.begin());
    const int teeth = layout.pulleys[at].teeth;
    if (!belt.tying.screws.empty() && teeth != belt.screw_teeth)
      return fail(fmt::format("{} has screws with {} and with {} teeth", reader.path(),
                              belt.screw_teeth, teeth),
                  "all screws must turn alike");
    belt.screw_teeth = teeth;
    belt.tying.screws.push_back(at);
  }
  if (belt.motor_teeth < 1 || belt.screw_teeth < 1)
    return fail(fmt::format("{} has a motor or a screw without teeth", reader.path()),
                "give teeth to the pulleys of motor and screws");
  if (Fraction(belt.screw_teeth, belt.motor_teeth) != drive.motor_turns_per_screw_turn)
    return fail(
        fmt::format("{} makes {} turns of the motor a turn of a screw, and drive.stage {}",
                    reader.path(), print_fraction(Fraction(belt.screw_teeth, belt.motor_teeth)),
                    print_fraction(drive.motor_turns_per_screw_turn)),
        fmt::format(
            "the belt is the stage: drive.stage = {{ motor_teeth = {}, driven_teeth = {} }}",
            belt.motor_teeth, belt.screw_teeth));
  return true;
}

void read_tying_belt(TableReader reader, const toml::table& table, machine::Axis& axis,
                     const Catalogue& catalogue) {
  const auto& drive = std::get<axis::ScrewAxis>(axis.drive);
  machine::LiftBelt belt;
  BeltLayout layout;
  const auto name = reader.text("profile", true, "GT 3 mm");
  if (name) {
    const auto found = catalogue.belts.find(*name);
    if (found != catalogue.belts.end()) {
      belt.belt.profile = found->second;
    } else {
      reader.unknown_word(*table.get("profile"), "belt profile", *name, names_of(catalogue.belts));
    }
  }
  if (const auto width = reader.positive<Length>("width", true, millimetres(500)))
    belt.belt.width = *width;
  belt.belt.ends = parts::BeltEnds::closed_loop;
  if (const auto tension = reader.positive<Force>("tension", false, strongest))
    belt.tension = *tension;
  layout.loop.profile = belt.belt.profile;
  const toml::node* node = reader.find("pulley", true, "[[...belt.pulley]] tables");
  reader.finish();
  if (node == nullptr) return;
  const toml::array* list = node->as_array();
  if (list == nullptr || list->size() < 2) {
    reader.error(*node, "pulley must be a list of tables, two or more",
                 "one for each, in the order in which the belt meets them");
    return;
  }
  Diagnostics of_pulleys;
  read_loop_pulleys(*list, reader.path() + ".pulley", of_pulleys, layout);
  const bool good = of_pulleys.empty() && name && !layout.loop.profile.name.empty();
  reader.diagnostics().add_all(of_pulleys);
  if (!good || !drive.stand) return;
  if (drive.motors != 1) {
    reader.diagnostics().add(
        table.source(),
        "belt ties the screws of one motor, and the axis has " + std::to_string(drive.motors),
        "leave out motors, or the belt");
    return;
  }
  if (!find_pulleys(reader, table, drive, layout, belt)) return;
  for (const LayoutPulley& pulley : layout.pulleys)
    if (pulley.slide) belt.slide = pulley.slide;
  belt.tying.loop = std::move(layout.loop);
  try {
    belt::solved(belt.tying.loop);
  } catch (const OutsideValidity& e) {
    reader.diagnostics().add(table.source(), e.what(), "pitchline-belt loop shows a layout alone");
    return;
  }
  axis.lift->belt = std::move(belt);
}

std::optional<bool> read_whether(TableReader& reader, std::string_view key) {
  const toml::node* node = reader.find(key, true, "true, or false");
  if (node == nullptr) return std::nullopt;
  if (const auto* value = node->as_boolean()) return value->get();
  reader.error(*node,
               fmt::format("{} must be true or false, got {}", key, TableReader::describe(*node)));
  return std::nullopt;
}

void read_bearings(TableReader& reader, machine::Lift& lift, std::vector<std::string>& assumed) {
  static constexpr std::array fixities{
      screw::EndFixity::fixed_free, screw::EndFixity::supported_supported,
      screw::EndFixity::fixed_supported, screw::EndFixity::fixed_fixed};
  if (const auto ends =
          reader.choice("bearings", false,
                        {"fixed and free", "supported", "fixed and supported", "both fixed"})) {
    lift.bearings = fixities.at(*ends);
  } else if (!reader.has("bearings")) {
    assumed.emplace_back("bearings that let the screw tilt (lift.bearings)");
  }
  if (const auto thrust = reader.choice("thrust_bearing", false, {"below", "above"})) {
    lift.hangs = *thrust == 1;
  } else if (!reader.has("thrust_bearing")) {
    assumed.emplace_back(
        "a thrust bearing below, so that the screw is pushed (lift.thrust_bearing)");
  }
}

}  // namespace

void read_lift(TableReader reader, DriveKind kind, machine::Axis& axis,
               const Catalogue& catalogue) {
  auto* drive = std::get_if<axis::ScrewAxis>(&axis.drive);
  if (drive == nullptr) {
    reader.diagnostics().add(reader.source(), not_used_with("lift", kind),
                             "it describes a bed that screws lift");
    return;
  }
  if (!(drive->incline > degrees(0)))
    reader.diagnostics().add(reader.source(), "lift is of an axis that goes up, and this is level",
                             "add incline = \"90 deg\" to the axis");
  machine::Lift lift;
  if (const auto work = reader.not_negative<Mass>("work", true, heaviest))
    drive->moving.push_back({"the heaviest work", *work});
  if (const auto step = reader.positive<Length>("height_step", true, finest))
    lift.height_step = *step;
  if (const auto stays = read_whether(reader, "stays_up")) lift.stays_up = *stays;
  read_bearings(reader, lift, axis.assumed);
  if (const auto length = reader.positive<Length>("nut_length", false, metres(1))) {
    lift.nut_length = *length;
  } else if (!reader.has("nut_length")) {
    axis.assumed.push_back(
        fmt::format("nuts {} times as long as the screw is thick "
                    "(lift.nut_length)",
                    significant(machine::usual_nut_length, 2)));
  }
  if (const auto error = reader.not_negative<Length>("lead_error", false, finest))
    lift.lead_error = *error;
  if (const auto level = reader.positive<Length>("level", false, millimetres(100)))
    lift.level = *level;
  if (const auto life = reader.quantity<Length>(
          "life", false, "> 0 and at most 1000000 km",
          [](const Length& way) { return way > metres(0) && way <= longest_life; }))
    lift.life = *life;
  if (const auto brake = reader.positive<Torque>("brake", false, newton_metres(1000)))
    lift.brake = *brake;
  read_stand(reader, *drive, axis.assumed);
  axis.lift = lift;
  const toml::table* belt =
      reader.table("belt", false, "{ profile = \"GT 3 mm\", width = \"9 mm\", pulley = [...] }");
  if (belt != nullptr)
    read_tying_belt({*belt, reader.path() + ".belt", reader.diagnostics()}, *belt, axis, catalogue);
  reader.finish();
}

}  // namespace pitchline::io::detail
