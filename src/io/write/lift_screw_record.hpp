#pragma once

#include "pitchline/report/lift_choice.hpp"
#include "write/document.hpp"

namespace pitchline::io::detail {

/// One screw of a choice with all that is known of it in the lift.
Record record_of(const report::LiftScrew& screw);

}  // namespace pitchline::io::detail
