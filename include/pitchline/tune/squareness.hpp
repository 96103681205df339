#pragma once

#include <cmath>
#include <utility>
#include <vector>

#include "pitchline/tune/estimate.hpp"
#include "pitchline/tune/least_squares.hpp"
#include "pitchline/tune/readings.hpp"

namespace pitchline::tune {

/// How far the two axes are from standing square.
struct Squareness {
  /// By which the right end of the beam leads: the angle between beam and rails is 90 degrees less
  /// this one.
  Estimate<Angle> skew{};
  Estimate<Length> difference{};  ///< of the diagonals, left to right less right to left
  Length length_off{};  ///< mean of the diagonals less that of the rectangle: wrong steps per mm
  bool length_is_off = false;  ///< further than the gauge may err
  bool told = false;           ///< the measurement can tell the skew from none
};

/// Works out the skew of a gantry from the diagonals of a rectangle.
///
///     sin g = (d1^2 - d2^2)/(4 a b)      both laws of cosines, one less the other
///     d1^2 + d2^2 = 2 (a^2 + b^2)        their sum, which tells whether the sides are as stated
///
///     a   along_beam      m  > 0
///     b   along_rails     m  > 0
///     d1  left_to_right   m  > 0, one reading or more; mean
///     d2  right_to_left   m  > 0, one reading or more; mean
///     r   resolution      m  >= 0
///     g   skew            rad
///
/// Exact for a parallelogram, however skew. The interval of d1 - d2 is that of `estimate`, and that
/// of the angle follows from its ends; the sum of the diagonals and the sides err by as little as
/// the difference, and count for nothing beside it. Leaves out that a pen has width: measure from
/// the same side of each line.
///
/// \throws InvalidInput     a number outside the table, or never set; a diagonal without reading
/// \throws OutsideValidity  no parallelogram has these sides and diagonals
///
/// Source: law of cosines.
inline Squareness squareness(const DrawnRectangle& rectangle, const DiagonalReadings& r,
                             Confidence confidence) {
  const Length a = rectangle.along_beam;
  const Length b = rectangle.along_rails;
  require_positive("side along the beam", a);
  require_positive("side along the rails", b);
  require_not_negative("resolution", r.resolution);
  LinearModel model;  // readings in m; a column of ones for each diagonal
  model.columns.resize(2);
  for (const auto* diagonal : {&r.left_to_right, &r.right_to_left}) {
    if (diagonal->empty()) throw InvalidInput("readings of a diagonal", ">= 1", 0, "");
    for (const Length& d : *diagonal) {
      require_positive("diagonal", d);
      model.columns[0].push_back(diagonal == &r.left_to_right ? 1.0 : 0.0);
      model.columns[1].push_back(diagonal == &r.right_to_left ? 1.0 : 0.0);
      model.readings.push_back(in_metres(d));
    }
  }
  const LinearFit fit = least_squares(model);
  const double resolution = in_metres(r.resolution);
  const PlainEstimate difference = estimate(fit, {1.0, -1.0}, resolution, confidence);
  const PlainEstimate mean = estimate(fit, {0.5, 0.5}, resolution, confidence);
  const auto skew = [&](double of) {
    const double sine = number(metres(of) * metres(2.0 * mean.value) / (4.0 * a * b));
    if (!(std::abs(sine) < 1.0))
      throw OutsideValidity(
          fmt::format("diagonals that differ by {:.4g} mm are of no rectangle of {:.4g} by "
                      "{:.4g} mm, however skew",
                      1000.0 * of, in_millimetres(a), in_millimetres(b)));
    return radians(std::asin(sine));
  };
  Squareness result;
  const double low = difference.value - difference.half_width;
  const double high = difference.value + difference.half_width;
  result.skew = {skew(difference.value), skew(low), skew(high)};
  result.difference = {metres(difference.value), metres(low), metres(high)};
  const double d1 = fit.coefficients[0];
  const double d2 = fit.coefficients[1];
  const Length as_measured = metres(std::sqrt((d1 * d1 + d2 * d2) / 2.0));
  const Length as_stated = metres(std::hypot(in_metres(a), in_metres(b)));
  result.length_off = as_measured - as_stated;
  result.length_is_off = std::abs(in_metres(result.length_off)) > mean.half_width;
  result.told = !may_be(result.difference, metres(0));
  return result;
}

/// How far the right end of the beam leads the left one along the rails.
///
///     offset = w tan g
///
///     w  between_rails  m    > 0, across the rails
///     g  skew           rad  above -pi/2 and below pi/2
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: geometry.
inline Estimate<Length> lead_of_right_end(const Estimate<Angle>& skew, Length between_rails) {
  require_positive("distance between the rails", between_rails);
  const auto offset = [&](Angle g) {
    if (!(std::abs(in_degrees(g)) < 90.0))
      throw InvalidInput("skew", "above -90 and below 90", in_degrees(g), "deg");
    return Length(std::tan(in_radians(g)) * between_rails);
  };
  return {offset(skew.value), offset(skew.least), offset(skew.most)};
}

}  // namespace pitchline::tune
