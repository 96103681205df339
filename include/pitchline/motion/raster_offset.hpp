#pragma once

#include "pitchline/units.hpp"

namespace pitchline::motion {

/// What a head lags behind its command at constant speed; it lags against the motion, whichever way
/// that goes.
struct HeadLag {
  Length rotor = unset<Length>();            ///< ≥ 0, rotor behind the field, at the head
  Force friction = unset<Force>();           ///< ≥ 0, of the head
  Stiffness stiffness = unset<Stiffness>();  ///< > 0, from motor to head
};

/// Stretch of the drive under the friction of its head: F/k, symbols as in `raster_offset`.
///
/// \throws InvalidInput  friction below zero, stiffness not above zero, or never set
inline Length friction_stretch(const HeadLag& lag) {
  require_not_negative("friction", lag.friction);
  require_positive_or_infinite("stiffness", lag.stiffness);
  return lag.friction / lag.stiffness;
}

/// Offset between lines that are worked one way and lines worked the other way.
///
///     o = 2 (r + F/k)
///
///     r  rotor      m    ≥ 0
///     F  friction   N    ≥ 0
///     k  stiffness  N/m  > 0
///     o  result     m
///
/// What does not turn with the motion makes no offset: step error of the motor, and the stretch and
/// lag of a weight on an incline. Leaves out the delay of the tool, which adds 2 v t, and swings.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived; each way the head is behind by r + F/k.
inline Length raster_offset(const HeadLag& lag) {
  require_not_negative("lag of the rotor", lag.rotor, shown::metres);
  return 2.0 * (lag.rotor + friction_stretch(lag));
}

}  // namespace pitchline::motion
