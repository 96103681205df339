#pragma once

#include <optional>
#include <vector>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// Time until somebody or something stops a gantry of which one side stands: a person at the stop
/// button. Common practice, no source.
inline const Time until_a_hand_stops_it = seconds(1);

/// How far out of square the two sides of a pair may start: what the field may move either motor
/// when power comes, against the wanted position error where one is wanted.
///
/// Not knowing where the sides stood before, this is what is added to it; homing each side on a
/// switch of its own takes both out.
///
/// \throws InvalidInput  as `axis::start_jump`
Finding out_of_square_finding(const AxisState& s);

/// What happens to the beam when one motor of a pair stands and the other runs on.
///
/// No limit: what guides bear is not asked here. Always `holds`, for the figures to be known.
///
/// \throws InvalidInput  as `axis::racking`
std::optional<Finding> racking_finding(const AxisState& s);

/// Lost position at the far side of a gantry with a cross shaft, at the peak of the wanted move,
/// against the wanted error while accelerating.
///
/// \throws InvalidInput  as `axis::far_side_lag`
Finding cross_shaft_finding(const AxisState& s);

}  // namespace pitchline::check
