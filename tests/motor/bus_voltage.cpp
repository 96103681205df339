#include "pitchline/motor/bus_voltage.hpp"

#include <cmath>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motor::Braking;
using motor::braking_energy;
using motor::BrakingEnergy;
using motor::SupplySource;
using motor::voltage_under_load;
using testing::IsNear;

// Invented: the lift of the kite loft, 6 kg going down, held back over 0.2 m, then stopped.
const Braking lift{.speed = metres_per_second(0.5),
                   .deceleration = metres_per_second_squared(2.5),
                   .mass = kilograms(6),
                   .motor_side_mass = kilograms(2),
                   .gravity = newtons(60),
                   .lowered = metres(0.2),
                   .friction = newtons(10),
                   .efficiency = Efficiency(0.8),
                   .copper_loss = watts(5)};

TEST_CASE("a microfarad at a volt holds half a microjoule", "[motor][property]") {
  CHECK_THAT(in_joules(0.5 * microfarads(1) * volts(1) * volts(1)), WithinRel(0.5e-6, 1e-12));
  CHECK_THAT(in_microfarads(microfarads(4700)), WithinRel(4700.0, 1e-12));
}

TEST_CASE("supply_source and voltage_under_load give hand-computed sags", "[motor][property]") {
  // 40 V without and 36 V with 5 A: 0.8 ohm; at those 180 W it is 36 V again.
  const SupplySource source = motor::supply_source(
      {.no_load = volts(40), .full_load = volts(36), .load_current = amperes(5)});
  CHECK_THAT(in_ohms(source.resistance), WithinRel(0.8, 1e-12));
  CHECK_THAT(in_volts(voltage_under_load(source, watts(180))), WithinRel(36.0, 1e-12));
  CHECK(voltage_under_load(source, watts(0)) == volts(40));
  // Its most, V0^2/4R = 500 W, leaves half the voltage.
  CHECK_THAT(in_volts(voltage_under_load(source, watts(500))), WithinRel(20.0, 1e-6));
  const SupplySource stiff{.no_load = volts(48)};
  CHECK(voltage_under_load(stiff, watts(5000)) == volts(48));
}

TEST_CASE("the voltage under load leaves just the power that is asked for", "[motor][property]") {
  const double resistance = GENERATE(take(10, random(0.001, 1.0)));
  const double share = GENERATE(take(4, random(0.0, 0.99)));
  CAPTURE(resistance, share);
  const SupplySource source{.no_load = volts(48), .resistance = ohms(resistance)};
  const Power power = share * volts(48) * volts(48) / (4.0 * source.resistance);
  const Voltage left = voltage_under_load(source, power);
  const Current current = (source.no_load - left) / source.resistance;
  CHECK_THAT(in_watts(left * current), WithinRel(in_watts(power), 1e-9));
  CHECK(left >= volts(24));  // the root that is the supply's own, not the short circuit's
  CHECK(voltage_under_load(source, 0.9 * power) >= left);
}

TEST_CASE("braking_energy gives a hard stop on the level by hand", "[motor][property]") {
  // 4 kg at 1 m/s, stopped in 50 mm: 2 J, of which 20 N of friction take 1 J, the drive a tenth of
  // what is left and 3 W of copper loss 0.3 J in 0.1 s.
  const BrakingEnergy stop = braking_energy({.speed = metres_per_second(1),
                                             .deceleration = metres_per_second_squared(10),
                                             .mass = kilograms(4),
                                             .friction = newtons(20),
                                             .efficiency = Efficiency(0.9),
                                             .copper_loss = watts(3)});
  CHECK_THAT(in_joules(stop.kinetic), WithinRel(2.0, 1e-12));
  CHECK(stop.falling == joules(0));
  CHECK_THAT(in_joules(stop.friction), WithinRel(1.0, 1e-12));
  CHECK_THAT(in_joules(stop.drive_loss), WithinRel(0.1, 1e-12));
  CHECK_THAT(in_joules(stop.copper_loss), WithinRel(0.3, 1e-12));
  CHECK_THAT(in_joules(stop.to_bus), WithinRel(0.6, 1e-12));
  CHECK_THAT(in_seconds(stop.duration), WithinRel(0.1, 1e-12));
  CHECK_THAT(in_joules(stop.most()), WithinRel(2.0, 1e-12));
  // Peak: (40 - 20) N * 0.9 * 1 m/s - 3 W.
  CHECK_THAT(in_watts(stop.peak), WithinRel(15.0, 1e-12));
}

