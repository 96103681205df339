#include "pitchline/motor/winding.hpp"

#include <limits>

#include "pitchline/parts/driver.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using testing::IsNear;

TEST_CASE("torque_constant gives the printed back-EMF of two motors", "[motor][published]") {
  // [Duet], Q: 0.55 N*m at 1.68 A and 5 rev/s: printed 7.3 V; 0.44 N*m at 1.68 A and 8.7 rev/s:
  // printed 10.1 V. Peak of one phase.
  const auto strong = testing::stepper(0.55, 1.68, 1.0, 1.0);
  const AngularSpeed five_turns = 5.0 * revolution / seconds(1);
  CHECK_THAT(Voltage(motor::torque_constant(strong) * five_turns), IsNear(volts(7.3), volts(0.05)));
  const auto weak = testing::stepper(0.44, 1.68, 1.0, 1.0);
  const AngularSpeed faster = 8.7 * revolution / seconds(1);
  CHECK_THAT(Voltage(motor::torque_constant(weak) * faster), IsNear(volts(10.1), volts(0.05)));
}

TEST_CASE("pole_pairs give the printed step angle and inductive voltage", "[motor][published]") {
  // [Kosow] example 11-3, Q: 50 rotor teeth, 1.8 degrees a step.
  auto motor = testing::stepper(0.5, 1.0, 1.0, 4.1);
  CHECK(motor::pole_pairs(motor) == 50.0);
  CHECK_THAT(90.0 / motor::pole_pairs(motor), WithinAbs(1.8, 1e-12));
  // [Duet], Q: 8.7 rev/s at 1.0 A and 4.1 mH with 400 steps a turn: printed 22.4 V.
  motor.full_steps_per_turn = full_steps(400);
  const AngularSpeed speed = 8.7 * revolution / seconds(1);
  const Voltage inductive =
      motor::pole_pairs(motor) * speed * motor.inductance * amperes(1.0) / radian;
  CHECK_THAT(inductive, IsNear(volts(22.4), volts(0.05)));
}

TEST_CASE("torque_constant and the two current settings follow the table of rated currents",
          "[motor][published]") {
  // reference/published/rated_current.csv: independent derivation, see reference/sources.md.
  for (const testing::CsvRow& row : testing::published("rated_current.csv")) {
    CAPTURE(row.text("motor"));
    const auto motor = testing::stepper(row.number("T_hold_two_phase_Nm"), row.number("I_rated_A"),
                                        row.number("R_ohm"), 1.0);
    const TorqueConstant k = motor::torque_constant(motor);
    const TorqueConstant printed = newton_metres_per_ampere(row.number("Kt_Nm_per_A"));
    CHECK_THAT(number(k / printed), WithinRel(1.0, 1e-9));

    auto one_phase = motor;
    one_phase.holding_rating = parts::HoldingRating::one_phase_on;
    CHECK_THAT(in_newton_metres_per_ampere(motor::torque_constant(one_phase)),
               WithinRel(row.number("Kt_wrong_Thold_over_Ir"), 1e-9));

    const parts::Driver as_peak{.current = motor.rated_current,
                                .current_is = parts::CurrentIs::peak};
    const parts::Driver as_rms{.current = motor.rated_current, .current_is = parts::CurrentIs::rms};
    const double peak_torque = in_newton_metres(k * parts::current_amplitude(as_peak));
    const double rms_torque = in_newton_metres(k * parts::current_amplitude(as_rms));
    CHECK_THAT(peak_torque, WithinRel(row.number("T_peak_at_Ipk_eq_Ir_Nm"), 1e-9));
    CHECK_THAT(rms_torque, WithinRel(row.number("T_peak_at_Ipk_eq_sqrt2_Ir_Nm"), 1e-9));

    const auto copper = [&](const parts::Driver& driver) {
      const Current rms = parts::current_rms(driver);
      return in_watts(2.0 * rms * rms * motor.resistance);
    };
    CHECK_THAT(copper(as_peak), WithinRel(row.number("copper_loss_Ipk_eq_Ir_W"), 1e-9));
    CHECK_THAT(copper(as_rms), WithinRel(row.number("copper_loss_Ipk_eq_sqrt2_Ir_W"), 1e-9));
  }
}

