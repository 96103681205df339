#include "read/detail/csv_table.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <utility>

#include "pitchline/units/nearest.hpp"

namespace pitchline::io::detail {
namespace {

std::size_t characters(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

std::vector<CsvCell> cells_of(std::string_view line, std::size_t number) {
  std::vector<CsvCell> cells;
  std::size_t column = 1;
  while (true) {
    const std::size_t comma = line.find(',');
    std::string_view text = line.substr(0, comma);
    const std::size_t next = column + characters(text) + 1;
    while (text.starts_with(' ') || text.starts_with('\t')) {
      text.remove_prefix(1);
      ++column;
    }
    while (text.ends_with(' ') || text.ends_with('\t')) text.remove_suffix(1);
    cells.push_back({text, number, column});
    if (comma == std::string_view::npos) return cells;
    column = next;
    line.remove_prefix(comma + 1);
  }
}

}  // namespace

CsvTable::CsvTable(std::string_view text, std::string_view file,
                   const std::vector<CsvColumn>& columns)
    : text_(text), file_(file) {
  std::string_view rest = text;
  if (rest.starts_with("\xEF\xBB\xBF")) rest.remove_prefix(3);  // a mark that spreadsheets write
  for (std::size_t number = 1; !rest.empty(); ++number) {
    const std::size_t end = rest.find('\n');
    std::string_view line = rest.substr(0, end);
    rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end + 1);
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (line.find_first_not_of(" \t") == std::string_view::npos || line.starts_with('#')) continue;
    if (head_.empty()) {
      read_head(line, number, columns);
      continue;
    }
    std::vector<CsvCell> cells = cells_of(line, number);
    if (cells.size() != head_.size()) {
      error({line, number, 1}, fmt::format("{} cells in a line of {}", cells.size(), head_.size()),
            "a comma separates cells; decimals have a point");
      continue;
    }
    rows_.push_back(std::move(cells));
  }
  if (head_.empty()) {
    std::vector<std::string_view> names;
    names.reserve(columns.size());
    for (const CsvColumn& column : columns) names.push_back(column.name);
    diagnostics_.push_back(
        {.message = "the table has no head",
         .help = fmt::format("its first line names the columns: {}", fmt::join(names, ","))});
  }
}

void CsvTable::read_head(std::string_view line, std::size_t number,
                         const std::vector<CsvColumn>& columns) {
  std::vector<std::string_view> known;
  known.reserve(columns.size());
  for (const CsvColumn& column : columns) known.push_back(column.name);
  for (const CsvCell& cell : cells_of(line, number)) {
    if (std::find(known.begin(), known.end(), cell.text) == known.end()) {
      const auto nearest = nearest_word(cell.text, known);
      error(
          cell, fmt::format("unknown column \"{}\"", cell.text),
          fmt::format("{}known: {}", nearest ? fmt::format("did you mean \"{}\"? ", *nearest) : "",
                      fmt::join(known, ", ")));
    } else if (std::find(head_.begin(), head_.end(), cell.text) != head_.end()) {
      error(cell, fmt::format("a second column \"{}\"", cell.text));
    }
    head_.emplace_back(cell.text);
  }
  for (const CsvColumn& column : columns)
    if (column.required && std::find(head_.begin(), head_.end(), column.name) == head_.end())
      error({line, number, 1}, fmt::format("the column {} is missing", column.name),
            fmt::format("the head names the columns: {}", fmt::join(known, ", ")));
}

std::optional<CsvCell> CsvTable::cell(std::size_t row, std::string_view column) const {
  const auto at = std::find(head_.begin(), head_.end(), column);
  if (at == head_.end()) return std::nullopt;
  const CsvCell& cell = rows_.at(row).at(static_cast<std::size_t>(at - head_.begin()));
  return cell.text.empty() ? std::nullopt : std::optional(cell);
}

std::optional<double> CsvTable::number(std::size_t row, std::string_view column) {
  const auto at = std::find(head_.begin(), head_.end(), column);
  if (at == head_.end()) return std::nullopt;  // said of the head already, or left out
  const CsvCell& cell = rows_.at(row).at(static_cast<std::size_t>(at - head_.begin()));
  double value = 0.0;
  const char* end = cell.text.data() + cell.text.size();
  const auto [stop, wrong] = std::from_chars(cell.text.data(), end, value);
  if (!cell.text.empty() && wrong == std::errc{} && stop == end && std::isfinite(value))
    return value;
  error(cell, fmt::format("{} must be a number, got \"{}\"", column, cell.text),
        "for example 99.87; the head already names the unit");
  return std::nullopt;
}

std::optional<double> CsvTable::positive(std::size_t row, std::string_view column, double most) {
  const auto value = number(row, column);
  if (!value || (*value > 0.0 && *value <= most)) return value;
  const auto at = std::find(head_.begin(), head_.end(), column);
  const CsvCell& met = rows_.at(row).at(static_cast<std::size_t>(at - head_.begin()));
  error(met, fmt::format("{} must be > 0 and at most {:g}, got \"{}\"", column, most, met.text));
  return std::nullopt;
}

std::optional<std::size_t> CsvTable::choice(std::size_t row, std::string_view column,
                                            const std::vector<std::string_view>& words) {
  const auto at = std::find(head_.begin(), head_.end(), column);
  if (at == head_.end()) return std::nullopt;
  const CsvCell& cell = rows_.at(row).at(static_cast<std::size_t>(at - head_.begin()));
  const auto found = std::find(words.begin(), words.end(), cell.text);
  if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
  const auto nearest = nearest_word(cell.text, words);
  error(cell, fmt::format("unknown {} \"{}\"", column, cell.text),
        nearest ? fmt::format("did you mean \"{}\"?", *nearest)
                : fmt::format("one of: {}", fmt::join(words, ", ")));
  return std::nullopt;
}

void CsvTable::error(const CsvCell& at, std::string message, std::string help) {
  diagnostics_.push_back({.line = at.line,
                          .column = at.column,
                          .length = std::max<std::size_t>(characters(at.text), 1),
                          .message = std::move(message),
                          .help = std::move(help)});
}

void CsvTable::finish() const {
  if (diagnostics_.empty()) return;
  std::vector<Diagnostic> list = diagnostics_;
  std::stable_sort(list.begin(), list.end(), [](const Diagnostic& a, const Diagnostic& b) {
    return a.line != b.line ? a.line < b.line : a.column < b.column;
  });
  throw UnusableInput(std::move(list), file_, text_);
}

}  // namespace pitchline::io::detail
