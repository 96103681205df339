#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

#include "pitchline/tune/estimate.hpp"
#include "pitchline/units/measure.hpp"

/// What a program answers to one question, as plain data: whoever prints it or writes it to a file
/// needs nothing of how it was found.
namespace pitchline::answer {

/// What stands in an answer: a quantity, a word or exact text, or a count. A quantity that was
/// never set is printed as "unknown".
using Value = std::variant<Measure, std::string, std::int64_t>;

/// Between what the true value of a measurement lies. An infinite end is none.
struct Interval {
  Measure least;
  Measure most;
};

/// One line of an answer.
struct Figure {
  std::string key{};  ///< in JSON
  std::string label{};
  Value value{std::string()};
  std::string note{};  ///< why, or where it comes from
  std::optional<Interval> interval{};
  int digits = 0;  ///< significant ones that are printed; 0: four, and lengths to 0.1 mm at least
};

/// A figure of an estimate, with its interval.
template <class Q>
// NOLINTBEGIN(performance-unnecessary-value-param): moved into the figure
Figure figure_of(std::string key, std::string label, const tune::Estimate<Q>& e, int digits = 4,
                 std::string note = {}) {
  // NOLINTEND(performance-unnecessary-value-param)
  const auto measure = [](const Q& q) {
    if constexpr (std::is_same_v<Q, double>)
      return Measure::ratio(q);
    else
      return Measure(q);
  };
  return {.key = std::move(key),
          .label = std::move(label),
          .value = measure(e.value),
          .note = std::move(note),
          .interval = Interval{measure(e.least), measure(e.most)},
          .digits = digits};
}

/// One column of a table.
struct Column {
  std::string key{};  ///< in JSON
  std::string label{};
  bool words = false;  ///< begins at the left, as the first column does; figures end at the right
};

/// Several things of one kind.
struct Table {
  std::string key{};  ///< in JSON
  std::string heading{};
  std::vector<Column> columns{};
  std::vector<std::vector<Value>> rows{};  ///< as wide as `columns`
};

/// Something that was allowed only so far, and whether it keeps to that.
struct Judged {
  std::string key{};  ///< in JSON
  std::string what{};
  tune::Judgement judgement = tune::Judgement::unsure;
  std::string reason{};
};

/// A line to be written into a file or typed in, as it stands.
struct LineToWrite {
  std::string where{};  ///< "[axis.x] of the machine file"
  std::string line{};
};

/// One symbol of a formula with its number.
struct Symbol {
  std::string symbol{};
  std::string meaning{};
  Value value{std::string()};
};

/// How an answer was found.
struct Formula {
  std::vector<std::string> lines{};
  std::vector<Symbol> symbols{};
  std::string source{};
};

/// The answer to one question.
struct Answer {
  std::string question{};
  std::string title{};  ///< what was given
  std::vector<Figure> figures{};
  std::vector<Table> tables{};
  std::vector<Judged> judgements{};
  std::vector<std::string> advice{};  ///< what to do, one sentence or two each
  std::vector<LineToWrite> lines{};
  std::vector<std::string> notes{};
  Formula formula{};

  /// Whether something that was wanted surely is not so.
  [[nodiscard]] bool fails() const {
    for (const Judged& j : judgements)
      if (j.judgement == tune::Judgement::fails) return true;
    return false;
  }
};

}  // namespace pitchline::answer
