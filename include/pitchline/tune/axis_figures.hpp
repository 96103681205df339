#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "pitchline/tune/estimate.hpp"
#include "pitchline/units/require.hpp"

namespace pitchline::tune {

/// Pulls at a carriage, read from a spring scale.
struct Pulls {
  std::vector<Force> readings{};
  Force resolution = unset<Force>();  ///< smallest step that the scale shows
};

/// The pull behind some readings: their mean, and as far either way as the readings lie or half a
/// step of the scale, whichever is more.
///
/// \throws InvalidInput  no reading; a reading below zero or not finite; resolution not above zero
inline Estimate<Force> pull_of(const Pulls& pulls) {
  require_positive("resolution of the scale", pulls.resolution);
  if (pulls.readings.empty()) throw InvalidInput("number of pulls", ">= 1", 0.0, "");
  Force sum{};
  Force least = pulls.readings.front();
  Force most = least;
  for (const Force& each : pulls.readings) {
    require_not_negative("pull", each);
    sum += each;
    least = std::min(least, each);
    most = std::max(most, each);
  }
  const Force half = pulls.resolution / 2.0;
  const Force mean = sum / static_cast<double>(pulls.readings.size());
  return {mean, std::max(Force{}, std::min(least, Force(mean - half))),
          std::max(most, Force(mean + half))};
}

/// One pull less another, no less than nothing, with the interval of both.
inline Estimate<Force> pull_beyond(const Estimate<Force>& more, const Estimate<Force>& less) {
  const auto above = [](const Force& f) { return std::max(Force{}, f); };
  return {above(more.value - less.value), above(more.least - less.most),
          above(more.most - less.least)};
}

/// How far a carriage gives way to a known force while its motor holds.
struct Deflection {
  Force force = unset<Force>();          ///< along the axis, > 0
  Length deflection = unset<Length>();   ///< read, > 0
  Length resolution = unset<Length>();   ///< smallest step of the gauge, > 0
  Stiffness field = unset<Stiffness>();  ///< of the motor's field, at the load, > 0
  Stiffness belt = unset<Stiffness>();   ///< of the belts alone, where the carriage stands, > 0
};

/// Stiffness of a whole axis over that of its belts: what gives way is belt, clamps and brackets,
/// and the rotor in its field, one behind the other.
///
///     x = F (1/k_field + 1/(q k_belt))
///
///     F  force, x  deflection                      N, m
///     k_field, k_belt  field, belt                 N/m
///     q  result                                    –, unlimited where the field alone gives as
///     much
///
/// The interval is that of half a step of the gauge. Friction may hold the carriage anywhere within
/// its own force over the stiffness: it is to be tapped, or pulled both ways.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived, springs one behind the other.
inline Estimate<double> stiffness_share(const Deflection& d) {
  require_positive("force", d.force);
  require_positive("deflection", d.deflection, shown::metres);
  require_positive("resolution", d.resolution, shown::metres);
  require_positive("stiffness of the field", d.field);
  require_positive("stiffness of the belt", d.belt);
  const auto share = [&](Length x) {
    const Length of_axis = x - d.force / d.field;
    return of_axis > Length{} ? number(d.force / of_axis / d.belt)
                              : std::numeric_limits<double>::infinity();
  };
  const Length half = d.resolution / 2.0;
  return {share(d.deflection), share(d.deflection + half), share(d.deflection - half)};
}

/// Damping ratio from peaks of a free swing that follow one another on one side, in any unit.
///
///     δ = ln(x_1/x_n)/(n − 1),   ζ = δ/√(4 π² + δ²)
///
/// The interval is that of any two peaks beside each other: friction takes an equal amount from
/// each, so that ζ seems to rise as the swing dies down, and the least of it, of the first peaks,
/// is what large swings have.
///
/// \throws InvalidInput  fewer than two peaks; one that is not above zero or above the one before
///
/// Source: logarithmic decrement, textbook; derived.
inline Estimate<double> damping_of_peaks(const std::vector<double>& peaks) {
  if (peaks.size() < 2)
    throw InvalidInput("number of peaks", ">= 2", static_cast<double>(peaks.size()), "");
  const auto ratio = [](double decrement) {
    return decrement / std::hypot(2.0 * std::numbers::pi, decrement);
  };
  Estimate<double> e{0.0, std::numeric_limits<double>::infinity(), 0.0};
  for (std::size_t i = 0; i < peaks.size(); ++i) {
    if (!(peaks[i] > 0.0) || !std::isfinite(peaks[i]))
      throw InvalidInput("peak", "> 0", peaks[i], "");
    if (i == 0) continue;
    if (!(peaks[i] <= peaks[i - 1]))
      throw InvalidInput("peak", "no higher than the one before", peaks[i], "");
    const double zeta = ratio(std::log(peaks[i - 1] / peaks[i]));
    e.least = std::min(e.least, zeta);
    e.most = std::max(e.most, zeta);
  }
  e.value = ratio(std::log(peaks.front() / peaks.back()) / static_cast<double>(peaks.size() - 1));
  return e;
}

}  // namespace pitchline::tune
