#include "pitchline/motor/heat.hpp"

#include <array>

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
using motor::CurrentShare;
using motor::HeatSources;
using motor::Stepping;
using testing::IsNear;

TEST_CASE("warm_resistance raises copper by the printed factor over 80 K", "[motor][published]") {
  // motors.md section 7, C: 1.3144.
  CHECK_THAT(motor::warm_resistance(ohms(1), kelvins(80)), IsNear(ohms(1.3144), ohms(0.00005)));
}

TEST_CASE("copper_loss gives the table of rated currents in all three conventions",
          "[motor][published]") {
  for (const testing::CsvRow& row : testing::published("rated_current.csv")) {
    CAPTURE(row.text("motor"));
    const Current rated = amperes(row.number("I_rated_A"));
    const Resistance R = ohms(row.number("R_ohm"));
    CHECK_THAT(in_watts(motor::copper_loss(rated, R)),
               WithinRel(row.number("copper_loss_two_phase_on_W"), 1e-12));
    const Current rms_of_peak =
        parts::current_rms({.current = rated, .current_is = parts::CurrentIs::peak});
    CHECK_THAT(in_watts(motor::copper_loss(rms_of_peak, R)),
               WithinRel(row.number("copper_loss_Ipk_eq_Ir_W"), 1e-12));
    const Current rms = parts::current_rms({.current = rated, .current_is = parts::CurrentIs::rms});
    CHECK_THAT(in_watts(motor::copper_loss(rms, R)),
               WithinRel(row.number("copper_loss_Ipk_eq_sqrt2_Ir_W"), 1e-12));
  }
}

TEST_CASE("driver_setting at the full rating holds what the table of rated currents says",
          "[motor][published]") {
  for (const testing::CsvRow& row : testing::published("rated_current.csv")) {
    CAPTURE(row.text("motor"));
    const auto motor = testing::tabled_motor(row.text("motor"));
    const motor::DriverSetting full = motor::driver_setting(motor, Stepping::full);
    const motor::DriverSetting sine = motor::driver_setting(motor, Stepping::sine);
    for (const motor::DriverSetting& s : {full, sine}) {
      CHECK_THAT(in_amperes(s.rms), WithinRel(row.number("I_rated_A"), 1e-12));
      CHECK_THAT(in_newton_metres(s.holding_torque),
                 WithinRel(row.number("T_hold_two_phase_Nm"), 1e-9));
      CHECK_THAT(in_watts(s.copper_loss),
                 WithinRel(row.number("copper_loss_two_phase_on_W"), 1e-9));
    }
    CHECK(full.peak == full.rms);
    CHECK_THAT(number(sine.peak / sine.rms), WithinRel(std::numbers::sqrt2, 1e-15));
    // I_pk = I_r is a share of 1/sqrt2 of the current and half the loss.
    const motor::DriverSetting low =
        motor::driver_setting(motor, Stepping::sine, CurrentShare(1 / std::numbers::sqrt2));
    CHECK_THAT(in_newton_metres(low.holding_torque),
               WithinRel(row.number("T_peak_at_Ipk_eq_Ir_Nm"), 1e-9));
    CHECK_THAT(in_watts(low.copper_loss), WithinRel(row.number("copper_loss_Ipk_eq_Ir_W"), 1e-9));
  }
}

TEST_CASE("the sine peak is the 1.4 times the RMS of the makers' manuals", "[motor][published]") {
  // [R256] p. 25 and [L010167] p. 8, Q: both multiply by 1.4.
  const auto s = motor::driver_setting(testing::stepper(1, 2.0, 1, 1), Stepping::sine);
  CHECK_THAT(number(s.peak / s.rms), WithinAbs(1.4, 0.05));
}

TEST_CASE("half stepping has the printed RMS and takes the printed boost", "[motor][published]") {
  // C: 0.8660 and 1.1547; [AMCI], Q: "15 %". Counted here over the eight half steps of one phase.
  const std::array<double, 8> phase{1, 1, 0, -1, -1, -1, 0, 1};
  double square = 0;
  for (const double i : phase) square += i * i / 8;
  CHECK_THAT(std::sqrt(square), WithinAbs(0.8660, 0.00005));
  const double crest = motor::crest_factor(Stepping::half);
  CHECK_THAT(1 / crest, WithinRel(std::sqrt(square), 1e-12));
  CHECK_THAT(crest, WithinAbs(1.1547, 0.00005));
  CHECK_THAT(100 * (crest - 1), WithinAbs(15, 0.5));
}

