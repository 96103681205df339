#pragma once

#include <string>
#include <string_view>

#include "pitchline/answers/belt_question.hpp"
#include "pitchline/belt/plucked_span.hpp"
#include "pitchline/parts/belt.hpp"
#include "pitchline/units/fraction.hpp"

namespace pitchline::answer {

/// Most teeth of a pulley.
inline constexpr int most_teeth = 1000;

/// A count of teeth.
int teeth_of(std::string_view option, const std::string& text, std::string_view example);

/// A whole number of an option that may be missing: then the example says what is wanted.
struct CountOption {
  std::string_view option{};
  const std::string& text;
  int least = 1;
  int most = 1;
  std::string_view example{};
};
int count_of(const CountOption& count);

/// A length, or with `unit` put behind what was typed a plain number, above zero and not rounded.
Fraction exact_of(std::string_view option, const std::string& text, const std::string& unit);

/// A profile of the catalogue by its name.
const parts::BeltProfile& listed_profile(const std::string& name, const io::Catalogue& catalogue);

/// The profile of the catalogue or, where that is enough, of the pitch alone.
parts::BeltProfile profile_of(const BeltQuestion& q, const io::Catalogue& catalogue,
                              bool pitch_is_enough);

/// E*I of a belt, as it was typed.
belt::BendingStiffness bending_stiffness_of(const std::string& text);

/// Refuses a belt whose mass no source gives.
void require_mass(LinearDensity mass, const std::string& profile);

/// The pitch of a profile, as the symbol p of a formula.
Symbol pitch_symbol(const parts::BeltProfile& profile);

}  // namespace pitchline::answer
