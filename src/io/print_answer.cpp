#include "pitchline/io/print_answer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "detail/measure_as_json.hpp"
#include "detail/wrap.hpp"

namespace pitchline::io {
namespace {

using answer::Answer;
using answer::Figure;
using answer::Formula;
using answer::Symbol;
using answer::Table;
using answer::Value;
using detail::Json;
using detail::wrapped;

// Four digits of a length over a metre are not enough to set a pulley by, nor those of a thousand
// teeth to see that they are no whole number.
int usual_digits(const Measure& measure) {
  const double size = std::abs(measure.coherent()) * (measure.si_unit() == "m" ? 1000.0 : 1.0);
  const bool to_a_tenth = measure.si_unit() == "m" || measure.si_unit() == "tooth";
  return to_a_tenth && size >= 1000.0 ? 2 + static_cast<int>(std::log10(size)) : 4;
}

std::string text_of(const Measure& measure, int digits) {
  if (std::isnan(measure.coherent())) return "unknown";
  if (std::isinf(measure.coherent())) return "without end";
  return measure.text(digits > 0 ? digits : usual_digits(measure));
}

std::string text_of(const Value& value, int digits = 0) {
  if (const auto* measure = std::get_if<Measure>(&value)) return text_of(*measure, digits);
  if (const auto* count = std::get_if<std::int64_t>(&value)) return fmt::format("{}", *count);
  return std::get<std::string>(value);
}

std::string interval_of(const Figure& f) {
  if (!f.interval) return {};
  if (std::isnan(f.interval->least.coherent()) || std::isnan(f.interval->most.coherent()))
    return {};
  std::string least = text_of(f.interval->least, f.digits);
  if (std::isinf(f.interval->most.coherent())) return fmt::format("at least {}", least);
  // Both in one unit: it stands once.
  if (!f.interval->least.si_unit().empty()) least.resize(least.find(' '));
  return fmt::format("{} to {}", least, text_of(f.interval->most, f.digits));
}

std::string without_blanks_behind(const std::string& line) {
  return line.substr(0, line.find_last_not_of(' ') + 1);
}

std::string print_figures(const std::vector<Figure>& figures) {
  std::size_t label_width = 0;
  std::size_t value_width = 0;
  for (const Figure& f : figures) {
    label_width = std::max(label_width, f.label.size());
    value_width = std::max(value_width, text_of(f.value, f.digits).size());
  }
  std::string out;
  for (const Figure& f : figures) {
    out += fmt::format("  {:<{}}  {:>{}}", f.label, label_width, text_of(f.value, f.digits),
                       value_width);
    if (const std::string interval = interval_of(f); !interval.empty()) out += "  " + interval;
    out += "\n";
    if (!f.note.empty()) out += wrapped(f.note, 6, 6);
  }
  return out;
}

std::string print_table(const Table& table) {
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    widths.push_back(table.columns[c].label.size());
    for (const auto& row : table.rows)
      widths.back() = std::max(widths.back(), text_of(row.at(c)).size());
  }
  const auto add_cell = [&](std::string& line, const std::string& text, std::size_t c) {
    line += c == 0 || table.columns[c].words ? fmt::format("  {:<{}}", text, widths[c])
                                             : fmt::format("  {:>{}}", text, widths[c]);
  };
  std::string head;
  for (std::size_t c = 0; c < table.columns.size(); ++c) add_cell(head, table.columns[c].label, c);
  std::string out = "\n" + wrapped(table.heading, 0, 2) + without_blanks_behind(head) + "\n";
  for (const auto& row : table.rows) {
    std::string line;
    for (std::size_t c = 0; c < row.size(); ++c) add_cell(line, text_of(row[c]), c);
    out += without_blanks_behind(line) + "\n";
  }
  return out;
}

std::string print_formula(const Formula& formula) {
  std::string out = "\nformula\n";
  for (const std::string& line : formula.lines) out += "  " + line + "\n";
  std::size_t symbol_width = 0;
  std::size_t meaning_width = 0;
  std::size_t value_width = 0;
  for (const Symbol& s : formula.symbols) {
    symbol_width = std::max(symbol_width, s.symbol.size());
    meaning_width = std::max(meaning_width, s.meaning.size());
    value_width = std::max(value_width, text_of(s.value).size());
  }
  if (!formula.symbols.empty()) out += "\n";
  for (const Symbol& s : formula.symbols)
    out += fmt::format("  {:<{}}  {:<{}}  {:>{}}\n", s.symbol, symbol_width, s.meaning,
                       meaning_width, text_of(s.value), value_width);
  return out + "\n" + wrapped("source: " + formula.source, 0, 2);
}

std::string print_lines(const std::vector<answer::LineToWrite>& lines) {
  std::string out;
  std::string where;
  for (const answer::LineToWrite& line : lines) {
    if (line.where != where) out += fmt::format("\nfor {}\n", line.where);
    where = line.where;
    out += fmt::format("  {}\n", line.line);
  }
  return out;
}

Json as_json(const Value& value) {
  if (const auto* measure = std::get_if<Measure>(&value)) return detail::as_json(*measure);
  if (const auto* count = std::get_if<std::int64_t>(&value)) return *count;
  return std::get<std::string>(value);
}

Json as_json(const Figure& f) {
  Json figure = as_json(f.value);
  if (!figure.is_object()) return figure;
  if (f.interval) {
    figure["least"] = detail::number_or_null(f.interval->least.coherent());
    figure["most"] = detail::number_or_null(f.interval->most.coherent());
  }
  if (!f.note.empty()) figure["note"] = f.note;
  return figure;
}

Json as_json(const Table& table) {
  Json rows = Json::array();
  for (const auto& row : table.rows) {
    Json r;
    for (std::size_t c = 0; c < table.columns.size(); ++c)
      r[table.columns[c].key] = as_json(row.at(c));
    rows.push_back(std::move(r));
  }
  return rows;
}

}  // namespace

