#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/motion/steps_per_turn.hpp"
#include "pitchline/tune/estimate.hpp"
#include "pitchline/tune/readings.hpp"
#include "pitchline/units/fraction.hpp"

namespace pitchline::tune {

/// Most by which a belt or a screw of the trade is off its pitch, as a part of it. Common practice,
/// no source: three times the tenth of a per cent that cut belts and rolled screws keep.
inline constexpr double largest_tolerance = 0.003;

/// A wrong number that explains the travel.
struct WrongSetting {
  Fraction ratio{1};    ///< travelled over commanded that it gives
  std::string cause{};  ///< "16 teeth on the pulley, not 20 (16/20)"
};

namespace detail {

inline bool explains(const Fraction& ratio, const Estimate<double>& met) {
  const double x = to_double(ratio);
  return ratio != Fraction(1) && met.least <= x * (1.0 + largest_tolerance) &&
         met.most >= x * (1.0 - largest_tolerance);
}

// Pulleys of the trade; no source, and no other count is searched for where none is known.
inline constexpr std::array<int, 16> usual_teeth{10, 12, 14, 15, 16, 18, 20, 24,
                                                 25, 28, 30, 32, 36, 40, 48, 60};

template <class Whole>
void add_teeth(std::vector<WrongSetting>& found, const Estimate<double>& met, Whole there,
               Whole set) {
  const Fraction ratio(there, set);
  if (explains(ratio, met))
    found.push_back(
        {ratio, fmt::format("{} teeth on the pulley, not {} ({}/{})", there, set, there, set)});
}

inline void add_teeth(std::vector<WrongSetting>& found, const Estimate<double>& met,
                      const SetFrom& from) {
  if (from.pulley_teeth) {
    for (int there = 8; there <= 120; ++there) add_teeth(found, met, there, *from.pulley_teeth);
    return;
  }
  // Of the pairs of one ratio the smallest pulleys are named, and those set to 20 and 16 teeth.
  for (const int set : usual_teeth)
    for (const int there : usual_teeth)
      if (set == 16 || set == 20) add_teeth(found, met, there, set);
}

inline void add_pulses(std::vector<WrongSetting>& found, const Estimate<double>& met,
                       const SetFrom& from) {
  if (from.pulses_per_turn) {
    for (const std::int64_t there : motion::customary_pulses_per_turn) {
      const Fraction ratio(*from.pulses_per_turn, there);
      if (explains(ratio, met))
        found.push_back(
            {ratio, fmt::format("{} pulses a turn set at the driver, not {} ({}/{})", there,
                                *from.pulses_per_turn, *from.pulses_per_turn, there)});
    }
    return;
  }
  for (const std::int64_t power : {2, 4, 8, 16, 32}) {
    for (const Fraction& ratio : {Fraction(power), Fraction(1, power)})
      if (explains(ratio, met))
        found.push_back({ratio, fmt::format("microsteps: {} are set at the driver ({}/{})",
                                            ratio > Fraction(1)
                                                ? fmt::format("{} times fewer than reckoned", power)
                                                : fmt::format("{} times more than reckoned", power),
                                            ratio.numerator(), ratio.denominator())});
  }
  // Decimal settings of a driver beside its binary ones.
  constexpr std::array<std::array<std::int64_t, 2>, 4> pairs{
      {{1600, 2000}, {2000, 1600}, {1000, 1600}, {1600, 1000}}};
  for (const auto& [reckoned, there] : pairs) {
    const Fraction ratio(reckoned, there);
    if (explains(ratio, met))
      found.push_back(
          {ratio, fmt::format("pulses a turn: set to another than reckoned with, such "
                              "as {} and not {} ({}/{})",
                              there, reckoned, ratio.numerator(), ratio.denominator())});
  }
}

}  // namespace detail

/// Wrong numbers that explain a ratio of travel which no tolerance explains.
///
///     travelled/commanded = teeth there / teeth set = pulses set / pulses there
///                         = starts there / starts set
///                         = 127/125 where a pitch in inches was taken for the near one in mm
///
///     met  travelled over commanded  -  > 0
///
/// A number explains it where the ratio that it gives lies in the interval of `met`, widened by
/// `largest_tolerance` to both sides. Where teeth, pulses or starts are not known, the usual ones
/// are looked through. Empty also where the ratio is no more than that off one.
///
/// \throws InvalidInput  ratio not above zero; a count below one
///
/// Source: counting; 2.032 mm (0.08 in) and 5.08 mm (0.2 in) are pitches of the trade beside 2 and
/// 5 mm. The list of usual teeth is common practice, no source.
inline std::vector<WrongSetting> wrong_settings(const Estimate<double>& met, const SetFrom& from) {
  require_positive("travelled over commanded", met.value);
  if (from.pulley_teeth && !(*from.pulley_teeth >= 1))
    throw InvalidInput("pulley teeth", ">= 1", *from.pulley_teeth, "");
  if (from.pulses_per_turn && !(*from.pulses_per_turn >= 1))
    throw InvalidInput("pulses per turn", ">= 1", static_cast<double>(*from.pulses_per_turn), "");
  if (from.starts && !(*from.starts >= 1)) throw InvalidInput("starts", ">= 1", *from.starts, "");
  std::vector<WrongSetting> found;
  if (detail::explains(Fraction(1), met) ||
      (met.least <= 1.0 + largest_tolerance && met.most >= 1.0 - largest_tolerance))
    return found;
  const bool screw = from.starts.has_value();
  if (!screw) detail::add_teeth(found, met, from);
  detail::add_pulses(found, met, from);
  if (screw) {
    for (int there = 1; there <= 10; ++there) {
      const Fraction ratio(there, *from.starts);
      if (detail::explains(ratio, met))
        found.push_back({ratio, fmt::format("{} starts on the screw, not {} ({}/{})", there,
                                            *from.starts, there, *from.starts)});
    }
  }
  for (const Fraction& ratio : {Fraction(127, 125), Fraction(125, 127)})
    if (detail::explains(ratio, met))
      found.push_back({ratio, fmt::format("a pitch in {} ({}/{}): 2.032 and 5.08 mm are not 2 and "
                                          "5 mm",
                                          ratio > Fraction(1) ? "inches taken for one in mm"
                                                              : "mm taken for one in inches",
                                          ratio.numerator(), ratio.denominator())});
  std::stable_sort(found.begin(), found.end(), [&](const WrongSetting& a, const WrongSetting& b) {
    return std::abs(to_double(a.ratio) - met.value) < std::abs(to_double(b.ratio) - met.value);
  });
  return found;
}

}  // namespace pitchline::tune
