#include "detail/measure_as_json.hpp"
#include "detail/motor_words.hpp"
#include "pitchline/io/print_motor_sheet.hpp"
#include "pitchline/report/finding.hpp"

namespace pitchline::io {
namespace {

using detail::as_json;
using detail::Json;
using detail::number_or_null;

Json as_json(const motor::Feed& feed) {
  Json j;
  j["voltage"] = as_json(Measure(feed.voltage));
  j["current_peak"] = as_json(Measure(feed.amplitude));
  return j;
}

Json as_json(const motor::Deviation& deviation) {
  Json j;
  j["at_shaft"] = as_json(Measure(deviation.at_shaft));
  j["of_travel"] = as_json(Measure(deviation.of_travel));
  return j;
}

Json as_json(const std::optional<motor::Deviation>& deviation) {
  return deviation ? as_json(*deviation) : Json(nullptr);
}

Json as_json(const parts::PublishedCurve& curve) {
  Json j = as_json(motor::Feed{curve.voltage, curve.amplitude});
  j["source"] = curve.source;
  j["points"] = Json::array();
  for (const parts::CurvePoint& point : curve.points) {
    Json p;
    p["speed"] = as_json(Measure(point.speed));
    p["torque"] = as_json(Measure(point.torque));
    j["points"].push_back(std::move(p));
  }
  return j;
}

Json as_json(const parts::StepperMotor& motor) {
  Json j;
  j["name"] = motor.name;
  j["source"] = motor.source;
  j["full_steps_per_turn"] = as_json(Measure(motor.full_steps_per_turn));
  j["holding_torque"] = as_json(Measure(motor.holding_torque));
  j["phases_on"] = motor.holding_rating == parts::HoldingRating::two_phases_on ? 2 : 1;
  j["rated_current"] = as_json(Measure(motor.rated_current));
  j["resistance"] = as_json(Measure(motor.resistance));
  j["inductance"] = as_json(Measure(motor.inductance));
  j["rotor_inertia"] = as_json(Measure(motor.rotor_inertia));
  j["detent_torque"] = as_json(Measure(motor.detent_torque));
  j["frame"] = motor.frame > 0 ? Json(motor.frame) : Json(nullptr);
  j["published"] = Json::array();
  for (const parts::PublishedCurve& curve : motor.curves) j["published"].push_back(as_json(curve));
  return j;
}

Json as_json(const report::AxisLoad& load) {
  Json j;
  j["constant_speed"] = as_json(Measure(load.constant_speed));
  j["accelerating"] = as_json(Measure(load.accelerating));
  j["start_peak"] = as_json(Measure(load.start_peak));
  j["friction"] = as_json(Measure(load.friction));
  j["speed"] = as_json(Measure(load.speed));
  j["acceleration"] = as_json(Measure(load.acceleration));
  j["transmission"] = as_json(Measure(load.transmission));
  j["mass_behind_belt"] = as_json(Measure(load.mass_behind_belt));
  j["belt_stiffness"] = as_json(Measure(load.belt_stiffness));
  j["torque_margin"] = load.margin.value();
  return j;
}

Json as_json(const report::CurveRow& row, const std::optional<report::AxisLoad>& load) {
  Json j;
  j["speed"] = as_json(Measure(row.speed));
  j["travel"] = load ? as_json(Measure(row.speed * load->transmission)) : Json(nullptr);
  j["wanted"] = row.wanted;
  j["loss_free"] = as_json(Measure(row.loss_free.torque));
  j["limited_by"] = detail::limit_in_words(row.loss_free.region);
  j["dependable"] = as_json(Measure(row.dependable));
  j["calibrated"] = as_json(row.calibrated);
  j["published"] = as_json(row.measured);
  j["verdict"] = as_json(Measure(row.verdict.torque));
  j["rests_on"] = row.verdict.basis_in_words;
  j["shaft_power"] = as_json(Measure(row.power));
  return j;
}

Json as_json(const motor::UnstableBand& band) {
  Json j;
  j["verdict"] = report::word(report::Verdict::unsure);
  j["from"] = as_json(Measure(band.from));
  j["to"] = as_json(Measure(band.to));
  j["worst"] = as_json(Measure(band.worst));
  j["damping_needed"] = as_json(Measure(band.needed));
  j["damping_missing"] = as_json(Measure(band.missing));
  j["oscillation"] = as_json(Measure(band.oscillation));
  j["growth_per_second"] = number_or_null(in_hertz(band.growth));
  j["worst_overstated"] = band.worst_near_saturation;
  j["all_overstated"] = band.all_near_saturation;
  j["ends_with_range_or_torque"] = band.open;
  return j;
}

Json stability(const report::MotorSheet& sheet) {
  Json list = Json::array();
  for (const report::StabilityCase& each : sheet.stability) {
    Json j;
    j["load"] = each.load;
    j["bands"] = Json::array();
    for (const motor::UnstableBand& band : each.bands) j["bands"].push_back(as_json(band));
    list.push_back(std::move(j));
  }
  return list;
}

Json as_json(const report::ResonanceSheet& resonance) {
  Json j;
  j["field_stiffness"] = as_json(Measure(resonance.field_stiffness));
  j["natural_frequency"] = as_json(Measure(resonance.natural));
  std::optional<Frequency> second;
  std::optional<Frequency> stands;
  if (resonance.modes) {
    second = resonance.modes->second;
    stands = resonance.modes->mass_stands;
  }
  j["second_frequency"] = as_json(second);
  j["frequency_load_held"] = as_json(stands);
  j["rates_to_avoid"] = Json::array();
  for (const motor::RateToAvoid& rate : resonance.rates) {
    Json r;
    r["shaken_by"] = detail::in_words(rate.excitation);
    r["pulse_rate"] = as_json(Measure(rate.pulse_rate));
    r["full_step_rate"] = as_json(Measure(rate.full_step_rate));
    r["speed"] = as_json(Measure(rate.shaft_speed));
    r["travel"] = as_json(Measure(rate.travel_speed));
    r["amplitude"] = as_json(Measure(rate.amplitude));
    j["rates_to_avoid"].push_back(std::move(r));
  }
  return j;
}

Json as_json(const report::MicrostepSheet& microsteps) {
  Json j;
  j["set"] = as_json(Measure(microsteps.set));
  j["torque_of_one"] = as_json(Measure(microsteps.torque));
  j["one"] = as_json(microsteps.step);
  j["step_error"] = as_json(microsteps.error);
  j["lag_at_rest"] = as_json(microsteps.lag);
  j["finest_that_moves"] = as_json(microsteps.finest);
  return j;
}

Json as_json(const report::DutyRow& row) {
  const auto when = [](bool there, const Measure& measure) {
    return there ? as_json(measure) : Json(nullptr);
  };
  Json j;
  j["state"] = row.state;
  j["speed"] = as_json(Measure(row.speed));
  j["torque"] = as_json(Measure(row.torque));
  j["possible"] = row.possible;
  j["phase_rms"] = when(row.possible, row.rms);
  j["copper_loss"] = when(row.possible, row.copper);
  j["iron_loss_upper_estimate"] = when(row.possible, row.iron);
  j["shaft_power"] = when(row.possible, row.shaft);
  j["supply_current"] = when(row.possible, row.supply);
  const bool rises = row.possible && row.lasting;
  j["rise_by_copper"] = rises ? as_json(row.by_copper.rise) : Json(nullptr);
  j["rise_by_all"] = rises ? as_json(row.by_all.rise) : Json(nullptr);
  j["runs_away"] = rises && !row.by_copper.rise;
  return j;
}

Json heat(const report::MotorSheet& sheet) {
  Json j;
  j["thermal_resistance"] = as_json(Measure(sheet.thermal.resistance));
  j["thermal_basis"] = detail::in_words(sheet.thermal.basis);
  j["states"] = Json::array();
  for (const report::DutyRow& row : sheet.duty) j["states"].push_back(as_json(row));
  j["idle_holding_torque"] = as_json(Measure(sheet.idle.holding_torque));
  j["customary_supply_current"] = as_json(Measure(sheet.customary_supply));
  return j;
}

Json as_json(const report::VoltageSheet& voltage) {
  Json j;
  j["speed"] = as_json(Measure(voltage.speed));
  j["customary"] = as_json(Measure(voltage.customary));
  j["forces_full_current"] = as_json(Measure(voltage.forcing.all));
  j["least_for_load"] = as_json(voltage.for_load);
  j["gains"] = Json::array();
  for (std::size_t i = 0; i < voltage.loss_free.size(); ++i) {
    Json row;
    row["voltage"] = as_json(Measure(voltage.loss_free[i].voltage));
    row["loss_free"] = as_json(Measure(voltage.loss_free[i].torque));
    row["verdict"] = as_json(Measure(voltage.verdict[i].torque));
    j["gains"].push_back(std::move(row));
  }
  return j;
}

}  // namespace

std::string motor_sheet_as_json(const report::MotorSheet& sheet) {
  Json root;
  root["schema"] = 1;
  root["use"] = sheet.use.name.empty() ? Json(nullptr) : Json(sheet.use.name);
  root["motor"] = as_json(sheet.use.motor);
  root["questions"] = Json::array();
  for (const parts::Question& question : sheet.questions) {
    Json q;
    q["figure"] = parts::name(question.figure);
    q["text"] = question.text;
    root["questions"].push_back(std::move(q));
  }
  root["feed"] = as_json(sheet.use.feed);
  root["feed"]["current_rms"] = as_json(Measure(sheet.rms));
  root["torque_constant"] = as_json(Measure(sheet.torque_constant));
  root["inertia"] = as_json(Measure(sheet.use.inertia));
  root["load"] = sheet.use.load ? as_json(*sheet.use.load) : Json(nullptr);
  root["corner_speed"] = as_json(Measure(sheet.corner));
  root["corner_speed_with_losses"] = as_json(Measure(sheet.dependable_corner));
  root["zero_torque_speed"] = as_json(sheet.zero_torque);
  root["strongest"] = as_json(sheet.strongest, sheet.use.load);
  root["at_reference"] = as_json(sheet.at_reference, sheet.use.load);
  root["loss_level"] = sheet.loss_level ? Json(*sheet.loss_level) : Json(nullptr);
  root["published_feed"] = sheet.measured_feed ? as_json(*sheet.measured_feed) : Json(nullptr);
  root["points_contradict_loss_free"] = sheet.points_contradict;
  root["points_levelled"] = sheet.points_levelled;
  root["outside_compared"] = sheet.outside_compared;
  root["curve"] = Json::array();
  for (const report::CurveRow& row : sheet.rows)
    root["curve"].push_back(as_json(row, sheet.use.load));
  root["stability"] = stability(sheet);
  root["resonance"] = as_json(sheet.resonance);
  root["microsteps"] = as_json(sheet.microsteps);
  root["heat"] = heat(sheet);
  root["voltage"] = as_json(sheet.voltage);
  root["assumed"] = sheet.assumed;
  return root.dump(2) + "\n";
}

}  // namespace pitchline::io
