#pragma once

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// What travels along the beam of an axis, standing in its middle: there it bends it most and
/// swings slowest.
structure::Carriage carriage_in_the_middle(const AxisState& s);

/// Steady acceleration that bends a beam as far as the wanted move does at most, the swings of its
/// first mode included: every corner of the move at its worst phase, as in `motion::move_demand`.
///
/// A single step of acceleration counts twice, that of a whole move without jerk time up to four
/// times. Leaves out that the drives under the ends swing too.
///
/// \throws InvalidInput  as `motion::move_demand`
Acceleration bending_acceleration(const machine::Want& want, const motion::ElasticMode& mode);

/// Sideways bending of the beam at the carriage during the wanted move, swings included, against
/// what the drive leaves of the wanted error while accelerating: at the tool the two add. Of an
/// axis with a beam.
///
///     y    bending_at(carriage in the middle, a_p)
///     a_p  bending_acceleration of the wanted move at the first frequency of the beam
///
/// Judged with both ends free to turn, the softest that they can be. Fails where the beam alone
/// exceeds the error. `unsure` where beam and drive exceed it together, since their largest need
/// not meet; where the drive's part is not known; and where one end alone is driven. Leaves out
/// other modes, which add under one part in a hundred, twist by a carriage that hangs off the
/// beam's axis, and what guides and frame give way.
///
/// \throws InvalidInput  as `structure::first_frequency`, `bending_acceleration`
Finding beam_finding(const AxisState& s);

}  // namespace pitchline::check
