#include "write/document.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <stdexcept>

namespace pitchline::io::detail {
namespace {

using Json = nlohmann::ordered_json;

// JSON has no infinity and no NaN; null stands for "no number".
Json number_or_null(double x) { return std::isfinite(x) ? Json(x) : Json(nullptr); }

Json json_of(const Value& value);

struct ToJson {
  Json operator()(std::monostate) const { return nullptr; }
  Json operator()(bool x) const { return x; }
  Json operator()(std::int64_t x) const { return x; }
  Json operator()(double x) const { return number_or_null(x); }
  Json operator()(const Fraction& x) const { return print_fraction(x); }
  Json operator()(const std::string& x) const { return x; }
  Json operator()(const Measure& x) const {
    Json j;
    j["value"] = number_or_null(x.coherent());
    j["unit"] = x.si_unit();
    return j;
  }
  Json operator()(const Value::List& list) const {
    Json j = Json::array();
    for (const Value& each : list) j.push_back(json_of(each));
    return j;
  }
  Json operator()(const Record& record) const {
    Json j = Json::object();
    for (const Field& field : record.fields()) j[field.key] = json_of(field.value);
    return j;
  }
};

Json json_of(const Value& value) { return std::visit(ToJson{}, value.any()); }

// What a cell shows of its field.
struct ToCell {
  const Column& column;

  std::string operator()(std::monostate) const { return "-"; }
  std::string operator()(bool x) const { return x ? "yes" : "no"; }
  std::string operator()(std::int64_t x) const { return fmt::format("{}", x); }
  std::string operator()(double x) const {
    return column.shown == Shown::margin ? margin_in_words(x) : significant(x);
  }
  std::string operator()(const Fraction& x) const { return significant(to_double(x)); }
  std::string operator()(const std::string& x) const { return x; }
  std::string operator()(const Measure& x) const {
    if (!column.one) return x.text();
    if (x.si_unit() != column.one->si_unit()) throw std::out_of_range(column.key);
    return significant(x.coherent() / column.one->coherent());
  }
  std::string operator()(const Value::List&) const { throw std::out_of_range(column.key); }
  std::string operator()(const Record&) const { throw std::out_of_range(column.key); }
};

template <class TextOf>
std::string line_of(const std::vector<Column>& columns, const TextOf& text_of) {
  std::string line;
  for (const Column& c : columns) {
    if (c.left && !line.empty()) line += ' ';
    line += c.left ? fmt::format("{:<{}}", text_of(c), c.width)
                   : fmt::format("{:>{}}", text_of(c), c.width);
  }
  line.erase(line.find_last_not_of(' ') + 1);
  return line + "\n";
}

}  // namespace

Record::Record() = default;
Record::~Record() = default;
Record::Record(const Record&) = default;
Record::Record(Record&&) noexcept = default;
Record& Record::operator=(const Record&) = default;
Record& Record::operator=(Record&&) noexcept = default;

Value& Record::operator[](std::string_view key) {
  for (Field& field : fields_)
    if (field.key == key) return field.value;
  fields_.push_back({std::string(key), {}});
  return fields_.back().value;
}

const Value& Record::at(std::string_view key) const {
  for (const Field& field : fields_)
    if (field.key == key) return field.value;
  throw std::out_of_range(fmt::format("no field {}", key));
}

void Value::push_back(Value value) {
  if (std::holds_alternative<std::monostate>(any_)) any_ = List{};
  std::get<List>(any_).push_back(std::move(value));
}

Record measured(const Measure& measure) {
  Record record;
  record["value"] = measure.coherent();
  record["unit"] = measure.si_unit();
  return record;
}

std::string as_json(const Record& document) { return ToJson{}(document).dump(2) + "\n"; }

std::string print_table(const std::vector<Column>& columns, const Value::List& records,
                        std::size_t rows) {
  std::string out = line_of(columns, [](const Column& c) { return c.head; });
  if (std::any_of(columns.begin(), columns.end(), [](const Column& c) { return !c.unit.empty(); }))
    out += line_of(columns, [](const Column& c) { return c.unit; });
  for (std::size_t i = 0; i < std::min(rows, records.size()); ++i) {
    const auto& record = std::get<Record>(records[i].any());
    out += line_of(columns,
                   [&](const Column& c) { return std::visit(ToCell{c}, record.at(c.key).any()); });
  }
  return out;
}

std::string margin_in_words(double margin) {
  // Nothing is asked, or nothing can be said.
  if (!std::isfinite(margin)) return "-";
  if (margin > 0 && margin < 0.001) return "<0.001";
  // A margin of hundreds says no more than "ample", and its digits would only be noise.
  if (margin >= 100) return ">100";
  return significant(margin, 3);
}

}  // namespace pitchline::io::detail
