#pragma once

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <utility>
#include <vector>

#include "pitchline/tune/estimate.hpp"
#include "pitchline/tune/least_squares.hpp"
#include "pitchline/tune/readings.hpp"

namespace pitchline::tune {

/// How far the axis bends away from a straight line of travel over command.
struct TravelBow {
  Estimate<Length> middle{};  ///< of the travel, off the line through both ends; ahead is positive
  double significance = 1.0;  ///< how often chance alone gives as much
  bool significant = false;
};

/// Whether the readings leave the straight line further than they scatter at one place.
struct TravelWaviness {
  double ratio = 0.0;         ///< of the mean squares
  double significance = 1.0;  ///< how often chance alone gives as much
  bool significant = false;
};

/// What the readings say.
struct TravelFit {
  Estimate<double> ratio{};                       ///< travelled over commanded
  std::optional<Estimate<Length>> lost_motion{};  ///< where there are readings from both sides
  std::optional<TravelBow> bow{};                 ///< where there are readings enough
  std::optional<TravelWaviness> waviness{};       ///< where places were measured repeatedly
  std::optional<Length> scatter{};                ///< of one reading; nothing without repetition
  std::vector<Length> residuals{};  ///< reading less fit, in the order of the readings
  int degrees_of_freedom = 0;
  /// The measurement can tell the ratio from one. Where not, the value is to be left as it is.
  bool worth_correcting = false;
};

namespace detail {

inline void require_valid(const TravelReadings& r) {
  if (r.readings.empty()) throw InvalidInput("readings", ">= 1", 0, "");
  require_not_negative("resolution", r.resolution);
  for (const TravelReading& each : r.readings) {
    require_finite("commanded", each.commanded);
    require_finite("measured", each.measured);
    if (r.zero == GaugeZero::exact && each.commanded == metres(0))
      throw InvalidInput("commanded", "another than 0 where the gauge has an exact zero", 0, "mm");
  }
}

inline std::set<double> places(const TravelReadings& r) {
  std::set<double> places;
  for (const TravelReading& each : r.readings) places.insert(in_metres(each.commanded));
  if (r.zero == GaugeZero::exact) places.insert(0.0);
  return places;
}

inline bool from_both_sides(const TravelReadings& r) {
  const auto backward = [](const TravelReading& x) { return x.approach == Approach::backward; };
  return std::any_of(r.readings.begin(), r.readings.end(), backward) &&
         !std::all_of(r.readings.begin(), r.readings.end(), backward);
}

// Columns: commanded, then the side, then the zero, in metres and ones. Readings in metres.
inline LinearModel travel_model(const TravelReadings& r) {
  LinearModel model;
  model.columns.resize(1);
  for (const TravelReading& each : r.readings) {
    model.columns[0].push_back(in_metres(each.commanded));
    model.readings.push_back(in_metres(each.measured));
  }
  if (from_both_sides(r)) {
    model.columns.emplace_back();
    for (const TravelReading& each : r.readings)
      model.columns.back().push_back(each.approach == Approach::backward ? 1.0 : 0.0);
  }
  if (r.zero == GaugeZero::fitted) model.columns.emplace_back(r.readings.size(), 1.0);
  return model;
}

inline Estimate<Length> as_length(const PlainEstimate& e, double factor = 1.0) {
  const double half = std::abs(factor) * e.half_width;
  return {metres(factor * e.value), metres(factor * e.value - half),
          metres(factor * e.value + half)};
}

inline std::optional<TravelBow> travel_bow(const TravelReadings& r, LinearModel model,
                                           Confidence confidence) {
  const std::set<double> at = places(r);
  if (at.size() < 3 || model.readings.size() < model.columns.size() + 2) return std::nullopt;
  model.columns.emplace_back();
  for (const double x : model.columns[0]) model.columns.back().push_back(x * x);
  LinearFit fit;
  try {
    fit = least_squares(model);
  } catch (const OutsideValidity&) {
    return std::nullopt;  // places enough for a line, but not for a bow beside the lost motion
  }
  std::vector<double> weights(model.columns.size(), 0.0);
  weights.back() = 1.0;
  const double resolution = in_metres(r.resolution);
  const PlainEstimate square = estimate(fit, weights, resolution, confidence);
  const double half_span = (*at.rbegin() - *at.begin()) / 2.0;
  TravelBow bow;
  // A parabola q x^2 lies q (L/2)^2 under its chord at the middle.
  bow.middle = as_length(square, -half_span * half_span);
  double squares = 0.0;
  for (const double e : fit.effect.back()) squares += e * e;
  const double scatter = std::max(fit.scatter(), resolution / std::sqrt(12.0));
  const double t = square.value / (scatter * std::sqrt(squares));
  bow.significance = t == t ? student_significance(t, fit.degrees_of_freedom) : 1.0;
  bow.significant = bow.significance < significant_below && !may_be(bow.middle, metres(0));
  return bow;
}

inline std::optional<TravelWaviness> travel_waviness(const TravelReadings& r,
                                                     const LinearFit& fit) {
  std::map<std::pair<double, Approach>, std::vector<double>> groups;
  for (std::size_t i = 0; i < r.readings.size(); ++i)
    groups[{in_metres(r.readings[i].commanded), r.readings[i].approach}].push_back(
        fit.residuals[i]);
  double within = 0.0;
  for (const auto& [place, residuals] : groups) {
    double mean = 0.0;
    for (const double x : residuals) mean += x / static_cast<double>(residuals.size());
    for (const double x : residuals) within += (x - mean) * (x - mean);
  }
  const int repeated = static_cast<int>(r.readings.size() - groups.size());
  const int beyond = static_cast<int>(groups.size()) - static_cast<int>(fit.coefficients.size());
  if (repeated < 1 || beyond < 1) return std::nullopt;
  const double marks = in_metres(r.resolution) * in_metres(r.resolution) / 12.0;
  const double scatter = std::max(within / repeated, marks);
  const double between = std::max(0.0, fit.residual_sum_of_squares - within) / beyond;
  TravelWaviness waviness;
  waviness.ratio = scatter > 0.0 ? between / scatter : (between > 0.0 ? 1e300 : 0.0);
  waviness.significance = fisher_significance(
      {.ratio = waviness.ratio, .numerator_freedom = beyond, .denominator_freedom = repeated});
  waviness.significant = waviness.significance < significant_below;
  return waviness;
}

}  // namespace detail

/// Fits a straight line to travel over command.
///
///     measured = ratio commanded + lost motion [where it ran in backward] + zero
///
///     commanded    m  finite; where the zero is exact not 0
///     measured     m  finite
///     resolution   m  >= 0
///     ratio        -  travelled over commanded
///     lost motion  m  a reading from behind less one from ahead at the same place: above 0 is play
///                     or give, below it the sides were mixed up
///
/// Counted pulses are exact, so all error stands in what was measured. The interval is that of
/// `estimate`: by Student's factor where readings scatter over the marks of the gauge, and no less
/// than half a mark in each reading can do where they do not. The bow is the coefficient of a
/// square added to the line; waviness compares how far the places lie off the line with how far
/// readings scatter at one place. Leaves out that a tape itself may be wrong, or warmer than when
/// it was printed.
///
/// \throws InvalidInput     a number outside the table, or never set; fewer readings than
///                          coefficients
/// \throws OutsideValidity  all commanded distances are equal where the zero is to be fitted
///
/// Source: least squares; the lack-of-fit test of repeated readings is the ordinary one.
inline TravelFit travel_fit(const TravelReadings& r, Confidence confidence) {
  detail::require_valid(r);
  const LinearModel model = detail::travel_model(r);
  if (r.zero == GaugeZero::fitted && detail::places(r).size() < 2)
    throw OutsideValidity(
        "one commanded distance does not tell the zero of the gauge from the travel");
  const LinearFit fit = least_squares(model);
  const double resolution = in_metres(r.resolution);
  std::vector<double> weights(model.columns.size(), 0.0);
  weights[0] = 1.0;
  const PlainEstimate ratio = estimate(fit, weights, resolution, confidence);
  TravelFit result;
  result.ratio = {ratio.value, ratio.value - ratio.half_width, ratio.value + ratio.half_width};
  result.worth_correcting = !may_be(result.ratio, 1.0);
  if (detail::from_both_sides(r)) {
    weights.assign(weights.size(), 0.0);
    weights[1] = 1.0;
    result.lost_motion = detail::as_length(estimate(fit, weights, resolution, confidence));
  }
  result.degrees_of_freedom = fit.degrees_of_freedom;
  if (fit.degrees_of_freedom > 0) result.scatter = metres(fit.scatter());
  for (const double x : fit.residuals) result.residuals.push_back(metres(x));
  result.bow = detail::travel_bow(r, model, confidence);
  result.waviness = detail::travel_waviness(r, fit);
  return result;
}

/// Steps per mm with which the axis travels what it is told.
///
///     corrected = now / ratio
///
///     now    pulses/m  > 0
///     ratio  -         > 0, its least value too
///
/// \throws InvalidInput     now not above zero
/// \throws OutsideValidity  the ratio may be zero or less: the axis ran the other way, or the
///                          readings say nothing
///
/// Source: counting.
inline Estimate<PulsesPerLength> corrected_steps_per_length(const PulsesPerLength& now,
                                                            const Estimate<double>& ratio) {
  require_positive("steps per mm", now);
  if (!(ratio.least > 0.0))
    throw OutsideValidity(
        fmt::format("travelled over commanded is {:.4g}, at least {:.4g}: the axis ran the other "
                    "way, or the readings are too few",
                    ratio.value, ratio.least));
  return {now / ratio.value, now / ratio.most, now / ratio.least};
}

}  // namespace pitchline::tune
