#pragma once

#include <cmath>
#include <numbers>

#include "pitchline/units.hpp"

namespace pitchline::parts {

/// What the number on a driver's switch or in its setting means. Makers differ.
enum class CurrentIs { rms, peak };

/// A micro-stepping current driver as it is set.
struct Driver {
  Current current = unset<Current>();        ///< the setting
  CurrentIs current_is = CurrentIs::rms;     ///< what the setting means
  Pulses pulses_per_turn = unset<Pulses>();  ///< whole; full steps per turn times microsteps
  Current at_rest = unset<Current>();        ///< reduced setting at standstill; unset: not reduced
  Voltage highest = unset<Voltage>();        ///< that it stands; unset: not known
};

/// Amplitude of the sinusoidal phase current: √2 times an RMS setting, a peak setting itself.
///
/// \throws InvalidInput  current not above zero
inline Current current_amplitude(const Driver& driver) {
  require_positive("driver current", driver.current);
  return driver.current_is == CurrentIs::peak ? driver.current
                                              : std::numbers::sqrt2 * driver.current;
}

/// RMS of the sinusoidal phase current: what a motor's rated current is compared with.
///
/// \throws InvalidInput  current not above zero
inline Current current_rms(const Driver& driver) {
  const Current amplitude = current_amplitude(driver);
  // An RMS setting as it stands: times and over sqrt2 it may come out above itself, and a motor run
  // at its full rating would then be overloaded.
  return driver.current_is == CurrentIs::rms ? driver.current : amplitude / std::numbers::sqrt2;
}

}  // namespace pitchline::parts
