#pragma once

#include <string>

#include "pitchline/report/move_report.hpp"

namespace pitchline::io {

/// A move report for people: at most 80 columns, four significant digits, no colour.
std::string print_move(const report::MoveReport& report);

/// A move report as one JSON object, in coherent SI units with all digits; null where a figure is
/// not known. Keys are only ever added.
std::string move_as_json(const report::MoveReport& report);

/// The trace of a move as comma-separated values, with the units in its head; its head alone where
/// none was taken. Columns are only ever added, on the right.
std::string trace_as_csv(const report::MoveProof& proof);

/// Every cell of a map as comma-separated values: whether it completes, loses steps, or lies above
/// the first that does. Columns are only ever added, on the right.
std::string map_as_csv(const report::TrustMap& map);

/// A map as a plot: the document of an SVG file.
///
/// \throws InvalidInput  the report has no map
std::string map_as_svg(const report::MoveReport& report);

}  // namespace pitchline::io
