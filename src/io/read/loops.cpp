#include "pitchline/io/read_loops.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>

#include "pitchline/units/nearest.hpp"
#include "read/detail/built_in_loops.hpp"

namespace pitchline::io {
namespace {

constexpr std::string_view head =
    "maker,series,profile,pitch_mm,length_mm,teeth,status,mark,source";
constexpr std::array<std::string_view, 9> columns{
    "maker", "series", "profile", "pitch_mm", "length_mm", "teeth", "status", "mark", "source"};
constexpr std::array statuses{belt::StockStatus::listed, belt::StockStatus::listed_some_special,
                              belt::StockStatus::was_listed, belt::StockStatus::on_demand};
constexpr std::array<std::string_view, 6> marks{
    "read", "read in a transcription", "computed", "inferred", "from memory", "common practice"};

struct Cell {
  std::string_view text;
  std::size_t column = 1;  // 1-based, in characters
};

std::size_t characters(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

std::vector<Cell> cells_of(std::string_view line) {
  std::vector<Cell> cells;
  std::size_t column = 1;
  while (true) {
    const std::size_t comma = line.find(',');
    cells.push_back({line.substr(0, comma), column});
    if (comma == std::string_view::npos) return cells;
    column += characters(line.substr(0, comma)) + 1;
    line.remove_prefix(comma + 1);
  }
}

/// Reads the cells of one line; every error goes to the list.
class LineReader {
 public:
  LineReader(std::size_t line, std::vector<Diagnostic>& diagnostics)
      : line_(line), diagnostics_(diagnostics) {}

  void error(const Cell& at, std::string message, std::string help = {}) {
    diagnostics_.push_back({.line = line_,
                            .column = at.column,
                            .length = std::max<std::size_t>(characters(at.text), 1),
                            .message = std::move(message),
                            .help = std::move(help)});
    good_ = false;
  }
  [[nodiscard]] bool good() const { return good_; }

  std::string words(const Cell& cell, std::string_view column) {
    if (cell.text.empty()) error(cell, fmt::format("{} must not be empty", column));
    return {cell.text.begin(), cell.text.end()};
  }
  Fraction millimetres(const Cell& cell, std::string_view column) {
    try {
      const Fraction value = exact_millimetres(std::string(cell.text) + " mm");
      if (value > Fraction(0) && value <= Fraction(100'000)) return value;
      error(cell, fmt::format("{} must be > 0 and at most 100000, got \"{}\"", column, cell.text));
    } catch (const UnreadableQuantity&) {
      error(cell, fmt::format("{} must be a number of mm, got \"{}\"", column, cell.text),
            "for example 2.032; the head already names the unit");
    }
    return {1};
  }
  int whole(const Cell& cell, std::string_view column) {
    int value = 0;
    const char* end = cell.text.data() + cell.text.size();
    const auto [stop, wrong] = std::from_chars(cell.text.data(), end, value);
    if (wrong == std::errc{} && stop == end && value >= 1) return value;
    error(cell, fmt::format("{} must be a whole number >= 1, got \"{}\"", column, cell.text));
    return 1;
  }
  /// The place of the cell in a list of known words.
  template <class Words>
  std::size_t choice(const Cell& cell, std::string_view column, const Words& known) {
    const auto at = std::find(known.begin(), known.end(), cell.text);
    if (at != known.end()) return static_cast<std::size_t>(at - known.begin());
    const auto near = nearest_word(cell.text, known);
    error(cell, fmt::format("unknown {} \"{}\"", column, cell.text),
          near ? fmt::format("did you mean \"{}\"?", *near)
               : fmt::format("one of: {}", fmt::join(known, ", ")));
    return 0;
  }

 private:
  std::size_t line_;
  std::vector<Diagnostic>& diagnostics_;
  bool good_ = true;
};

std::optional<belt::StockLoop> read_loop(const std::vector<Cell>& cells, LineReader& reader) {
  belt::StockLoop loop;
  loop.maker = reader.words(cells[0], columns[0]);
  loop.series = reader.words(cells[1], columns[1]);
  loop.profile = reader.words(cells[2], columns[2]);
  loop.pitch_millimetres = reader.millimetres(cells[3], columns[3]);
  loop.length_millimetres = reader.millimetres(cells[4], columns[4]);
  loop.teeth = reader.whole(cells[5], columns[5]);
  std::array<std::string_view, statuses.size()> status_words{};
  std::transform(statuses.begin(), statuses.end(), status_words.begin(),
                 [](belt::StockStatus s) { return belt::name(s); });
  loop.status = statuses.at(reader.choice(cells[6], columns[6], status_words));
  const std::size_t mark = reader.choice(cells[7], columns[7], marks);
  loop.source = reader.words(cells[8], columns[8]);
  if (mark > 0) loop.source += fmt::format(" ({})", marks.at(mark));
  if (!reader.good()) return std::nullopt;
  try {
    belt::require_valid(loop);
  } catch (const InvalidInput& e) {
    reader.error(cells[5], e.what(), "a misprint of the list; the maker knows which of them holds");
    return std::nullopt;
  }
  return loop;
}

}  // namespace

std::vector<belt::StockLoop> read_loops(std::string_view text, std::string_view file) {
  std::vector<Diagnostic> diagnostics;
  std::vector<belt::StockLoop> loops;
  std::string_view rest = text;
  for (std::size_t number = 1; !rest.empty() || number == 1; ++number) {
    const std::size_t end = rest.find('\n');
    std::string_view line = rest.substr(0, end);
    rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end + 1);
    if (line.ends_with('\r')) line.remove_suffix(1);
    LineReader reader(number, diagnostics);
    if (number == 1) {
      if (line != head)
        reader.error({line, 1}, "the head of a list of closed belts is wrong",
                     fmt::format("it must be {}", head));
      continue;
    }
    if (line.empty()) continue;
    const std::vector<Cell> cells = cells_of(line);
    if (cells.size() != columns.size()) {
      reader.error({line, 1}, fmt::format("{} cells in a line of {}", cells.size(), columns.size()),
                   "a comma inside a cell is not possible");
      continue;
    }
    if (auto loop = read_loop(cells, reader)) loops.push_back(std::move(*loop));
  }
  if (!diagnostics.empty()) throw UnusableInput(std::move(diagnostics), file, text);
  return loops;
}

const std::vector<belt::StockLoop>& standard_loops() {
  static const std::vector<belt::StockLoop> loops =
      read_loops(detail::built_in_loops, "belt_loops.csv (built in)");
  return loops;
}

}  // namespace pitchline::io