std::string print_answer(const Answer& answer, bool explain) {
  std::string out = wrapped(answer.title, 0, 2) + print_figures(answer.figures);
  for (const Table& table : answer.tables) out += print_table(table);
  if (!answer.judgements.empty()) out += "\n";
  for (const answer::Judged& j : answer.judgements)
    out += wrapped(fmt::format("{:<6} {}: {}", tune::word(j.judgement), j.what, j.reason), 0, 7);
  if (!answer.advice.empty()) out += "\n";
  for (const std::string& sentence : answer.advice) out += wrapped(sentence, 0, 2);
  out += print_lines(answer.lines);
  if (!answer.notes.empty()) out += "\n";
  for (const std::string& note : answer.notes) out += wrapped(note, 0, 2);
  if (explain) out += print_formula(answer.formula);
  return out;
}

std::string answer_as_json(const Answer& answer) {
  Json j;
  j["schema"] = 1;
  j["question"] = answer.question;
  j["given"] = answer.title;
  for (const Figure& f : answer.figures) j[f.key] = as_json(f);
  for (const Table& table : answer.tables) j[table.key] = as_json(table);
  j["judgements"] = Json::array();
  for (const answer::Judged& each : answer.judgements)
    j["judgements"].push_back(
        {{"key", each.key}, {"verdict", tune::word(each.judgement)}, {"reason", each.reason}});
  j["advice"] = answer.advice;
  j["lines"] = Json::array();
  for (const answer::LineToWrite& each : answer.lines)
    j["lines"].push_back({{"where", each.where}, {"line", each.line}});
  j["notes"] = answer.notes;
  j["formula"] = answer.formula.lines;
  j["symbols"] = Json::array();
  for (const Symbol& s : answer.formula.symbols)
    j["symbols"].push_back(
        {{"symbol", s.symbol}, {"meaning", s.meaning}, {"is", as_json(s.value)}});
  j["source"] = answer.formula.source;
  return j.dump(2) + "\n";
}

}  // namespace pitchline::io
