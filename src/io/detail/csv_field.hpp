#pragma once

#include <string>
#include <string_view>

namespace pitchline::io::detail {

/// A text as one field of a CSV table: in quotes where it holds a comma, a quote, a line end or a
/// blank at either end. A spreadsheet takes a field that begins with = + - @ or a tab for a formula
/// and computes it; an apostrophe before it makes it a text. A plain number stays as it is.
///
/// Source: RFC 4180, section 2; the apostrophe is common practice, no source.
std::string csv_field(std::string_view text);

}  // namespace pitchline::io::detail
