#pragma once

#include <string_view>
#include <vector>

#include "pitchline/belt/stock.hpp"
#include "pitchline/io/diagnostic.hpp"

namespace pitchline::io {

/// Reads a list of closed belts from the text of a CSV file: this head, then one belt a line, no
/// quotes, no commas inside a cell.
///
///     maker,series,profile,pitch_mm,length_mm,teeth,status,mark,source
///
/// Status is "listed", "listed; some special", "was listed" or "on demand"; mark is one of those of
/// the catalogue. A length that is not its teeth times the pitch is an error: lists carry such
/// misprints.
///
/// \throws UnusableInput  all errors of the file at once, with line and column
std::vector<belt::StockLoop> read_loops(std::string_view text, std::string_view file);

/// The list that comes with the programs: reference/catalogue/belt_loops.csv, built in.
///
/// \throws UnusableInput  the built-in file is wrong, which a test rules out
const std::vector<belt::StockLoop>& standard_loops();

}  // namespace pitchline::io
