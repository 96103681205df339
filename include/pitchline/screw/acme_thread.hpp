#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "pitchline/units.hpp"

namespace pitchline::screw {

/// The diameters of an Acme screw at its largest material, general purpose.
struct AcmeDiameters {
  Length pitch{};  ///< from ridge to ridge, an inch over the threads per inch
  Length mean{};   ///< pitch diameter, where friction acts
  Length minor{};  ///< of the core
};

namespace detail {
// Threads per inch from [Shigley] table 8-3; coarser ones were not read.
inline constexpr std::array acme_threads_per_inch{16.0, 14.0, 12.0, 10.0, 8.0,
                                                  6.0,  5.0,  4.0,  3.0,  2.0};
}  // namespace detail

/// Basic diameters of an Acme screw.
///
///     p = 1 in/N      d_2 = d − p/2
///     d_3 = d − p − 0.020 in  where N ≤ 10,  d − p − 0.010 in  where N > 10
///
///     d    outer_diameter    in  > p + 0.020
///     N    threads_per_inch  –   16, 14, 12, 10, 8, 6, 5, 4, 3 or 2
///     p    pitch;  d_2  mean;  d_3  minor
///
/// Valid for each start of a screw with several: N counts ridges, and lead is starts times p.
/// Leaves out the tolerances: a real screw of class 2G is 0.005 to 0.032 in thinner at d_2, and up
/// to 0.034 in at d_3, in sizes up to 1 1/8 in.
///
/// \throws InvalidInput     a number not above zero, or never set
/// \throws OutsideValidity  no such threads per inch; no core left under the thread
///
/// Source: [ASME B1.5]; confirmed by the limits of reference/published/acme_threads.csv.
inline AcmeDiameters acme_diameters(Length outer_diameter, double threads_per_inch) {
  require_positive("outer diameter", outer_diameter, shown::inches);
  require_positive("threads per inch", threads_per_inch);
  const auto& listed = detail::acme_threads_per_inch;
  const auto* at =
      std::find_if(listed.begin(), listed.end(), [&](double n) { return n == threads_per_inch; });
  if (at == listed.end())
    throw OutsideValidity(fmt::format(
        "no Acme thread with {:.6g} threads per inch is known here: 16, 14, 12, 10, 8, 6, 5, 4, 3 "
        "and 2 are",
        threads_per_inch));
  const Length pitch = inches(1.0) / threads_per_inch;
  const Length clearance = inches(threads_per_inch > 10.0 ? 0.010 : 0.020);
  const Length minor = outer_diameter - pitch - clearance;
  if (!(minor > metres(0)))
    throw OutsideValidity(fmt::format(
        "an outer diameter of {:.6g} in leaves no core under a thread of {:.6g} to the inch",
        in_inches(outer_diameter), threads_per_inch));
  return {.pitch = pitch, .mean = outer_diameter - pitch / 2.0, .minor = minor};
}

}  // namespace pitchline::screw
