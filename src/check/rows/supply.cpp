#include "pitchline/check/rows/supply.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/bus_voltage.hpp"
#include "pitchline/check/rows/duty.hpp"
#include "pitchline/motor/heat.hpp"
#include "pitchline/motor/supply_voltage.hpp"

namespace pitchline::check {

AxisPower accelerating_power(const AxisState& s) {
  const double motors = s.motors();
  const Current rms = parts::current_rms(s.driver());
  return {
      .shaft = motors * motion::rigid_torque(s.seen, s.axis.want.acceleration) * s.motor_speed(),
      .copper = motors * 2.0 * rms * rms * s.motor().resistance};
}

Power peak_power(const machine::Machine& machine, const std::vector<const AxisState*>& states) {
  Power total{};
  for (const AxisState* s : states) {
    const AxisPower power = accelerating_power(*s);
    total += machine.supply.simultaneity.value() * power.shaft + power.copper;
  }
  return total;
}

Finding supply_finding(const machine::Machine& machine,
                       const std::vector<const AxisState*>& states) {
  const Power total = peak_power(machine, states);
  Finding f =
      compared("supply_power", "supply power, peak", total, Bound::at_most, machine.supply.power);
  if (std::none_of(states.begin(), states.end(), [](const AxisState* s) { return s->in_words; }))
    return f;
  std::vector<Detail> details{};
  const double simultaneity = machine.supply.simultaneity.value();
  for (const AxisState* s : states) {
    const AxisPower power = accelerating_power(*s);
    details.push_back(detail_of("axis " + s->axis.name + ", shaft", power.shaft));
    details.push_back(detail_of("axis " + s->axis.name + ", copper", power.copper));
  }
  details.push_back(detail_of("simultaneity of the shaft powers", Measure::ratio(simultaneity)));
  f.reason = fmt::format(
      "{} accelerating at top speed {} {} {} of {}, without iron and driver losses, for which it "
      "is common to leave half as much again",
      states.size() == 1 ? "the axis" : "all axes",
      simultaneity < 1.0 ? fmt::format("with a simultaneity of {}", significant(simultaneity, 3))
                         : "at once",
      states.size() == 1 ? "takes" : "take", total, machine.supply.power);
  if (f.margin >= 1.0 && f.margin < 1.5) f.verdict = Verdict::unsure;
  if (f.verdict != Verdict::holds)
    f.remedy = fmt::format("a supply of {:.0f} W or more", std::ceil(in_watts(1.5 * total)));
  f.source = "energy balance";
  f.formula = "sum of simultaneity * T omega + 2 I^2 R over the motors";
  f.details = std::move(details);
  return f;
}

std::optional<Finding> supply_mean_finding(const machine::Machine& machine,
                                           const std::vector<const AxisState*>& states) {
  Power total{};
  Power largest_peak{};
  bool described = false;
  std::vector<Detail> details{};
  for (const AxisState* s : states) {
    Power mean = static_cast<double>(s->motors()) *
                 motor::copper_loss(detail::rms_at_rest(s->driver()), s->motor().resistance);
    bool at_rest = true;
    for (const Duty& duty : duties_of(*s)) {
      const DutyPower power = duty_power(*s, duty);
      mean = at_rest ? power.mean() : std::max(mean, power.mean());
      largest_peak = std::max(largest_peak, power.peak);
      at_rest = false;
      described = true;
    }
    total += mean;
    details.push_back(detail_of("axis " + s->axis.name + (at_rest ? ", at rest" : ", mean"), mean));
  }
  if (!described) return std::nullopt;
  details.push_back(detail_of("largest peak of one axis in its cycle", largest_peak));
  Finding f =
      compared("supply_mean", "supply power, mean", total, Bound::at_most, machine.supply.power);
  f.reason = fmt::format(
      "the cycles take {} of {} in the mean, without iron and driver losses and with nothing "
      "credited for braking",
      total, machine.supply.power);
  if (f.margin >= 1.0 && f.margin < 1.5) f.verdict = Verdict::unsure;
  if (f.verdict != Verdict::holds)
    f.remedy = fmt::format("a supply of {:.0f} W or more", std::ceil(in_watts(1.5 * total)));
  f.source = "energy balance";
  f.formula = "sum of driving work / time of the cycle + 2 RMS current^2 R over the motors";
  f.details = std::move(details);
  return f;
}

Finding supply_voltage_finding(const AxisState& s) {
  const Voltage supply = s.machine.supply.voltage;
  const Voltage customary = motor::customary_supply_voltage(s.winding().inductance);
  const Voltage highest = s.driver().highest;
  const bool known = !is_unset(highest);
  Finding f = compared("supply_voltage", "supply voltage", supply, Bound::at_most,
                       known ? highest : customary);
  f.source = "[controller integrator manual], steppers";
  if (known) {
    const Voltage limit = motor::customary_voltage_limit(highest);
    f.formula = "limit: the highest voltage of the driver";
    f.reason = fmt::format("the driver is rated up to {}; customary is at most {}", highest, limit);
    if (f.verdict != Verdict::holds)
      f.remedy = fmt::format("a supply of {} or less, or a driver that is rated higher", limit);
    f.details.push_back(detail_of("customary limit, 90 %", limit));
  } else {
    f.formula = "limit: 32 V * sqrt(inductance / 1 mH)";
    f.reason = fmt::format(
        "the highest voltage of the driver is not given; customary for {} is at most {}",
        s.winding().inductance, customary);
    if (f.verdict == Verdict::fails) f.verdict = Verdict::unsure;
    if (f.verdict != Verdict::holds)
      f.remedy = "a lower voltage, or give the highest voltage of the driver from its maker's data";
  }
  f.details.push_back(detail_of("customary most for the winding", customary));
  return f;
}

std::optional<Finding> supply_sag_finding(const machine::Machine& machine,
                                          const std::vector<const AxisState*>& states) {
  const parts::Supply& supply = machine.supply;
  if (supply.resistance == ohms(0)) return std::nullopt;
  const motor::SupplySource source{.no_load = supply.voltage, .resistance = supply.resistance};
  motor::require_valid(source);
  const Power peak = peak_power(machine, states);
  const Power most = supply.voltage * supply.voltage / (4.0 * supply.resistance);
  const Voltage allowed = sag_allowed * supply.voltage;
  const bool collapses = peak > most;
  const Voltage left = collapses ? volts(0) : motor::voltage_under_load(source, peak);
  Finding f = compared("supply_sag", "sag of the supply", Voltage(supply.voltage - left),
                       Bound::at_most, allowed);
  f.source = "derived, constant power behind a resistance; a tenth: common practice, no source";
  f.formula = "no-load voltage V0 less (V0 + sqrt(V0^2 - 4 * resistance * peak power)) / 2";
  if (collapses) {
    f.value_text = "collapses";
    f.reason = fmt::format("{} are above the {} that {} behind {} can give", peak, most,
                           supply.voltage, supply.resistance);
  } else {
    f.reason = fmt::format("{} are left of {} at a peak of {} behind {}", left, supply.voltage,
                           peak, supply.resistance);
    if (f.verdict == Verdict::fails) f.verdict = Verdict::unsure;
  }
  if (f.verdict != Verdict::holds)
    f.remedy = "thicker or shorter leads, a stiffer supply, or less acceleration at once";
  f.details.push_back(detail_of("voltage left at the drivers", left));
  f.details.push_back(detail_of("peak power", peak));
  f.details.push_back(detail_of("most that can be drawn", most));
  return f;
}

std::vector<Finding> supply_findings(const machine::Machine& machine,
                                     const std::vector<const AxisState*>& states) {
  std::vector<Finding> rows{supply_finding(machine, states)};
  if (auto mean = supply_mean_finding(machine, states)) rows.push_back(std::move(*mean));
  if (auto sag = supply_sag_finding(machine, states)) rows.push_back(std::move(*sag));
  rows.push_back(bus_voltage_finding(machine, states));
  return rows;
}

std::vector<Row> supply_voltage_rows() {
  return {{.key = "supply_voltage",
           .asks = "supply voltage against the most that the driver bears",
           .applies = always,
           .judge = supply_voltage_finding}};
}

}  // namespace pitchline::check
