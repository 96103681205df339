#pragma once

#include <optional>
#include <string>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/screw/staying_up.hpp"

namespace pitchline::check {

/// The screws of an axis that has them.
const axis::ScrewAxis& screw_drive(const AxisState& s);

/// Travel per turn of the screws.
Length lead_of(const axis::ScrewAxis& drive);

/// A sliding screw of an axis with the whole range of its friction.
///
/// \throws InvalidInput  the axis states an efficiency and no friction
screw::SlidingScrew sliding_screw(const axis::ScrewAxis& drive);

/// What the screws of an axis do under its load without power; nothing where the file states an
/// efficiency of at most a half without the friction: such a screw may lock or not.
///
/// An efficiency above a half back-drives whatever makes it: then the load counts without friction,
/// and of a ball screw with its most efficiency.
///
/// \throws InvalidInput  a field outside its range, or never set
///
/// Source: [Housner], a screw that locks has at most 50 %.
std::optional<screw::StayingUp> staying_up_of(const axis::ScrewAxis& drive);

/// Torque with which the load of an axis without power turns each of its motors, at the least
/// friction that is counted on.
///
/// \throws InvalidInput  as `staying_up_of`
Torque unpowered_torque(const AxisState& s, const screw::StayingUp& up);

/// The run of the bed down its travel without power; nothing where it does not start, or where it
/// is not lifted straight up.
///
/// \throws InvalidInput  as `staying_up_of`
std::optional<screw::RunDown> run_down_of(const AxisState& s, const screw::StayingUp& up);

/// Does the bed stay up without power? The verdict takes the least friction, and that lowered by
/// vibration; where it does not hold, the brake is judged, else whether the file asks for it.
///
/// \throws InvalidInput  as `staying_up_of`
Finding staying_up_finding(const AxisState& s, const machine::Lift& lift);

}  // namespace pitchline::check
