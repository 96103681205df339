#pragma once

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motion/held_range.hpp"

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

/// Accelerations of the wanted move that leave the torque margin: the widest stretch of them, up to
/// `most`. It begins above zero only where static friction is above running friction, see
/// `motion::widest_holding`.
motion::HeldRange accelerations_by_torque(const AxisState& s, Acceleration most);

/// The largest of them.
inline Acceleration acceleration_by_torque(const AxisState& s, Acceleration most) {
  return accelerations_by_torque(s, most).most;
}

/// Accelerations above this are not looked for: no machine of this kind reaches it.
inline const Acceleration hardest_looked_for = metres_per_second_squared(200);

/// The hardest acceleration looked for of an axis: no less than what is wanted of it, and nothing
/// above the wanted speed over the jerk time, which no move comes to.
Acceleration hardest_for(const AxisState& s);

/// Largest acceleration that the motor allows for the wanted move, against the wanted one.
Finding acceleration_finding(const AxisState& s);

}  // namespace pitchline::check
