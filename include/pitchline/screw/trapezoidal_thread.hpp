#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "pitchline/units.hpp"

namespace pitchline::screw {

/// The diameters of a metric trapezoidal screw at its largest material.
struct TrapezoidalDiameters {
  Length mean{};   ///< d_2, where friction acts
  Length minor{};  ///< d_3, of the core
};

namespace detail {

struct CrestClearance {
  double longest_pitch = 0.0;  // mm
  double clearance = 0.0;      // mm
};
// Source: [ISO 2904]. Up to a pitch of 5 mm confirmed by published limits, see
// reference/published/threads.csv; those of coarser pitches are from memory.
inline constexpr std::array crest_clearances{CrestClearance{1.5, 0.15}, CrestClearance{5.0, 0.25},
                                             CrestClearance{12.0, 0.5}, CrestClearance{44.0, 1.0}};
// The pitches that [ISO 2904] has, in mm; from memory.
inline constexpr std::array trapezoidal_pitches{1.5,  2.0,  3.0,  4.0,  5.0,  6.0,  7.0,  8.0,
                                                9.0,  10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0,
                                                24.0, 28.0, 32.0, 36.0, 40.0, 44.0};

}  // namespace detail

/// What a trapezoidal thread is called by.
struct TrapezoidalThreadSize {
  Length outer_diameter = unset<Length>();
  Length pitch = unset<Length>();
};

/// Basic diameters of a metric trapezoidal screw.
///
///     d_2 = d − P/2        d_3 = d − P − 2 a_c
///
///     d    outer_diameter   mm   > P + 2 a_c
///     P    pitch            mm   one of the standard: 1.5, 2 to 10 by one, then to 44
///     a_c  clearance at the crest: 0.15 mm for P = 1.5, 0.25 for 2 to 5, 0.5 for 6 to 12, else 1
///     d_2  mean; d_3  minor
///
/// Valid for each start of a screw with several, pitch being lead over starts. Leaves out the
/// tolerances: a real screw of class 7e is 0.07 to 0.11 mm thinner at d_2, and up to 0.5 mm at d_3.
///
/// \throws InvalidInput     a length not above zero, or never set
/// \throws OutsideValidity  no standard pitch; no core left under the thread
///
/// Source: [ISO 2904]; confirmed by the limits of reference/published/threads.csv.
inline TrapezoidalDiameters trapezoidal_diameters(const TrapezoidalThreadSize& size) {
  require_positive("outer diameter", size.outer_diameter);
  require_positive("pitch", size.pitch);
  // A size.pitch read from text in inches may lie a rounding beside that in millimetres.
  const auto* standard =
      std::find_if(detail::trapezoidal_pitches.begin(), detail::trapezoidal_pitches.end(),
                   [&](double p) { return std::fabs(in_millimetres(size.pitch) - p) < 1e-9; });
  if (standard == detail::trapezoidal_pitches.end())
    throw OutsideValidity(fmt::format(
        "no metric trapezoidal thread has a pitch of {:.6g} mm: they go from 1.5 and 2 to 44 mm",
        in_millimetres(size.pitch)));
  const auto* row =
      std::find_if(detail::crest_clearances.begin(), detail::crest_clearances.end(),
                   [&](const detail::CrestClearance& c) { return *standard <= c.longest_pitch; });
  const Length minor = size.outer_diameter - size.pitch - 2.0 * millimetres(row->clearance);
  if (!(minor > metres(0)))
    throw OutsideValidity(
        fmt::format("an outer diameter of {:.6g} mm leaves no core under a thread of {:.6g} mm "
                    "pitch",
                    in_millimetres(size.outer_diameter), in_millimetres(size.pitch)));
  return {.mean = size.outer_diameter - size.pitch / 2.0, .minor = minor};
}

}  // namespace pitchline::screw
