#pragma once

#include <numbers>

#include "pitchline/parts/belt.hpp"
#include "pitchline/parts/solid_cylinder.hpp"

namespace pitchline::belt {

/// Pitch diameter of a toothed pulley: the belt's pitch line runs on it.
///
///     d = p z / π
///
///     p  pitch  m/tooth  > 0
///     z  teeth  –        ≥ 1
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: [SDP handbook] eq. 8-1. The T-series tables of that book print diameters a little larger
/// than this; the book says so itself.
inline Length pitch_diameter(const parts::BeltProfile& profile, int tooth_count) {
  const BeltPitch p = parts::pitch(profile);
  if (!(p > metres_per_tooth(0)))
    throw InvalidInput("pitch", "> 0", in_millimetres_per_tooth(p), "mm/tooth");
  if (tooth_count < 1) throw InvalidInput("teeth", ">= 1", tooth_count, "");
  return p * teeth(tooth_count) / std::numbers::pi;
}

/// Travel of the belt per angle of the pulley.
///
/// \throws InvalidInput  as `pitch_diameter`
inline Transmission pulley_transmission(const parts::BeltProfile& profile, int tooth_count) {
  return pitch_diameter(profile, tooth_count) / (2.0 * radian);
}

/// Inertia assumed for a pulley whose own figure is not given: a solid aluminium cylinder of the
/// pitch diameter, twice as long as the belt is wide (teeth, flanges and hub).
///
/// Common practice, no source; density 2700 kg/m³. A real pulley is hollow and hardly heavier.
///
/// \throws InvalidInput  as `pitch_diameter`; width not above zero
inline Inertia assumed_pulley_inertia(const parts::BeltProfile& profile, Length width,
                                      int tooth_count) {
  if (!(width > metres(0))) throw InvalidInput("belt width", "> 0", in_metres(width), "m");
  return parts::inertia({.diameter = pitch_diameter(profile, tooth_count),
                         .length = 2.0 * width,
                         .density = kilograms_per_cubic_metre(2700)});
}

}  // namespace pitchline::belt
