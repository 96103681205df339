#include "pitchline/motor/loss_free_torque.hpp"

#include <algorithm>
#include <array>
#include <complex>
#include <limits>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motor::DrivenWinding;
using motor::loss_free_pull_out;
using motor::PullOut;
using motor::Region;
using testing::IsNear;

double torque_at(const DrivenWinding& w, double rpm) {
  return in_newton_metres(loss_free_pull_out(w, revolutions_per_minute(rpm)).torque);
}

Region region_named(const std::string& letter) {
  return letter == "C" ? Region::current : letter == "B" ? Region::both : Region::voltage;
}

TEST_CASE("loss_free_pull_out gives the check table of motor A", "[motor][published]") {
  // Closed form with angles, five digits, an independent derivation (C): reference/sources.md,
  // [pull-out]. Its form is attributed to Acarnley, ch. 5 (M).
  const DrivenWinding a = testing::motor_a();
  struct Row {
    double rpm, torque;
    Region region;
  };
  const std::array<Row, 9> table{{{100, 1.81575, Region::current},
                                  {300, 1.81575, Region::current},
                                  {450, 1.70618, Region::both},
                                  {600, 1.29154, Region::voltage},
                                  {800, 0.96955, Region::voltage},
                                  {1000, 0.77597, Region::voltage},
                                  {1200, 0.64679, Region::voltage},
                                  {1500, 0.51753, Region::voltage},
                                  {2000, 0.38821, Region::voltage}}};
  for (const Row& row : table) {
    CAPTURE(row.rpm);
    CHECK_THAT(torque_at(a, row.rpm), WithinAbs(row.torque, 0.5e-5));
    CHECK(loss_free_pull_out(a, revolutions_per_minute(row.rpm)).region == row.region);
  }
  // w_b, printed 2032.003 rad/s electrical, 388.08 rpm.
  const AngularSpeed corner = motor::corner_speed(a);
  CHECK_THAT(50.0 * in_radians_per_second(corner), WithinAbs(2032.003, 0.5e-3));
  CHECK_THAT(in_revolutions_per_minute(corner), WithinAbs(388.08, 0.5e-2));
}

TEST_CASE("loss_free_pull_out gives the check table of motor B", "[motor][published]") {
  // As motor A, C.
  const DrivenWinding b = testing::motor_b();
  const std::array<std::array<double, 2>, 6> table{{{100, 9.0},
                                                    {300, 6.72889},
                                                    {450, 4.49053},
                                                    {600, 3.36911},
                                                    {1000, 2.02206},
                                                    {2000, 1.01116}}};
  for (const auto& [rpm, torque] : table) {
    CAPTURE(rpm);
    CHECK_THAT(torque_at(b, rpm), WithinAbs(torque, 0.5e-5));
  }
  const AngularSpeed corner = motor::corner_speed(b);
  CHECK_THAT(50.0 * in_radians_per_second(corner), WithinAbs(1036.803, 0.5e-3));
  CHECK_THAT(in_revolutions_per_minute(corner), WithinAbs(198.01, 0.5e-2));
}

TEST_CASE("loss_free_pull_out gives the 70 points of the pull-out table to their digits",
          "[motor][published]") {
  // reference/published/pullout.csv: independent derivation, closed-form columns (C).
  const auto rows = testing::published("pullout.csv");
  CHECK(rows.size() == 70);
  for (const testing::CsvRow& row : rows) {
    CAPTURE(row.text("motor"), row.text("V_V"), row.text("I_pk_A"), row.text("speed_rpm"));
    const auto motor = testing::tabled_motor(row.text("motor"));
    // The amplitude is printed to seven digits; where it stands for sqrt2 times the rating, that.
    Current amplitude = amperes(row.number("I_pk_A"));
    const Current full = std::numbers::sqrt2 * motor.rated_current;
    if (std::abs(number(amplitude / full) - 1.0) < 1e-6) amplitude = full;
    DrivenWinding w = motor::driven_winding(motor, amplitude, volts(row.number("V_V")));
    CHECK_THAT(in_newton_metres_per_ampere(w.torque_constant),
               WithinAbs(row.number("Kt_Nm_per_A"), 1.01 * row.half_digit("Kt_Nm_per_A")));
    CHECK_THAT(in_ohms(w.resistance), WithinRel(row.number("R_ohm"), 1e-15));
    CHECK_THAT(in_henries(w.inductance), WithinRel(row.number("L_H"), 1e-15));

    const AngularSpeed speed = revolutions_per_minute(row.number("speed_rpm"));
    const auto near = [&row](const char* column) {
      return WithinAbs(row.number(column), 1.01 * row.half_digit(column));
    };
    const PullOut met = loss_free_pull_out(w, speed);
    CHECK_THAT(in_newton_metres(met.torque), near("T_exact_V_Nm"));
    CHECK_THAT(in_amperes(met.direct), near("T_exact_V_id_A"));
    CHECK_THAT(in_amperes(met.quadrature), near("T_exact_V_iq_A"));
    CHECK(met.region == region_named(row.text("T_exact_V_region")));

    w.voltage = 4.0 / std::numbers::pi * w.voltage;  // fundamental of a full square wave
    const PullOut square = loss_free_pull_out(w, speed);
    CHECK_THAT(in_newton_metres(square.torque), near("T_exact_4overpi_V_Nm"));
    CHECK(square.region == region_named(row.text("T_exact_4overpi_region")));
  }
}

