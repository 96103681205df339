#include "pitchline/motor/microstep.hpp"

#include <array>
#include <limits>

#include "pitchline/motor/load_angle.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motor::RotorField;
using testing::IsNear;

const RotorField field{.torque_amplitude = newton_metres(2), .pole_pairs = 50};
const FullStepsPerAngle two_hundred = full_steps(200) / revolution;
const Transmission belt = millimetres(40) / revolution;

TEST_CASE("static_lag gives the printed table of position error under load", "[motor][published]") {
  // [Acarnley] ch. 3, form Q, figures C: N_r 50, T/T_h against degrees of the shaft.
  const std::array<std::array<double, 2>, 7> table{{{0.05, 0.05732},
                                                    {0.1, 0.11478},
                                                    {0.25, 0.28955},
                                                    {0.5, 0.60000},
                                                    {0.75, 0.97181},
                                                    {0.9, 1.28316},
                                                    {1.0, 1.80000}}};
  for (const auto& [share, shaft] : table) {
    CAPTURE(share);
    const auto lag = motor::static_lag(field, share * field.torque_amplitude);
    REQUIRE(lag.has_value());
    CHECK_THAT(*lag, IsNear(degrees(shaft), degrees(0.51e-5)));
    CHECK_THAT(Torque(motor::torque_at_lag(field, degrees(shaft))),
               IsNear(Torque(share * field.torque_amplitude), newton_metres(1e-5)));
  }
}

TEST_CASE("the lag at half the pull-out torque is the one of the table of rated currents",
          "[motor][published]") {
  for (const testing::CsvRow& row : testing::published("rated_current.csv")) {
    CAPTURE(row.text("motor"));
    const RotorField f{.torque_amplitude = newton_metres(row.number("T_peak_at_Ipk_eq_Ir_Nm")),
                       .pole_pairs = 50};
    const auto lag = motor::static_lag(f, f.torque_amplitude / 2.0);
    REQUIRE(lag.has_value());
    CHECK_THAT(in_degrees(*lag), WithinRel(row.number("lag_deg_mech_at_half_pullout"), 1e-12));
  }
}

TEST_CASE("torque_of_one_microstep gives the printed shares of the holding torque",
          "[motor][published]") {
  // [Faulhaber microstepping], Q, in percent.
  const std::array<std::array<double, 2>, 9> table{{{1, 100},
                                                    {2, 70.71},
                                                    {4, 38.27},
                                                    {8, 19.51},
                                                    {16, 9.80},
                                                    {32, 4.91},
                                                    {64, 2.45},
                                                    {128, 1.23},
                                                    {256, 0.61}}};
  for (const auto& [n, percent] : table) {
    CAPTURE(n);
    const Torque torque = motor::torque_of_one_microstep(field, pulses_per_full_step(n));
    CHECK_THAT(100.0 * number(torque / field.torque_amplitude), WithinAbs(percent, 0.005));
  }
}

TEST_CASE("step_error is the printed five percent of a full step", "[motor][published]") {
  // [MinebeaMitsumi glossary], Q: 5 %; of 1.8 degrees 0.09, by 40 mm/rev 0.01 mm.
  const motor::Deviation error = motor::deviation(motor::step_error(two_hundred), belt);
  CHECK_THAT(in_degrees(error.at_shaft), WithinRel(0.09, 1e-12));
  CHECK_THAT(in_millimetres(error.of_travel), WithinRel(0.01, 1e-12));
  CHECK_THAT(in_degrees(motor::step_error(two_hundred, motor::StepErrorShare(0.03))),
             WithinRel(0.054, 1e-12));
}

TEST_CASE("a microstep is the travel of one pulse", "[motor][published]") {
  // reference/published/steps_per_mm.csv, belt 2mm 20T; 1.8deg; 1/16: 12.5 um a pulse.
  const Angle pulse = motor::microstep_angle(two_hundred, pulses_per_full_step(16));
  CHECK_THAT(in_degrees(pulse), WithinRel(0.1125, 1e-12));
  CHECK_THAT(in_micrometres(motor::deviation(pulse, belt).of_travel), WithinRel(12.5, 1e-12));
}

TEST_CASE("static_lag and torque_at_lag undo each other up to one full step", "[motor][property]") {
  const double share = GENERATE(take(30, random(0.0, 1.0)));
  CAPTURE(share);
  const auto lag = motor::static_lag(field, share * field.torque_amplitude);
  REQUIRE(lag.has_value());
  CHECK(*lag <= degrees(1.8) * (1 + 1e-15));
  CHECK_THAT(in_newton_metres(motor::torque_at_lag(field, *lag)), WithinRel(2.0 * share, 1e-12));
  CHECK_THAT(in_newton_metres(motor::torque_at_lag(field, -*lag)), WithinRel(-2.0 * share, 1e-12));
  // Two full steps away the rotor is on the next, unstable zero.
  CHECK_THAT(in_newton_metres(motor::torque_at_lag(field, degrees(3.6))), WithinAbs(0.0, 1e-12));
}

TEST_CASE("a load above the field has no lag, and none finds a microstep that moves it",
          "[motor][property]") {
  CHECK_FALSE(motor::static_lag(field, newton_metres(2.001)).has_value());
  CHECK_FALSE(motor::finest_moving_microsteps(field, newton_metres(2.001)).has_value());
}

