#pragma once

#include "pitchline/units.hpp"

namespace pitchline::parts {

/// Carbon steel, both from one table, so that they belong together. Source: [Shigley A-5].
inline constexpr Pressure steel_elastic_modulus = megapascals(207'000);
inline constexpr Pressure steel_shear_modulus = megapascals(79'300);

/// The elastic modulus of steel inside a maker's rules of column strength and critical speed.
/// Source: [THK screws], 2.06e5 N/mm². Half a percent less than `steel_elastic_modulus`, and kept
/// apart from it because the printed tables, against which both rules are checked, rest on it.
inline constexpr Pressure screw_rules_elastic_modulus = megapascals(206'000);

/// Density of steel as makers of screws reckon with it. Source: [THK screws], 7.85e-6 kg/mm³.
inline constexpr Density steel_density = kilograms_per_cubic_metre(7850);

/// Aluminium alloys in general. Source of the modulus: [Shigley A-5]; the density is common
/// practice, no source.
inline constexpr Pressure aluminium_shear_modulus = megapascals(26'900);
inline constexpr Density aluminium_density = kilograms_per_cubic_metre(2700);
/// Of the extruded alloy 6105-T5. Source: [Extrusion alloy].
inline constexpr Pressure aluminium_6105_shear_modulus = megapascals(26'000);

}  // namespace pitchline::parts
