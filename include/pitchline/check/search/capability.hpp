#pragma once

#include "pitchline/check/axis_state.hpp"
#include "pitchline/report/machine_report.hpp"

namespace pitchline::check {

using report::Capability;
using report::MoveTimePoint;
using report::SpeedPoint;

/// Part of the least time that a slower move may lose and still count as nearly as fast.
inline constexpr double nearly_loses = 0.05;

/// Works out the curves of an axis: the acceleration allowed over speed, and the time of a stroke
/// over the acceleration.
///
/// The stroke is the one of the wanted move, else half of the travel. For each acceleration the
/// speed is the largest at which it is still allowed, but no more than the wanted one: a builder
/// sees where more acceleration buys nothing. Between the speeds looked at the curve counts as
/// straight.
///
/// \throws InvalidInput  as `state_of`
Capability capability(const AxisState& s);

/// The axis asked for another speed.
AxisState at_speed(const AxisState& s, Speed speed);

}  // namespace pitchline::check