TEST_CASE("rated_thermal_path gives the printed ceilings", "[motor][published]") {
  // gaps.md section 10, C from Q2 sheets: 80/(2 I^2 R) with cold R is 4.5 and 2.5 K/W for
  // 23HS30-2804S and 34HE46-6004D-E1000, 3.4 and 1.9 with copper 80 K hotter.
  const auto of_23 = motor::rated_thermal_path(testing::stepper(1.89, 2.8, 1.13, 5.4));
  const auto of_34 = motor::rated_thermal_path(testing::stepper(9.0, 6.0, 0.45, 4.6));
  CHECK(of_23.basis == motor::ThermalBasis::rating);
  const auto digit = kelvins_per_watt(0.05);
  CHECK_THAT(ThermalResistance(1.3144 * of_23.resistance), IsNear(kelvins_per_watt(4.5), digit));
  CHECK_THAT(of_23.resistance, IsNear(kelvins_per_watt(3.4), digit));
  CHECK_THAT(ThermalResistance(1.3144 * of_34.resistance), IsNear(kelvins_per_watt(2.5), digit));
  CHECK_THAT(of_34.resistance, IsNear(kelvins_per_watt(1.9), digit));
  // 17HS08-1004S, Q2: 1.0 A and 3.7 ohm, so 80/(7.4 * 1.3144) = 8.2 K/W, above the default of 17.
  const auto short_17 = motor::rated_thermal_path(testing::stepper(0.16, 1.0, 3.7, 4.5));
  CHECK_THAT(short_17.resistance, IsNear(kelvins_per_watt(8.2), digit));
}

TEST_CASE("frame_thermal_path is the hot ceiling of one motor of each frame",
          "[motor][published]") {
  // The cold ceilings as printed, 9.1, 4.5 and 2.5 K/W, over the factor of hot copper.
  const std::array<std::array<double, 2>, 3> cold{{{17, 9.1}, {23, 4.5}, {34, 2.5}}};
  for (const auto& [frame, ceiling] : cold) {
    CAPTURE(frame);
    const auto path = motor::frame_thermal_path(static_cast<int>(frame));
    REQUIRE(path.has_value());
    CHECK(path->basis == motor::ThermalBasis::frame_class);
    CHECK_THAT(path->resistance,
               IsNear(kelvins_per_watt(ceiling / 1.3144), kelvins_per_watt(0.05)));
  }
  const auto of_24 = motor::frame_thermal_path(24);
  REQUIRE(of_24.has_value());
  CHECK(of_24->resistance == motor::frame_thermal_path(23)->resistance);
  CHECK_FALSE(motor::frame_thermal_path(0).has_value());
  CHECK_FALSE(motor::frame_thermal_path(11).has_value());
}

TEST_CASE("the thermal time constants are a third of the time to the final temperature",
          "[motor][published]") {
  // [STM23] p. 44, Q: 30 to 45 minutes.
  CHECK(3.0 * motor::short_thermal_time_constant == seconds(30 * 60));
  CHECK(3.0 * motor::long_thermal_time_constant == seconds(45 * 60));
}

TEST_CASE("customary_supply_current is two thirds of the phase current", "[motor][published]") {
  // [controller integrator manual], Q: 2/3 in parallel, 1/3 in series of the parallel current.
  CHECK_THAT(in_amperes(motor::customary_supply_current(amperes(4.2))), WithinRel(2.8, 1e-12));
  CHECK_THAT(in_amperes(motor::customary_supply_current(amperes(2.1))), WithinRel(4.2 / 3, 1e-12));
}

TEST_CASE("the copper loss of a sine is the same at every microstep", "[motor][property]") {
  const double angle = GENERATE(take(20, random(0.0, 6.3)));
  CAPTURE(angle);
  const double R = 1.13;
  const double peak = 3.8;
  const double a = peak * std::cos(angle);
  const double b = peak * std::sin(angle);
  const Current rms =
      parts::current_rms({.current = amperes(peak), .current_is = parts::CurrentIs::peak});
  CHECK_THAT(in_watts(motor::copper_loss(rms, ohms(R))), WithinRel((a * a + b * b) * R, 1e-12));
}

