#pragma once

#include <numbers>

#include "pitchline/units.hpp"

namespace pitchline::parts {

/// A solid round bar about its own axis: a screw, a shaft, a plain pulley.
struct SolidCylinder {
  Length diameter = unset<Length>();
  Length length = unset<Length>();
  Density density = unset<Density>();
};

/// Inertia of a solid cylinder about its axis.
///
///     J = π ρ l d⁴ / 32
///
///     ρ  density   kg/m³  > 0
///     l  length    m      > 0
///     d  diameter  m      > 0
///     J  result    kg·m²
///
/// Leaves out bores, flanges and teeth.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: rigid-body mechanics; checked against [Yaskawa E-V-MD] p. 30 and [FANUC alpha].
inline Inertia inertia(const SolidCylinder& cylinder) {
  require_positive("diameter", cylinder.diameter, shown::metres);
  require_positive("length", cylinder.length, shown::metres);
  require_positive("density", cylinder.density);
  const Area square = cylinder.diameter * cylinder.diameter;
  const auto second_moment = std::numbers::pi / 32.0 * square * square;
  return cylinder.density * cylinder.length * second_moment / (radian * radian);
}

}  // namespace pitchline::parts
