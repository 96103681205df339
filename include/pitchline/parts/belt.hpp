#pragma once

#include <string>

#include "pitchline/units.hpp"
#include "pitchline/units/fraction.hpp"

namespace pitchline::parts {

/// A toothed-belt profile. What was not found in a source stays unset, and a check that needs it
/// says so.
struct BeltProfile {
  std::string name{};             ///< "GT 2 mm"
  Fraction pitch_millimetres{0};  ///< exact: 254/125 for MXL
  std::string source{};           ///< of the pitch
  /// Tension per strain and width (E·A/b): multiplied by the width it is a force per unit strain.
  Stiffness stiffness_per_width = unset<Stiffness>();
  std::string stiffness_source{};
  /// Mass per area of belt, as mass per length and width.
  MassPerArea mass_per_width = unset<MassPerArea>();
  std::string mass_source{};
};

/// How a belt is bought.
enum class BeltEnds { open, closed_loop };

/// A profile in the width that is bought.
struct Belt {
  BeltProfile profile{};
  Length width = unset<Length>();
  BeltEnds ends = BeltEnds::open;
};

/// Pitch as a quantity.
inline BeltPitch pitch(const BeltProfile& profile) {
  return millimetres_per_tooth(to_double(profile.pitch_millimetres));
}

/// Tension per unit strain of the whole belt, E·A; unset where the profile does not know it.
inline Force tension_per_strain(const Belt& belt) {
  return belt.profile.stiffness_per_width * belt.width;
}

/// Mass per length of the whole belt; unset where the profile does not know it.
inline LinearDensity mass_per_length(const Belt& belt) {
  return belt.profile.mass_per_width * belt.width;
}

}  // namespace pitchline::parts
