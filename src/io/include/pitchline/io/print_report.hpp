#pragma once

#include <string>

#include "pitchline/check/finding.hpp"

namespace pitchline::io {

/// A report as a table for people: at most 80 columns, no colour, verdicts in words, and under
/// every row that does not hold its reason and what helps.
///
/// With `in_full` the reason, the figures behind each row and its source are printed for all rows.
std::string print_report(const check::Report& report, bool in_full);

/// A report as one JSON object, in coherent SI units with all digits. Keys are only ever added.
std::string report_as_json(const check::Report& report);

}  // namespace pitchline::io
