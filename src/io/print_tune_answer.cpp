#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "detail/measure_as_json.hpp"
#include "detail/wrap.hpp"
#include "pitchline/io/tune_answer.hpp"

namespace pitchline::io {
namespace {

using detail::Json;
using detail::wrapped;

std::string text_of(const Measure& measure, int digits) {
  if (std::isnan(measure.coherent())) return "unknown";
  if (std::isinf(measure.coherent())) return "without end";
  return measure.text(digits);
}

std::string interval_of(const TuneFigure& f) {
  if (std::isnan(f.least.coherent()) || std::isnan(f.most.coherent())) return {};
  if (std::isinf(f.most.coherent())) return fmt::format("at least {}", text_of(f.least, f.digits));
  std::string least = text_of(f.least, f.digits);
  const std::string most = text_of(f.most, f.digits);
  // Both in one unit: it stands once.
  if (!f.least.si_unit().empty()) least.resize(least.find(' '));
  return fmt::format("{} to {}", least, most);
}

std::string cell_of(const AnswerValue& value) {
  if (const auto* measure = std::get_if<Measure>(&value)) return text_of(*measure, 4);
  if (const auto* count = std::get_if<std::int64_t>(&value)) return fmt::format("{}", *count);
  return std::get<std::string>(value);
}

Json cell_as_json(const AnswerValue& value) {
  if (const auto* measure = std::get_if<Measure>(&value)) return detail::as_json(*measure);
  if (const auto* count = std::get_if<std::int64_t>(&value)) return *count;
  return std::get<std::string>(value);
}

std::string print_figures(const std::vector<TuneFigure>& figures) {
  std::size_t label_width = 0;
  std::size_t value_width = 0;
  for (const TuneFigure& f : figures) {
    label_width = std::max(label_width, f.label.size());
    value_width = std::max(value_width, text_of(f.value, f.digits).size());
  }
  std::string out;
  for (const TuneFigure& f : figures) {
    std::string line = fmt::format("  {:<{}}  {:>{}}", f.label, label_width,
                                   text_of(f.value, f.digits), value_width);
    if (const std::string interval = interval_of(f); !interval.empty()) line += "  " + interval;
    out += line + "\n";
    if (!f.note.empty()) out += wrapped(f.note, 6, 6);
  }
  return out;
}

std::string print_table(const AnswerTable& table) {
  std::string out = "\n" + wrapped(table.heading, 0, 2);
  std::vector<std::size_t> widths;
  std::vector<bool> left;  // figures stand to the right
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    widths.push_back(table.columns[c].label.size());
    bool words = !table.rows.empty();
    for (const auto& row : table.rows) {
      widths.back() = std::max(widths.back(), cell_of(row.at(c)).size());
      words = words && std::holds_alternative<std::string>(row.at(c));
    }
    left.push_back(c == 0 || words);
  }
  const auto add = [&](std::string& line, const std::string& text, std::size_t c) {
    line += left[c] ? fmt::format("  {:<{}}", text, widths[c])
                    : fmt::format("  {:>{}}", text, widths[c]);
  };
  std::string head;
  for (std::size_t c = 0; c < table.columns.size(); ++c) add(head, table.columns[c].label, c);
  out += head.substr(0, head.find_last_not_of(' ') + 1) + "\n";
  for (const auto& row : table.rows) {
    std::string line;
    for (std::size_t c = 0; c < row.size(); ++c) add(line, cell_of(row[c]), c);
    out += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
  }
  return out;
}

}  // namespace

std::string print_tune_answer(const TuneAnswer& answer, bool explain) {
  std::string out = wrapped(answer.title, 0, 2) + print_figures(answer.figures);
  for (const AnswerTable& table : answer.tables) out += print_table(table);
  if (!answer.judgements.empty()) out += "\n";
  for (const TuneJudgement& j : answer.judgements)
    out += wrapped(fmt::format("{:<6} {}: {}", tune::word(j.judgement), j.what, j.reason), 0, 7);
  if (!answer.advice.empty()) out += "\n";
  for (const std::string& sentence : answer.advice) out += wrapped(sentence, 0, 2);
  std::string where;
  for (const TuneLine& line : answer.lines) {
    if (line.where != where) out += fmt::format("\nfor {}\n", line.where);
    where = line.where;
    out += fmt::format("  {}\n", line.line);
  }
  if (!answer.notes.empty()) out += "\n";
  for (const std::string& note : answer.notes) out += wrapped(note, 0, 2);
  if (!explain) return out;
  out += "\nformula\n";
  for (const std::string& line : answer.formula) out += "  " + line + "\n";
  return out + "\n" + wrapped("source: " + answer.source, 0, 2);
}

std::string tune_answer_as_json(const TuneAnswer& answer) {
  Json j;
  j["schema"] = 1;
  j["question"] = answer.question;
  j["given"] = answer.title;
  for (const TuneFigure& f : answer.figures) {
    Json figure = detail::as_json(f.value);
    if (!std::isnan(f.least.coherent())) {
      figure["least"] = detail::number_or_null(f.least.coherent());
      figure["most"] = detail::number_or_null(f.most.coherent());
    }
    if (!f.note.empty()) figure["note"] = f.note;
    j[f.key] = std::move(figure);
  }
  for (const AnswerTable& table : answer.tables) {
    Json rows = Json::array();
    for (const auto& row : table.rows) {
      Json r;
      for (std::size_t c = 0; c < table.columns.size(); ++c)
        r[table.columns[c].key] = cell_as_json(row.at(c));
      rows.push_back(std::move(r));
    }
    j[table.key] = std::move(rows);
  }
  j["judgements"] = Json::array();
  for (const TuneJudgement& each : answer.judgements) {
    Json judgement;
    judgement["key"] = each.key;
    judgement["verdict"] = tune::word(each.judgement);
    judgement["reason"] = each.reason;
    j["judgements"].push_back(std::move(judgement));
  }
  j["advice"] = answer.advice;
  j["lines"] = Json::array();
  for (const TuneLine& each : answer.lines) {
    Json line;
    line["where"] = each.where;
    line["line"] = each.line;
    j["lines"].push_back(std::move(line));
  }
  j["notes"] = answer.notes;
  j["formula"] = answer.formula;
  j["source"] = answer.source;
  return j.dump(2) + "\n";
}

}  // namespace pitchline::io
