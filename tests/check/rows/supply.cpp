#include "pitchline/check/rows/supply.hpp"
#include "pitchline/check/rows/bus_voltage.hpp"

#include <cmath>
#include <stdexcept>

#include "support/catch.hpp"
#include "support/findings.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using check::AxisState;
using machine::Machine;
using report::Finding;
using report::Verdict;
using testing::detail;

Machine loft() { return testing::kite_loft(); }
// A second axis of the same parts.
Machine loft_of_two() {
  Machine m = loft();
  m.axes.push_back(m.axes.front());
  m.axes.back().name = "y";
  return m;
}
machine::Axis& x(Machine& m) { return m.axes.front(); }
parts::Driver& driver(Machine& m) { return machine::driver_of(x(m).drive); }
AxisState state(const Machine& m) { return check::state_of(m, m.axes.front()); }

std::vector<Finding> all_found(const Machine& m) {
  std::vector<AxisState> states;
  states.reserve(m.axes.size());
  for (const machine::Axis& axis : m.axes) states.push_back(check::state_of(m, axis));
  std::vector<const AxisState*> pointers;
  for (const AxisState& s : states) pointers.push_back(&s);
  return check::supply_findings(m, pointers);
}
Finding found(const Machine& m, const std::string& key) { return testing::row(all_found(m), key); }
bool has(const Machine& m, const std::string& key) {
  for (const Finding& f : all_found(m))
    if (f.key == key) return true;
  return false;
}

// Shaft power of one axis that accelerates at its wanted speed, by hand.
double shaft(const AxisState& s) {
  const double t = in_metres_per_radian(s.seen.transmission);
  const double force = in_newtons(s.seen.friction) + in_kilograms(s.seen.mass) * 2;
  const double torque = force * t / s.seen.efficiency.value() +
                        in_kilogram_square_metres(s.seen.motor_side_inertia) * 2 / t;
  return torque * 0.3 / t;
}
constexpr double copper = 2 * 2 * 2 * 1.4;

TEST_CASE("the supply counts shaft powers by its simultaneity and copper in full",
          "[check][property]") {
  Machine m = loft_of_two();
  const double one = shaft(state(m));
  CHECK_THAT(found(m, "supply_power").value.coherent(), WithinRel(2 * (one + copper), 1e-9));
  m.supply.simultaneity = Simultaneity(0.5);
  CHECK_THAT(found(m, "supply_power").value.coherent(), WithinRel(one + 2 * copper, 1e-9));
  CHECK(found(m, "supply_power").verdict == Verdict::holds);
  const double all = one + 2 * copper;
  m.supply.power = watts(1.4 * all);
  CHECK(found(m, "supply_power").verdict == Verdict::unsure);
  m.supply.power = watts(0.9 * all);
  CHECK(found(m, "supply_power").verdict == Verdict::fails);
}

TEST_CASE("a mean power is there where a cycle is", "[check][property]") {
  Machine m = loft_of_two();
  CHECK_FALSE(has(m, "supply_mean"));
  // At rest half of the time; the other axis stands with 1 A all the time.
  x(m).cycle = {{.stroke = metres(0.3), .pause = seconds(1.15)}};
  // With next to no friction the motor brakes while slowing down, and nothing is credited.
  machine::belt_drive(x(m)).guide.drag = newtons(0.1);
  machine::driver_of(m.axes.back().drive).at_rest = amperes(1);
  const Finding f = found(m, "supply_mean");
  const auto s = state(m);
  const double friction =
      in_newtons(s.seen.friction) / s.seen.efficiency.value() * 0.3;  // W at full speed
  const double driving = (shaft(s) / 2 * 0.15 + friction * 0.85) / 2.3;
  CHECK_THAT(f.value.coherent(), WithinRel(driving + copper + copper / 4, 1e-9));
  CHECK_THAT(detail(f, "axis y, at rest"), WithinRel(copper / 4, 1e-9));
  CHECK_THAT(detail(f, "largest peak of one axis in its cycle"),
             WithinRel(shaft(s) + copper, 1e-9));
  CHECK(f.verdict == Verdict::holds);
  m.supply.power = watts(1.2 * f.value.coherent());
  CHECK(found(m, "supply_mean").verdict == Verdict::unsure);
  m.supply.power = watts(0.99 * f.value.coherent());
  CHECK(found(m, "supply_mean").verdict == Verdict::fails);
  CHECK_FALSE(found(m, "supply_mean").remedy.empty());
}

