#pragma once

#include <numbers>

#include "pitchline/units.hpp"

namespace pitchline::screw {

/// How the two ends of a length of screw are held. Supported: it may not move sideways, but tilt,
/// as in one ball bearing. Fixed: it may not tilt either, as in two bearings set apart, or a pair
/// of angular contact bearings. Free: not held at all. A nut on a guided carriage holds no more
/// than a support, unless its maker says otherwise (common practice, no source).
enum class EndFixity { fixed_free, supported_supported, fixed_supported, fixed_fixed };

namespace detail {
inline void require_fixity(EndFixity ends) {
  if (ends < EndFixity::fixed_free || ends > EndFixity::fixed_fixed)
    throw InvalidInput("end fixity", "one of the four", static_cast<int>(ends), "");
}
}  // namespace detail

/// Factor C of the buckling load π² C E I/ℓ², with the length between the ends as it is.
///
/// Exact but for fixed and supported, where makers print 2 and the exact figure is 2.0457, the
/// square of the first root of tan x = x over π.
///
/// \throws InvalidInput  none of the four
///
/// Source: [THK screws] η1, the same as [Roton formulas]; tests solve for the exact figures.
inline double column_factor(EndFixity ends) {
  detail::require_fixity(ends);
  switch (ends) {
    case EndFixity::fixed_free:
      return 0.25;
    case EndFixity::supported_supported:
      return 1.0;
    case EndFixity::fixed_supported:
      return 2.0;
    default:
      return 4.0;
  }
}

/// First root λ of the equation of a swinging beam: its frequency is λ²/(2π ℓ²) √(E I/(ρ A)).
///
///     fixed_free           cos λ cosh λ = −1
///     supported_supported  sin λ = 0
///     fixed_supported      tan λ = tanh λ
///     fixed_fixed          cos λ cosh λ = 1
///
/// \throws InvalidInput  none of the four
///
/// Source: [Thomson vibration] appendix D and [THK screws] λ1 to four digits; further digits are
/// the roots of the equations, which the tests put in.
inline double whirling_root(EndFixity ends) {
  detail::require_fixity(ends);
  switch (ends) {
    case EndFixity::fixed_free:
      return 1.8751040687119611;
    case EndFixity::supported_supported:
      return std::numbers::pi;
    case EndFixity::fixed_supported:
      return 3.9266023120479184;
    default:
      return 4.7300407448627040;
  }
}

}  // namespace pitchline::screw
