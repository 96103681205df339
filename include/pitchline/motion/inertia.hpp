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
  require_not_negative("mass", mass);
  require_positive("transmission", transmission);
  return mass * transmission * transmission;
}

}  // namespace pitchline::motion
