#include "pitchline/io/read_belt_layout.hpp"

#include <fmt/format.h>

#include <cstddef>
#include <string>

#include "read/detail/read_loop_pulleys.hpp"

namespace pitchline::io {
namespace {

using detail::TableReader;

constexpr Length farthest = metres(1000);

std::optional<Length> place(TableReader& reader, std::string_view key) {
  return reader.quantity<Length>(key, true, "within 1000 m",
                                 [](const Length& l) { return l >= -farthest && l <= farthest; });
}

void read_loop_table(const toml::table& file, detail::Diagnostics& diagnostics,
                     const Catalogue& catalogue, parts::BeltProfile& profile) {
  TableReader top(file, "", diagnostics);
  top.know("pulley");
  const toml::table* table = top.table("loop", true, "{ profile = \"GT 2 mm\" }");
  top.finish();
  if (table == nullptr) return;
  TableReader reader(*table, "loop", diagnostics);
  const bool by_pitch = reader.has("pitch");
  const auto name = reader.text("profile", !by_pitch, "GT 2 mm");
  const auto pitch = reader.exact_length("pitch", false);
  if (name && by_pitch) {
    reader.error(*table->get("pitch"), "profile and pitch do not go together",
                 "the profile says the pitch: leave one out");
  } else if (name) {
    const auto found = catalogue.belts.find(*name);
    if (found != catalogue.belts.end()) {
      profile = found->second;
    } else {
      std::vector<std::string> known;
      for (const auto& [known_name, belt] : catalogue.belts) known.push_back(known_name);
      reader.unknown_word(*table->get("profile"), "profile", *name, known);
    }
  } else if (pitch) {
    profile.name = "belt";
    profile.pitch_millimetres = *pitch;
  }
  reader.finish();
}

std::optional<belt::SettingLine> read_slide(TableReader& pulley, std::size_t at) {
  const toml::table* table =
      pulley.table("slide", false, "{ along = \"90 deg\", from = \"-5 mm\", to = \"5 mm\" }");
  if (table == nullptr) return std::nullopt;
  TableReader reader(*table, pulley.path() + ".slide", pulley.diagnostics());
  const auto along = reader.quantity<Angle>("along", true, "from -360 deg to 360 deg", [](Angle a) {
    return a >= -revolution && a <= revolution;
  });
  const auto from = place(reader, "from");
  const auto to = place(reader, "to");
  if (from && to && !(*to > *from))
    reader.error(*table->get("to"), "slide.to must be above slide.from");
  reader.finish();
  if (!along || !from || !to) return std::nullopt;
  return belt::SettingLine{.pulley = at, .direction = *along, .least = *from, .most = *to};
}

/// Where the pitch line of the belt runs on the pulley; unset with an error where that is not
/// known.
Length pitch_line_radius(TableReader& reader, const toml::table& table, bool back,
                         const parts::BeltProfile& profile, LayoutPulley& pulley) {
  const auto teeth = reader.whole("teeth", false, 1, 1000, "20");
  const auto diameter = reader.positive<Length>("diameter", false, farthest);
  const auto pitch_diameter = reader.positive<Length>("pitch_diameter", false, farthest);
  const bool has_teeth = reader.has("teeth");
  const bool has_diameter = reader.has("diameter");
  const int given = int{has_teeth} + int{has_diameter} + int{reader.has("pitch_diameter")};
  if (given != 1) {
    reader.diagnostics().add(
        table.source(),
        fmt::format("{} needs one of teeth, diameter and pitch_diameter", reader.path()),
        "teeth of a toothed pulley, diameter of a smooth one");
    return unset<Length>();
  }
  if (has_teeth && back) {
    reader.error(*table.get("teeth"), "the back of the belt has no teeth",
                 "give the diameter of the smooth idler, or side = \"inside\"");
    return unset<Length>();
  }
  if (teeth) {
    pulley.teeth = static_cast<int>(*teeth);
    return profile.pitch_millimetres > Fraction(0)
               ? belt::toothed_pitch_line_radius(profile, pulley.teeth)
               : unset<Length>();
  }
  if (pitch_diameter) return *pitch_diameter / 2.0;
  if (!diameter || !(profile.pitch_millimetres > Fraction(0))) return unset<Length>();
  pulley.diameter = *diameter;
  const belt::BeltSection section = belt::section(profile);
  try {
    return back ? belt::back_idler_pitch_line_radius(section, *diameter)
                : belt::inside_idler_pitch_line_radius(section, *diameter);
  } catch (const InvalidInput&) {
    reader.error(*table.get("diameter"),
                 "the thickness of this belt is not known, so the diameter is not enough",
                 "give pitch_diameter: twice the distance from the centre to the cords");
  }
  return unset<Length>();
}

void read_pulley(TableReader& reader, const toml::table& table, BeltLayout& layout) {
  belt::LoopPulley on_loop;
  LayoutPulley pulley;
  if (const auto name = reader.text("name", true, "motor")) on_loop.name = *name;
  if (const auto x = place(reader, "x")) on_loop.x = *x;
  if (const auto y = place(reader, "y")) on_loop.y = *y;
  const bool back = reader.choice("side", false, {"inside", "back"}).value_or(0) == 1;
  on_loop.side = back ? belt::BeltSide::back : belt::BeltSide::inside;
  on_loop.pitch_line_radius = pitch_line_radius(reader, table, back, layout.loop.profile, pulley);
  pulley.slide = read_slide(reader, layout.pulleys.size());
  reader.finish();
  for (const belt::LoopPulley& other : layout.loop.pulleys)
    if (!on_loop.name.empty() && other.name == on_loop.name)
      reader.error(*table.get("name"), fmt::format("a second pulley \"{}\"", other.name),
                   "every pulley has a name of its own");
  layout.loop.pulleys.push_back(std::move(on_loop));
  layout.pulleys.push_back(std::move(pulley));
}

}  // namespace

void detail::read_loop_pulleys(const toml::array& list, std::string_view path,
                               Diagnostics& diagnostics, BeltLayout& layout) {
  std::size_t number = 0;
  for (const toml::node& item : list) {
    ++number;
    const std::string name = fmt::format("{} {}", path, number);
    if (const toml::table* table = item.as_table()) {
      TableReader reader(*table, name, diagnostics);
      read_pulley(reader, *table, layout);
    } else {
      diagnostics.add(item.source(), name + " must be a table",
                      "add [[pulley]] with name, x, y and teeth");
    }
  }
}

BeltLayout read_belt_layout(std::string_view text, std::string_view file,
                            const Catalogue& catalogue) {
  const toml::table toml = detail::parse_toml(text, file);
  detail::Diagnostics diagnostics;
  BeltLayout layout;
  read_loop_table(toml, diagnostics, catalogue, layout.loop.profile);
  const toml::node* node = toml.get("pulley");
  const toml::array* array = node == nullptr ? nullptr : node->as_array();
  if (array == nullptr || array->size() < 2) {
    diagnostics.add_for_file("a loop needs two pulleys or more",
                             "add [[pulley]] with name, x, y and teeth, one for each, in the "
                             "order in which the belt meets them");
  } else {
    detail::read_loop_pulleys(*array, "pulley", diagnostics, layout);
  }
  if (!diagnostics.empty()) throw UnusableInput(diagnostics.sorted(), file, text);
  return layout;
}

}  // namespace pitchline::io
