#pragma once

#include <algorithm>
#include <string>

#include "pitchline/belt/tension.hpp"

namespace pitchline::belt {

/// What a machine asks of the tension of its belt.
struct TensionNeeds {
  Force slack_free{};                   ///< ≥ 0, that keeps both strands tight
  Force bearable = unlimited<Force>();  ///< more than this belt or shaft cannot bear with a margin
};

/// The tension that is recommended for a strand at rest, and the range around it.
struct TensionToSet {
  Force value = unset<Force>();
  Force least = unset<Force>();  ///< below it a strand goes slack, or the maker's least is not kept
  Force most = unset<Force>();   ///< unset where nothing is known that would be too much
  std::string source{};          ///< of the value

  [[nodiscard]] bool known() const { return !is_unset(value); }
};

/// One recommendation, whoever asks: the tension that the maker lists to start with, as far as the
/// machine needs no more and bears it.
///
///     T_least = max(T_l, T_s),  T_most = max(T_least, min(2 T_g, T_b)),  T = T_g within these
///
///     T_l  `least_tension`      N
///     T_g  `start_tension`      N
///     T_s  needs.slack_free     N  ≥ 0
///     T_b  needs.bearable       N  > 0
///
/// T = T_least where T_g is not known, and nothing where T_l is not known either and T_s is zero.
///
/// \throws InvalidInput  a need outside the table, or never set
///
/// Source: the profile's tables; twice the general tension as `positioning_tension`.
inline TensionToSet tension_to_set(const parts::Belt& belt, const TensionNeeds& needs = {}) {
  require_not_negative("tension without slack", needs.slack_free);
  require_positive_or_infinite("bearable tension", needs.bearable);
  const parts::Sourced<Force> least = least_tension(belt);
  const parts::Sourced<Force> start = start_tension(belt);
  TensionToSet set;
  if (!least.known() && !start.known() && !(needs.slack_free > newtons(0))) return set;
  const bool by_maker = least.known() && least.value >= needs.slack_free;
  set.least = by_maker ? least.value : needs.slack_free;
  set.value = set.least;
  set.source = by_maker ? "least of the maker, " + least.source : "so that no strand goes slack";
  if (start.known()) {
    set.most = std::max(set.least, std::min(positioning_tension(belt).high, needs.bearable));
    if (start.value > set.least) {
      set.value = std::min(start.value, set.most);
      set.source = set.value < start.value
                       ? "as much of what the maker lists to start with as belt and shaft bear"
                       : "listed to start with, " + start.source;
    }
  } else if (is_finite(needs.bearable)) {
    set.most = std::max(set.least, needs.bearable);
  }
  return set;
}

}  // namespace pitchline::belt
