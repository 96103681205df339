#pragma once

#include "pitchline/units.hpp"

namespace pitchline::screw {

/// Elastic modulus and density with which a maker of screws reckons column strength and critical
/// speed. Source: [THK screws], 2.06e5 N/mm² and 7.85e-6 kg/mm³.
inline constexpr Pressure steel_elastic_modulus = megapascals(206'000);
inline constexpr Density steel_density = kilograms_per_cubic_metre(7850);

/// Stress in the core that the same maker allows in pull and push. Source: [THK screws], 147 MPa.
inline constexpr Pressure allowed_core_stress = megapascals(147);

/// Yield strength taken where a screw states none: twice the stress that the maker allows. Common
/// practice, no source; carbon steel and stainless of screws have as much or more, from memory.
inline constexpr Pressure assumed_yield_strength = megapascals(294);

}  // namespace pitchline::screw
