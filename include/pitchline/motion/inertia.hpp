#pragma once

#include "pitchline/units.hpp"

namespace pitchline::motion {

/// Inertia that a mass in straight motion puts on the shaft that drives it.
///
///     J = m t²
///
///     m  mass          kg     ≥ 0
///     t  transmission  m/rad  > 0, travel per angle of that shaft: pitch radius, lead/2π
///     J  result        kg·m²
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: [Dubey] 2.1, m (v/ω)²; checked against [Yaskawa E-V-MD] p. 30 and [FANUC alpha].
inline Inertia carried_inertia(Mass mass, Transmission transmission) {
  if (!(mass >= kilograms(0))) throw InvalidInput("mass", ">= 0", in_kilograms(mass), "kg");
  if (!(transmission > metres_per_radian(0)))
    throw InvalidInput("transmission", "> 0", in_metres_per_radian(transmission), "m/rad");
  return mass * transmission * transmission;
}

}  // namespace pitchline::motion
