#pragma once

#include "pitchline/report/finding.hpp"
#include "write/document.hpp"

namespace pitchline::io::detail {

/// A row of the check with all that stands behind it.
Record record_of(const report::Finding& finding);

}  // namespace pitchline::io::detail
