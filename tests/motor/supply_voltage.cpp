#include "pitchline/motor/supply_voltage.hpp"

#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motor::VoltageRange;
using testing::IsNear;

const VoltageRange usual{.least = volts(12), .most = volts(80)};

TEST_CASE("the rules of thumb for the supply voltage give their printed examples",
          "[motor][published]") {
  // [controller integrator manual], Q: 4 mH gives 64 V; a driver of 80 V gives 72 V.
  CHECK_THAT(in_volts(motor::customary_supply_voltage(millihenries(4))), WithinRel(64.0, 1e-12));
  CHECK_THAT(in_volts(motor::customary_voltage_limit(volts(80))), WithinRel(72.0, 1e-12));
}

TEST_CASE("voltage_for_current has the printed back-EMF and inductive voltage",
          "[motor][published]") {
  // [Duet], Q. 0.55 N*m at 1.68 A and 5 rev/s: C 7.2726 V, printed 7.3 V.
  const auto strong =
      motor::driven_winding(testing::stepper(0.55, 1.68, 1, 4), amperes(1.68), volts(24));
  const auto at_5 = motor::voltage_for_current(strong, 5.0 * revolution / seconds(1));
  CHECK_THAT(at_5.back_emf, IsNear(volts(7.2726), volts(0.00005)));
  CHECK_THAT(at_5.back_emf, IsNear(volts(7.3), volts(0.05)));
  // 0.44 N*m, 8.7 rev/s: C 10.123 V, printed 10.1 V. 4.1 mH, 1.0 A, 400 steps a turn: C 22.412 V,
  // printed 22.4 V.
  auto weak = testing::stepper(0.44, 1.68, 1, 4.1);
  weak.full_steps_per_turn = full_steps(400);
  const auto at_8_7 = motor::voltage_for_current(
      motor::driven_winding(weak, amperes(1.0), volts(24)), 8.7 * revolution / seconds(1));
  CHECK_THAT(at_8_7.back_emf, IsNear(volts(10.123), volts(0.0005)));
  CHECK_THAT(at_8_7.inductive, IsNear(volts(22.412), volts(0.0005)));
  // 12 V, 4 mH, 1.5 A, 200 steps: the inductive voltage takes all of it at 6.3662 rev/s, 254.65
  // mm/s at 40 mm/rev, printed about 250 mm/s.
  const auto slow =
      motor::driven_winding(testing::stepper(0.5, 1.5, 1, 4), amperes(1.5), volts(12));
  CHECK_THAT(motor::voltage_for_current(slow, 6.3662 * revolution / seconds(1)).inductive,
             IsNear(volts(12), volts(0.0001)));
  const AngularSpeed limit = radian * volts(12) / (50.0 * millihenries(4) * amperes(1.5));
  CHECK_THAT(Speed(limit * (millimetres(40) / revolution)),
             IsNear(millimetres_per_second(254.65), millimetres_per_second(0.005)));
}

TEST_CASE("voltage_for_current is the voltage whose corner is at that speed", "[motor][property]") {
  const double volt = GENERATE(12.0, 24.0, 48.0, 80.0);
  CAPTURE(volt);
  motor::DrivenWinding w = testing::motor_a();
  w.voltage = volts(volt);
  const auto needed = motor::voltage_for_current(w, motor::corner_speed(w));
  CHECK_THAT(in_volts(needed.all), WithinRel(volt, 1e-12));
  CHECK_THAT(in_volts(needed.resistive), WithinRel(1.13 * 3.804235, 1e-12));
  const auto at_rest = motor::voltage_for_current(w, radians_per_second(0));
  CHECK(at_rest.all == at_rest.resistive);
}

TEST_CASE("least_voltage inverts the torque and finds where more voltage stops to help",
          "[motor][property]") {
  const AngularSpeed speed = revolutions_per_minute(450);
  motor::DrivenWinding w = testing::motor_a();
  const auto torque_at = [&](Voltage voltage) {
    auto at = w;
    at.voltage = voltage;
    return motor::loss_free_pull_out(at, speed).torque;
  };
  const double share = GENERATE(0.3, 0.6, 0.9, 0.999);
  CAPTURE(share);
  const Torque full = w.torque_constant * w.amplitude;
  const auto voltage = motor::least_voltage(usual, share * full, torque_at);
  REQUIRE(voltage.has_value());
  CHECK(torque_at(*voltage) >= share * full);
  CHECK(torque_at(*voltage * (1 - 1e-12)) < share * full);
  const auto enough = motor::least_voltage(usual, torque_at(usual.most), torque_at);
  REQUIRE(enough.has_value());
  // Not to the last digit: at the corner the torque meets its plateau with slope zero.
  CHECK_THAT(in_volts(*enough),
             WithinRel(in_volts(motor::voltage_for_current(w, speed).all), 1e-6));
}

