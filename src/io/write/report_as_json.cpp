#include "detail/measure_as_json.hpp"
#include "detail/report_words.hpp"
#include "pitchline/io/print_report.hpp"
#include "pitchline/report/finding.hpp"

namespace pitchline::io {
namespace {

using detail::as_json;
using detail::Json;
using detail::number_or_null;

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
  j["formula"] = f.formula;
  j["details"] = Json::array();
  for (const report::Detail& d : f.details) {
    Json detail = as_json(d.value);
    detail["label"] = d.label;
    j["details"].push_back(std::move(detail));
  }
  return j;
}

Json as_json(const report::Binding& b) {
  Json j;
  j["key"] = b.key;
  j["what"] = b.what;
  j["allowed"] = as_json(Measure(b.allowed));
  // Without it, "no number" could mean either.
  j["known"] = !is_unset(b.allowed);
  if (b.speed_limit) j["speed_limit"] = as_json(Measure(*b.speed_limit));
  j["margin"] = number_or_null(b.margin);
  j["verdict"] = report::word(b.verdict);
  j["reason"] = b.reason;
  return j;
}

Json as_json(const report::Influence& i) {
  const auto side = [](const std::string& text, Acceleration allowed, double change,
                       const std::string& binds) {
    Json j;
    j["value_text"] = text;
    j["allowed"] = as_json(Measure(allowed));
    j["change"] = number_or_null(change);
    j["binds"] = binds;
    return j;
  };
  Json j;
  j["what"] = i.what;
  j["tenth_less"] = side(i.less, i.allowed_less, i.change_less, i.binds_less);
  j["tenth_more"] = side(i.more, i.allowed_more, i.change_more, i.binds_more);
  return j;
}

Json as_json(const report::SpeedPoint& p) {
  Json j;
  j["speed"] = as_json(Measure(p.speed));
  j["allowed"] = as_json(Measure(p.allowed));
  j["textbook"] = as_json(Measure(p.textbook));
  return j;
}

Json as_json(const report::MoveTimePoint& p) {
  Json j;
  j["acceleration"] = as_json(Measure(p.acceleration));
  j["speed"] = as_json(Measure(p.speed));
  j["time"] = as_json(Measure(p.time));
  return j;
}

Json as_json(const report::BeltToOrder& b) {
  Json j;
  j["pieces"] = b.pieces;
  j["profile"] = b.profile;
  j["width"] = as_json(Measure(b.width));
  j["length"] = as_json(Measure(b.length));
  return j;
}

Json as_json(const report::ToSet& set) {
  const report::PulsesToSet& pulses = set.pulses;
  Json j;
  Json& p = j[pulses.per_degree ? "steps_per_degree" : "steps_per_mm"];
  p["exact"] = print_fraction(pulses.exact);
  p["value"] = to_double(pulses.exact);
  p["decimals"] = pulses.decimals;
  p["kept"] = to_double(pulses.kept);
  j["current_rms"] = as_json(Measure(set.rms));
  j["current_peak"] = as_json(Measure(set.peak));
  j["strand_tension"] = as_json(set.strand_tension);
  j["strand_note"] = nullptr;
  if (set.note) {
    Json note;
    note["frequency"] = as_json(Measure(set.note->note));
    note["free_length"] = as_json(Measure(set.note->span));
    note["whole_strand"] = set.note->whole;
    j["strand_note"] = std::move(note);
  }
  return j;
}

template <class T>
Json list_as_json(const std::vector<T>& list) {
  Json j = Json::array();
  for (const T& each : list) j.push_back(as_json(each));
  return j;
}

}  // namespace

std::string report_as_json(const report::Report& report) {
  Json root;
  root["schema"] = 1;
  root["machine"] = report.machine;
  root["verdict"] = report::word(report.worst());
  root["axes"] = Json::array();
  for (const report::AxisReport& axis : report.axes) {
    Json j;
    j["name"] = axis.name;
    j["parts"] = axis.parts;
    j["assumed"] = axis.assumed;
    j["not_looked_at"] = axis.not_looked_at;
    j["wanted_speed"] = as_json(Measure(axis.wanted_speed));
    j["wanted_acceleration"] = as_json(Measure(axis.wanted_acceleration));
    j["textbook_acceleration"] = as_json(Measure(axis.textbook));
    j["to_order"] = detail::in_words(axis.to_order);
    j["to_set"] = detail::in_words(axis.to_set);
    j["belts_to_order"] = list_as_json(axis.to_order);
    j["settings"] = as_json(axis.to_set);
    j["binds"] = list_as_json(axis.binds);
    j["influences"] = list_as_json(axis.influences);
    if (axis.capability) {
      j["stroke"] = as_json(Measure(axis.capability->stroke));
      j["acceleration_over_speed"] = list_as_json(axis.capability->over_speed);
      j["move_time"] = list_as_json(axis.capability->move_time);
    }
    j["findings"] = list_as_json(axis.findings);
    root["axes"].push_back(std::move(j));
  }
  root["common"] = list_as_json(report.common);
  root["cautions"] = report.cautions;
  return root.dump(2) + "\n";
}

}  // namespace pitchline::io
