#include "detail/measure_as_json.hpp"
#include "pitchline/io/print_lift_choice.hpp"
#include "pitchline/report/finding.hpp"

namespace pitchline::io {
namespace {

using detail::as_json;
using detail::Json;
using detail::number_or_null;

std::string_view in_words(const std::optional<screw::StaysUp>& stays) {
  if (!stays) return "not known";
  switch (*stays) {
    case screw::StaysUp::holds:
      return "holds";
    case screw::StaysUp::may_creep:
      return "may creep";
    case screw::StaysUp::back_drives:
      return "back-drives";
  }
  return "not known";
}

Json as_json(const report::Finding& f) {
  Json j;
  j["key"] = f.key;
  j["what"] = f.what;
  j["value"] = as_json(f.value);
  if (!f.value_text.empty()) j["value_text"] = f.value_text;
  j["limit"] = as_json(f.limit);
  j["bound"] = f.bound == report::Bound::at_most ? "at most" : "at least";
  j["margin"] = number_or_null(f.margin);
  j["verdict"] = report::word(f.verdict);
  j["reason"] = f.reason;
  j["remedy"] = f.remedy;
  j["source"] = f.source;
  j["details"] = Json::array();
  for (const report::Detail& d : f.details) {
    Json detail = as_json(d.value);
    detail["label"] = d.label;
    j["details"].push_back(std::move(detail));
  }
  return j;
}

Json as_json(const report::LiftScrew& s) {
  Json j;
  j["name"] = s.screw.name;
  j["thread"] = parts::in_words(s.screw.thread);
  j["preferred"] = s.screw.preferred;
  j["source"] = s.screw.source;
  j["lead"] = as_json(Measure(parts::lead(s.screw)));
  j["starts"] = s.screw.starts;
  j["outer_diameter"] = as_json(Measure(s.screw.outer_diameter));
  j["verdict"] = report::word(s.verdict);
  j["rejected"] = s.rejected;
  j["torque_to_raise"] = as_json(Measure(s.raising));
  j["torque_margin"] = number_or_null(s.torque_margin);
  j["fastest"] = as_json(Measure(s.fastest));
  j["time_over_travel"] = as_json(Measure(s.time));
  j["without_power"] = in_words(s.stays_up);
  j["critical_speed_margin"] = number_or_null(s.critical_margin);
  j["column_margin"] = number_or_null(s.column_margin);
  j["wear_margin"] = number_or_null(s.wear_margin);
  j["per_full_step"] = as_json(Measure(s.per_full_step));
  j["per_pulse"] = as_json(Measure(s.per_pulse));
  // A fraction of whole numbers: exact, as it is typed into a controller.
  j["steps_per_mm"] = print_fraction(s.steps_per_millimetre);
  j["smallest_margin"] = number_or_null(s.smallest_margin);
  j["smallest_margin_of"] = s.weakest;
  j["findings"] = Json::array();
  for (const report::Finding& f : s.rows) j["findings"].push_back(as_json(f));
  return j;
}

}  // namespace

std::string lift_choice_as_json(const report::LiftChoice& c) {
  Json root;
  root["schema"] = 1;
  root["machine"] = c.machine;
  root["axis"] = c.axis;
  root["verdict"] = c.fitting.empty() ? report::word(report::Verdict::fails)
                                      : report::word(c.fitting.front().verdict);
  root["own_screw"] = c.own;
  root["own_screw_is_left_open"] = c.own_is_open;
  root["lifted"] = as_json(Measure(c.lifted));
  root["travel"] = as_json(Measure(c.travel));
  root["wanted_speed"] = as_json(Measure(c.speed));
  root["wanted_acceleration"] = as_json(Measure(c.acceleration));
  root["height_step"] = as_json(Measure(c.height_step));
  root["stays_up"] = c.stays_up;
  root["motors"] = c.motors;
  root["screws"] = c.screws;
  root["torque_margin_wanted"] = number_or_null(c.torque_margin_wanted);
  root["largest_nut_share"] = number_or_null(c.nut_share);
  root["rule"] = report::lift_screw_rule;
  root["why_first"] = c.why_first;
  root["fitting"] = Json::array();
  for (const report::LiftScrew& s : c.fitting) root["fitting"].push_back(as_json(s));
  root["rejected"] = Json::array();
  for (const report::LiftScrew& s : c.rejected) root["rejected"].push_back(as_json(s));
  root["assumed"] = c.assumed;
  root["cautions"] = c.cautions;
  return root.dump(2) + "\n";
}

}  // namespace pitchline::io
