#pragma once

#include <string>
#include <vector>

#include "pitchline/check/rows/lift_balls.hpp"
#include "pitchline/check/rows/lift_belt.hpp"
#include "pitchline/check/rows/lift_screw.hpp"
#include "pitchline/check/rows/staying_up.hpp"

namespace pitchline::check {

/// Rows of the screws themselves, without those of a belt that ties them.
///
/// \throws InvalidInput     as the rows
std::vector<Finding> lift_screw_findings(const AxisState& s);

/// All that is found of a lift beside the rows of every axis.
///
/// \throws InvalidInput     as the rows
/// \throws OutsideValidity  the layout of the tying belt cannot be built
std::vector<Finding> lift_findings(const AxisState& s);

/// What a builder must be told of a lift: whether its bed can fall, and what separate motors do.
///
/// \throws InvalidInput  as `staying_up_of`
std::vector<std::string> lift_cautions(const AxisState& s);

}  // namespace pitchline::check