TEST_CASE("corner_speed gives the table of corner speeds to its digits", "[motor][published]") {
  // reference/published/corner_speed.csv: independent derivation (C).
  for (const testing::CsvRow& row : testing::published("corner_speed.csv")) {
    CAPTURE(row.text("motor"), row.text("V_V"), row.text("I_pk_A"));
    const DrivenWinding w =
        motor::driven_winding(testing::tabled_motor(row.text("motor")),
                              amperes(row.number("I_pk_A")), volts(row.number("V_V")));
    // The amplitude itself is printed to ten digits only.
    CHECK_THAT(in_radians_per_second(motor::corner_speed(w)),
               WithinRel(row.number("corner_omega_rad_s"), 1e-9));
    CHECK_THAT(in_revolutions_per_minute(motor::corner_speed(w)),
               WithinRel(row.number("corner_rpm"), 1e-9));
    // From here on the voltage alone limits.
    const double from = row.number("voltage_only_optimum_from_rpm");
    const auto region = [&w](double rpm) {
      return loss_free_pull_out(w, revolutions_per_minute(rpm)).region;
    };
    CHECK(region(from * (1 - 1e-6)) == Region::both);
    CHECK(region(from * (1 + 1e-6)) == Region::voltage);
  }
}

TEST_CASE("corner_speed without resistance and back-EMF is the printed V over N_r L I",
          "[motor][published]") {
  // [Duet], Q: 12 V, 4 mH, 1.5 A, 200 steps: printed about 250 mm/s at 40 mm a turn; recomputed
  // 6.3662 rev/s, 254.65 mm/s.
  const DrivenWinding w{.torque_constant = newton_metres_per_ampere(1e-9),
                        .resistance = ohms(1e-9),
                        .inductance = millihenries(4),
                        .pole_pairs = 50,
                        .amplitude = amperes(1.5),
                        .voltage = volts(12)};
  const AngularSpeed corner = motor::corner_speed(w);
  CHECK_THAT(in_revolutions_per_minute(corner) / 60.0, WithinAbs(6.3662, 0.5e-4));
  CHECK_THAT(Speed(corner * (millimetres(40) / revolution)),
             IsNear(millimetres_per_second(250), millimetres_per_second(5)));
}

TEST_CASE("loss_free_pull_out ends where the characteristic current says", "[motor][published]") {
  // C, derived: with I below I_ch = K_t/(N_r L) the torque ends at
  // w0 = sqrt(V^2 - R^2 I^2)/(K_t - N_r L I); NEMA17 of the table at 12 V, 0.75 A: 1234.020161 rpm.
  const DrivenWinding weak =
      motor::driven_winding(testing::tabled_motor("NEMA17"), amperes(0.75), volts(12));
  CHECK(torque_at(weak, 1234.020161 * (1 - 1e-6)) > 0.0);
  CHECK(torque_at(weak, 1234.020161 * (1 + 1e-6)) == 0.0);
  CHECK(loss_free_pull_out(weak, revolutions_per_minute(1300)).region == Region::none);
  CHECK(loss_free_pull_out(weak, revolutions_per_minute(1300)).torque == newton_metres(0));

  // With I above it, T w tends to the constant power I_ch (V - R I_ch): motor A, in the limit.
  const DrivenWinding a = testing::motor_a();
  const Current own = a.torque_constant * radian / (a.pole_pairs * a.inductance);
  const Power limit = own * (a.voltage - a.resistance * own);
  const AngularSpeed fast = revolutions_per_minute(1e7);
  CHECK_THAT(number(Power(loss_free_pull_out(a, fast).torque * fast) / limit),
             WithinRel(1.0, 1e-3));
}

