#include "pitchline/io/read_belt_layout.hpp"

#include <fmt/format.h>

#include <cstddef>
#include <string>

#include "read/detail/name_in.hpp"
#include "read/detail/read_loop_pulleys.hpp"
#include "read/detail/read_parts.hpp"
#include "read/keys/loop.hpp"

namespace pitchline::io {
namespace {

using detail::TableReader;

namespace keys = detail::keys;

void read_loop_table(const toml::table& file, detail::Diagnostics& diagnostics,
                     const Catalogue& catalogue, parts::BeltProfile& profile) {
  TableReader top(file, "", diagnostics);
  top.know("pulley");
  const toml::table* table = top.table("loop", true, "{ profile = \"GT 2 mm\" }");
  top.finish();
  if (table == nullptr) return;
  TableReader reader(*table, keys::loop::table, {.path = "loop"}, diagnostics);
  const bool by_pitch = reader.has(keys::loop::pitch);
  const auto name = reader.read(keys::loop::profile, !by_pitch);
  const auto pitch = reader.read(keys::loop::pitch);
  if (name && by_pitch) {
    reader.error(reader.at(keys::loop::pitch), "profile and pitch do not go together",
                 "the profile says the pitch: leave one out");
  } else if (name) {
    const auto known =
        detail::name_in(reader, reader.at(keys::loop::profile), *name, "profile", catalogue.belts);
    if (known) profile = catalogue.belts.at(*known);
  } else if (pitch) {
    profile.name = "belt";
    profile.pitch_millimetres = *pitch;
  }
  reader.finish();
}

std::optional<belt::SettingLine> read_slide(TableReader& pulley, std::size_t number) {
  auto reader = pulley.table(keys::pulley::slide, keys::slide::table);
  if (!reader) return std::nullopt;
  const auto along = reader->read(keys::slide::along);
  const auto from = reader->read(keys::slide::from);
  const auto to = reader->read(keys::slide::to);
  if (from && to && !(*to > *from))
    reader->error(reader->at(keys::slide::to), "slide.to must be above slide.from");
  reader->finish();
  if (!along || !from || !to) return std::nullopt;
  return belt::SettingLine{.pulley = number, .direction = *along, .least = *from, .most = *to};
}

/// Where the pitch line of the belt runs on the pulley; unset with an error where that is not
/// known.
Length pitch_line_radius(TableReader& reader, bool back, const parts::BeltProfile& profile,
                         LayoutPulley& pulley) {
  const auto teeth = reader.read(keys::pulley::teeth);
  const auto diameter = reader.read(keys::pulley::diameter);
  const auto pitch_diameter = reader.read(keys::pulley::pitch_diameter);
  const bool has_teeth = reader.has(keys::pulley::teeth);
  const bool has_diameter = reader.has(keys::pulley::diameter);
  const int given =
      int{has_teeth} + int{has_diameter} + int{reader.has(keys::pulley::pitch_diameter)};
  if (given != 1) {
    reader.diagnostics().add(
        reader.source(),
        fmt::format("{} needs one of teeth, diameter and pitch_diameter", reader.path()),
        "teeth of a toothed pulley, diameter of a smooth one");
    return unset<Length>();
  }
  if (has_teeth && back) {
    reader.error(reader.at(keys::pulley::teeth), "the back of the belt has no teeth",
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
    reader.error(reader.at(keys::pulley::diameter),
                 "the thickness of this belt is not known, so the diameter is not enough",
                 "give pitch_diameter: twice the distance from the centre to the cords");
  }
  return unset<Length>();
}

void read_pulley(TableReader& reader, BeltLayout& layout) {
  belt::LoopPulley on_loop;
  LayoutPulley pulley;
  reader.into(keys::pulley::name, on_loop.name);
  reader.into(keys::pulley::x, on_loop.x);
  reader.into(keys::pulley::y, on_loop.y);
  on_loop.side = belt::BeltSide::inside;
  reader.into(keys::pulley::side, on_loop.side);
  const bool back = on_loop.side == belt::BeltSide::back;
  on_loop.pitch_line_radius = pitch_line_radius(reader, back, layout.loop.profile, pulley);
  pulley.slide = read_slide(reader, layout.pulleys.size());
  reader.finish();
  for (const belt::LoopPulley& other : layout.loop.pulleys)
    if (!on_loop.name.empty() && other.name == on_loop.name)
      reader.error(reader.at(keys::pulley::name), fmt::format("a second pulley \"{}\"", other.name),
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
      TableReader reader(*table, keys::pulley::table, {.path = name}, diagnostics);
      read_pulley(reader, layout);
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
