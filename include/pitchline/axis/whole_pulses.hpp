#pragma once

#include <cmath>
#include <cstdint>

#include "pitchline/parts/driver.hpp"

namespace pitchline::axis {

/// Pulses per turn of a driver as the whole number that they are.
///
/// \throws InvalidInput  not a whole number from 1 to 1 000 000
inline std::int64_t whole_pulses_per_turn(const parts::Driver& driver) {
  const double pulses_per_turn = in_pulses(driver.pulses_per_turn);
  if (!(pulses_per_turn >= 1 && pulses_per_turn <= 1e6 &&
        pulses_per_turn == std::floor(pulses_per_turn)))
    throw InvalidInput("pulses per turn", "a whole number from 1 to 1000000", pulses_per_turn, "");
  return static_cast<std::int64_t>(pulses_per_turn);
}

}  // namespace pitchline::axis