// The winding that serves as the middle of the random ones.
DrivenWinding random_winding(double spread_a, double spread_b, double spread_c) {
  return {.torque_constant = newton_metres_per_ampere(0.2 * spread_a),
          .resistance = ohms(1.5 * spread_b),
          .inductance = millihenries(3.0 * spread_c),
          .pole_pairs = 50,
          .amplitude = amperes(2.0 * spread_b),
          .voltage = volts(24.0 * spread_a)};
}

TEST_CASE("loss_free_pull_out is the maximum over all currents that both limits allow",
          "[motor][property]") {
  // By brute force over the load: each current i on the circle of the driver or on that of the
  // voltage, without the closed form.
  const double a = GENERATE(take(4, random(0.3, 3.0)));
  const double b = GENERATE(take(4, random(0.3, 3.0)));
  const double rpm = GENERATE(50.0, 300.0, 700.0, 1500.0, 3000.0);
  CAPTURE(a, b, rpm);
  const DrivenWinding w = random_winding(a, b, 1.0);
  const AngularSpeed speed = revolutions_per_minute(rpm);
  const double omega = in_radians_per_second(speed);
  using Complex = std::complex<double>;  // d + j q
  const double I = in_amperes(w.amplitude);
  const double V = in_volts(w.voltage);
  const Complex Z(in_ohms(w.resistance), w.pole_pairs * omega * in_henries(w.inductance));
  const Complex E(0.0, in_newton_metres_per_ampere(w.torque_constant) * omega);
  double best = 0.0;
  constexpr int count = 40'000;
  for (int i = 0; i < count; ++i) {
    const Complex unit = std::polar(1.0, 2.0 * std::numbers::pi * i / count);
    const Complex on_current = I * unit;
    if (std::abs(Z * on_current + E) <= V) best = std::max(best, on_current.imag());
    const Complex on_voltage = (V * unit - E) / Z;
    if (std::abs(on_voltage) <= I) best = std::max(best, on_voltage.imag());
  }
  const double met = in_amperes(Current(loss_free_pull_out(w, speed).torque / w.torque_constant));
  CHECK(met >= best * (1 - 1e-12));
  CHECK_THAT(met, WithinAbs(best, 3e-4 * I));
}

TEST_CASE("loss_free_pull_out stays within both limits", "[motor][property]") {
  const double a = GENERATE(take(5, random(0.3, 3.0)));
  const double c = GENERATE(take(5, random(0.3, 3.0)));
  CAPTURE(a, c);
  const DrivenWinding w = random_winding(a, 1.0, c);
  for (double rpm = 0; rpm <= 3000; rpm += 25) {
    CAPTURE(rpm);
    const AngularSpeed speed = revolutions_per_minute(rpm);
    const PullOut out = loss_free_pull_out(w, speed);
    if (out.region == Region::none) continue;
    const double d = in_amperes(out.direct);
    const double q = in_amperes(out.quadrature);
    const double X = w.pole_pairs * in_radians_per_second(speed) * in_henries(w.inductance);
    const double R = in_ohms(w.resistance);
    const double E = in_volts(Voltage(w.torque_constant * speed));
    CHECK(std::hypot(d, q) <= in_amperes(w.amplitude) * (1 + 1e-9));
    CHECK(std::hypot(R * d - X * q, R * q + X * d + E) <= in_volts(w.voltage) * (1 + 1e-9));
  }
}

TEST_CASE("loss_free_pull_out never rises with speed and has no jumps", "[motor][property]") {
  const double a = GENERATE(take(5, random(0.3, 3.0)));
  const double b = GENERATE(take(5, random(0.3, 3.0)));
  CAPTURE(a, b);
  const DrivenWinding w = random_winding(a, b, 1.0);
  const double full = in_newton_metres(Torque(w.torque_constant * w.amplitude));
  double last = torque_at(w, 0);
  for (double rpm = 1; rpm <= 4000; rpm += 1) {
    const double torque = torque_at(w, rpm);
    CAPTURE(rpm, last, torque);
    if (torque > last * (1 + 1e-12)) FAIL("the torque rises");
    if (last - torque > 0.1 * full) FAIL("the torque jumps");
    last = torque;
  }
  SUCCEED();
}

