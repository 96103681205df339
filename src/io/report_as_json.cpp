#include <cmath>
#include <nlohmann/json.hpp>

#include "pitchline/io/print_report.hpp"

namespace pitchline::io {
namespace {

using Json = nlohmann::ordered_json;

// JSON has no infinity and no NaN; null stands for "no number".
Json number_or_null(double x) { return std::isfinite(x) ? Json(x) : Json(nullptr); }

Json as_json(const Measure& measure) {
  Json j;
  j["value"] = number_or_null(measure.coherent());
  j["unit"] = measure.si_unit();
  return j;
}

Json as_json(const check::Finding& f) {
  Json j;
  j["key"] = f.key;
  j["what"] = f.what;
  j["value"] = as_json(f.value);
  if (!f.value_text.empty()) j["value_text"] = f.value_text;
  j["limit"] = as_json(f.limit);
  j["bound"] = f.bound == check::Bound::at_most ? "at most" : "at least";
  j["margin"] = number_or_null(f.margin);
  j["verdict"] = check::word(f.verdict);
  j["reason"] = f.reason;
  j["remedy"] = f.remedy;
  j["source"] = f.source;
  j["details"] = Json::array();
  for (const check::Detail& d : f.details) {
    Json detail = as_json(d.value);
    detail["label"] = d.label;
    j["details"].push_back(std::move(detail));
  }
  return j;
}

Json as_json(const std::vector<check::Finding>& findings) {
  Json list = Json::array();
  for (const check::Finding& f : findings) list.push_back(as_json(f));
  return list;
}

}  // namespace

std::string report_as_json(const check::Report& report) {
  Json root;
  root["schema"] = 1;
  root["machine"] = report.machine;
  root["verdict"] = check::word(report.worst());
  root["axes"] = Json::array();
  for (const check::AxisReport& axis : report.axes) {
    Json j;
    j["name"] = axis.name;
    j["parts"] = axis.parts;
    j["assumed"] = axis.assumed;
    j["findings"] = as_json(axis.findings);
    root["axes"].push_back(std::move(j));
  }
  root["common"] = as_json(report.common);
  root["cautions"] = report.cautions;
  return root.dump(2) + "\n";
}

}  // namespace pitchline::io
