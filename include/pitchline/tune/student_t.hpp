#pragma once

#include <limits>

#include "pitchline/tune/estimate.hpp"

namespace pitchline::tune {

/// A result is called significant where chance alone would give it less often than this. Common
/// practice, no source.
inline constexpr double significant_below = 0.05;

/// By what a standard error is multiplied for half the width of an interval about an estimate.
///
///     P(|t| <= k) = confidence, t of Student's distribution
///
///     confidence          –  [0.5, 0.999]
///     degrees_of_freedom  –  >= 1, readings less fitted coefficients
///     k                   –  result, > 0
///
/// \throws InvalidInput  a number outside the table
///
/// Source: Student's distribution, quantile of Boost.Math.
double student_factor(Confidence confidence, int degrees_of_freedom);

/// How often chance alone gives an estimate as many standard errors from zero, either way.
///
///     p = P(|T| >= |t|)
///
///     t                   –  any; infinite where nothing scatters
///     degrees_of_freedom  –  >= 1
///     p                   –  result, [0, 1]
///
/// \throws InvalidInput  t not a number; degrees of freedom below 1
///
/// Source: Student's distribution, of Boost.Math.
double student_significance(double t, int degrees_of_freedom);

/// A ratio of two mean squares.
struct MeanSquareRatio {
  double ratio = std::numeric_limits<double>::quiet_NaN();  ///< f
  int numerator_freedom = 0;  ///< degrees of freedom of both mean squares
  int denominator_freedom = 0;
};

/// How often chance alone gives a ratio of two mean squares at least as large.
///
///     p = P(F >= f)
///
///     f                         –  >= 0
///     numerator, denominator    –  >= 1, degrees of freedom of both mean squares
///     p                         –  result, [0, 1]
///
/// \throws InvalidInput  a number outside the table
///
/// Source: Fisher's distribution, of Boost.Math.
double fisher_significance(const MeanSquareRatio& squares);

}  // namespace pitchline::tune
