#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

#include "pitchline/tune/travel.hpp"

namespace pitchline::tune {

/// Length over which makers state how far the travel of a screw may vary.
inline constexpr Length stated_window = millimetres(300);

/// How far the travel of a screw varies about its mean line.
struct TravelBand {
  Length width{};  ///< largest less smallest deviation
  Length from{};   ///< nominal travel at the first of both
  Length to{};     ///< and at the second
};

/// What measurements say of a screw.
struct ScrewError {
  TravelFit fit{};
  Estimate<Length> mean_lead{};  ///< with which steps per mm are right on the average
  Length mean_deviation{};       ///< of the mean line over the travel measured; too far is positive
  TravelBand over_travel{};
  TravelBand over_window{};  ///< the widest of all windows of `stated_window`
  Length largest_gap{};      ///< between neighbouring places: what varies faster is not seen
};

namespace detail {

inline TravelBand widest_band(const std::vector<std::pair<Length, Length>>& deviations,
                              Length window) {
  TravelBand widest{Length{}, deviations.front().first, deviations.front().first};
  for (std::size_t i = 0; i < deviations.size(); ++i) {
    std::size_t least = i;
    std::size_t most = i;
    for (std::size_t j = i; j < deviations.size(); ++j) {
      // A part in a billion: 400 mm less 100 mm must count as 300 mm.
      if (deviations[j].first - deviations[i].first > (1.0 + 1e-9) * window) break;
      if (deviations[j].second < deviations[least].second) least = j;
      if (deviations[j].second > deviations[most].second) most = j;
      const Length width = deviations[most].second - deviations[least].second;
      if (width > widest.width)
        widest = {width, deviations[std::min(least, most)].first,
                  deviations[std::max(least, most)].first};
    }
  }
  return widest;
}

}  // namespace detail

/// Works out mean lead and travel variation of a screw from travel measured along it.
///
///     deviation_i = measured_i - (ratio commanded_i + zero)     mean line by least squares
///     mean lead = ratio * lead
///     width over a window = largest less smallest deviation in it, all windows of the length tried
///
///     readings  m  all run in from one side, two places or more; zero of the gauge fitted
///     lead      m  > 0, with which steps per mm were worked out
///
/// A width read with a gauge of resolution r holds to one r. Only places that were measured count:
/// the error within one turn shows only where they stand closer than the lead. ISO 3408-3 calls
/// mean deviation, width over the useful travel, over 300 mm and over one turn e_0a, v_ua, v_300a
/// and v_2pi,a (from memory).
///
/// \throws InvalidInput     as `travel_fit`; lead not above zero; readings from both sides
/// \throws OutsideValidity  as `travel_fit`
///
/// Source: least squares; the way of stating it as in ISO 3408-3 (from memory).
inline ScrewError screw_error(const TravelReadings& readings, Length lead, Confidence confidence) {
  require_positive("lead", lead);
  if (detail::from_both_sides(readings))
    throw InvalidInput("sides from which a screw is measured", "one", 2, "");
  ScrewError e;
  e.fit = travel_fit(readings, confidence);
  e.mean_lead = {e.fit.ratio.value * lead, e.fit.ratio.least * lead, e.fit.ratio.most * lead};
  std::vector<std::pair<Length, Length>> deviations;
  for (std::size_t i = 0; i < readings.readings.size(); ++i)
    deviations.emplace_back(readings.readings[i].commanded, e.fit.residuals[i]);
  std::stable_sort(deviations.begin(), deviations.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  const Length travel = deviations.back().first - deviations.front().first;
  e.mean_deviation = (e.fit.ratio.value - 1.0) * travel;
  e.over_travel = detail::widest_band(deviations, travel);
  e.over_window = detail::widest_band(deviations, std::min(travel, stated_window));
  for (std::size_t i = 1; i < deviations.size(); ++i)
    e.largest_gap = std::max(e.largest_gap, Length(deviations[i].first - deviations[i - 1].first));
  return e;
}

/// A grade of screw with the travel variation that it may have over any 300 mm.
struct ScrewGrade {
  int grade;
  Length over_window;
};

/// Travel variation of the grades of ISO 3408-3 over any 300 mm, v_300p. From memory, not read.
inline constexpr std::array<ScrewGrade, 6> screw_grades{{{0, micrometres(3.5)},
                                                         {1, micrometres(6)},
                                                         {3, micrometres(12)},
                                                         {5, micrometres(23)},
                                                         {7, micrometres(52)},
                                                         {10, micrometres(210)}}};

}  // namespace pitchline::tune
