#include "detail/report_words.hpp"
#include "pitchline/io/print_report.hpp"
#include "pitchline/report/finding.hpp"
#include "write/document.hpp"
#include "write/finding_record.hpp"

namespace pitchline::io {
namespace {

using detail::list_of;
using detail::Record;
using detail::record_of;
using detail::Value;

Record record_of(const report::Binding& b) {
  Record j;
  j["key"] = b.key;
  j["what"] = b.what;
  j["allowed"] = Measure(b.allowed);
  if (!is_unset(b.at_worst)) j["with_every_swing_at_its_worst"] = Measure(b.at_worst);
  if (!is_unset(b.customary)) j["with_customary_factor"] = Measure(b.customary);
  if (b.least > Acceleration{}) j["from"] = Measure(b.least);
  // Without it, "no number" could mean either.
  j["known"] = !is_unset(b.allowed);
  if (b.speed_limit) j["speed_limit"] = Measure(*b.speed_limit);
  j["margin"] = b.margin;
  j["verdict"] = report::word(b.verdict);
  j["reason"] = b.reason;
  return j;
}

Record record_of(const report::Influence& i) {
  const auto side = [](const std::string& text, Acceleration allowed, double change,
                       const std::string& binds) {
    Record j;
    j["value_text"] = text;
    j["allowed"] = Measure(allowed);
    j["change"] = change;
    j["binds"] = binds;
    return j;
  };
  Record j;
  j["what"] = i.what;
  j["tenth_less"] = side(i.less, i.allowed_less, i.change_less, i.binds_less);
  j["tenth_more"] = side(i.more, i.allowed_more, i.change_more, i.binds_more);
  return j;
}

Record record_of(const report::SpeedPoint& p) {
  Record j;
  j["speed"] = Measure(p.speed);
  j["allowed"] = Measure(p.allowed);
  j["textbook"] = Measure(p.textbook);
  return j;
}

Record record_of(const report::MoveTimePoint& p) {
  Record j;
  j["acceleration"] = Measure(p.acceleration);
  j["speed"] = Measure(p.speed);
  j["time"] = Measure(p.time);
  return j;
}

Record record_of(const report::BeltToOrder& b) {
  Record j;
  j["pieces"] = b.pieces;
  j["profile"] = b.profile;
  j["width"] = Measure(b.width);
  j["length"] = Measure(b.length);
  return j;
}

Record record_of(const report::ToSet& set) {
  const report::PulsesToSet& pulses = set.pulses;
  Record j;
  Record p;
  p["exact"] = pulses.exact;
  p["value"] = to_double(pulses.exact);
  p["decimals"] = pulses.decimals;
  p["kept"] = to_double(pulses.kept);
  j[pulses.per_degree ? "steps_per_degree" : "steps_per_mm"] = std::move(p);
  j["current_rms"] = Measure(set.rms);
  j["current_peak"] = Measure(set.peak);
  j["strand_tension"] = set.strand_tension;
  j["strand_tension_least"] = set.strand_tension_least;
  j["strand_tension_most"] = set.strand_tension_most;
  j["strand_note"] = Value();
  if (set.note) {
    Record note;
    note["frequency"] = Measure(set.note->note);
    note["free_length"] = Measure(set.note->span);
    note["whole_strand"] = set.note->whole;
    j["strand_note"] = std::move(note);
  }
  return j;
}

template <class T>
Value::List records_of(const std::vector<T>& list) {
  return list_of(list, [](const T& each) { return record_of(each); });
}

}  // namespace

std::string report_as_json(const report::Report& report) {
  Record root;
  root["schema"] = 1;
  root["machine"] = report.machine;
  root["verdict"] = report::word(report.worst());
  root["axes"] = Value::List{};
  for (const report::AxisReport& axis : report.axes) {
    Record j;
    j["name"] = axis.name;
    j["parts"] = axis.parts;
    j["assumed"] = axis.assumed;
    j["not_looked_at"] = axis.not_looked_at;
    j["wanted_speed"] = Measure(axis.wanted_speed);
    j["wanted_acceleration"] = Measure(axis.wanted_acceleration);
    j["textbook_acceleration"] = Measure(axis.textbook);
    j["to_order"] = detail::in_words(axis.to_order);
    j["to_set"] = detail::in_words(axis.to_set);
    j["belts_to_order"] = records_of(axis.to_order);
    j["settings"] = record_of(axis.to_set);
    j["binds"] = records_of(axis.binds);
    j["influences"] = records_of(axis.influences);
    if (axis.capability) {
      j["stroke"] = Measure(axis.capability->stroke);
      j["acceleration_over_speed"] = records_of(axis.capability->over_speed);
      j["move_time"] = records_of(axis.capability->move_time);
    }
    j["findings"] = records_of(axis.findings);
    root["axes"].push_back(std::move(j));
  }
  root["common"] = records_of(report.common);
  root["cautions"] = report.cautions;
  return detail::as_json(root);
}

}  // namespace pitchline::io
