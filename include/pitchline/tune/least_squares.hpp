#pragma once

#include <fmt/format.h>

#include <Eigen/QR>
#include <algorithm>
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
inline LinearFit least_squares(const LinearModel& model) {
  using Real = long double;
  using Matrix = Eigen::Matrix<Real, Eigen::Dynamic, Eigen::Dynamic>;
  const std::size_t n = model.readings.size();
  const std::size_t p = model.columns.size();
  if (!(p >= 1)) throw InvalidInput("columns of the model", ">= 1", static_cast<double>(p), "");
  if (!(n >= p))
    throw InvalidInput("readings", fmt::format(">= {}, the coefficients wanted", p),
                       static_cast<double>(n), "");
  const auto rows = static_cast<Eigen::Index>(n);
  const auto columns = static_cast<Eigen::Index>(p);
  Matrix x(rows, columns);  // n × p, columns of unit length
  Matrix y(rows, 1);        // n × 1, in the unit of the readings
  std::vector<Real> length(p);
  for (std::size_t j = 0; j < p; ++j) {
    if (model.columns[j].size() != n)
      throw InvalidInput("length of a column", fmt::format("{}, as many as readings", n),
                         static_cast<double>(model.columns[j].size()), "");
    for (std::size_t i = 0; i < n; ++i) {
      if (!std::isfinite(model.columns[j][i]))
        throw InvalidInput("column of the model", "finite", model.columns[j][i], "");
      x(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) = model.columns[j][i];
    }
    length[j] = x.col(static_cast<Eigen::Index>(j)).norm();
    if (length[j] > 0) x.col(static_cast<Eigen::Index>(j)) /= length[j];
  }
  for (std::size_t i = 0; i < n; ++i) {
    if (!std::isfinite(model.readings[i]))
      throw InvalidInput("reading", "finite", model.readings[i], "");
    y(static_cast<Eigen::Index>(i), 0) = model.readings[i];
  }
  const Eigen::HouseholderQR<Matrix> qr(x);
  const Matrix r = qr.matrixQR().topRows(columns).template triangularView<Eigen::Upper>();
  // Columns of unit length: what is left of one after the others, below this, is rounding.
  constexpr Real nothing_left = 1e-13L;
  for (Eigen::Index j = 0; j < columns; ++j)
    if (!(std::abs(r(j, j)) > nothing_left))
      throw OutsideValidity("the readings do not tell the coefficients of the model apart");
  const Matrix q = qr.householderQ() * Matrix::Identity(rows, columns);
  const Matrix effect = r.template triangularView<Eigen::Upper>().solve(q.transpose().eval());
  const Matrix b = effect * y;
  const Matrix residuals = y - x * b;

  LinearFit fit;
  fit.degrees_of_freedom = static_cast<int>(n - p);
  for (std::size_t j = 0; j < p; ++j) {
    const auto at = static_cast<Eigen::Index>(j);
    fit.coefficients.push_back(static_cast<double>(b(at, 0) / length[j]));
    std::vector<double> of_readings(n);
    for (std::size_t i = 0; i < n; ++i)
      of_readings[i] = static_cast<double>(effect(at, static_cast<Eigen::Index>(i)) / length[j]);
    fit.effect.push_back(std::move(of_readings));
  }
  for (Eigen::Index i = 0; i < rows; ++i)
    fit.residuals.push_back(static_cast<double>(residuals(i, 0)));
  fit.residual_sum_of_squares = static_cast<double>(residuals.squaredNorm());
  return fit;
}

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
inline PlainEstimate estimate(const LinearFit& fit, const std::vector<double>& weights,
                              double resolution, Confidence confidence) {
  if (weights.size() != fit.coefficients.size())
    throw InvalidInput("weights",
                       fmt::format("{}, one for each coefficient", fit.coefficients.size()),
                       static_cast<double>(weights.size()), "");
  require_not_negative("resolution", resolution);
  PlainEstimate e;
  double squares = 0.0;
  double sizes = 0.0;
  for (std::size_t j = 0; j < weights.size(); ++j) e.value += weights[j] * fit.coefficients[j];
  for (std::size_t i = 0; i < fit.residuals.size(); ++i) {
    double w = 0.0;
    for (std::size_t j = 0; j < weights.size(); ++j) w += weights[j] * fit.effect[j][i];
    squares += w * w;
    sizes += std::abs(w);
  }
  const double by_marks = resolution / 2.0 * sizes;
  if (fit.degrees_of_freedom < 1) {
    e.half_width = by_marks;
    return e;
  }
  // Few readings may fall on the line by rounding alone: a mark is known to scatter by so much.
  const double scatter = std::max(fit.scatter(), resolution / std::sqrt(12.0));
  const double by_scatter =
      student_factor(confidence, fit.degrees_of_freedom) * scatter * std::sqrt(squares);
  const bool blurred = fit.scatter() >= scatter_that_blurs_marks * resolution;
  e.half_width = blurred ? by_scatter : std::max(by_scatter, by_marks);
  return e;
}

}  // namespace pitchline::tune
