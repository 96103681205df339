#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "pitchline/belt/loop.hpp"
#include "pitchline/io/catalogue.hpp"
#include "pitchline/io/diagnostic.hpp"

namespace pitchline::io {

/// One pulley as the file has it, beside what the belt sees of it.
struct LayoutPulley {
  int teeth = 0;                      ///< 0 where it is smooth
  Length diameter = unset<Length>();  ///< of the smooth body; unset where not given
  std::optional<belt::SettingLine> slide{};
};

/// A belt round pulleys, read from a file.
struct BeltLayout {
  belt::Loop loop{};
  std::vector<LayoutPulley> pulleys{};  ///< in the order of the loop
};

/// Reads a layout from the text of its file:
///
///     [loop]
///     profile = "GT 2 mm"     # of the catalogue; or pitch = "2 mm"
///
///     [[pulley]]              # in the order in which the belt meets them
///     name  = "motor"
///     x     = "0 mm"
///     y     = "0 mm"
///     teeth = 20              # or diameter = "16 mm" of a smooth one, or pitch_diameter
///     side  = "inside"        # of the belt that touches it; or "back"; inside if left out
///     slide = { along = "90 deg", from = "-5 mm", to = "5 mm" }  # if it can be set
///
/// Whether the layout can be built shows only when it is solved.
///
/// \throws UnusableInput  all errors of the file at once, with line and column
BeltLayout read_belt_layout(std::string_view text, std::string_view file,
                            const Catalogue& catalogue);

}  // namespace pitchline::io
