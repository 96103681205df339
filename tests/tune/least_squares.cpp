#include "pitchline/tune/least_squares.hpp"

#include <map>
#include <string>

#include "support/catch.hpp"
#include "support/csv.hpp"

namespace pitchline::tune {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using testing::CsvRow;

struct Certified {
  std::string model;
  std::vector<double> value;
  std::vector<double> standard_error;
  double residual_sum_of_squares = 0.0;
};

std::map<std::string, Certified> certified() {
  std::map<std::string, Certified> sets;
  for (const CsvRow& row : testing::published("nist_linear_certified.csv")) {
    Certified& c = sets[row.text("set")];
    c.model = row.text("model");
    if (row.text("parameter") == "residual sum of squares") {
      c.residual_sum_of_squares = row.number("value");
    } else {
      c.value.push_back(row.number("value"));
      c.standard_error.push_back(row.number("standard_error"));
    }
  }
  return sets;
}

LinearModel model_of(const std::string& set, const Certified& c) {
  LinearModel model;
  model.columns.resize(c.value.size());
  for (const CsvRow& row : testing::published("nist_linear_data.csv")) {
    if (row.text("set") != set) continue;
    model.readings.push_back(row.number("y"));
    double power = 1.0;
    for (std::size_t j = 0; j < c.value.size(); ++j) {
      double x = 1.0;
      if (c.model == "polynomial") {
        x = power;
        power *= row.number("x1");
      } else if (c.model == "columns") {
        x = j == 0 ? 1.0 : row.number("x" + std::to_string(j));
      } else {
        x = row.number("x1");
      }
      model.columns[j].push_back(x);
    }
  }
  return model;
}

// Digits in which the coefficients are wanted; the certified ones have 15. Powers of x up to the
// tenth, rounded to double before the fit sees them, leave Filip fewer.
double tolerance(const std::string& set) {
  if (set == "Filip") return 2e-7;
  return 1e-11;
}

TEST_CASE("least_squares meets the certified results of the reference data sets",
          "[tune][published]") {
  const auto sets = certified();
  REQUIRE(sets.size() == 10);
  for (const auto& [set, c] : sets) {
    CAPTURE(set);
    const LinearModel model = model_of(set, c);
    REQUIRE(model.readings.size() >= 3);
    const LinearFit fit = least_squares(model);
    REQUIRE(fit.coefficients.size() == c.value.size());
    CHECK(fit.degrees_of_freedom == static_cast<int>(model.readings.size() - c.value.size()));
    double largest = 0.0;
    for (const double y : model.readings) largest = std::max(largest, std::abs(y));
    for (std::size_t j = 0; j < c.value.size(); ++j) {
      CAPTURE(j);
      CHECK_THAT(fit.coefficients[j], WithinRel(c.value[j], tolerance(set)));
      if (c.standard_error[j] > 0.0)
        CHECK_THAT(fit.standard_error(j), WithinRel(c.standard_error[j], tolerance(set)));
      else
        CHECK_THAT(fit.standard_error(j), WithinAbs(0.0, 1e-12 * largest));
    }
    if (c.residual_sum_of_squares > 0.0)
      CHECK_THAT(fit.residual_sum_of_squares, WithinRel(c.residual_sum_of_squares, tolerance(set)));
    else
      CHECK_THAT(fit.residual_sum_of_squares, WithinAbs(0.0, 1e-20 * largest * largest));
  }
}

TEST_CASE("student_factor meets the closed forms of one and two degrees of freedom",
          "[tune][property]") {
  // One degree is Cauchy's distribution, k = tan(pi c/2); two have k = c sqrt(2/(1 - c^2)).
  for (const double c : {0.5, 0.9, 0.95, 0.99}) {
    CAPTURE(c);
    CHECK_THAT(student_factor(Confidence(c), 1),
               WithinRel(std::tan(std::acos(-1.0) * c / 2), 1e-12));
    CHECK_THAT(student_factor(Confidence(c), 2), WithinRel(c * std::sqrt(2 / (1 - c * c)), 1e-12));
    // Far out it is the normal distribution, and both directions invert each other.
    CHECK_THAT(student_significance(student_factor(Confidence(c), 7), 7), WithinRel(1 - c, 1e-12));
    // F of one degree above is the square of t.
    const double t = student_factor(Confidence(c), 9);
    CHECK_THAT(
        fisher_significance({.ratio = t * t, .numerator_freedom = 1, .denominator_freedom = 9}),
        WithinRel(1 - c, 1e-11));
  }
  CHECK_THAT(student_factor(Confidence(0.95), 1'000'000), WithinAbs(1.959964, 1e-5));
  CHECK(student_significance(std::numeric_limits<double>::infinity(), 3) == 0.0);
  CHECK(fisher_significance({.ratio = std::numeric_limits<double>::infinity(),
                             .numerator_freedom = 2,
                             .denominator_freedom = 3}) == 0.0);
  CHECK_THAT(student_significance(0.0, 3), WithinRel(1.0, 1e-12));
}

// y = 0, 1, 3 over x = 0, 1, 2: by hand b = 3/2, zero = -1/6, residuals 1/6, -1/3, 1/6.
LinearModel three_readings() {
  return {.columns = {{1.0, 1.0, 1.0}, {0.0, 1.0, 2.0}}, .readings = {0.0, 1.0, 3.0}};
}

TEST_CASE("least_squares and its interval meet a case worked by hand", "[tune][property]") {
  const LinearFit fit = least_squares(three_readings());
  CHECK_THAT(fit.coefficients[0], WithinRel(-1.0 / 6.0, 1e-14));
  CHECK_THAT(fit.coefficients[1], WithinRel(1.5, 1e-14));
  CHECK_THAT(fit.residuals[1], WithinRel(-1.0 / 3.0, 1e-14));
  CHECK_THAT(fit.residual_sum_of_squares, WithinRel(1.0 / 6.0, 1e-14));
  CHECK_THAT(fit.standard_error(1), WithinRel(std::sqrt(1.0 / 12.0), 1e-14));
  CHECK_THAT(fit.effect[1][0], WithinRel(-0.5, 1e-14));
  // Student's factor of one degree of freedom at 95 %: tan(0.475 pi).
  const double k = std::tan(0.475 * std::acos(-1.0));
  const auto slope = [&](double resolution) {
    return estimate(fit, {0.0, 1.0}, resolution, Confidence(0.95));
  };
  CHECK_THAT(slope(0.0).value, WithinRel(1.5, 1e-14));
  CHECK_THAT(slope(0.0).half_width, WithinRel(k * std::sqrt(1.0 / 12.0), 1e-12));
  // s = 0.408; with marks of 0.6 the readings scatter over them, 0.408 > 0.36.
  CHECK_THAT(slope(0.6).half_width, WithinRel(k * std::sqrt(1.0 / 12.0), 1e-12));
  // Marks of 10 scatter by 10/sqrt(12), and bound the slope by 5 (1/2 + 1/2) = 5, which is less.
  CHECK_THAT(slope(10.0).half_width, WithinRel(k * 10.0 / std::sqrt(12.0) / std::sqrt(2.0), 1e-12));
}

TEST_CASE("an interval is no narrower than the marks of the gauge allow", "[tune][property]") {
  // Twelve readings on the line. Half a mark in each, in the worst order: r/2 sum |x - mean|/Sxx
  // with x = 0 to 11: sum 36, Sxx 143.
  LinearModel model{.columns = {std::vector<double>(12, 1.0), {}}};
  for (int i = 0; i < 12; ++i) {
    model.columns[1].push_back(i);
    model.readings.push_back(3.0 * i);
  }
  const auto slope = estimate(least_squares(model), {0.0, 1.0}, 0.2, Confidence(0.95));
  CHECK_THAT(slope.half_width, WithinRel(0.1 * 36.0 / 143.0, 1e-12));
  // Without degrees of freedom the marks are all there is.
  const LinearFit one = least_squares({.columns = {{4.0}}, .readings = {2.0}});
  CHECK(one.degrees_of_freedom == 0);
  CHECK(std::isnan(one.scatter()));
  const auto e = estimate(one, {1.0}, 0.2, Confidence(0.95));
  CHECK_THAT(e.value, WithinRel(0.5, 1e-14));
  CHECK_THAT(e.half_width, WithinRel(0.1 / 4.0, 1e-14));
}

TEST_CASE("least_squares refuses what its table excludes", "[tune][error]") {
  const auto refused = [](const LinearModel& model) -> std::string {
    try {
      least_squares(model);
    } catch (const std::exception& e) {
      return e.what();
    }
    return "accepted";
  };
  const double nan = std::nan("");
  CHECK_THAT(refused({.columns = {}, .readings = {1.0}}),
             Contains("columns of the model must be >= 1, got 0"));
  CHECK_THAT(refused({.columns = {{1.0}, {1.0}}, .readings = {1.0}}),
             Contains("readings must be >= 2, the coefficients wanted, got 1"));
  CHECK_THAT(refused({.columns = {{1.0, 2.0}}, .readings = {1.0}}),
             Contains("length of a column must be 1, as many as readings, got 2"));
  CHECK_THAT(refused({.columns = {{1.0, nan}}, .readings = {1.0, 2.0}}),
             Contains("column of the model must be finite, got nan"));
  CHECK_THAT(refused({.columns = {{1.0, 2.0}}, .readings = {1.0, nan}}),
             Contains("reading must be finite, got nan"));
  CHECK_THAT(refused({.columns = {{0.0, 0.0}}, .readings = {1.0, 2.0}}),
             Contains("do not tell the coefficients"));
  CHECK_THROWS_AS(
      least_squares({.columns = {{1.0, 1.0, 1.0}, {2.0, 2.0, 2.0}}, .readings = {1.0, 2.0, 3.0}}),
      OutsideValidity);
  const LinearFit fit = least_squares(three_readings());
  CHECK_THROWS_MATCHES(estimate(fit, {1.0}, 0.1, Confidence(0.95)), InvalidInput,
                       Message("weights must be 2, one for each coefficient, got 1"));
  CHECK_THROWS_MATCHES(estimate(fit, {0.0, 1.0}, nan, Confidence(0.95)), InvalidInput,
                       Message("resolution must be >= 0, got nan"));
  CHECK_THROWS_MATCHES(Confidence(1.0), InvalidInput,
                       Message("confidence must be >= 0.5 and <= 0.999, got 1"));
  CHECK_THROWS_MATCHES(student_factor(Confidence(0.95), 0), InvalidInput,
                       Message("degrees of freedom must be >= 1, got 0"));
  CHECK_THROWS_AS(student_significance(nan, 3), InvalidInput);
  CHECK_THROWS_AS(student_significance(1.0, 0), InvalidInput);
  CHECK_THROWS_AS(
      fisher_significance({.ratio = -1.0, .numerator_freedom = 1, .denominator_freedom = 1}),
      InvalidInput);
  CHECK_THROWS_AS(
      fisher_significance({.ratio = 1.0, .numerator_freedom = 0, .denominator_freedom = 1}),
      InvalidInput);
  CHECK_THROWS_AS(
      fisher_significance({.ratio = 1.0, .numerator_freedom = 1, .denominator_freedom = 0}),
      InvalidInput);
}

}  // namespace
}  // namespace pitchline::tune
