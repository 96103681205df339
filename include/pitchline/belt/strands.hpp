#pragma once

#include <cmath>
#include <numbers>

#include "pitchline/units.hpp"

namespace pitchline::belt {

/// A belt that runs from the carriage round a drive pulley at one end and an idler at the other and
/// back to the carriage: the usual run of a gantry axis.
struct ClampedLoop {
  Force tension_per_strain = unset<Force>();  ///< E·A of the whole belt
  Length span = unset<Length>();              ///< centre of drive pulley to centre of idler
};

namespace detail {
inline void require_valid(const ClampedLoop& loop) {
  if (!(loop.tension_per_strain > newtons(0)))
    throw InvalidInput("tension per strain", "> 0", in_newtons(loop.tension_per_strain), "N");
  if (!(loop.span > metres(0))) throw InvalidInput("span", "> 0", in_metres(loop.span), "m");
}
}  // namespace detail

/// Stiffness of the belt between drive pulley and carriage while both strands are taut.
///
///     k = E·A (1/x + 1/(2 S − x))
///
///     E·A  tension_per_strain  N  > 0
///     S    span                m  > 0
///     x    from the drive pulley to the carriage  m  in (0, S]
///     k    result              N/m; smallest at x = S, where it is 2 E·A/S
///
/// Leaves out the teeth and the belt on the pulleys.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: two springs side by side, [Elatech] p. 55 and [Wang 2018] for the form; its smallest
/// value is the customary 4 E·A/(L1 + L2) with L1 + L2 = 2 S.
inline Stiffness strand_stiffness(const ClampedLoop& loop, Length x) {
  detail::require_valid(loop);
  if (!(x > metres(0) && x <= loop.span))
    throw InvalidInput("carriage position", "> 0 and <= span", in_metres(x), "m");
  return loop.tension_per_strain / x + loop.tension_per_strain / (2.0 * loop.span - x);
}

/// Stiffness where the carriage is farthest from the drive pulley: the smallest over the travel.
///
/// \throws InvalidInput  as `strand_stiffness`; travel not above zero or longer than the span
inline Stiffness smallest_strand_stiffness(const ClampedLoop& loop, Length travel) {
  detail::require_valid(loop);
  if (!(travel > metres(0) && travel <= loop.span))
    throw InvalidInput("travel", "> 0 and <= span", in_metres(travel), "m");
  return strand_stiffness(loop, (loop.span + travel) / 2.0);
}

/// Natural frequency of a load on a belt, the drive pulley held.
///
///     f = √(k/m) / 2π
///
///     k  stiffness  N/m  > 0
///     m  mass       kg   > 0
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: one mass on one spring; checked against the worked figures of [Elatech] AT5 and HTD 5M.
inline Frequency natural_frequency(Stiffness stiffness, Mass mass) {
  if (!(stiffness > newtons_per_metre(0)))
    throw InvalidInput("stiffness", "> 0", in_newtons_per_metre(stiffness), "N/m");
  if (!(mass > kilograms(0))) throw InvalidInput("mass", "> 0", in_kilograms(mass), "kg");
  return square_root(stiffness / mass) / (2.0 * std::numbers::pi);
}

}  // namespace pitchline::belt
