#pragma once

#include <string>
#include <vector>

#include "pitchline/check/rows/lift_balls.hpp"
#include "pitchline/check/rows/lift_belt.hpp"
#include "pitchline/check/rows/lift_screw.hpp"
#include "pitchline/check/rows/staying_up.hpp"

namespace pitchline::check {

/// What a builder must be told of a lift: whether its bed can fall, and what separate motors do.
///
/// \throws InvalidInput  as `staying_up_of`
std::vector<std::string> lift_cautions(const AxisState& s);

}  // namespace pitchline::check
