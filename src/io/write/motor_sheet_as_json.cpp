#include "detail/motor_words.hpp"
#include "pitchline/io/print_motor_sheet.hpp"
#include "pitchline/report/finding.hpp"
#include "write/document.hpp"

namespace pitchline::io {
namespace {

using detail::Record;
using detail::Value;

Record record_of(const motor::Feed& feed) {
  Record j;
  j["voltage"] = Measure(feed.voltage);
  j["current_peak"] = Measure(feed.amplitude);
  return j;
}

Record record_of(const motor::Deviation& deviation) {
  Record j;
  j["at_shaft"] = Measure(deviation.at_shaft);
  j["of_travel"] = Measure(deviation.of_travel);
  return j;
}

Value record_of(const std::optional<motor::Deviation>& deviation) {
  return deviation ? record_of(*deviation) : Value();
}

Record record_of(const parts::PublishedCurve& curve) {
  Record j = record_of(motor::Feed{curve.voltage, curve.amplitude});
  j["source"] = curve.source;
  j["points"] = Value::List{};
  for (const parts::CurvePoint& point : curve.points) {
    Record p;
    p["speed"] = Measure(point.speed);
    p["torque"] = Measure(point.torque);
    j["points"].push_back(std::move(p));
  }
  return j;
}

Record record_of(const parts::StepperMotor& motor) {
  Record j;
  j["name"] = motor.name;
  j["source"] = motor.source;
  j["full_steps_per_turn"] = Measure(motor.full_steps_per_turn);
  j["holding_torque"] = Measure(motor.holding_torque);
  j["phases_on"] = motor.holding_rating == parts::HoldingRating::two_phases_on ? 2 : 1;
  j["rated_current"] = Measure(motor.rated_current);
  j["resistance"] = Measure(motor.resistance);
  j["inductance"] = Measure(motor.inductance);
  j["rotor_inertia"] = Measure(motor.rotor_inertia);
  j["detent_torque"] = Measure(motor.detent_torque);
  j["frame"] = motor.frame > 0 ? Value(motor.frame) : Value();
  j["published"] = Value::List{};
  for (const parts::PublishedCurve& curve : motor.curves)
    j["published"].push_back(record_of(curve));
  return j;
}

Record record_of(const report::AxisLoad& load) {
  Record j;
  j["constant_speed"] = Measure(load.constant_speed);
  j["accelerating"] = Measure(load.accelerating);
  j["start_peak"] = Measure(load.start_peak);
  j["friction"] = Measure(load.friction);
  j["speed"] = Measure(load.speed);
  j["acceleration"] = Measure(load.acceleration);
  j["transmission"] = Measure(load.transmission);
  j["mass_behind_belt"] = Measure(load.mass_behind_belt);
  j["belt_stiffness"] = Measure(load.belt_stiffness);
  j["torque_margin"] = load.margin.value();
  return j;
}

Record record_of(const report::CurveRow& row, const std::optional<report::AxisLoad>& load) {
  Record j;
  j["speed"] = Measure(row.speed);
  j["travel"] = load ? Measure(row.speed * load->transmission) : Value();
  j["wanted"] = row.wanted;
  j["loss_free"] = Measure(row.loss_free.torque);
  j["limited_by"] = detail::limit_in_words(row.loss_free.region);
  j["dependable"] = Measure(row.dependable);
  j["calibrated"] = row.calibrated;
  j["published"] = row.measured;
  j["verdict"] = Measure(row.verdict.torque);
  j["rests_on"] = row.verdict.basis_in_words;
  j["shaft_power"] = Measure(row.power);
  return j;
}

Record record_of(const motor::UnstableBand& band) {
  Record j;
  j["verdict"] = report::word(report::Verdict::unsure);
  j["from"] = Measure(band.from);
  j["to"] = Measure(band.to);
  j["worst"] = Measure(band.worst);
  j["damping_needed"] = Measure(band.needed);
  j["damping_missing"] = Measure(band.missing);
  j["oscillation"] = Measure(band.oscillation);
  j["growth_per_second"] = in_hertz(band.growth);
  j["worst_overstated"] = band.worst_near_saturation;
  j["all_overstated"] = band.all_near_saturation;
  j["ends_with_range_or_torque"] = band.open;
  return j;
}

Value::List stability(const report::MotorSheet& sheet) {
  Value::List list;
  for (const report::StabilityCase& each : sheet.stability) {
    Record j;
    j["load"] = each.load;
    j["bands"] = Value::List{};
    for (const motor::UnstableBand& band : each.bands) j["bands"].push_back(record_of(band));
    list.push_back(std::move(j));
  }
  return list;
}

Record record_of(const report::ResonanceSheet& resonance) {
  Record j;
  j["field_stiffness"] = Measure(resonance.field_stiffness);
  j["natural_frequency"] = Measure(resonance.natural);
  std::optional<Frequency> second;
  std::optional<Frequency> stands;
  if (resonance.modes) {
    second = resonance.modes->second;
    stands = resonance.modes->mass_stands;
  }
  j["second_frequency"] = second;
  j["frequency_load_held"] = stands;
  j["rates_to_avoid"] = Value::List{};
  for (const motor::RateToAvoid& rate : resonance.rates) {
    Record r;
    r["shaken_by"] = detail::in_words(rate.excitation);
    r["pulse_rate"] = Measure(rate.pulse_rate);
    r["full_step_rate"] = Measure(rate.full_step_rate);
    r["speed"] = Measure(rate.shaft_speed);
    r["travel"] = Measure(rate.travel_speed);
    r["amplitude"] = Measure(rate.amplitude);
    j["rates_to_avoid"].push_back(std::move(r));
  }
  return j;
}

Record record_of(const report::MicrostepSheet& microsteps) {
  Record j;
  j["set"] = Measure(microsteps.set);
  j["torque_of_one"] = Measure(microsteps.torque);
  j["one"] = record_of(microsteps.step);
  j["step_error"] = record_of(microsteps.error);
  j["lag_at_rest"] = record_of(microsteps.lag);
  j["finest_that_moves"] = microsteps.finest;
  return j;
}

Record record_of(const report::DutyRow& row) {
  const auto when = [](bool there, const Measure& measure) {
    return there ? Value(measure) : Value();
  };
  Record j;
  j["state"] = row.state;
  j["speed"] = Measure(row.speed);
  j["torque"] = Measure(row.torque);
  j["possible"] = row.possible;
  j["phase_rms"] = when(row.possible, row.rms);
  j["copper_loss"] = when(row.possible, row.copper);
  j["iron_loss_upper_estimate"] = when(row.possible, row.iron);
  j["shaft_power"] = when(row.possible, row.shaft);
  j["supply_current"] = when(row.possible, row.supply);
  const bool rises = row.possible && row.lasting;
  j["rise_by_copper"] = rises ? Value(row.by_copper.rise) : Value();
  j["rise_by_all"] = rises ? Value(row.by_all.rise) : Value();
  j["runs_away"] = rises && !row.by_copper.rise;
  return j;
}

Record heat(const report::MotorSheet& sheet) {
  Record j;
  j["thermal_resistance"] = Measure(sheet.thermal.resistance);
  j["thermal_basis"] = detail::in_words(sheet.thermal.basis);
  j["states"] = Value::List{};
  for (const report::DutyRow& row : sheet.duty) j["states"].push_back(record_of(row));
  j["idle_holding_torque"] = Measure(sheet.idle.holding_torque);
  j["customary_supply_current"] = Measure(sheet.customary_supply);
  return j;
}

Record record_of(const report::VoltageSheet& voltage) {
  Record j;
  j["speed"] = Measure(voltage.speed);
  j["customary"] = Measure(voltage.customary);
  j["forces_full_current"] = Measure(voltage.forcing.all);
  j["least_for_load"] = voltage.for_load;
  j["gains"] = Value::List{};
  for (std::size_t i = 0; i < voltage.loss_free.size(); ++i) {
    Record row;
    row["voltage"] = Measure(voltage.loss_free[i].voltage);
    row["loss_free"] = Measure(voltage.loss_free[i].torque);
    row["verdict"] = Measure(voltage.verdict[i].torque);
    j["gains"].push_back(std::move(row));
  }
  return j;
}

}  // namespace

std::string motor_sheet_as_json(const report::MotorSheet& sheet) {
  Record root;
  root["schema"] = 1;
  root["use"] = sheet.use.name.empty() ? Value() : Value(sheet.use.name);
  root["motor"] = record_of(sheet.use.motor);
  root["questions"] = Value::List{};
  for (const parts::Question& question : sheet.questions) {
    Record q;
    q["figure"] = parts::name(question.figure);
    q["text"] = question.text;
    root["questions"].push_back(std::move(q));
  }
  Record feed = record_of(sheet.use.feed);
  feed["current_rms"] = sheet.rms;
  root["feed"] = std::move(feed);
  root["torque_constant"] = Measure(sheet.torque_constant);
  root["inertia"] = Measure(sheet.use.inertia);
  root["load"] = sheet.use.load ? record_of(*sheet.use.load) : Value();
  root["corner_speed"] = Measure(sheet.corner);
  root["corner_speed_with_losses"] = Measure(sheet.dependable_corner);
  root["zero_torque_speed"] = sheet.zero_torque;
  root["strongest"] = record_of(sheet.strongest, sheet.use.load);
  root["at_reference"] = record_of(sheet.at_reference, sheet.use.load);
  root["loss_level"] = sheet.loss_level ? Value(*sheet.loss_level) : Value();
  root["published_feed"] = sheet.measured_feed ? record_of(*sheet.measured_feed) : Value();
  root["points_contradict_loss_free"] = sheet.points_contradict;
  root["points_levelled"] = sheet.points_levelled;
  root["outside_compared"] = sheet.outside_compared;
  root["curve"] = Value::List{};
  for (const report::CurveRow& row : sheet.rows)
    root["curve"].push_back(record_of(row, sheet.use.load));
  root["stability"] = stability(sheet);
  root["resonance"] = record_of(sheet.resonance);
  root["microsteps"] = record_of(sheet.microsteps);
  root["heat"] = heat(sheet);
  root["voltage"] = record_of(sheet.voltage);
  root["assumed"] = sheet.assumed;
  return detail::as_json(root);
}

}  // namespace pitchline::io