TEST_CASE("braking_energy gives a lift that falls and is stopped by hand", "[motor][property]") {
  // Stop in 50 mm and 0.2 s after 0.2 m in 0.4 s. Load: 0.75 J + 50 N * 0.25 m = 13.25 J, a fifth
  // lost; rotor 0.25 J; copper 5 W * 0.6 s = 3 J. Falling: 60 N * 0.25 m.
  const BrakingEnergy energy = braking_energy(lift);
  CHECK_THAT(in_joules(energy.kinetic), WithinRel(1.0, 1e-12));
  CHECK_THAT(in_joules(energy.falling), WithinRel(15.0, 1e-12));
  CHECK_THAT(in_joules(energy.friction), WithinRel(2.5, 1e-12));
  CHECK_THAT(in_joules(energy.drive_loss), WithinRel(2.65, 1e-12));
  CHECK_THAT(in_joules(energy.copper_loss), WithinRel(3.0, 1e-12));
  CHECK_THAT(in_joules(energy.to_bus), WithinRel(7.85, 1e-12));
  CHECK_THAT(in_seconds(energy.duration), WithinRel(0.6, 1e-12));
  // Peak: ((6 * 2.5 + 50) * 0.8 + 2 * 2.5) N * 0.5 m/s - 5 W.
  CHECK_THAT(in_watts(energy.peak), WithinRel(23.5, 1e-12));
}

TEST_CASE("the energy of a stop is shared out without rest", "[motor][property]") {
  const double mass = GENERATE(0.0, 0.4, 12.0);
  const double gravity = GENERATE(0.0, 8.0, 100.0);
  const double friction = GENERATE(0.0, 30.0);
  const double lowered = GENERATE(0.0, 0.7);
  const double efficiency = GENERATE(0.4, 1.0);
  CAPTURE(mass, gravity, friction, lowered, efficiency);
  Braking b = lift;
  b.mass = kilograms(mass);
  b.gravity = newtons(gravity);
  b.friction = newtons(friction);
  b.lowered = metres(lowered);
  b.efficiency = Efficiency(efficiency);
  const BrakingEnergy e = braking_energy(b);
  CHECK_THAT(in_joules(e.to_bus + e.friction + e.drive_loss + e.copper_loss),
             WithinAbs(in_joules(e.kinetic + e.falling), 1e-12));
  CHECK(e.drive_loss >= joules(-1e-12));
  CHECK(e.to_bus <= e.most());
  // Without losses all of it comes back.
  b.friction = newtons(0);
  b.efficiency = Efficiency(1.0);
  b.copper_loss = watts(0);
  CHECK_THAT(in_joules(braking_energy(b).to_bus), WithinRel(in_joules(e.most()), 1e-12));
}

TEST_CASE("the power of a stop, falling evenly to that of its end, is its energy",
          "[motor][property]") {
  // Without lowering the braking force is constant, so the mean power over the stop is half of the
  // peak, copper loss apart.
  Braking b = lift;
  b.lowered = metres(0);
  b.copper_loss = watts(0);
  const BrakingEnergy e = braking_energy(b);
  CHECK_THAT(in_joules(0.5 * e.peak * e.duration), WithinRel(in_joules(e.to_bus), 1e-12));
}

TEST_CASE("a stop that friction makes anyhow takes from the supply", "[motor][property]") {
  Braking b = lift;
  b.gravity = newtons(0);
  b.friction = newtons(100);
  CHECK(braking_energy(b).to_bus < joules(0));
  CHECK(braking_energy(b).peak < watts(0));
}

