#include "write/finding_record.hpp"

namespace pitchline::io::detail {

Record record_of(const report::Finding& f) {
  Record j;
  j["key"] = f.key;
  j["what"] = f.what;
  j["value"] = f.value;
  if (!f.value_text.empty()) j["value_text"] = f.value_text;
  j["limit"] = f.limit;
  j["bound"] = f.bound == report::Bound::at_most ? "at most" : "at least";
  j["margin"] = f.margin;
  j["verdict"] = report::word(f.verdict);
  j["reason"] = f.reason;
  j["remedy"] = f.remedy;
  j["source"] = f.source;
  j["formula"] = f.formula;
  j["details"] = Value::List{};
  for (const report::Detail& d : f.details) {
    Record entry = measured(d.value);
    entry["label"] = d.label;
    j["details"].push_back(std::move(entry));
  }
  return j;
}

}  // namespace pitchline::io::detail
