#pragma once

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// Largest customary inertia of the load over that of the rotor, both at the motor.
///
/// Source: [Parker inertia], [Schneider glossary]: a rule of the trade. The torque checks account
/// for the inertia itself, so passing this limit is never a failure.
inline constexpr double customary_inertia_ratio = 10.0;

/// Mass that moves and the inertia it makes at the motor, against the customary ratio.
Finding inertia_finding(const AxisState& s);

/// What it takes to keep moving slowly, against the dependable torque at rest.
Finding constant_speed_finding(const AxisState& s);

/// The textbook torque at the wanted acceleration, against the dependable torque at the speed.
Finding accelerating_finding(const AxisState& s);

/// Dependable pull-out torque at the wanted speed, against what constant speed takes.
Finding pull_out_finding(const AxisState& s);

/// Dependable torque over the torque that the move asks, at the moment where that is least, against
/// the margin that the builder wants.
Finding torque_margin_finding(const AxisState& s);

/// Largest acceleration of the wanted move that leaves the torque margin, found as
/// `motion::largest_holding`; `most` where nothing below it fails.
Acceleration acceleration_by_torque(const AxisState& s, Acceleration most);

/// Accelerations above this are not looked for: no machine of this kind reaches it.
inline const Acceleration hardest_looked_for = metres_per_second_squared(200);

/// The hardest acceleration looked for of an axis: no less than what is wanted of it.
Acceleration hardest_for(const AxisState& s);

/// Largest acceleration that the motor allows for the wanted move, against the wanted one.
Finding acceleration_finding(const AxisState& s);

}  // namespace pitchline::check
