#pragma once

#include <charconv>
#include <cmath>
#include <cstddef>
#include <fstream>
#include <map>
#include <stdexcept>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>

#include "support/project_folder.hpp"

namespace pitchline::testing {

/// A number from text that holds nothing else.
inline double number_in(std::string_view text) {
  double x = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), x);
  if (error != std::errc{} || end != text.data() + text.size())
    throw std::runtime_error("not a number: \"" + std::string(text) + "\"");
  return x;
}

/// One row of a table, by the name of the column.
class CsvRow {
 public:
  explicit CsvRow(std::map<std::string, std::string, std::less<>> cells)
      : cells_(std::move(cells)) {}
  [[nodiscard]] const std::string& text(std::string_view column) const {
    const auto at = cells_.find(column);
    if (at == cells_.end()) throw std::runtime_error("no column " + std::string(column));
    return at->second;
  }
  [[nodiscard]] double number(std::string_view column) const { return number_in(text(column)); }
  /// Half a unit of the last digit that stands there: of "0.3182" it is 0.00005.
  [[nodiscard]] double half_digit(std::string_view column) const {
    std::string_view cell = text(column);
    int exponent = 0;
    if (const std::size_t e = cell.find_first_of("eE"); e != std::string_view::npos) {
      exponent = std::stoi(std::string(cell.substr(e + 1)));
      cell = cell.substr(0, e);
    }
    if (const std::size_t point = cell.find('.'); point != std::string_view::npos)
      exponent -= static_cast<int>(cell.size() - point - 1);
    return 0.5 * std::pow(10.0, exponent);
  }

 private:
  std::map<std::string, std::string, std::less<>> cells_;
};

/// A table of reference/published: a head, then rows without quotes.
inline std::vector<CsvRow> published(const std::string& file) {
  const std::string path = reference_folder() + "/published/" + file;
  std::ifstream in(path);
  if (!in) throw std::runtime_error("cannot open " + path);
  const auto split = [](const std::string& line) {
    std::vector<std::string> cells(1);
    for (const char c : line) {
      if (c == ',')
        cells.emplace_back();
      else if (c != '\r')
        cells.back() += c;
    }
    return cells;
  };
  std::string line;
  std::getline(in, line);
  const std::vector<std::string> head = split(line);
  std::vector<CsvRow> rows;
  while (std::getline(in, line)) {
    if (line.empty()) continue;
    const std::vector<std::string> cells = split(line);
    if (cells.size() != head.size()) throw std::runtime_error(path + ": ragged row: " + line);
    std::map<std::string, std::string, std::less<>> row;
    for (std::size_t i = 0; i < head.size(); ++i) row.emplace(head[i], cells[i]);
    rows.emplace_back(std::move(row));
  }
  return rows;
}

}  // namespace pitchline::testing
