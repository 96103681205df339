#pragma once

#include <vector>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// Pulses per degree of the heaviest workpiece, exact and as the controller keeps them, with what
/// the rounding costs at its surface over one turn.
///
/// \throws InvalidInput  as `axis::pulses_per_degree`
Finding steps_per_degree_finding(const AxisState& s);

/// Whether driven rollers turn the heaviest workpiece without slip at the wanted acceleration.
///
/// \throws InvalidInput     as `axis::roller_grip`
/// \throws OutsideValidity  as `axis::roller_grip`
Finding roller_grip_finding(const AxisState& s);

/// Turn of the heaviest workpiece by a pulse, against the finest that is wanted; with the smallest
/// workpiece that rollers still turn as finely.
///
/// \throws InvalidInput  as `axis::angle_per_pulse`
Finding angle_step_finding(const AxisState& s);

/// Travel of the surface of the heaviest workpiece by a pulse, against the finest that is wanted;
/// with the largest workpiece whose surface a chuck still moves as finely.
///
/// \throws InvalidInput  as `axis::pulses_per_surface_millimetre`
Finding surface_step_finding(const AxisState& s);

/// Height of the top of the heaviest workpiece above the bed, against the travel of the axis that
/// lifts the bed: by so much it must come down for the focus to reach the top.
///
/// Unsure where no axis that goes up carries the attachment.
///
/// \throws InvalidInput  as `axis::top_above_bed`
Finding headroom_finding(const AxisState& s);

}  // namespace pitchline::check
