#include <cmath>

#include "pitchline/io/print_controller_values.hpp"
#include "pitchline/report/finding.hpp"
#include "write/document.hpp"

namespace pitchline::io {
namespace {

using detail::Record;
using detail::Value;
using motion::KeptFigure;
using report::AxisValues;
using report::OverrunAt;
using report::TurningValues;

template <class Travel>
Record record_of(const KeptFigure& figure, const Travel& travel) {
  Record j;
  j["exact"] = motion::print_pi_fraction(figure.exact);
  j["value"] = motion::decimal_value(figure.exact);
  j["decimals"] = figure.decimals;
  j["kept"] = Value();
  j["kept_text"] = Value();
  j["error"] = Value();
  if (!figure.kept) return j;
  j["kept"] = to_double(*figure.kept);
  j["kept_text"] = motion::print_decimal(*figure.kept, figure.decimals);
  j["error"] = Measure(motion::error_over(figure, travel));
  return j;
}

Record record_of(const TurningValues& t) {
  const Angle turn = revolutions(1);
  Record j;
  j["diameter"] = Measure(t.diameter);
  j["of_this_diameter"] = t.of_this_diameter;
  j["steps_per_degree"] = record_of(t.pulses_per_degree, turn);
  j["steps_per_degree_whole"] = record_of(t.whole_per_degree, turn);
  j["degrees_per_pulse"] = record_of(t.degrees_per_pulse, turn);
  j["speed"] = Measure(t.speed);
  j["acceleration"] = Measure(t.acceleration);
  return j;
}

Record record_of(const OverrunAt& o) {
  Record j;
  j["speed"] = Measure(o.speed);
  j["ramp"] = Measure(o.ramp);
  j["settled"] = o.settled;
  return j;
}

Record record_of(const AxisValues& v) {
  Record j;
  j["name"] = v.name;
  j["parts"] = v.parts;
  j["drive"] = v.drive;
  j["fails"] = v.fails;
  j["steps_per_mm"] = record_of(v.pulses_per_mm, v.travel);
  j["steps_per_mm_whole"] = record_of(v.whole_per_mm, v.travel);
  j["um_per_pulse"] = record_of(v.um_per_pulse, v.travel);
  j["turning"] = v.turning ? record_of(*v.turning) : Value();
  j["travel"] = v.turning ? Value() : Measure(v.travel);
  j["speed"] = Measure(v.speed);
  j["acceleration"] = Measure(v.acceleration);
  j["jerk_time"] = Measure(v.jerk_time);
  j["jerk"] = v.jerk;
  j["unramped_speed"] = Measure(v.unramped);
  j["current_rms"] = Measure(v.rms);
  j["current_peak"] = Measure(v.peak);
  j["current_rms_at_rest"] = v.rms_at_rest;
  j["pulses_per_turn"] = v.pulses_per_turn;
  j["microsteps"] = Measure(v.microsteps);
  j["motors"] = v.motors;
  j["direction"] = v.direction;
  j["pulse_rate"] = Measure(v.needed);
  j["line_room"] = is_unset(v.room) ? Value() : Measure(v.room);
  j["overruns"] = Value::List{};
  for (const OverrunAt& o : v.overruns) j["overruns"].push_back(record_of(o));
  return j;
}

}  // namespace

std::string controller_values_as_json(const report::ControllerValues& values) {
  Record root;
  root["schema"] = 1;
  root["machine"] = values.machine;
  root["verdict"] = report::word(values.worst);
  root["fails_together"] = values.common_fails;
  root["decimals"] = values.controller.decimals;
  root["most_pulse_rate"] = Measure(values.controller.pulse_rate);
  root["axes"] = Value::List{};
  for (const AxisValues& axis : values.axes) root["axes"].push_back(record_of(axis));
  return detail::as_json(root);
}

}  // namespace pitchline::io
