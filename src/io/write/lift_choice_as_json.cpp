#include "pitchline/io/print_lift_choice.hpp"
#include "pitchline/report/finding.hpp"
#include "write/document.hpp"
#include "write/finding_record.hpp"
#include "write/lift_screw_record.hpp"

namespace pitchline::io {
namespace detail {

namespace {
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
}  // namespace

Record record_of(const report::LiftScrew& s) {
  Record j;
  j["name"] = s.screw.name;
  j["thread"] = parts::in_words(s.screw.thread);
  j["preferred"] = s.screw.preferred;
  j["source"] = s.screw.source;
  j["lead"] = Measure(parts::lead(s.screw));
  j["starts"] = s.screw.starts;
  j["outer_diameter"] = Measure(s.screw.outer_diameter);
  j["verdict"] = report::word(s.verdict);
  j["rejected"] = s.rejected;
  j["torque_to_raise"] = Measure(s.raising);
  j["torque_margin"] = s.torque_margin;
  j["fastest"] = Measure(s.fastest);
  j["time_over_travel"] = Measure(s.time);
  j["without_power"] = in_words(s.stays_up);
  j["critical_speed_margin"] = s.critical_margin;
  j["column_margin"] = s.column_margin;
  j["wear_margin"] = s.wear_margin;
  j["per_full_step"] = Measure(s.per_full_step);
  j["per_pulse"] = Measure(s.per_pulse);
  // A fraction of whole numbers: exact, as it is typed into a controller.
  j["steps_per_mm"] = s.steps_per_millimetre;
  j["smallest_margin"] = s.smallest_margin;
  j["smallest_margin_of"] = s.weakest;
  j["findings"] = Value::List{};
  for (const report::Finding& f : s.rows) j["findings"].push_back(record_of(f));
  return j;
}

}  // namespace detail

using detail::Record;
using detail::record_of;
using detail::Value;

std::string lift_choice_as_json(const report::LiftChoice& c) {
  Record root;
  root["schema"] = 1;
  root["machine"] = c.machine;
  root["axis"] = c.axis;
  root["verdict"] = c.fitting.empty() ? report::word(report::Verdict::fails)
                                      : report::word(c.fitting.front().verdict);
  root["own_screw"] = c.own;
  root["own_screw_is_left_open"] = c.own_is_open;
  root["lifted"] = Measure(c.lifted);
  root["travel"] = Measure(c.travel);
  root["wanted_speed"] = Measure(c.speed);
  root["wanted_acceleration"] = Measure(c.acceleration);
  root["height_step"] = Measure(c.height_step);
  root["stays_up"] = c.stays_up;
  root["motors"] = c.motors;
  root["screws"] = c.screws;
  root["torque_margin_wanted"] = c.torque_margin_wanted;
  root["largest_nut_share"] = c.nut_share;
  root["rule"] = report::lift_screw_rule;
  root["why_first"] = c.why_first;
  root["fitting"] = Value::List{};
  for (const report::LiftScrew& s : c.fitting) root["fitting"].push_back(record_of(s));
  root["rejected"] = Value::List{};
  for (const report::LiftScrew& s : c.rejected) root["rejected"].push_back(record_of(s));
  root["assumed"] = c.assumed;
  root["cautions"] = c.cautions;
  return detail::as_json(root);
}

}  // namespace pitchline::io
