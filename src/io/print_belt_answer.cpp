#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "detail/measure_as_json.hpp"
#include "detail/wrap.hpp"
#include "pitchline/io/belt_answer.hpp"

namespace pitchline::io {
namespace {

using detail::Json;
using detail::wrapped;

// Four digits of a length over a metre are not enough to set a pulley by, nor those of a thousand
// teeth to see that they are no whole number.
std::string text_of(const Measure& measure) {
  if (std::isnan(measure.coherent())) return "unknown";
  const double size = std::abs(measure.coherent()) * (measure.si_unit() == "m" ? 1000.0 : 1.0);
  const bool to_a_tenth = measure.si_unit() == "m" || measure.si_unit() == "tooth";
  return measure.text(to_a_tenth && size >= 1000.0 ? 2 + static_cast<int>(std::log10(size)) : 4);
}
std::string text_of(const std::string& text) { return text; }
std::string text_of(std::int64_t count) { return fmt::format("{}", count); }
std::string text_of(const AnswerValue& value) {
  return std::visit([](const auto& v) { return text_of(v); }, value);
}

Json as_json(const AnswerValue& value) {
  if (const auto* measure = std::get_if<Measure>(&value)) return detail::as_json(*measure);
  if (const auto* count = std::get_if<std::int64_t>(&value)) return *count;
  return std::get<std::string>(value);
}

std::string print_figures(const std::vector<AnswerFigure>& figures) {
  std::size_t label_width = 0;
  std::size_t value_width = 0;
  for (const AnswerFigure& f : figures) {
    label_width = std::max(label_width, f.label.size());
    value_width = std::max(value_width, text_of(f.value).size());
  }
  std::string out;
  for (const AnswerFigure& f : figures) {
    out += fmt::format("  {:<{}}  {:>{}}\n", f.label, label_width, text_of(f.value), value_width);
    if (!f.note.empty()) out += wrapped(f.note, 6, 6);
  }
  return out;
}

std::string print_table(const AnswerTable& table) {
  std::string out = "\n" + wrapped(table.heading, 0, 2);
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    widths.push_back(table.columns[c].label.size());
    for (const auto& row : table.rows)
      widths.back() = std::max(widths.back(), text_of(row.at(c)).size());
  }
  const auto add_cell = [&](std::string& line, const std::string& text, std::size_t c) {
    line += c == 0 ? fmt::format("  {:<{}}", text, widths[c])
                   : fmt::format("  {:>{}}", text, widths[c]);
  };
  std::string head;
  for (std::size_t c = 0; c < table.columns.size(); ++c) add_cell(head, table.columns[c].label, c);
  out += head + "\n";
  for (const auto& row : table.rows) {
    std::string line;
    for (std::size_t c = 0; c < row.size(); ++c) add_cell(line, text_of(row[c]), c);
    out += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
  }
  return out;
}

std::string print_formula(const AnswerFormula& formula) {
  std::string out = "\nformula\n";
  for (const std::string& line : formula.lines) out += "  " + line + "\n";
  std::size_t symbol_width = 0;
  std::size_t meaning_width = 0;
  std::size_t value_width = 0;
  for (const AnswerSymbol& s : formula.symbols) {
    symbol_width = std::max(symbol_width, s.symbol.size());
    meaning_width = std::max(meaning_width, s.meaning.size());
    value_width = std::max(value_width, text_of(s.value).size());
  }
  if (!formula.symbols.empty()) out += "\n";
  for (const AnswerSymbol& s : formula.symbols)
    out += fmt::format("  {:<{}}  {:<{}}  {:>{}}\n", s.symbol, symbol_width, s.meaning,
                       meaning_width, text_of(s.value), value_width);
  return out + "\n" + wrapped("source: " + formula.source, 0, 2);
}

}  // namespace

std::string print_belt_answer(const BeltAnswer& answer, bool explain) {
  std::string out = wrapped(answer.title, 0, 2) + print_figures(answer.figures);
  for (const AnswerTable& table : answer.tables) out += print_table(table);
  if (!answer.notes.empty()) out += "\n";
  for (const std::string& note : answer.notes) out += wrapped(note, 0, 2);
  if (explain) out += print_formula(answer.formula);
  return out;
}

std::string belt_answer_as_json(const BeltAnswer& answer) {
  Json j;
  j["schema"] = 1;
  j["question"] = answer.question;
  j["given"] = answer.title;
  for (const AnswerFigure& f : answer.figures) {
    j[f.key] = as_json(f.value);
    if (!f.note.empty() && j[f.key].is_object()) j[f.key]["note"] = f.note;
  }
  for (const AnswerTable& table : answer.tables) {
    Json rows = Json::array();
    for (const auto& row : table.rows) {
      Json r;
      for (std::size_t c = 0; c < table.columns.size(); ++c)
        r[table.columns[c].key] = as_json(row.at(c));
      rows.push_back(std::move(r));
    }
    j[table.key] = std::move(rows);
  }
  j["notes"] = answer.notes;
  j["formula"] = answer.formula.lines;
  j["symbols"] = Json::array();
  for (const AnswerSymbol& s : answer.formula.symbols) {
    Json symbol;
    symbol["symbol"] = s.symbol;
    symbol["meaning"] = s.meaning;
    symbol["is"] = as_json(s.value);
    j["symbols"].push_back(std::move(symbol));
  }
  j["source"] = answer.formula.source;
  return j.dump(2) + "\n";
}

}  // namespace pitchline::io