TEST_CASE("all steppings at one RMS heat alike, half and sine hold less per peak",
          "[motor][property]") {
  const auto motor = testing::stepper(1.9, 2.8, 1.13, 5.4);
  const auto full = motor::driver_setting(motor, Stepping::full, CurrentShare(0.7));
  const auto half = motor::driver_setting(motor, Stepping::half, CurrentShare(0.7));
  const auto sine = motor::driver_setting(motor, Stepping::sine, CurrentShare(0.7));
  CHECK(full.copper_loss == half.copper_loss);
  CHECK(full.copper_loss == sine.copper_loss);
  CHECK_THAT(in_watts(full.copper_loss), WithinRel(0.49 * 2 * 2.8 * 2.8 * 1.13, 1e-12));
  CHECK_THAT(in_newton_metres(full.holding_torque), WithinRel(0.7 * 1.9, 1e-12));
  CHECK_THAT(in_newton_metres(sine.holding_torque), WithinRel(0.7 * 1.9, 1e-12));
  // One phase on at 1.1547 times the current: 1.1547/1.4142 of the two-phase torque.
  CHECK_THAT(in_newton_metres(half.holding_torque),
             WithinRel(0.7 * 1.9 * std::sqrt(2.0 / 3.0), 1e-12));
}

TEST_CASE("phase_amplitude is the full one below the corner and keeps the winding's energy balance",
          "[motor][property]") {
  const motor::DrivenWinding w = testing::motor_a();
  const double rpm = GENERATE(0.0, 200.0, 600.0, 1200.0);
  const double share = GENERATE(0.0, 0.3, 0.9);
  CAPTURE(rpm, share);
  const AngularSpeed speed = revolutions_per_minute(rpm);
  const Torque torque = share * motor::loss_free_pull_out(w, speed).torque;
  const auto point = motor::working_point(w, speed, torque);
  REQUIRE(point.has_value());
  const Current amplitude = motor::phase_amplitude(*point);
  if (point->saturated)
    CHECK(amplitude < w.amplitude);
  else
    CHECK_THAT(in_amperes(amplitude), WithinRel(in_amperes(w.amplitude), 1e-12));
  // v_d i_d + v_q i_q is the power of both phases: torque times speed and 2 I_rms^2 R.
  const Power in =
      point->direct_voltage * point->direct + point->quadrature_voltage * point->quadrature;
  const Power out =
      torque * speed + motor::copper_loss(amplitude / std::numbers::sqrt2, w.resistance);
  CHECK_THAT(in_watts(in), WithinRel(in_watts(out), 1e-9));
  // The supply gives the same power as a direct current.
  const Current dc = motor::supply_current(
      {.mechanical = torque * speed,
       .copper = motor::copper_loss(amplitude / std::numbers::sqrt2, w.resistance)},
      w.voltage);
  CHECK_THAT(in_watts(dc * w.voltage), WithinRel(in_watts(in), 1e-9));
}

TEST_CASE("idle_hold halves the torque and quarters the loss at half the current",
          "[motor][property]") {
  const motor::DrivenWinding w = testing::motor_a();
  const motor::IdleHold all = motor::idle_hold(w, CurrentShare(1));
  const motor::IdleHold half = motor::idle_hold(w, CurrentShare(0.5));
  CHECK(all.holding_torque == motor::loss_free_pull_out(w, radians_per_second(0)).torque);
  CHECK_THAT(in_amperes(all.rms), WithinRel(3.804235 / std::sqrt(2.0), 1e-12));
  CHECK_THAT(in_watts(all.copper_loss), WithinRel(3.804235 * 3.804235 * 1.13, 1e-12));
  CHECK_THAT(number(half.rms / all.rms), WithinRel(0.5, 1e-12));
  CHECK_THAT(number(half.holding_torque / all.holding_torque), WithinRel(0.5, 1e-12));
  CHECK_THAT(number(half.copper_loss / all.copper_loss), WithinRel(0.25, 1e-12));
}

TEST_CASE("thermal_path takes what is stated, else the smaller ceiling of frame and rating",
          "[motor][property]") {
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const auto stated = motor::thermal_path(motor, 23, kelvins_per_watt(2.5));
  CHECK(stated.basis == motor::ThermalBasis::stated);
  CHECK(stated.resistance == kelvins_per_watt(2.5));
  CHECK(motor::thermal_path(motor, 34).basis == motor::ThermalBasis::frame_class);
  CHECK(motor::thermal_path(motor, 34).resistance == kelvins_per_watt(1.9));
  CHECK(motor::thermal_path(motor).basis == motor::ThermalBasis::rating);
  CHECK(motor::thermal_path(motor, 17).basis == motor::ThermalBasis::rating);  // 3.4 below 6.9
  CHECK(motor::thermal_path(motor, 8).resistance == motor::rated_thermal_path(motor).resistance);
}