TEST_CASE("static_lag is the load angle of the driven winding at rest", "[motor][property]") {
  const double share = GENERATE(0.0, 0.2, 0.7, 0.99);
  const double volt = GENERATE(1.5, 48.0);  // 1.5 V is below R I
  CAPTURE(share, volt);
  motor::DrivenWinding w = testing::motor_a();
  w.voltage = volts(volt);
  const RotorField f = motor::field_at_rest(w);
  const double amplitude = volt > 40 ? 3.804235 : 1.5 / 1.13;
  CHECK_THAT(in_newton_metres(f.torque_amplitude),
             WithinRel(in_newton_metres_per_ampere(w.torque_constant) * amplitude, 1e-12));
  const Torque load = share * f.torque_amplitude;
  const auto lag = motor::static_lag(f, load);
  const auto angle = motor::load_angle(w, radians_per_second(0), load);
  REQUIRE(lag.has_value());
  REQUIRE(angle.has_value());
  CHECK_THAT(in_degrees(*lag),
             WithinAbs(in_degrees(motor::shaft_angle(*angle, w.pole_pairs)), 1e-9));
}

TEST_CASE("the finest moving microstep moves the load and the next finer one does not",
          "[motor][property]") {
  const double share = GENERATE(take(50, random(1e-4, 1.0)));
  CAPTURE(share);
  const Torque friction = share * field.torque_amplitude;
  const auto finest = motor::finest_moving_microsteps(field, friction);
  REQUIRE(finest.has_value());
  const double n = in_pulses_per_full_step(*finest);
  CHECK(n == std::floor(n));
  CHECK(motor::torque_of_one_microstep(field, *finest) >= friction);
  CHECK(motor::torque_of_one_microstep(field, pulses_per_full_step(n + 1)) < friction);
}

TEST_CASE("a friction that one of so many microsteps just overcomes gives that number",
          "[motor][property]") {
  for (int n = 1; n <= 512; ++n) {
    CAPTURE(n);
    const auto microsteps = pulses_per_full_step(n);
    CHECK(motor::finest_moving_microsteps(
              field, motor::torque_of_one_microstep(field, microsteps)) == microsteps);
  }
  // Ten percent of the holding torque: 15 by 90/asin(0.1) = 15.69, as 1/16 has 9.80 %.
  CHECK(motor::finest_moving_microsteps(field, newton_metres(0.2)) == pulses_per_full_step(15));
  CHECK(motor::finest_moving_microsteps(field, newton_metres(0)) == unlimited<PulsesPerFullStep>());
}

TEST_CASE("microstep functions refuse what their tables exclude", "[motor][error]") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_MATCHES(motor::field_at_rest({}), InvalidInput,
                       Message("torque constant must be > 0, got nan N*m/A"));
  CHECK_THROWS_MATCHES(motor::static_lag({.pole_pairs = 50}, newton_metres(1)), InvalidInput,
                       Message("torque amplitude must be > 0, got nan N*m"));
  CHECK_THROWS_MATCHES(motor::static_lag({.torque_amplitude = newton_metres(1)}, newton_metres(1)),
                       InvalidInput, Message("pole pairs must be > 0, got nan"));
  CHECK_THROWS_MATCHES(motor::static_lag(field, newton_metres(-1)), InvalidInput,
                       Message("load must be >= 0, got -1 N*m"));
  CHECK_THROWS_MATCHES(motor::torque_at_lag(field, unset<Angle>()), InvalidInput,
                       Message("lag must be a finite angle, got nan deg"));
  CHECK_THROWS_AS(motor::torque_at_lag({}, degrees(1)), InvalidInput);
  CHECK_THROWS_MATCHES(motor::torque_of_one_microstep(field, pulses_per_full_step(0.5)),
                       InvalidInput, Message("microsteps must be >= 1, got 0.5 pulse/step"));
  CHECK_THROWS_AS(motor::torque_of_one_microstep({}, pulses_per_full_step(1)), InvalidInput);
  CHECK_THROWS_MATCHES(motor::finest_moving_microsteps(field, newton_metres(nan)), InvalidInput,
                       Message("friction must be >= 0, got nan N*m"));
  CHECK_THROWS_AS(motor::finest_moving_microsteps({}, newton_metres(0)), InvalidInput);
  CHECK_THROWS_MATCHES(motor::microstep_angle({}, pulses_per_full_step(1)), InvalidInput,
                       Message("full steps per angle must be > 0, got 0 step/rev"));
  CHECK_THROWS_AS(motor::microstep_angle(two_hundred, pulses_per_full_step(0)), InvalidInput);
  CHECK_THROWS_AS(motor::step_error({}), InvalidInput);
  CHECK_THROWS_MATCHES(motor::StepErrorShare(5), InvalidInput,
                       Message("step error share must be >= 0 and < 1, got 5"));
  CHECK_THROWS_MATCHES(motor::deviation(degrees(1), {}), InvalidInput,
                       Message("transmission must be > 0, got 0 m/rad"));
}

}  // namespace
}  // namespace pitchline
