#include "pitchline/check/rows/bus_voltage.hpp"

#include <algorithm>
#include <limits>
#include <string>
#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motion/trapezoid.hpp"
#include "pitchline/motor/bus_voltage.hpp"
#include "pitchline/motor/heat.hpp"
#include "pitchline/motor/supply_voltage.hpp"

namespace pitchline::check {

namespace detail {

// What is known of the bus before a verdict.
struct Bus {
  AxisReturn most{};                 // of the axis that returns most
  Energy back{};                     // by it, 0 where the supply has to help
  Energy at_once{};                  // by all axes together
  Energy uncertain{};                // largest bound of an axis whose current is not forced
  Voltage limit = unset<Voltage>();  // lowest that a driver stands
  std::string unknown{};             // axes whose driver does not say
};

}  // namespace detail

AxisReturn returned_by(const AxisState& s) {
  const double motors = s.motors();
  const machine::Want& want = s.axis.want;
  const auto square = s.seen.transmission * s.seen.transmission;
  motor::Braking stop{.speed = want.speed,
                      .deceleration = want.acceleration,
                      .mass = motors * (s.seen.mass + Mass(s.seen.driven_side_inertia / square)),
                      .motor_side_mass = motors * Mass(s.seen.motor_side_inertia / square),
                      .gravity = motors * s.seen.gravity,
                      .friction = motors * s.seen.friction,
                      .efficiency = s.seen.efficiency,
                      .copper_loss = motors * motor::copper_loss(parts::current_rms(s.driver()),
                                                                 s.motor().resistance)};
  motor::Braking lowering = stop;
  if (!is_unset(want.stroke)) {
    const motion::Trapezoid move =
        motion::fastest_trapezoid(want.stroke, {want.speed, want.acceleration, want.acceleration});
    stop.speed = lowering.speed = move.top_speed;
    // What rounding leaves of no cruise may be below zero.
    if (s.seen.gravity > Force{})
      lowering.lowered = std::max(Length{}, Length(move.top_speed * move.cruising));
  } else if (s.seen.gravity > Force{}) {
    // Any stroke: at its worst all of the travel.
    lowering.lowered = machine::travel_of(s.axis.drive);
  }
  const motor::BrakingEnergy with = motor::braking_energy(lowering);
  const motor::BrakingEnergy without = motor::braking_energy(stop);
  AxisReturn back{
      .state = &s, .energy = with.to_bus > without.to_bus ? with : without, .bound = with.most()};
  const AngularSpeed speed = stop.speed / s.seen.transmission;
  back.current_forced = motor::voltage_for_current(s.winding(), speed).all <= s.winding().voltage;
  return back;
}

namespace detail {

namespace {
Bus bus_of(const std::vector<const AxisState*>& states) {
  if (states.empty()) throw InvalidInput("number of axes", ">= 1", 0, "");
  Bus bus;
  for (const AxisState* s : states) {
    const AxisReturn back = returned_by(*s);
    bus.at_once += std::max(Energy{}, back.energy.to_bus);
    if (!bus.most.state || back.energy.to_bus > bus.most.energy.to_bus) bus.most = back;
    if (!back.current_forced) bus.uncertain = std::max(bus.uncertain, back.bound);
    const Voltage highest = s->driver().highest;
    if (is_unset(highest)) {
      bus.unknown += (bus.unknown.empty() ? "" : ", ") + s->axis.name;
      continue;
    }
    if (!(highest > volts(0)))
      throw InvalidInput("highest voltage of the driver", "> 0", in_volts(highest), "V");
    if (is_unset(bus.limit) || highest < bus.limit) bus.limit = highest;
  }
  bus.back = std::max(Energy{}, bus.most.energy.to_bus);
  return bus;
}
}  // namespace

// Whether anything may come back at all.
bool rises(const Bus& bus) { return bus.back > Energy{} || bus.uncertain > Energy{}; }

namespace {
void add_details(Finding& f, const Bus& bus, const parts::Supply& supply) {
  const motor::BrakingEnergy& energy = bus.most.energy;
  f.details = {detail_of("kinetic energy", energy.kinetic),
               detail_of("of the fall", energy.falling),
               detail_of("taken by friction", energy.friction),
               detail_of("taken by the drive", energy.drive_loss),
               detail_of("taken by the windings", energy.copper_loss),
               detail_of("returned", bus.back),
               detail_of("returned without any loss, bound", bus.most.bound),
               detail_of("returned if all axes stop at once", bus.at_once)};
  if (bus.limit > supply.voltage) {
    const auto add = [&](const char* label, Energy returned) {
      f.details.push_back(detail_of(
          label, motor::least_capacitance({.bus = supply.voltage, .limit = bus.limit}, returned)));
    };
    add("capacitance that takes it", bus.back);
    add("capacitance that takes the bound", bus.most.bound);
  }
  if (!is_unset(supply.capacitance)) {
    f.details.push_back(
        detail_of("voltage after the bound",
                  motor::voltage_after(supply.voltage, bus.most.bound, supply.capacitance)));
  }
}

std::string bus_remedy(Verdict verdict, const Bus& bus, const parts::Supply& supply) {
  if (verdict == Verdict::holds) return "";
  const std::string needed =
      bus.limit > supply.voltage && bus.back > Energy{}
          ? fmt::format(
                ": {} keep it below {}",
                motor::least_capacitance({.bus = supply.voltage, .limit = bus.limit}, bus.back),
                bus.limit)
          : "";
  if (verdict != Verdict::unsure)
    return "a larger capacitor, a brake resistor, a gentler stop or a lower supply voltage" +
           needed;
  std::string asked;
  if (!bus.unknown.empty())
    asked =
        fmt::format("the highest voltage of the driver of {} from its maker's data", bus.unknown);
  if (is_unset(supply.capacitance))
    asked += (asked.empty() ? "" : " and ") + ("the capacitance of the bus" + needed);
  return asked.empty() ? "a larger capacitor or a brake resistor" : "give " + asked;
}
}  // namespace

}  // namespace detail

Finding bus_voltage_finding(const machine::Machine& machine,
                            const std::vector<const AxisState*>& states) {
  const parts::Supply& supply = machine.supply;
  const detail::Bus bus = detail::bus_of(states);
  const bool known = !is_unset(supply.capacitance);
  const auto after = [&](Energy energy) {
    // Nothing that comes back needs no capacitance to be known.
    if (!known && !(energy > Energy{})) return supply.voltage;
    return known ? motor::voltage_after(supply.voltage, energy, supply.capacitance)
                 : unset<Voltage>();
  };
  // With a voltage or a limit that is not known the margin is unset, and the verdict unsure.
  Finding f =
      compared("bus_voltage", "bus after a hard stop", after(bus.back), Bound::at_most, bus.limit);
  f.source = "energy balance, derived";
  f.formula =
      "sqrt(supply voltage^2 + 2 * energy / capacitance); energy = moved and turning mass * "
      "speed^2 / 2 + fall - friction - loss of the drive - copper loss";
  f.reason = fmt::format("a hard stop of axis {} returns {} of {}", bus.most.state->axis.name,
                         bus.back, bus.most.bound);
  if (is_unset(after(bus.back))) {
    f.value_text = "unknown";
    f.reason += ", and the capacitance of the bus is not known";
  } else {
    f.reason += fmt::format(", which leaves the bus at {}", after(bus.back));
  }
  if (!is_unset(bus.limit)) f.reason += fmt::format("; a driver is rated up to {}", bus.limit);
  if (!bus.unknown.empty() && detail::rises(bus))
    f.reason += fmt::format("; the highest voltage of the driver of {} is not given", bus.unknown);
  if (bus.limit < supply.voltage) {
    f.verdict = Verdict::fails;
    f.margin = number(bus.limit / supply.voltage);
    f.reason += fmt::format("; the supply alone has {}", supply.voltage);
  }
  // Neither the driver's limit nor the capacitance is described: then that is not looked at, and is
  // listed so; what the balance says stands.
  const bool described = !is_unset(bus.limit) || known;
  if (f.verdict != Verdict::fails &&
      (!detail::rises(bus) || (!described && !(bus.back > Energy{})))) {
    // What a driver stands is then a matter of the supply alone.
    f.margin = is_unset(bus.limit) ? std::numeric_limits<double>::infinity() : f.margin;
    f.verdict = judge(f.margin);
  } else if (f.verdict != Verdict::fails) {
    if (!bus.unknown.empty() || !(after(bus.uncertain) <= bus.limit) ||
        !(after(bus.at_once) <= bus.limit))
      f.verdict = Verdict::unsure;
    if (bus.at_once > bus.back && after(bus.at_once) > bus.limit) {
      f.reason += fmt::format("; an emergency stop of all axes at once returns {} and leaves {}",
                              bus.at_once, after(bus.at_once));
    }
    if (bus.uncertain > Energy{}) {
      f.reason += fmt::format("; the voltage limits the current of a motor, which may return {}",
                              bus.uncertain);
    }
  }
  if (is_unset(bus.limit)) f.limit = Measure::ratio(std::nan(""));
  f.remedy = detail::bus_remedy(f.verdict, bus, supply);
  detail::add_details(f, bus, supply);
  return f;
}

}  // namespace pitchline::check
