#pragma once

#include <cmath>
#include <numbers>

#include "pitchline/units.hpp"

namespace pitchline::motion {

/// A load that swings on its drive, as on a belt: one mass, one spring, one viscous damper.
struct ElasticMode {
  Frequency natural_frequency = unset<Frequency>();  ///< f, undamped; of everything that is coupled
  DampingRatio damping_ratio;                        ///< ζ, of this mode
};

namespace detail {
inline void require_valid(const ElasticMode& mode) {
  require_positive("natural frequency", mode.natural_frequency);
}

/// √(1 − ζ²), without cancellation near 1.
inline double damping_root(const ElasticMode& mode) {
  const double zeta = mode.damping_ratio.value();
  return std::sqrt((1.0 - zeta) * (1.0 + zeta));
}

/// a/ω², what a constant acceleration stretches the spring by.
inline Length static_stretch(const ElasticMode& mode, Acceleration acceleration) {
  require_valid(mode);
  const Frequency omega = 2.0 * std::numbers::pi * mode.natural_frequency;
  return acceleration / (omega * omega);
}

inline void require_acceleration(Acceleration x) { require_not_negative("acceleration", x); }
}  // namespace detail

/// Frequency of the free, damped swing: f √(1 − ζ²).
///
/// \throws InvalidInput  natural_frequency not above zero, or never set
inline Frequency damped_frequency(const ElasticMode& mode) {
  detail::require_valid(mode);
  return mode.natural_frequency * detail::damping_root(mode);
}

}  // namespace pitchline::motion