TEST_CASE("the supply's voltage is judged by what the driver stands", "[check][property]") {
  Machine m = loft();
  const auto at = [&](double highest) {
    driver(m).highest = volts(highest);
    return check::supply_voltage_finding(state(m));
  };
  CHECK(at(50).verdict == Verdict::holds);
  CHECK_THAT(at(50).margin, WithinRel(50.0 / 36, 1e-12));
  CHECK_THAT(detail(at(50), "customary limit, 90 %"), WithinRel(45.0, 1e-12));
  CHECK(at(40).verdict == Verdict::tight);
  CHECK_THAT(at(40).remedy, Contains("36.00 V or less"));
  CHECK(at(36).verdict == Verdict::tight);
  CHECK(at(35).verdict == Verdict::fails);
  CHECK_THROWS_MATCHES(at(0), InvalidInput, Message("driver maximum must be > 0, got 0 V"));
}

TEST_CASE("without the driver's voltage the trade's rule asks, and fails nothing",
          "[check][property]") {
  Machine m = loft();
  // 32 V sqrt(2.6) = 51.60 V.
  Finding f = check::supply_voltage_finding(state(m));
  CHECK_THAT(f.limit.coherent(), WithinRel(32 * std::sqrt(2.6), 1e-12));
  CHECK(f.verdict == Verdict::holds);
  m.supply.voltage = volts(52);
  f = check::supply_voltage_finding(state(m));
  CHECK(f.verdict == Verdict::unsure);
  CHECK(f.margin < 1.0);
  CHECK_THAT(f.remedy, Contains("highest voltage of the driver"));
}

TEST_CASE("a resistance on the way to the drivers takes its voltage", "[check][property]") {
  Machine m = loft();
  CHECK_FALSE(has(m, "supply_sag"));
  const double power = shaft(state(m)) + copper;
  // V = 36 V - R P/V, so that a chosen V takes R = (36 V - V) V/P.
  const auto at = [&](double left) {
    m.supply.resistance = ohms((36 - left) * left / power);
    return found(m, "supply_sag");
  };
  CHECK_THAT(at(33.5).value.coherent(), WithinRel(2.5, 1e-9));
  CHECK_THAT(detail(at(33.5), "voltage left at the drivers"), WithinRel(33.5, 1e-9));
  CHECK_THAT(at(33.5).limit.coherent(), WithinRel(3.6, 1e-12));
  CHECK(at(33.5).verdict == Verdict::holds);
  CHECK(at(32.6).verdict == Verdict::tight);
  CHECK(at(32.2).verdict == Verdict::unsure);
  CHECK_FALSE(at(32.2).remedy.empty());
  CHECK(at(20).verdict == Verdict::unsure);
  // Beyond 36^2/(4 R) no voltage gives the power.
  m.supply.resistance = ohms(1.001 * 36 * 36 / 4 / power);
  CHECK(found(m, "supply_sag").verdict == Verdict::fails);
  CHECK(found(m, "supply_sag").value_text == "collapses");
  m.supply.resistance = ohms(-1);
  CHECK_THROWS_MATCHES(found(m, "supply_sag"), InvalidInput,
                       Message("source resistance must be >= 0, got -1 ohm"));
  m.supply.resistance = unset<Resistance>();
  CHECK_THROWS_AS(found(m, "supply_sag"), InvalidInput);
}

