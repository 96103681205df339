#include "write/part_records.hpp"

#include <cmath>

namespace pitchline::io::detail {
namespace {

template <class Q>
void set(Record& record, std::string_view key, const Q& quantity) {
  record[key] = value_of(quantity);
}

}  // namespace

Record record_of_part(const parts::StepperMotor& m) {
  Record r;
  r["name"] = m.name;
  r["frame"] = value_of(m.frame);
  r["step_angle"] = Angle(revolution / in_full_steps(m.full_steps_per_turn));
  set(r, "holding_torque", m.holding_torque);
  r["rated"] =
      m.holding_rating == parts::HoldingRating::two_phases_on ? "two phases on" : "one phase on";
  set(r, "current", m.rated_current);
  set(r, "resistance", m.resistance);
  set(r, "inductance", m.inductance);
  set(r, "rotor_inertia", m.rotor_inertia);
  set(r, "detent_torque", m.detent_torque);
  set(r, "mass", m.mass);
  set(r, "length", m.length);
  set(r, "shaft", m.shaft_diameter);
  set(r, "shaft_length", m.shaft_length);
  set(r, "shaft_load", m.shaft_load);
  set(r, "shaft_load_at", m.shaft_load_at);
  set(r, "axial_load", m.axial_load);
  r["lacks"] = Value(m.lacks);
  Value::List curves;
  for (const parts::PublishedCurve& curve : m.curves) {
    Record c;
    c["voltage"] = curve.voltage;
    c["current_peak"] = curve.amplitude;
    c["source"] = curve.source;
    c["points"] = list_of(curve.points, [](const parts::CurvePoint& point) {
      Record p;
      p["speed"] = point.speed;
      p["torque"] = point.torque;
      return p;
    });
    curves.emplace_back(std::move(c));
  }
  r["published"] = std::move(curves);
  add_notes(r, m.source, m.notes);
  return r;
}

Record record_of_part(const parts::BeltProfile& p) {
  Record r;
  r["name"] = p.name;
  r["pitch"] = millimetres(to_double(p.pitch_millimetres));
  set(r, "stiffness_per_width", p.stiffness_per_width);
  set(r, "mass_per_width", p.mass_per_width);
  set(r, "pitch_line_differential", p.pitch_line_differential.value);
  set(r, "tooth_height", p.tooth_height.value);
  set(r, "thickness", p.thickness.value);
  Value::List widths;
  for (const Length& width : p.widths) widths.emplace_back(width);
  r["widths"] = std::move(widths);
  set(r, "tension_of_one_inch", p.tension_of_one_inch.value);
  set(r, "highest_speed", p.highest_speed.value);
  add_notes(r, p.source, p.notes);
  return r;
}

Record record_of_part(const parts::Screw& s) {
  Record r;
  r["name"] = s.name;
  r["thread"] = parts::in_words(s.thread);
  set(r, "outer_diameter", s.outer_diameter);
  r["lead"] = parts::lead(s);
  r["starts"] = s.starts;
  set(r, "mean_diameter", s.mean_diameter);
  set(r, "minor_diameter", s.minor_diameter);
  set(r, "ball_diameter", s.ball_diameter);
  set(r, "dynamic_rating", s.dynamic_rating);
  set(r, "static_rating", s.static_rating);
  r["preferred"] = s.preferred;
  add_notes(r, s.source, s.notes);
  return r;
}

std::vector<std::string> questions_of(const parts::StepperMotor& motor) {
  std::vector<std::string> all;
  for (const parts::Question& question : parts::questions(motor)) all.push_back(question.text);
  for (const std::string& key : motor.lacks)
    all.push_back(fmt::format("no source gives its {}: it is listed and never proposed", key));
  return all;
}

}  // namespace pitchline::io::detail
