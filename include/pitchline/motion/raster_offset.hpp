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
  if (!(lag.friction >= newtons(0)) || !is_finite(lag.friction))
    throw InvalidInput("friction", ">= 0", in_newtons(lag.friction), "N");
  if (!(lag.stiffness > newtons_per_metre(0)))
    throw InvalidInput("stiffness", "> 0", in_newtons_per_metre(lag.stiffness), "N/m");
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
  if (!(lag.rotor >= metres(0)) || !is_finite(lag.rotor))
    throw InvalidInput("lag of the rotor", ">= 0", in_metres(lag.rotor), "m");
  return 2.0 * (lag.rotor + friction_stretch(lag));
}

}  // namespace pitchline::motion