// 20 kg stopped from 0.3 m/s at 20 m/s^2.
Machine heavy() {
  Machine m = loft();
  machine::belt_drive(x(m)).moving.front().mass = kilograms(20);
  x(m).want.acceleration = metres_per_second_squared(20);
  driver(m).highest = volts(50);
  return m;
}
// By hand: 2.25 mm and 15 ms of stop; what the load brings passes the drive, the copper takes its
// loss all the time.
double returned(const AxisState& s) {
  const double t = in_metres_per_radian(s.seen.transmission);
  const double load = in_kilograms(s.seen.mass) * 0.045 - in_newtons(s.seen.friction) * 0.00225;
  const double rotor = in_kilogram_square_metres(s.seen.motor_side_inertia) / t / t * 0.045;
  return load * s.seen.efficiency.value() + rotor - copper * 0.015;
}

TEST_CASE("a hard stop lifts the bus by what reaches its capacitor", "[check][property]") {
  Machine m = heavy();
  const double energy = returned(state(m));
  REQUIRE(energy > 0.5);
  // The capacitance that takes it up to a voltage: 2 E/(V^2 - 36^2).
  const auto to = [&](double volts_after) {
    m.supply.capacitance = farads(2 * energy / (volts_after * volts_after - 36 * 36));
    return found(m, "bus_voltage");
  };
  const Finding f = to(40);
  CHECK_THAT(f.value.coherent(), WithinRel(40.0, 1e-9));
  CHECK_THAT(f.limit.coherent(), WithinRel(50.0, 1e-12));
  CHECK(f.verdict == Verdict::holds);
  CHECK_THAT(detail(f, "returned"), WithinRel(energy, 1e-9));
  CHECK_THAT(detail(f, "capacitance that takes it"), WithinRel(2 * energy / (2500 - 1296), 1e-9));
  CHECK(detail(f, "voltage after the bound") > 40.0);
  CHECK(to(46).verdict == Verdict::tight);
  CHECK(to(51).verdict == Verdict::fails);
  CHECK_THAT(to(51).remedy, Contains("capacitor") && Contains("uF"));
}

