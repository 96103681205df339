#pragma once

#include "pitchline/belt/pulley.hpp"

namespace pitchline::belt {

/// The thickness of a belt, by its parts.
struct BeltSection {
  Length thickness = unset<Length>();                ///< teeth included
  Length tooth_height = unset<Length>();             ///< h_t
  Length pitch_line_differential = unset<Length>();  ///< u, pitch line to tooth root
};

namespace detail {

inline void require_valid(const BeltSection& belt, Length outer_diameter) {
  require_positive("outer diameter", outer_diameter);
  require_positive("tooth height", belt.tooth_height);
  require_positive("pitch-line differential", belt.pitch_line_differential);
}

}  // namespace detail

/// The section of a profile; what the profile does not know stays unset.
inline BeltSection section(const parts::BeltProfile& profile) {
  return {.thickness = profile.thickness.value,
          .tooth_height = profile.tooth_height.value,
          .pitch_line_differential = profile.pitch_line_differential.value};
}

/// Radius of the pitch line on a toothed pulley: half its pitch diameter.
///
/// \throws InvalidInput  as `pitch_diameter`
inline Length toothed_pitch_line_radius(const parts::BeltProfile& profile, int tooth_count) {
  return pitch_diameter(profile, tooth_count) / 2.0;
}

/// Radius of the pitch line round a smooth idler on the back of the belt.
///
///     r = D/2 + (thickness − h_t − u)
///
///     D          outer_diameter           m  > 0
///     thickness  thickness                m  > h_t + u
///     h_t        tooth_height             m  > 0
///     u          pitch_line_differential  m  > 0
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: the pitch line lies h_t + u from the tips of the teeth, the rest is back.
inline Length back_idler_pitch_line_radius(const BeltSection& belt, Length outer_diameter) {
  detail::require_valid(belt, outer_diameter);
  const Length to_pitch_line = belt.tooth_height + belt.pitch_line_differential;
  if (!(belt.thickness > to_pitch_line))
    throw InvalidInput("belt thickness", "> tooth height + pitch-line differential",
                       in_millimetres(belt.thickness), "mm");
  return outer_diameter / 2.0 + (belt.thickness - to_pitch_line);
}

/// Radius of the pitch line round a smooth idler on which the teeth run.
///
///     r = D/2 + h_t + u        symbols as `back_idler_pitch_line_radius`
///
/// Leaves out that the belt bends unevenly over the tips of its teeth.
///
/// \throws InvalidInput  a number outside the table, or never set
inline Length inside_idler_pitch_line_radius(const BeltSection& belt, Length outer_diameter) {
  detail::require_valid(belt, outer_diameter);
  return outer_diameter / 2.0 + belt.tooth_height + belt.pitch_line_differential;
}

}  // namespace pitchline::belt
