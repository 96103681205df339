#pragma once

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// Speed of the balls of a ball screw, against what a rolled one stands.
///
/// \throws InvalidInput  as `screw::diameter_speed`
Finding ball_speed_finding(const AxisState& s);

/// Load on the balls of the most loaded nut that counts for their life: its cubic mean up and down
/// at constant speed, the same way each.
///
/// \throws InvalidInput  as `axis::mass_at_deciding_nut`
Force mean_ball_load(const AxisState& s);

/// How long the balls of a ball screw live, at the most of the load factor of a normal load; where
/// a life is wanted, the dynamic rating that it needs, against that of the screw.
///
/// Without a rating the life is not known, which is unsure where one is wanted. Above half of the
/// rating the law does not hold; what it would call enough is unsure there.
///
/// \throws InvalidInput  as `mean_ball_load`; wanted life not above zero
Finding ball_life_finding(const AxisState& s);

/// Static rating of the balls over the most that loads a nut, against 2 for a calm load.
///
/// \throws InvalidInput  as `nut_peak_force`; static rating never set
Finding ball_static_finding(const AxisState& s);

}  // namespace pitchline::check