TEST_CASE("without a capacitance or a driver's voltage the row asks for them",
          "[check][property]") {
  Machine m = heavy();
  Finding f = found(m, "bus_voltage");
  CHECK(f.verdict == Verdict::unsure);
  CHECK(f.value_text == "unknown");
  CHECK_THAT(f.reason, Contains(" J of ") && Contains("capacitance of the bus is not known"));
  CHECK_THAT(f.remedy, Contains("give the capacitance of the bus: ") && Contains("uF keep it"));
  driver(m).highest = unset<Voltage>();
  f = found(m, "bus_voltage");
  CHECK(f.verdict == Verdict::unsure);
  CHECK_THAT(f.remedy, Contains("driver of x") && Contains("capacitance of the bus"));
  m.supply.capacitance = microfarads(10'000);
  f = found(m, "bus_voltage");
  CHECK(f.verdict == Verdict::unsure);
  CHECK(f.value.coherent() > 36.0);
  CHECK_THAT(f.remedy, !Contains("capacitance"));
}

TEST_CASE("a stop that returns nothing needs no capacitance", "[check][property]") {
  Machine m = loft();
  // The windings take 11.2 W for 0.15 s, more than the 0.05 J that move.
  driver(m).highest = volts(50);
  Finding f = found(m, "bus_voltage");
  CHECK(f.verdict == Verdict::holds);
  CHECK_THAT(f.value.coherent(), WithinRel(36.0, 1e-12));
  CHECK(detail(f, "returned") == 0.0);
  driver(m).highest = unset<Voltage>();
  f = found(m, "bus_voltage");
  CHECK(f.verdict == Verdict::holds);
  CHECK(std::isinf(f.margin));
  CHECK(f.remedy.empty());
  driver(m).highest = volts(35);
  CHECK(found(m, "bus_voltage").verdict == Verdict::fails);
  CHECK_THAT(found(m, "bus_voltage").reason, Contains("the supply alone has 36.00 V"));
}

TEST_CASE("where the voltage limits the current the copper is not counted on",
          "[check][property]") {
  Machine m = loft();
  driver(m).highest = volts(50);
  // At 1 m/s, 157 rad/s, the winding alone asks for 157*50*2.6 mH*2.83 A = 58 V of the 36.
  x(m).want.speed = metres_per_second(1);
  Finding f = found(m, "bus_voltage");
  CHECK(f.verdict == Verdict::unsure);
  CHECK_THAT(f.reason, Contains("the voltage limits the current"));
  // With a capacitance that takes all of it the row holds again.
  m.supply.capacitance = microfarads(2200);
  f = found(m, "bus_voltage");
  CHECK(f.verdict == Verdict::holds);
  CHECK(detail(f, "voltage after the bound") < 50.0);
}

TEST_CASE("the lowest driver and the axis that returns most decide", "[check][property]") {
  Machine m = heavy();
  m.axes.push_back(loft().axes.front());
  m.axes.back().name = "y";
  m.supply.capacitance = microfarads(10'000);
  Finding f = found(m, "bus_voltage");
  CHECK(f.verdict == Verdict::unsure);  // y does not say what it stands
  CHECK_THAT(f.reason, Contains("axis x returns") && Contains("driver of y"));
  machine::driver_of(m.axes.back().drive).highest = volts(45);
  f = found(m, "bus_voltage");
  CHECK_THAT(f.limit.coherent(), WithinRel(45.0, 1e-12));
  CHECK(f.verdict == Verdict::holds);
  CHECK_THAT(detail(f, "returned if all axes stop at once"), WithinRel(returned(state(m)), 1e-9));
}

TEST_CASE("a load that goes down returns its fall", "[check][property]") {
  Machine m = heavy();
  machine::belt_drive(x(m)).incline = degrees(90);
  m.supply.capacitance = microfarads(10'000);
  Finding f = found(m, "bus_voltage");
  // 20 kg over the 2.25 mm of the stop.
  // Without a stroke all of the travel of 1500 mm is lowered before the stop.
  CHECK_THAT(detail(f, "of the fall"), WithinRel(20 * 9.80665 * 1.50225, 1e-6));
  // Over a stroke of 0.5 m all but the first ramp's 2.25 mm.
  x(m).want.stroke = metres(0.5);
  f = found(m, "bus_voltage");
  CHECK_THAT(detail(f, "of the fall"), WithinRel(20 * 9.80665 * 0.49775, 1e-6));
  CHECK(f.verdict == Verdict::fails);
}

TEST_CASE("a pair that moves twice as much takes and returns twice as much", "[check][property]") {
  const Machine one = heavy();
  Machine two = one;
  axis::BeltAxis& drive = machine::belt_drive(x(two));
  drive.motors = 2;
  drive.moving.front().mass *= 2.0;
  drive.guide.drag *= 2.0;
  for (const char* label : {"kinetic energy", "taken by friction", "taken by the drive",
                            "taken by the windings", "returned"}) {
    CAPTURE(label);
    CHECK_THAT(detail(found(two, "bus_voltage"), label),
               WithinRel(2 * detail(found(one, "bus_voltage"), label), 1e-9));
  }
  CHECK_THAT(found(two, "supply_power").value.coherent(),
             WithinRel(2 * found(one, "supply_power").value.coherent(), 1e-9));
}

TEST_CASE("rows of the supply refuse numbers outside their range", "[check][error]") {
  Machine m = heavy();
  m.supply.capacitance = farads(0);
  CHECK_THROWS_MATCHES(found(m, "bus_voltage"), InvalidInput,
                       Message("capacitance must be > 0, got 0 uF"));
  m = heavy();
  driver(m).highest = volts(-1);
  CHECK_THROWS_MATCHES(found(m, "bus_voltage"), InvalidInput,
                       Message("highest voltage of the driver must be > 0, got -1 V"));
  m = heavy();
  CHECK_THROWS_MATCHES(check::bus_voltage_finding(m, {}), InvalidInput,
                       Message("number of axes must be >= 1, got 0"));
}

}  // namespace
}  // namespace pitchline
