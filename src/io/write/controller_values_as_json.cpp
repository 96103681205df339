#include <cmath>

#include "detail/measure_as_json.hpp"
#include "pitchline/io/print_controller_values.hpp"
#include "pitchline/report/finding.hpp"

namespace pitchline::io {
namespace {

using detail::as_json;
using detail::Json;
using motion::KeptFigure;
using report::AxisValues;
using report::OverrunAt;
using report::TurningValues;

template <class Travel>
Json as_json(const KeptFigure& figure, const Travel& travel) {
  Json j;
  j["exact"] = motion::print_pi_fraction(figure.exact);
  j["value"] = motion::decimal_value(figure.exact);
  j["decimals"] = figure.decimals;
  j["kept"] = nullptr;
  j["kept_text"] = nullptr;
  j["error"] = nullptr;
  if (!figure.kept) return j;
  j["kept"] = to_double(*figure.kept);
  j["kept_text"] = motion::print_decimal(*figure.kept, figure.decimals);
  j["error"] = as_json(Measure(motion::error_over(figure, travel)));
  return j;
}

Json as_json(const TurningValues& t) {
  const Angle turn = revolutions(1);
  Json j;
  j["diameter"] = as_json(Measure(t.diameter));
  j["of_this_diameter"] = t.of_this_diameter;
  j["steps_per_degree"] = as_json(t.pulses_per_degree, turn);
  j["steps_per_degree_whole"] = as_json(t.whole_per_degree, turn);
  j["degrees_per_pulse"] = as_json(t.degrees_per_pulse, turn);
  j["speed"] = as_json(Measure(t.speed));
  j["acceleration"] = as_json(Measure(t.acceleration));
  return j;
}

Json as_json(const OverrunAt& o) {
  Json j;
  j["speed"] = as_json(Measure(o.speed));
  j["ramp"] = as_json(Measure(o.ramp));
  j["settled"] = as_json(o.settled);
  return j;
}

Json as_json(const AxisValues& v) {
  Json j;
  j["name"] = v.name;
  j["parts"] = v.parts;
  j["drive"] = v.drive;
  j["fails"] = v.fails;
  j["steps_per_mm"] = as_json(v.pulses_per_mm, v.travel);
  j["steps_per_mm_whole"] = as_json(v.whole_per_mm, v.travel);
  j["um_per_pulse"] = as_json(v.um_per_pulse, v.travel);
  j["turning"] = v.turning ? as_json(*v.turning) : Json(nullptr);
  j["travel"] = v.turning ? Json(nullptr) : as_json(Measure(v.travel));
  j["speed"] = as_json(Measure(v.speed));
  j["acceleration"] = as_json(Measure(v.acceleration));
  j["jerk_time"] = as_json(Measure(v.jerk_time));
  j["jerk"] = as_json(v.jerk);
  j["unramped_speed"] = as_json(Measure(v.unramped));
  j["current_rms"] = as_json(Measure(v.rms));
  j["current_peak"] = as_json(Measure(v.peak));
  j["current_rms_at_rest"] = as_json(v.rms_at_rest);
  j["pulses_per_turn"] = v.pulses_per_turn;
  j["microsteps"] = as_json(Measure(v.microsteps));
  j["motors"] = v.motors;
  j["direction"] = v.direction;
  j["pulse_rate"] = as_json(Measure(v.needed));
  j["line_room"] = is_unset(v.room) ? Json(nullptr) : as_json(Measure(v.room));
  j["overruns"] = Json::array();
  for (const OverrunAt& o : v.overruns) j["overruns"].push_back(as_json(o));
  return j;
}

}  // namespace

std::string controller_values_as_json(const report::ControllerValues& values) {
  Json root;
  root["schema"] = 1;
  root["machine"] = values.machine;
  root["verdict"] = report::word(values.worst);
  root["fails_together"] = values.common_fails;
  root["decimals"] = values.controller.decimals;
  root["most_pulse_rate"] = as_json(Measure(values.controller.pulse_rate));
  root["axes"] = Json::array();
  for (const AxisValues& axis : values.axes) root["axes"].push_back(as_json(axis));
  return root.dump(2) + "\n";
}

}  // namespace pitchline::io
