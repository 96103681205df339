// The belt that ties the screws of a lift to its one motor.

#include <algorithm>

#include "read/detail/drive_keys.hpp"
#include "read/detail/name_in.hpp"
#include "read/detail/read_loop_pulleys.hpp"
#include "read/detail/read_parts.hpp"
#include "read/keys/lift.hpp"

namespace pitchline::io::detail {
namespace {

// The pulleys that turn screws, by their places, and the one that the motor turns, by its name.
bool find_pulleys(TableReader& reader, const axis::ScrewAxis& drive, const BeltLayout& layout,
                  machine::LiftBelt& belt) {
  const auto& pulleys = layout.loop.pulleys;
  const auto fail = [&](std::string message, std::string help) {
    reader.diagnostics().add(reader.source(), std::move(message), std::move(help));
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

// What the file says of the belt itself; whether its profile is known.
bool read_belt(TableReader& reader, machine::LiftBelt& belt, const Catalogue& catalogue) {
  reader.into(keys::belt_drive::width, belt.belt.width);
  belt.belt.ends = parts::BeltEnds::closed_loop;
  reader.into(keys::lift_belt::tension, belt.tension);
  const auto name = reader.read(keys::lift_belt::profile);
  if (!name) return false;
  const auto known =
      name_in(reader, reader.at(keys::lift_belt::profile), *name, "profile", catalogue.belts);
  if (known) belt.belt.profile = catalogue.belts.at(*known);
  return known.has_value();
}

}  // namespace

void read_tying_belt(TableReader reader, machine::Axis& axis, const Catalogue& catalogue) {
  const auto& drive = std::get<axis::ScrewAxis>(axis.drive);
  machine::LiftBelt belt;
  BeltLayout layout;
  const bool known = read_belt(reader, belt, catalogue);
  layout.loop.profile = belt.belt.profile;
  const toml::node* node = reader.node(keys::lift_belt::pulley);
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
  const bool good = of_pulleys.empty() && known;
  reader.diagnostics().add_all(of_pulleys);
  if (!good || !drive.stand) return;
  if (drive.motors != 1) {
    reader.diagnostics().add(
        reader.source(),
        "belt ties the screws of one motor, and the axis has " + std::to_string(drive.motors),
        "leave out motors, or the belt");
    return;
  }
  if (!find_pulleys(reader, drive, layout, belt)) return;
  for (const LayoutPulley& pulley : layout.pulleys)
    if (pulley.slide) belt.slide = pulley.slide;
  belt.tying.loop = std::move(layout.loop);
  try {
    belt::solved(belt.tying.loop);
  } catch (const OutsideValidity& e) {
    reader.diagnostics().add(reader.source(), e.what(), "pitchline-belt loop shows a layout alone");
    return;
  }
  axis.lift->belt = std::move(belt);
}

}  // namespace pitchline::io::detail
