#pragma once

#include "pitchline/units.hpp"

namespace pitchline::screw {

/// Stress in the core that a maker of screws allows in pull and push. Source: [THK screws], 147
/// MPa.
inline constexpr Pressure allowed_core_stress = megapascals(147);

/// Yield strength taken where a screw states none: twice the stress that the maker allows. Common
/// practice, no source; carbon steel and stainless of screws have as much or more, from memory.
inline constexpr Pressure assumed_yield_strength = megapascals(294);

}  // namespace pitchline::screw
