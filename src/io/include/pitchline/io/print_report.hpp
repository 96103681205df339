#pragma once

#include <string>
#include <string_view>

#include "pitchline/report/machine_report.hpp"

namespace pitchline::io {

/// A report as a table for people: at most 80 columns, no colour, verdicts in words, and under
/// every row that does not hold its reason and what helps.
///
/// With `in_full` the reason, the figures behind each row and its source are printed for all rows.
std::string print_report(const report::Report& report, bool in_full);

/// One row of a report with its verdict; `in_full` with reason, figures and source.
std::string print_row(const report::Finding& finding, bool in_full);

/// The working of one row of one axis of a report, or of all that bind it where `row` is empty: the
/// figure, what it is judged by, formula, numbers, source, and the acceleration that it allows.
/// Rows of all axes together count as rows of each.
///
/// Empty where the axis has no such row.
std::string explain(const report::Report& report, const report::AxisReport& axis,
                    std::string_view row);

/// The acceleration that the motor of each axis allows over speed, as CSV with a head; empty of
/// rows where the report was made without `Effort::capability`.
std::string acceleration_as_csv(const report::Report& report);

/// The time of a stroke of each axis over its acceleration, likewise.
std::string move_time_as_csv(const report::Report& report);

/// A report as one JSON object, in coherent SI units with all digits. Keys are only ever added.
std::string report_as_json(const report::Report& report);

}  // namespace pitchline::io
