#pragma once

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "pitchline/units/measure.hpp"

namespace pitchline::io {

/// What stands in an answer: a quantity, a word or exact text, or a count. A quantity that was
/// never set is printed as "unknown".
using AnswerValue = std::variant<Measure, std::string, std::int64_t>;

/// One line of an answer.
struct AnswerFigure {
  std::string key{};  ///< in JSON
  std::string label{};
  AnswerValue value{std::string()};
  std::string note{};  ///< why, or where it comes from
};

/// One column of a table.
struct AnswerColumn {
  std::string key{};  ///< in JSON
  std::string label{};
};

/// Several things of one kind.
struct AnswerTable {
  std::string key{};  ///< in JSON
  std::string heading{};
  std::vector<AnswerColumn> columns{};
  std::vector<std::vector<AnswerValue>> rows{};  ///< as wide as `columns`
};

/// One symbol of a formula with its number.
struct AnswerSymbol {
  std::string symbol{};
  std::string meaning{};
  AnswerValue value{std::string()};
};

/// How an answer was found.
struct AnswerFormula {
  std::vector<std::string> lines{};
  std::vector<AnswerSymbol> symbols{};
  std::string source{};
};

/// The answer to one question about a belt.
struct BeltAnswer {
  std::string question{};
  std::string title{};  ///< what was given
  std::vector<AnswerFigure> figures{};
  std::vector<AnswerTable> tables{};
  std::vector<std::string> notes{};
  AnswerFormula formula{};
};

/// An answer for people: at most 80 columns, four significant digits, lengths to a tenth of a
/// millimetre at least. `explain` adds the formula, its symbols with their numbers and the source.
std::string print_belt_answer(const BeltAnswer& answer, bool explain);

/// An answer as one JSON object, in coherent SI units with all digits; null where a figure is not
/// known. Keys are only ever added.
std::string belt_answer_as_json(const BeltAnswer& answer);

}  // namespace pitchline::io