TEST_CASE("a driver set by its peak has that amplitude, one set by RMS 1.414 times it",
          "[motor][property]") {
  const parts::Driver peak{.current = amperes(2.0), .current_is = parts::CurrentIs::peak};
  CHECK(in_amperes(parts::current_amplitude(peak)) == 2.0);
  CHECK_THAT(in_amperes(parts::current_rms(peak)), WithinRel(std::sqrt(2.0), 1e-15));
  const parts::Driver rms{.current = amperes(2.0), .current_is = parts::CurrentIs::rms};
  CHECK_THAT(in_amperes(parts::current_amplitude(rms)), WithinRel(2.0 * std::sqrt(2.0), 1e-15));
  // To the last bit: 1.42 A times and over sqrt2 is more than 1.42 A, and would fail at its rating.
  for (int i = 1; i <= 1000; ++i) {
    const Current set = amperes(0.01 * i);
    if (parts::current_rms({.current = set}) != set) FAIL(i);
  }
}

TEST_CASE("driven_winding copies the motor and refuses current or voltage not above zero",
          "[motor][error]") {
  const auto motor = testing::stepper(0.45, 1.5, 2.0, 3.2);
  const motor::DrivenWinding w = motor::driven_winding(motor, amperes(1.5), volts(24));
  CHECK(w.resistance == motor.resistance);
  CHECK(w.inductance == motor.inductance);
  CHECK(w.torque_constant == motor::torque_constant(motor));
  CHECK(w.pole_pairs == 50.0);
  CHECK(w.amplitude == amperes(1.5));
  CHECK(w.voltage == volts(24));
  CHECK_THROWS_MATCHES(motor::driven_winding(motor, unset<Current>(), volts(24)), InvalidInput,
                       Message("phase current must be > 0, got nan A"));
  CHECK_THROWS_MATCHES(motor::driven_winding(motor, amperes(1), volts(0)), InvalidInput,
                       Message("voltage must be > 0, got 0 V"));
}

TEST_CASE("a stepper motor with a missing or impossible figure is refused by name",
          "[motor][error]") {
  const auto good = testing::stepper(0.45, 1.5, 2.0, 3.2);
  REQUIRE_NOTHROW(parts::require_valid(good));
  const auto refuses = [&](auto spoil, const char* text) {
    auto bad = good;
    spoil(bad);
    CHECK_THROWS_MATCHES(parts::require_valid(bad), InvalidInput, Message(text));
    CHECK_THROWS_AS(motor::torque_constant(bad), InvalidInput);
    CHECK_THROWS_AS(motor::driven_winding(bad, amperes(1), volts(24)), InvalidInput);
  };
  const std::string steps = "full steps per turn must be a multiple of 4 from 4 to 4000, got ";
  for (const double wrong : {0.0, 202.0, 4004.0, 200.5}) {
    CAPTURE(wrong);
    refuses([&](auto& m) { m.full_steps_per_turn = full_steps(wrong); },
            (steps + fmt::format("{}", wrong)).c_str());
  }
  refuses([](auto& m) { m.full_steps_per_turn = unset<FullSteps>(); }, (steps + "nan").c_str());
  refuses([](auto& m) { m.holding_torque = unset<Torque>(); },
          "holding torque must be > 0, got nan N*m");
  refuses([](auto& m) { m.rated_current = amperes(0); }, "rated current must be > 0, got 0 A");
  refuses([](auto& m) { m.resistance = ohms(-1); }, "resistance must be > 0, got -1 ohm");
  refuses([](auto& m) { m.inductance = unset<Inductance>(); }, "inductance must be > 0, got nan H");
  refuses([](auto& m) { m.rotor_inertia = unset<Inertia>(); },
          "rotor inertia must be > 0, got nan kg*m^2");
}

TEST_CASE("a driver without a current above zero is refused", "[motor][error]") {
  CHECK_THROWS_MATCHES(parts::current_amplitude({}), InvalidInput,
                       Message("driver current must be > 0, got nan A"));
  CHECK_THROWS_MATCHES(parts::current_rms({.current = amperes(-2)}), InvalidInput,
                       Message("driver current must be > 0, got -2 A"));
}

}  // namespace
}  // namespace pitchline