TEST_CASE("at its rating a motor settles at the rise that its thermal path was drawn from",
          "[motor][property]") {
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const HeatSources sources{.copper_loss = motor::copper_loss(amperes(2.8), ohms(1.13))};
  const auto path = motor::rated_thermal_path(motor);
  const motor::WindingHeat heat = motor::winding_heat(sources, path.resistance);
  REQUIRE(heat.rise.has_value());
  CHECK_THAT(in_kelvins(*heat.rise), WithinRel(80.0, 1e-12));
  CHECK_THAT(in_watts(heat.loss), WithinRel(1.3144 * 17.7184, 1e-12));
}

TEST_CASE("winding_heat is the fixed point of loss and temperature", "[motor][property]") {
  const double copper = GENERATE(take(5, random(0.0, 30.0)));
  const double iron = GENERATE(0.0, 4.0);
  const double warmer = GENERATE(-10.0, 0.0, 20.0);
  CAPTURE(copper, iron, warmer);
  const HeatSources sources{
      .copper_loss = watts(copper), .iron_loss = watts(iron), .surroundings = kelvins(warmer)};
  const motor::WindingHeat heat = motor::winding_heat(sources, kelvins_per_watt(3));
  CHECK_THAT(heat.feedback, WithinAbs(0.00393 * 3 * copper, 1e-12));
  // By iteration instead of the closed form.
  double rise = 0;
  for (int i = 0; i < 3000; ++i) rise = 3 * (copper * (1 + 0.00393 * (rise + warmer)) + iron);
  REQUIRE(heat.rise.has_value());
  CHECK_THAT(in_kelvins(*heat.rise), WithinRel(rise, 1e-9));
  CHECK_THAT(3 * in_watts(heat.loss), WithinRel(rise, 1e-9));
}

TEST_CASE("a current that the motor cannot shed the heat of has no final temperature",
          "[motor][property]") {
  // α R_th P_0 = 1 at 1/(0.00393 * 4) = 63.6 W.
  const auto rise = [](double copper) {
    return motor::winding_heat({.copper_loss = watts(copper)}, kelvins_per_watt(4)).rise;
  };
  CHECK(rise(63.5).has_value());
  CHECK_FALSE(rise(63.7).has_value());
  CHECK_FALSE(rise(200).has_value());
  CHECK(motor::winding_heat({.copper_loss = watts(200)}, kelvins_per_watt(4)).feedback > 1);
}

TEST_CASE("rise_after follows the differential equation and ends at winding_heat",
          "[motor][property]") {
  const double copper = GENERATE(10.0, 1 / (0.00393 * 4), 90.0);  // settles, limit, runs away
  CAPTURE(copper);
  const HeatSources sources{
      .copper_loss = watts(copper), .iron_loss = watts(2), .surroundings = kelvins(15)};
  const motor::ThermalPath path{.resistance = kelvins_per_watt(4)};
  const Time tau = seconds(700);
  const auto at = [&](double s) {
    return in_kelvins(
        motor::rise_after(sources, path, {.time_constant = tau, .elapsed = seconds(s)}));
  };
  CHECK(at(0) == 0.0);
  for (const double s : {1.0, 300.0, 900.0}) {
    CAPTURE(s);
    const double slope = (at(s + 0.01) - at(s - 0.01)) / 0.02;
    const double loss = copper * (1 + 0.00393 * (at(s) + 15)) + 2;
    CHECK_THAT(slope, WithinRel((4 * loss - at(s)) / 700, 1e-6));  // C = tau / R_th
  }
  const auto settled = motor::winding_heat(sources, path.resistance);
  if (copper == 10.0) {
    REQUIRE(settled.rise.has_value());
    CHECK_THAT(at(1e5), WithinRel(in_kelvins(*settled.rise), 1e-9));
  }
}

TEST_CASE("supply_current adds the powers up", "[motor][property]") {
  const motor::PowerBalance balance{
      .mechanical = watts(40), .copper = watts(16), .iron = watts(3), .driver = watts(1)};
  CHECK_THAT(in_amperes(motor::supply_current(balance, volts(48))), WithinRel(60.0 / 48, 1e-12));
  CHECK_THAT(in_amperes(motor::supply_current(balance, volts(24))), WithinRel(2.5, 1e-12));
}

