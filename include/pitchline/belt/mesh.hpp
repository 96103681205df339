#pragma once

#include <cmath>

#include "pitchline/units.hpp"

namespace pitchline::belt {

/// Least wrap of a loaded pulley. Source: [GT3 manual] p. 175 (rule of the maker).
inline constexpr Angle least_wrap = degrees(60);

/// Teeth of the belt that lie in the pulley, part of a tooth included.
///
///     n = z φ / 2π
///
///     z  pulley_teeth  –    ≥ 1
///     φ  wrap          rad  in (0, 2π]
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: [SDP handbook] eq. 22-10 with the exact wrap; the printed approximations that put 60 for
/// 180/π are not used.
inline double exact_teeth_in_mesh(int pulley_teeth, Angle wrap) {
  require_at_least("pulley teeth", pulley_teeth, 1);
  if (!(wrap > radians(0) && wrap <= revolution * (1 + 1e-12)))
    throw InvalidInput("wrap", "> 0 and <= 360", in_degrees(wrap), "deg");
  return pulley_teeth * number(wrap / revolution);
}

/// Whole teeth in mesh: rounded down, [GT3 manual] and [SDP handbook] alike. A billionth of a tooth
/// is given back first, so that half a turn of 20 teeth is 10 whatever the last digit of the wrap.
///
/// \throws InvalidInput  as `exact_teeth_in_mesh`
inline int teeth_in_mesh(int pulley_teeth, Angle wrap) {
  return static_cast<int>(std::floor(exact_teeth_in_mesh(pulley_teeth, wrap) + 1e-9));
}

/// What is left of a belt's rating where few teeth are in mesh.
struct MeshCorrection {
  double factor = 1.0;    ///< of the rated torque; 0 where no source gives one
  bool redesign = false;  ///< two teeth or fewer: one maker prints 0.2, another asks for a redesign
};

/// Correction for few teeth in mesh: 1 from six teeth on, then 0.2 less for each that is missing.
///
/// \throws InvalidInput  a count below zero
///
/// Source: [GT3 manual] p. 175: 1.0, 0.8, 0.6, 0.4 and 0.2 for 6, 5, 4, 3 and 2 teeth (rule of the
/// maker). [SDP handbook] p. T-66 agrees down to 3 and says "redesign" for 2 and 1.
inline MeshCorrection mesh_correction(int teeth_in_mesh) {
  require_at_least("teeth in mesh", teeth_in_mesh, 0);
  if (teeth_in_mesh >= 6) return {};
  if (teeth_in_mesh < 2) return {.factor = 0.0, .redesign = true};
  return {.factor = (teeth_in_mesh - 1) / 5.0, .redesign = teeth_in_mesh == 2};
}

/// A loaded pulley and the belt on it.
struct Mesh {
  double exact_teeth = 0;
  int teeth = 0;
  MeshCorrection correction{};
  bool enough_wrap = false;  ///< at least `least_wrap`
};

/// \throws InvalidInput  as `exact_teeth_in_mesh`
inline Mesh mesh(int pulley_teeth, Angle wrap) {
  const int whole = teeth_in_mesh(pulley_teeth, wrap);
  return {.exact_teeth = exact_teeth_in_mesh(pulley_teeth, wrap),
          .teeth = whole,
          .correction = mesh_correction(whole),
          .enough_wrap = wrap >= least_wrap * (1 - 1e-12)};
}

}  // namespace pitchline::belt
