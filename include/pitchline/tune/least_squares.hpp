#pragma once

#include <cmath>
#include <cstddef>
#include <limits>
#include <vector>

#include "pitchline/tune/student_t.hpp"

namespace pitchline::tune {

/// Readings and what they are thought to be a sum of, as plain numbers: a model of readings of one
/// kind, whatever the kind. The typed functions beside this header fill it in.
struct LinearModel {
  std::vector<std::vector<double>> columns{};  ///< each as long as `readings`
  std::vector<double> readings{};
};

/// The coefficients that leave the least squares.
struct LinearFit {
  std::vector<double> coefficients{};         ///< one for each column
  std::vector<std::vector<double>> effect{};  ///< of each reading on each coefficient
  std::vector<double> residuals{};            ///< reading less model
  double residual_sum_of_squares = 0.0;
  int degrees_of_freedom = 0;  ///< readings less coefficients

  /// Scatter of one reading about the model; NaN without degrees of freedom.
  [[nodiscard]] double scatter() const {
    return degrees_of_freedom > 0 ? std::sqrt(residual_sum_of_squares / degrees_of_freedom)
                                  : std::numeric_limits<double>::quiet_NaN();
  }
  /// Standard error of a coefficient; NaN without degrees of freedom.
  [[nodiscard]] double standard_error(std::size_t coefficient) const {
    double squares = 0.0;
    for (const double e : effect.at(coefficient)) squares += e * e;
    return scatter() * std::sqrt(squares);
  }
};

/// Fits a linear model to readings by least squares.
///
///     minimise |y - X b|^2,  X = Q R;  b = R^-1 Q^T y
///
///     X  columns       n rows, p columns, p >= 1, n >= p
///     y  readings      n, finite
///     b  coefficients  p
///     effect = R^-1 Q^T, so (X^T X)^-1 = effect effect^T
///
/// By Householder reflections of columns scaled to unit length, in extended precision where the
/// processor has it: the normal equations would lose half of the digits.
///
/// \throws InvalidInput     no column, a column of another length, fewer readings than columns, a
///                          number that is not finite
/// \throws OutsideValidity  the columns do not tell the coefficients apart
///
/// Source: least squares by orthogonal reduction; checked against the certified results of
/// reference/published/nist_linear_certified.csv.
LinearFit least_squares(const LinearModel& model);

/// A sum of coefficients with the width of what the readings can tell of it.
struct PlainEstimate {
  double value = 0.0;
  double half_width = 0.0;
};

/// Scatter, as a part of the gauge's resolution, from which on the marks of the gauge add a random
/// error like any other. At 0.6 the readings themselves scatter by half a mark, and what rounding
/// still has in common with the true length is below one part in a hundred: exp(-2 pi^2 0.5^2).
inline constexpr double scatter_that_blurs_marks = 0.6;

/// Estimate of a weighted sum of coefficients, with its interval.
///
///     value = sum c_j b_j,  w_i = sum c_j effect_ji
///     half width = k max(s, r/sqrt(12)) sqrt(sum w_i^2), and where s < 0.6 r at least
///                  r/2 sum |w_i|, which is all there is without degrees of freedom
///
///     c  weights                 one for each coefficient
///     s  scatter of the fit      unit of the readings
///     r  resolution of the gauge, >= 0, unit of the readings: a reading is rounded to a mark
///     k  student_factor(confidence, degrees of freedom)
///
/// Where the readings scatter over the marks, rounding is a further random error of r/sqrt(12) and
/// stands in s already. Where they do not, all of them may be rounded the same way, no number of
/// repetitions averages that out, and only the bound is certain: an error of at most half a mark in
/// each reading, in the worst order. So the interval holds the true value as often as `confidence`
/// says where readings scatter, and more often where they do not. Without degrees of freedom the
/// marks are all that is known.
///
/// \throws InvalidInput  weights of another number than the coefficients; resolution below zero, or
///                       never set
///
/// Source: Student's interval; the bound derived.
PlainEstimate estimate(const LinearFit& fit, const std::vector<double>& weights, double resolution,
                       Confidence confidence);

}  // namespace pitchline::tune
