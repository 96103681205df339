#pragma once

#include <fmt/format.h>

#include "pitchline/units.hpp"

namespace pitchline::screw {

/// The diameters of a screw with a square thread.
struct SquareDiameters {
  Length mean{};   ///< where friction acts
  Length minor{};  ///< of the core
};

/// What a square thread is called by.
struct SquareThreadSize {
  Length outer_diameter = unset<Length>();
  Length pitch = unset<Length>();
};

/// Diameters of a square thread, half a pitch deep and half a pitch thick.
///
///     d_m = d − p/2      d_r = d − p
///
///     d  outer_diameter  m  > p
///     p  pitch           m  > 0, lead over starts
///
/// No standard fixes this thread; where the core is stated, that goes before.
///
/// \throws InvalidInput     a length not above zero, or never set
/// \throws OutsideValidity  no core left under the thread
///
/// Source: [Shigley] fig. 8-3, example 8-1; checked against the rows of
/// reference/published/square_threads.csv.
inline SquareDiameters square_diameters(const SquareThreadSize& size) {
  require_positive("outer diameter", size.outer_diameter);
  require_positive("pitch", size.pitch);
  const Length minor = size.outer_diameter - size.pitch;
  if (!(minor > metres(0)))
    throw OutsideValidity(
        fmt::format("an outer diameter of {:.6g} mm leaves no core under a square thread of {:.6g} "
                    "mm pitch",
                    in_millimetres(size.outer_diameter), in_millimetres(size.pitch)));
  return {.mean = size.outer_diameter - size.pitch / 2.0, .minor = minor};
}

}  // namespace pitchline::screw