TEST_CASE("rewinding a motor changes neither its torque nor its corner speed",
          "[motor][property]") {
  const double turns = GENERATE(0.25, 0.5, 1.7, 3.0, 10.0);
  const double rpm = GENERATE(0.0, 200.0, 430.0, 600.0, 2000.0);
  CAPTURE(turns, rpm);
  const DrivenWinding w = testing::motor_a();
  const DrivenWinding rewound{.torque_constant = turns * w.torque_constant,
                              .resistance = turns * turns * w.resistance,
                              .inductance = turns * turns * w.inductance,
                              .pole_pairs = w.pole_pairs,
                              .amplitude = w.amplitude / turns,
                              .voltage = turns * w.voltage};
  CHECK_THAT(torque_at(rewound, rpm), WithinRel(torque_at(w, rpm), 1e-12));
  CHECK_THAT(in_radians_per_second(motor::corner_speed(rewound)),
             WithinRel(in_radians_per_second(motor::corner_speed(w)), 1e-12));
}

TEST_CASE("the current region ends at the corner speed", "[motor][property]") {
  const double a = GENERATE(take(6, random(0.5, 3.0)));
  const double b = GENERATE(take(6, random(0.3, 1.5)));
  CAPTURE(a, b);
  const DrivenWinding w = random_winding(a, b, 1.0);
  const AngularSpeed corner = motor::corner_speed(w);
  if (w.resistance * w.amplitude >= w.voltage) {
    CHECK(corner == radians_per_second(0));
  } else {
    CHECK(loss_free_pull_out(w, corner * (1 - 1e-9)).region == Region::current);
    CHECK(loss_free_pull_out(w, corner * (1 + 1e-9)).region != Region::current);
  }
}

TEST_CASE("a supply below R I gives the torque of the current it can drive at rest",
          "[motor][property]") {
  DrivenWinding w = testing::motor_a();
  w.voltage = 0.5 * w.resistance * w.amplitude;
  CHECK(motor::corner_speed(w) == radians_per_second(0));
  const PullOut rest = loss_free_pull_out(w, radians_per_second(0));
  CHECK(rest.region == Region::voltage);
  CHECK_THAT(number(rest.torque / Torque(w.torque_constant * w.amplitude)), WithinRel(0.5, 1e-12));
  // None where the direct voltage falls short of what the back-EMF takes: V Z <= E R. Without
  // inductance to speak of that is the no-load speed V/K_t.
  w.inductance = millihenries(1e-6);
  const AngularSpeed no_load = w.voltage / w.torque_constant;
  CHECK(loss_free_pull_out(w, 0.99 * no_load).torque > newton_metres(0));
  CHECK(loss_free_pull_out(w, 1.01 * no_load).torque == newton_metres(0));
}

TEST_CASE("loss_free_pull_out and corner_speed refuse what their table excludes",
          "[motor][error]") {
  const DrivenWinding good = testing::motor_a();
  const auto refuses = [&](auto spoil, const char* text) {
    DrivenWinding bad = good;
    spoil(bad);
    CHECK_THROWS_MATCHES(loss_free_pull_out(bad, radians_per_second(1)), InvalidInput,
                         Message(text));
    CHECK_THROWS_MATCHES(motor::corner_speed(bad), InvalidInput, Message(text));
  };
  refuses([](auto& w) { w.torque_constant = unset<TorqueConstant>(); },
          "torque constant must be > 0, got nan N*m/A");
  refuses([](auto& w) { w.resistance = ohms(0); }, "resistance must be > 0, got 0 ohm");
  refuses([](auto& w) { w.inductance = unset<Inductance>(); }, "inductance must be > 0, got nan H");
  refuses([](auto& w) { w.pole_pairs = 0; }, "pole pairs must be > 0, got 0");
  refuses([](auto& w) { w.amplitude = amperes(-1); }, "phase current must be > 0, got -1 A");
  refuses([](auto& w) { w.voltage = unset<Voltage>(); }, "voltage must be > 0, got nan V");
  CHECK_THROWS_MATCHES(loss_free_pull_out(good, radians_per_second(-1)), InvalidInput,
                       Message("speed must be >= 0, got -1 rad/s"));
  CHECK_THROWS_MATCHES(loss_free_pull_out(good, unset<AngularSpeed>()), InvalidInput,
                       Message("speed must be >= 0, got nan rad/s"));
  CHECK_THROWS_AS(loss_free_pull_out(good, unlimited<AngularSpeed>()), InvalidInput);
}

}  // namespace
}  // namespace pitchline
