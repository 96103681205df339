#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

#include "pitchline/motor/winding.hpp"
#include "pitchline/units.hpp"

namespace pitchline::motor {

/// What a driver gives one motor.
struct Feed {
  Voltage voltage = unset<Voltage>();    ///< of the supply
  Current amplitude = unset<Current>();  ///< peak of the sinusoidal phase current
};

/// The winding of `motor` on `feed`; see `driven_winding(motor, amplitude, voltage)`.
inline DrivenWinding driven_winding(const parts::StepperMotor& motor, const Feed& feed) {
  return driven_winding(motor, feed.amplitude, feed.voltage);
}

/// `feed` with the current that a dependable curve counts on: at most √2 times the rated current.
///
/// Above it the iron saturates and torque grows less than the current; how much less no sheet says,
/// so more is not counted on. Common practice, no source.
inline Feed counted(const parts::StepperMotor& motor, const Feed& feed) {
  return {feed.voltage, std::min(feed.amplitude, std::numbers::sqrt2 * motor.rated_current)};
}

/// How far apart two feeds are: |ln V/V'| + |ln I/I'|, 0 for the same feed.
inline double distance(const Feed& a, const Feed& b) {
  return std::abs(std::log(number(a.voltage / b.voltage))) +
         std::abs(std::log(number(a.amplitude / b.amplitude)));
}

}  // namespace pitchline::motor