TEST_CASE("voltage_after gives a hand-computed rise and its limits", "[motor][property]") {
  // 10 J into 4000 uF at 40 V: sqrt(1600 + 5000) V.
  CHECK_THAT(in_volts(motor::voltage_after(volts(40), joules(10), microfarads(4000))),
             WithinRel(std::sqrt(6600.0), 1e-12));
  CHECK(motor::voltage_after(volts(40), joules(0), microfarads(4000)) == volts(40));
  CHECK_THAT(in_volts(motor::voltage_after(volts(40), joules(10), microfarads(4e12))),
             WithinRel(40.0, 1e-8));
  CHECK(motor::voltage_after(volts(40), joules(11), microfarads(4000)) >
        motor::voltage_after(volts(40), joules(10), microfarads(4000)));
  CHECK(motor::voltage_after(volts(40), joules(10), microfarads(5000)) <
        motor::voltage_after(volts(40), joules(10), microfarads(4000)));
}

TEST_CASE("absorbed_energy and least_capacitance invert voltage_after", "[motor][property]") {
  const double joule = GENERATE(take(10, random(0.01, 60.0)));
  const double microfarad = GENERATE(100.0, 4700.0, 68'000.0);
  CAPTURE(joule, microfarad);
  const Energy energy = joules(joule);
  const Capacitance capacitance = microfarads(microfarad);
  const Voltage after = motor::voltage_after(volts(36), energy, capacitance);
  CHECK_THAT(
      number(motor::absorbed_energy({.bus = volts(36), .limit = after}, capacitance) / energy),
      WithinRel(1.0, 1e-9));
  CHECK_THAT(
      number(motor::least_capacitance({.bus = volts(36), .limit = after}, energy) / capacitance),
      WithinRel(1.0, 1e-9));
}

TEST_CASE("a brake resistor takes what the capacitance leaves", "[motor][property]") {
  // 2000 uF from 36 to 44 V: 0.001 * (1936 - 1296) = 0.64 J.
  const auto left = [](Energy energy) {
    return motor::brake_resistor_energy({.bus = volts(36), .limit = volts(44)}, microfarads(2000),
                                        energy);
  };
  CHECK_THAT(in_joules(left(joules(7.85))), WithinRel(7.21, 1e-12));
  CHECK(left(joules(0.63)) == joules(0));
  // 44 V at 23.5 W.
  CHECK_THAT(in_ohms(motor::largest_brake_resistor(volts(44), watts(23.5))),
             WithinRel(1936.0 / 23.5, 1e-12));
}

TEST_CASE("voltage_under_load names the most a supply can give", "[motor][error]") {
  const SupplySource source{.no_load = volts(40), .resistance = ohms(0.8)};
  CHECK_THROWS_MATCHES(voltage_under_load(source, watts(501)), OutsideValidity,
                       Message("the supply collapses: 501.0 W is above the 500.0 W it can give"));
}

TEST_CASE("the figures of the bus refuse what their tables exclude", "[motor][error]") {
  using motor::supply_source;
  CHECK_THROWS_MATCHES(
      supply_source({.no_load = volts(40), .full_load = volts(0), .load_current = amperes(1)}),
      InvalidInput, Message("full-load voltage must be > 0, got 0 V"));
  CHECK_THROWS_MATCHES(
      supply_source({.no_load = volts(35), .full_load = volts(36), .load_current = amperes(1)}),
      InvalidInput, Message("no-load voltage must be >= that under full load, got 35 V"));
  CHECK_THROWS_MATCHES(
      supply_source(
          {.no_load = volts(40), .full_load = volts(36), .load_current = unset<Current>()}),
      InvalidInput, Message("load current must be > 0, got nan A"));
  CHECK_THROWS_MATCHES(voltage_under_load({}, watts(1)), InvalidInput,
                       Message("no-load voltage must be > 0, got nan V"));
  CHECK_THROWS_MATCHES(
      voltage_under_load({.no_load = volts(40), .resistance = unset<Resistance>()}, watts(1)),
      InvalidInput, Message("source resistance must be >= 0, got nan ohm"));
  CHECK_THROWS_MATCHES(voltage_under_load({.no_load = volts(40)}, watts(-1)), InvalidInput,
                       Message("power must be >= 0, got -1 W"));

  const auto refuses = [](auto spoil, const char* text) {
    Braking bad = lift;
    spoil(bad);
    CHECK_THROWS_MATCHES(braking_energy(bad), InvalidInput, Message(text));
  };
  refuses([](auto& x) { x.speed = unset<Speed>(); }, "speed must be > 0, got nan m/s");
  refuses([](auto& x) { x.speed = metres_per_second(0); }, "speed must be > 0, got 0 m/s");
  refuses([](auto& x) { x.deceleration = unset<Acceleration>(); },
          "deceleration must be > 0, got nan m/s^2");
  refuses([](auto& x) { x.mass = unset<Mass>(); }, "mass must be >= 0, got nan kg");
  refuses([](auto& x) { x.motor_side_mass = kilograms(-1); },
          "motor side mass must be >= 0, got -1 kg");
  refuses([](auto& x) { x.gravity = newtons(-1); }, "gravity must be >= 0, got -1 N");
  refuses([](auto& x) { x.lowered = metres(-1); }, "lowered must be >= 0, got -1 m");
  refuses([](auto& x) { x.friction = unset<Force>(); }, "friction must be >= 0, got nan N");
  refuses([](auto& x) { x.copper_loss = watts(-1); }, "copper loss must be >= 0, got -1 W");

  const Voltage bus = volts(40);
  const Voltage limit = volts(50);
  const Capacitance c = microfarads(1000);
  const Energy e = joules(1);
  const char* low_bus = "bus voltage must be > 0, got 0 V";
  CHECK_THROWS_MATCHES(motor::voltage_after(volts(0), e, c), InvalidInput, Message(low_bus));
  CHECK_THROWS_MATCHES(motor::absorbed_energy({.bus = volts(0), .limit = limit}, c), InvalidInput,
                       Message(low_bus));
  CHECK_THROWS_MATCHES(motor::least_capacitance({.bus = volts(0), .limit = limit}, e), InvalidInput,
                       Message(low_bus));
  const char* low_limit = "voltage limit must be above the bus voltage, got 40 V";
  CHECK_THROWS_MATCHES(motor::absorbed_energy({.bus = bus, .limit = bus}, c), InvalidInput,
                       Message(low_limit));
  CHECK_THROWS_MATCHES(motor::least_capacitance({.bus = bus, .limit = bus}, e), InvalidInput,
                       Message(low_limit));
  CHECK_THROWS_MATCHES(motor::brake_resistor_energy({.bus = bus, .limit = bus}, c, e), InvalidInput,
                       Message(low_limit));
  const char* energy = "energy must be >= 0, got -1 J";
  CHECK_THROWS_MATCHES(motor::voltage_after(bus, joules(-1), c), InvalidInput, Message(energy));
  CHECK_THROWS_MATCHES(motor::least_capacitance({.bus = bus, .limit = limit}, joules(-1)),
                       InvalidInput, Message(energy));
  CHECK_THROWS_MATCHES(motor::brake_resistor_energy({.bus = bus, .limit = limit}, c, joules(-1)),
                       InvalidInput, Message(energy));
  const char* capacitance = "capacitance must be > 0, got 0 uF";
  CHECK_THROWS_MATCHES(motor::voltage_after(bus, e, {}), InvalidInput, Message(capacitance));
  CHECK_THROWS_MATCHES(motor::absorbed_energy({.bus = bus, .limit = limit}, {}), InvalidInput,
                       Message(capacitance));
  CHECK_THROWS_MATCHES(motor::largest_brake_resistor(volts(0), watts(1)), InvalidInput,
                       Message("voltage limit must be > 0, got 0 V"));
  CHECK_THROWS_MATCHES(motor::largest_brake_resistor(limit, watts(0)), InvalidInput,
                       Message("braking power must be > 0, got 0 W"));
}

}  // namespace
}  // namespace pitchline
