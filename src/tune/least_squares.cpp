#include "pitchline/tune/least_squares.hpp"

#include <fmt/format.h>

#include <Eigen/QR>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

namespace pitchline::tune {

LinearFit least_squares(const LinearModel& model) {
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

PlainEstimate estimate(const LinearFit& fit, const std::vector<double>& weights, double resolution,
                       Confidence confidence) {
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
