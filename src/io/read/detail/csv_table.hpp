#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/io/diagnostic.hpp"

namespace pitchline::io::detail {

/// One cell with its place in the file.
struct CsvCell {
  std::string_view text;
  std::size_t line = 1;
  std::size_t column = 1;  ///< 1-based, in characters
};

/// A column that a table may have.
struct CsvColumn {
  std::string_view name;
  bool required = true;
};

/// A table of comma-separated values: a head whose columns stand in any order, then one row a line.
/// No quotes, no commas inside a cell, blanks around a cell do not count, lines that begin with #
/// are left out. Every error goes to a list, and `finish` throws it.
class CsvTable {
 public:
  /// Text and columns must outlive the table.
  CsvTable(std::string_view text, std::string_view file, const std::vector<CsvColumn>& columns);

  [[nodiscard]] std::size_t rows() const { return rows_.size(); }
  /// Nothing where the table has no such column, or the cell is empty and may be.
  [[nodiscard]] std::optional<CsvCell> cell(std::size_t row, std::string_view column) const;

  /// A number in the unit that the head names; nothing, with an error, where it is none or does not
  /// hold.
  std::optional<double> number(std::size_t row, std::string_view column);
  std::optional<double> positive(std::size_t row, std::string_view column, double most);
  /// The place of a cell in a list of known words, likewise.
  std::optional<std::size_t> choice(std::size_t row, std::string_view column,
                                    const std::vector<std::string_view>& words);

  /// \throws UnusableInput  all errors met so far
  void finish() const;

 private:
  void error(const CsvCell& at, std::string message, std::string help = {});
  void read_head(std::string_view line, std::size_t number, const std::vector<CsvColumn>& columns);

  std::string_view text_;
  std::string_view file_;
  std::vector<std::string> head_;  // in the order of the file
  std::vector<std::vector<CsvCell>> rows_;
  std::vector<Diagnostic> diagnostics_;
};

}  // namespace pitchline::io::detail
