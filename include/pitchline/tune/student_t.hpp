#pragma once

#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

#include "pitchline/tune/estimate.hpp"

namespace pitchline::tune {

namespace detail {
inline void require_degrees_of_freedom(int degrees_of_freedom) {
  require_at_least("degrees of freedom", degrees_of_freedom, 1);
}
}  // namespace detail

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
inline double student_factor(Confidence confidence, int degrees_of_freedom) {
  detail::require_degrees_of_freedom(degrees_of_freedom);
  return boost::math::quantile(boost::math::students_t(degrees_of_freedom),
                               0.5 + confidence.value() / 2.0);
}

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
inline double student_significance(double t, int degrees_of_freedom) {
  detail::require_degrees_of_freedom(degrees_of_freedom);
  if (!(t == t)) throw InvalidInput("t", "a number", t, "");
  if (std::isinf(t)) return 0.0;
  return 2.0 * boost::math::cdf(boost::math::complement(boost::math::students_t(degrees_of_freedom),
                                                        std::abs(t)));
}

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
inline double fisher_significance(double f, int numerator, int denominator) {
  detail::require_degrees_of_freedom(numerator);
  detail::require_degrees_of_freedom(denominator);
  require_not_negative_or_infinite("ratio of mean squares", f);
  if (std::isinf(f)) return 0.0;
  return boost::math::cdf(
      boost::math::complement(boost::math::fisher_f(numerator, denominator), f));
}

}  // namespace pitchline::tune