TEST_CASE(
    "least_voltage is the least of the range where that does, nothing where the most does not",
    "[motor][property]") {
  const auto tenth = [](Voltage v) { return number(v / volts(10)) * newton_metres(1); };
  CHECK(motor::least_voltage(usual, newton_metres(1.2), tenth) == volts(12));
  CHECK(motor::least_voltage(usual, newton_metres(-1), tenth) == volts(12));
  CHECK_FALSE(motor::least_voltage(usual, newton_metres(8.001), tenth).has_value());
  const auto middle = motor::least_voltage(usual, newton_metres(3), tenth);
  REQUIRE(middle.has_value());
  CHECK_THAT(in_volts(*middle), WithinRel(30.0, 1e-15));
  CHECK(motor::least_voltage(usual, newton_metres(8), tenth) == volts(80));
}

TEST_CASE("voltage_gains tabulates the torque and what each row adds to the first",
          "[motor][property]") {
  const auto tenth = [](Voltage v) { return number(v / volts(10)) * newton_metres(1); };
  const auto gains = motor::voltage_gains(usual, 5, tenth);
  REQUIRE(gains.size() == 5);
  for (std::size_t i = 0; i < 5; ++i) {
    CAPTURE(i);
    const double voltage = 12 + 17 * static_cast<double>(i);
    CHECK_THAT(in_volts(gains[i].voltage), WithinRel(voltage, 1e-12));
    CHECK_THAT(in_newton_metres(gains[i].torque), WithinRel(voltage / 10, 1e-12));
    CHECK_THAT(in_newton_metres(gains[i].gain), WithinAbs((voltage - 12) / 10, 1e-12));
  }
  CHECK(gains.back().voltage == volts(80));
}

TEST_CASE("the loss-free torque never falls as the voltage rises", "[motor][property]") {
  const double rpm = GENERATE(30.0, 450.0, 1000.0, 3000.0);
  CAPTURE(rpm);
  const auto gains =
      motor::voltage_gains({.least = volts(1), .most = volts(100)}, 200, [&](Voltage v) {
        auto w = testing::motor_b();
        w.voltage = v;
        return motor::loss_free_pull_out(w, revolutions_per_minute(rpm)).torque;
      });
  for (std::size_t i = 1; i < gains.size(); ++i) {
    CAPTURE(in_volts(gains[i].voltage));
    CHECK(gains[i].torque >= gains[i - 1].torque * (1 - 1e-14));
  }
}

TEST_CASE("supply voltage functions refuse what they exclude", "[motor][error]") {
  const auto flat = [](Voltage) { return newton_metres(1); };
  CHECK_THROWS_MATCHES(motor::customary_supply_voltage({}), InvalidInput,
                       Message("inductance must be > 0, got 0 H"));
  CHECK_THROWS_MATCHES(motor::customary_voltage_limit(unset<Voltage>()), InvalidInput,
                       Message("driver maximum must be > 0, got nan V"));
  CHECK_THROWS_AS(motor::voltage_for_current({}, radians_per_second(1)), InvalidInput);
  CHECK_THROWS_MATCHES(motor::voltage_for_current(testing::motor_a(), radians_per_second(-1)),
                       InvalidInput, Message("speed must be >= 0, got -1 rad/s"));
  CHECK_THROWS_MATCHES(motor::voltage_gains({}, 3, flat), InvalidInput,
                       Message("least voltage must be > 0, got nan V"));
  CHECK_THROWS_MATCHES(motor::voltage_gains({.least = volts(24), .most = volts(12)}, 3, flat),
                       InvalidInput, Message("most voltage must be >= the least, got 12 V"));
  CHECK_THROWS_MATCHES(motor::voltage_gains(usual, 1, flat), InvalidInput,
                       Message("rows must be >= 2, got 1"));
  CHECK_THROWS_AS(motor::least_voltage({}, newton_metres(1), flat), InvalidInput);
  CHECK_THROWS_AS(
      motor::least_voltage({.least = volts(24), .most = volts(12)}, newton_metres(1), flat),
      InvalidInput);
  CHECK_THROWS_MATCHES(motor::least_voltage(usual, unset<Torque>(), flat), InvalidInput,
                       Message("wanted torque must be a number, got nan N*m"));
}

}  // namespace
}  // namespace pitchline
