#pragma once

#include <string>
#include <vector>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// Speed of the screws at the wanted speed of the bed.
AngularSpeed screw_speed(const AxisState& s);

namespace detail {

Length nut_length(const machine::ScrewFit& fit, const axis::ScrewAxis& drive);

std::string in_kilometres(Length way);

}  // namespace detail

/// What the most loaded nut carries as the axis moves, alone, without what turns.
///
/// \throws InvalidInput  as `axis::mass_at_deciding_nut`
motion::AxisAtMotor at_deciding_nut(const AxisState& s);

/// Force along the screw of the most loaded nut: weight and guide, standing.
///
/// \throws InvalidInput  as `axis::mass_at_deciding_nut`
Force standing_nut_force(const AxisState& s);

/// The same at the peak of the wanted move, swings of the load included.
///
/// \throws InvalidInput  as `axis::mass_at_deciding_nut`
Force nut_peak_force(const AxisState& s);

/// Torque that starts the lift from rest, at the most friction of a thread that stood still,
/// against the torque of the motor at rest.
///
/// \throws InvalidInput  as `sliding_screw`
Finding starting_torque_finding(const AxisState& s);

/// Push in the most loaded screw at the peak of the move, against what it bears as a column; a
/// screw that hangs from its thrust bearing is pulled, and only its core is judged.
///
/// \throws InvalidInput  as `nut_peak_force`
Finding column_finding(const AxisState& s);

/// Speed of the screws, against 0.8 of the speed at which they whirl.
///
/// \throws InvalidInput  as `screw::critical_speed`
Finding critical_speed_finding(const AxisState& s);

/// Pressure on the flanks of the most loaded nut, and that times its rubbing speed, against what
/// its material bears.
///
/// The limits of the second are assumed for steady running; a lift runs now and then. So what is
/// above them is unsure and no failure.
///
/// \throws InvalidInput  as `standing_nut_force`; nut shorter than a pitch
std::vector<Finding> nut_findings(const AxisState& s);

/// Travel of a pulse, against the finest change of height that is wanted. Where a full step is
/// coarser than that, it hangs on microsteps under load, and is unsure.
///
/// \throws InvalidInput  as `state_of`
Finding height_step_finding(const AxisState& s);

}  // namespace pitchline::check
