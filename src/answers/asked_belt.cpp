#include "asked_belt.hpp"

#include <fmt/format.h>

#include <vector>

#include "pitchline/io/part_names.hpp"
#include "pitchline/io/read_option.hpp"

namespace pitchline::answer {

using io::UnusableOptions;

int teeth_of(std::string_view option, const std::string& text, std::string_view example) {
  return count_of({.option = option, .text = text, .most = most_teeth, .example = example});
}

int count_of(const CountOption& count) {
  const std::string help = fmt::format("for example {} {}", count.option, count.example);
  if (count.text.empty()) throw UnusableOptions(fmt::format("{} is missing", count.option), help);
  return static_cast<int>(io::whole_of({.option = count.option,
                                        .text = count.text,
                                        .least = count.least,
                                        .most = count.most,
                                        .help = help}));
}

Fraction exact_of(std::string_view option, const std::string& text, const std::string& unit) {
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

const parts::BeltProfile& listed_profile(const std::string& name, const io::Catalogue& catalogue) {
  const io::Named found = io::named(name, "profile", catalogue.belts);
  if (!found.name) throw UnusableOptions(found.message, found.help);
  return catalogue.belts.at(*found.name);
}

parts::BeltProfile profile_of(const BeltQuestion& q, const io::Catalogue& catalogue,
                              bool pitch_is_enough) {
  if (!q.pitch.empty()) {
    io::require_absent(!q.profile.empty(), "--profile and --pitch do not go together",
                       "the profile says the pitch: leave one out");
    return {.name = "belt of " + q.pitch + " pitch",
            .pitch_millimetres = exact_of("--pitch", q.pitch, "")};
  }
  if (q.profile.empty())
    throw UnusableOptions(
        pitch_is_enough ? "--profile or --pitch is missing" : "--profile is missing",
        "for example --profile \"GT 2 mm\"; pitchline-belt profiles shows them all");
  return listed_profile(q.profile, catalogue);
}

belt::BendingStiffness bending_stiffness_of(const std::string& text) {
  static constexpr Kind kind{"a bending stiffness",
                             "0.0005 N*m^2",
                             "N*m^2",
                             "N*m^2",
                             exponents_of<belt::BendingStiffness>,
                             0};
  return io::coherent_of("--bending-stiffness", text, kind) * newtons(1) * square_metres(1);
}

void require_mass(LinearDensity mass, const std::string& profile) {
  if (is_unset(mass))
    throw UnusableOptions(
        fmt::format("no source gives the mass of {}", profile),
        "weigh a piece of the belt and give --mass-per-length, for example \"12.6 g/m\"");
}

Symbol pitch_symbol(const parts::BeltProfile& profile) {
  return {"p", "pitch", Measure(parts::pitch(profile) * teeth(1))};
}

}  // namespace pitchline::answer
