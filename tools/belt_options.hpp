#pragma once

#include <fmt/format.h>

#include <string>
#include <string_view>
#include <vector>

#include "command_line.hpp"
#include "pitchline/io/catalogue.hpp"
#include "pitchline/units.hpp"
#include "pitchline/units/fraction.hpp"

namespace pitchline::tools {

/// What was typed after the word, as it was typed; empty where it was left out.
struct BeltOptions {
  std::string profile;
  std::string pitch;
  std::vector<std::string> two_teeth;
  std::string teeth;
  std::string distance;
  std::string length;
  std::string belt_teeth;
  std::string wanted;
  std::string take_up;
  std::string width;
  std::string mass_per_length;
  std::string span;
  std::string frequency;
  std::string tension;
  std::string bending_stiffness;
  std::string speed;
  std::string wrap;
  std::string second_teeth;
  std::string pulses_per_turn;
  std::string microsteps;
  std::string full_steps;
  std::string reduction;
  std::string travel;
  std::string decimals;
  std::string file;
  std::string catalogue_file;
  bool explain = false;
  bool json = false;
};

/// A whole number from 1 or 0 on.
inline int whole_of(std::string_view option, const std::string& text, int least, int most,
                    std::string_view example) {
  const std::string help = fmt::format("for example {} {}", option, example);
  if (text.empty()) throw UnusableOptions(fmt::format("{} is missing", option), help);
  const bool digits = text.find_first_not_of("0123456789") == std::string::npos;
  const int value = digits && text.size() < 9 ? std::stoi(text) : -1;
  if (value < least || value > most)
    throw UnusableOptions(fmt::format("{} must be a whole number from {} to {}, got \"{}\"", option,
                                      least, most, text),
                          help);
  return value;
}

/// Most teeth of a pulley.
inline constexpr int most_teeth = 1000;

/// A length, or with `unit` put behind what was typed a plain number, above zero and not rounded.
inline Fraction exact_of(std::string_view option, const std::string& text,
                         const std::string& unit) {
  try {
    const Fraction value = exact_millimetres(text + unit);
    if (value > Fraction(0)) return value;
  } catch (const UnreadableQuantity& e) {
    // What is said of units would be wrong of a plain number.
    if (unit.empty()) throw UnusableOptions(fmt::format("{}: {}", option, e.what()));
    throw UnusableOptions(fmt::format("{}: \"{}\" cannot be held exactly", option, text),
                          "a number such as 3, 2.5 or 60/20, of at most 9 digits");
  }
  throw UnusableOptions(fmt::format("{} must be > 0, got \"{}\"", option, text));
}

/// The profile of the catalogue or, where that is enough, of the pitch alone.
inline parts::BeltProfile profile_of(const BeltOptions& o, const io::Catalogue& catalogue,
                                     bool pitch_is_enough) {
  if (!o.pitch.empty()) {
    if (!o.profile.empty())
      throw UnusableOptions("--profile and --pitch do not go together",
                            "the profile says the pitch: leave one out");
    return {.name = "belt of " + o.pitch + " pitch",
            .pitch_millimetres = exact_of("--pitch", o.pitch, "")};
  }
  const std::string list = "pitchline-belt profiles shows them all";
  if (o.profile.empty())
    throw UnusableOptions(
        pitch_is_enough ? "--profile or --pitch is missing" : "--profile is missing",
        "for example --profile \"GT 2 mm\"; " + list);
  const auto found = catalogue.belts.find(o.profile);
  if (found != catalogue.belts.end()) return found->second;
  std::vector<std::string> names;
  for (const auto& [name, belt] : catalogue.belts) names.push_back(name);
  const auto nearest = nearest_word(o.profile, names);
  throw UnusableOptions(fmt::format("unknown profile \"{}\"{}", o.profile,
                                    nearest ? fmt::format(", did you mean \"{}\"?", *nearest) : ""),
                        list);
}

}  // namespace pitchline::tools