TEST_CASE("heat functions refuse what their tables exclude", "[motor][error]") {
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  CHECK_THROWS_MATCHES(CurrentShare(50), InvalidInput,
                       Message("current share must be > 0 and <= 1, got 50"));
  CHECK_THROWS_MATCHES(motor::warm_resistance({}, kelvins(1)), InvalidInput,
                       Message("resistance must be > 0, got 0 ohm"));
  CHECK_THROWS_MATCHES(motor::warm_resistance(ohms(1), unset<TemperatureRise>()), InvalidInput,
                       Message("rise must be a finite number, got nan K"));
  CHECK_THROWS_MATCHES(
      motor::warm_resistance(ohms(1), kelvins(-260)), OutsideValidity,
      Message("copper 260 K colder than measured is outside the straight line of its resistance"));
  CHECK_THROWS_MATCHES(motor::copper_loss(amperes(-1), ohms(1)), InvalidInput,
                       Message("RMS current must be >= 0, got -1 A"));
  CHECK_THROWS_MATCHES(motor::copper_loss(amperes(1), unset<Resistance>()), InvalidInput,
                       Message("resistance must be > 0, got nan ohm"));
  CHECK_THROWS_AS(motor::driver_setting({}, Stepping::sine), InvalidInput);
  CHECK_THROWS_AS(motor::idle_hold({}, CurrentShare(0.5)), InvalidInput);
  CHECK_THROWS_AS(motor::rated_thermal_path({}), InvalidInput);
  CHECK_THROWS_AS(motor::thermal_path({}), InvalidInput);
  CHECK_THROWS_MATCHES(motor::thermal_path(motor, 23, kelvins_per_watt(0)), InvalidInput,
                       Message("thermal resistance must be > 0, got 0 K/W"));

  const ThermalResistance four = kelvins_per_watt(4);
  CHECK_THROWS_MATCHES(motor::winding_heat({}, four), InvalidInput,
                       Message("copper loss must be >= 0, got nan W"));
  CHECK_THROWS_MATCHES(motor::winding_heat({.copper_loss = watts(1), .iron_loss = watts(-1)}, four),
                       InvalidInput, Message("iron loss must be >= 0, got -1 W"));
  CHECK_THROWS_AS(motor::winding_heat({.copper_loss = watts(1)}, unset<ThermalResistance>()),
                  InvalidInput);
  CHECK_THROWS_AS(
      motor::winding_heat({.copper_loss = watts(1), .surroundings = kelvins(-300)}, four),
      OutsideValidity);

  const HeatSources one_watt{.copper_loss = watts(1)};
  const motor::ThermalPath path{.resistance = four};
  CHECK_THROWS_MATCHES(
      motor::rise_after(one_watt, path, {.time_constant = seconds(0), .elapsed = seconds(1)}),
      InvalidInput, Message("time constant must be > 0, got 0 s"));
  CHECK_THROWS_MATCHES(
      motor::rise_after(one_watt, path, {.time_constant = seconds(1), .elapsed = seconds(-1)}),
      InvalidInput, Message("elapsed must be >= 0, got -1 s"));
  CHECK_THROWS_AS(motor::rise_after({}, path, {.time_constant = seconds(1), .elapsed = seconds(1)}),
                  InvalidInput);
  CHECK_THROWS_AS(
      motor::rise_after(one_watt, {}, {.time_constant = seconds(1), .elapsed = seconds(1)}),
      InvalidInput);
  CHECK_THROWS_AS(motor::rise_after({.copper_loss = watts(1), .surroundings = kelvins(-300)}, path,
                                    {.time_constant = seconds(1), .elapsed = seconds(1)}),
                  OutsideValidity);

  CHECK_THROWS_MATCHES(motor::supply_current({.mechanical = watts(-1)}, volts(24)), InvalidInput,
                       Message("mechanical power must be >= 0, got -1 W"));
  CHECK_THROWS_MATCHES(motor::supply_current({.copper = unset<Power>()}, volts(24)), InvalidInput,
                       Message("copper loss must be >= 0, got nan W"));
  CHECK_THROWS_MATCHES(motor::supply_current({.iron = unset<Power>()}, volts(24)), InvalidInput,
                       Message("iron loss must be >= 0, got nan W"));
  CHECK_THROWS_MATCHES(motor::supply_current({.driver = unset<Power>()}, volts(24)), InvalidInput,
                       Message("driver loss must be >= 0, got nan W"));
  CHECK_THROWS_MATCHES(motor::supply_current({}, volts(0)), InvalidInput,
                       Message("supply voltage must be > 0, got 0 V"));
  CHECK_THROWS_MATCHES(motor::customary_supply_current(amperes(0)), InvalidInput,
                       Message("rated current must be > 0, got 0 A"));
}

}  // namespace
}  // namespace pitchline
