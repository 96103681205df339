#include "pitchline/motor/load_angle.hpp"

#include <array>
#include <complex>

#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motor::DrivenWinding;
using motor::load_angle;

double degrees_at(const DrivenWinding& w, AngularSpeed speed, Torque torque) {
  const auto angle = load_angle(w, speed, torque);
  REQUIRE(angle.has_value());
  return in_degrees(*angle);
}

// Torque over K_t of the saturated phase controller at a load angle, without the closed form of
// load_angle: v = kappa (i* - i) along the error, kappa the positive root of |v| = V.
double quadrature_at(const DrivenWinding& w, double omega, double delta) {
  using Complex = std::complex<double>;  // d + j q
  const double I = in_amperes(w.amplitude);
  const double V = in_volts(w.voltage);
  const double R = in_ohms(w.resistance);
  const Complex Z(R, w.pole_pairs * omega * in_henries(w.inductance));
  const Complex E(0.0, in_newton_metres_per_ampere(w.torque_constant) * omega);
  const Complex command = std::polar(I, delta);
  const double wanted = std::norm(Z * command + E);
  if (wanted <= V * V) return command.imag();
  const double excess = wanted - V * V;
  const double kappa =
      (R * V * V + std::sqrt(R * R * std::pow(V, 4) + excess * V * V * std::norm(Z))) / excess;
  const Complex v = kappa * (Z * command + E) / (Z + kappa);
  return ((v - E) / Z).imag();
}

TEST_CASE("load_angle at rest gives the printed table of position error under load",
          "[motor][published]") {
  // Acarnley ch. 3, form Q, figures C: N_r 50, T/T_h against degrees of the shaft.
  const DrivenWinding w = testing::motor_a();
  const Torque holding = w.torque_constant * w.amplitude;
  const std::array<std::array<double, 2>, 7> table{{{0.05, 0.05732},
                                                    {0.1, 0.11478},
                                                    {0.25, 0.28955},
                                                    {0.5, 0.60000},
                                                    {0.75, 0.97181},
                                                    {0.9, 1.28316},
                                                    {1.0, 1.80000}}};
  for (const auto& [share, shaft] : table) {
    CAPTURE(share);
    const auto angle = load_angle(w, radians_per_second(0), share * holding);
    REQUIRE(angle.has_value());
    CHECK_THAT(in_degrees(motor::shaft_angle(*angle, w.pole_pairs)), WithinAbs(shaft, 0.51e-5));
  }
}

TEST_CASE("the torque of one microstep of lag is the printed share of the holding torque",
          "[motor][published]") {
  // [Faulhaber microstepping], Q: sin(90 degrees / n) in percent; here backwards, through the lag.
  const DrivenWinding w = testing::motor_a();
  const Torque holding = w.torque_constant * w.amplitude;
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
    const double low = n == 1 ? percent : percent + 0.005;
    const double microstep = 90.0 / n;
    CHECK(degrees_at(w, radians_per_second(0), (percent - 0.005) / 100 * holding) <= microstep);
    CHECK(degrees_at(w, radians_per_second(0), low / 100 * holding) >= microstep * (1 - 1e-9));
  }
}

TEST_CASE("load_angle at rest on a supply below R I is the arc sine of the torque share",
          "[motor][property]") {
  DrivenWinding w = testing::motor_a();
  w.voltage = 0.4 * w.resistance * w.amplitude;
  const Torque most = 0.4 * w.torque_constant * w.amplitude;
  for (const double share : {0.0, 0.2, 0.7, 0.99}) {
    CAPTURE(share);
    CHECK_THAT(degrees_at(w, radians_per_second(0), share * most),
               WithinAbs(in_degrees(radians(std::asin(share))), 1e-9));
  }
}

TEST_CASE("the largest torque over all load angles is the loss-free pull-out torque",
          "[motor][property]") {
  const double rpm = GENERATE(50.0, 350.0, 420.0, 500.0, 800.0, 1500.0, 3000.0);
  const double volt = GENERATE(24.0, 48.0, 80.0);
  CAPTURE(rpm, volt);
  DrivenWinding w = testing::motor_a();
  w.voltage = volts(volt);
  const AngularSpeed speed = revolutions_per_minute(rpm);
  double best = 0.0;
  for (int i = 0; i <= 18'000; ++i) {
    const double delta = std::numbers::pi * i / 18'000;
    best = std::max(best, quadrature_at(w, in_radians_per_second(speed), delta));
  }
  const double closed = in_amperes(motor::loss_free_pull_out(w, speed).quadrature);
  CHECK(best <= closed * (1 + 1e-9));
  CHECK_THAT(best, WithinRel(closed, 1e-4));  // a corner between two grid points costs so much
}

TEST_CASE("load_angle inverts the torque of the saturated phase controller", "[motor][property]") {
  const double rpm = GENERATE(0.0, 100.0, 350.0, 420.0, 700.0, 2000.0);
  const double share = GENERATE(0.0, 0.05, 0.4, 0.8, 0.99);
  CAPTURE(rpm, share);
  const DrivenWinding w = testing::motor_a();
  const AngularSpeed speed = revolutions_per_minute(rpm);
  const Torque torque = share * motor::loss_free_pull_out(w, speed).torque;
  const auto angle = load_angle(w, speed, torque);
  REQUIRE(angle.has_value());
  const double q = quadrature_at(w, in_radians_per_second(speed), in_radians(*angle));
  CHECK_THAT(q, WithinAbs(in_amperes(Current(torque / w.torque_constant)), 1e-9));
}

TEST_CASE("load_angle grows with the torque up to pull-out", "[motor][property]") {
  const double rpm = GENERATE(0.0, 350.0, 420.0, 460.0, 700.0, 2000.0);
  const double rated_share = GENERATE(0.5, 1.0);
  CAPTURE(rpm, rated_share);
  DrivenWinding w = testing::motor_a();
  w.amplitude = rated_share * w.amplitude;
  const AngularSpeed speed = revolutions_per_minute(rpm);
  const Torque most = motor::loss_free_pull_out(w, speed).torque;
  REQUIRE(most > newton_metres(0));
  double last = -1.0;
  for (int percent = 0; percent <= 100; ++percent) {
    CAPTURE(percent);
    const double angle = degrees_at(w, speed, (percent / 100.0) * most);
    CHECK(angle > last);
    last = angle;
  }
  CHECK(last < 180.0);
  CHECK(last >= 90.0 * (1 - 1e-6));
}

TEST_CASE("load_angle is the same through the corner speed from both sides", "[motor][property]") {
  const DrivenWinding w = testing::motor_a();
  const AngularSpeed corner = motor::corner_speed(w);
  const Torque torque = 0.7 * w.torque_constant * w.amplitude;
  CHECK_THAT(degrees_at(w, corner * (1 + 1e-9), torque),
             WithinAbs(degrees_at(w, corner * (1 - 1e-9), torque), 1e-5));
}

TEST_CASE("load_angle has nothing to give past the pull-out torque", "[motor][property]") {
  const DrivenWinding w = testing::motor_a();
  const AngularSpeed speed = revolutions_per_minute(800);
  const Torque most = motor::loss_free_pull_out(w, speed).torque;
  CHECK(load_angle(w, speed, most).has_value());
  CHECK_FALSE(load_angle(w, speed, most * (1 + 1e-9)).has_value());

  // A motor too fast for its supply has no angle even without load.
  DrivenWinding weak =
      motor::driven_winding(testing::tabled_motor("NEMA17"), amperes(0.75), volts(12));
  REQUIRE(motor::loss_free_pull_out(weak, revolutions_per_minute(1300)).region ==
          motor::Region::none);
  CHECK_FALSE(load_angle(weak, revolutions_per_minute(1300), newton_metres(0)).has_value());
  weak.voltage = 0.5 * weak.resistance * weak.amplitude;
  CHECK_FALSE(
      load_angle(weak, 2.0 * (weak.voltage / weak.torque_constant), newton_metres(0)).has_value());
}

TEST_CASE("load_angle refuses a torque below zero, unset or an unset winding", "[motor][error]") {
  const DrivenWinding w = testing::motor_a();
  CHECK_THROWS_MATCHES(load_angle(w, radians_per_second(1), newton_metres(-1)), InvalidInput,
                       Message("torque must be >= 0, got -1 N*m"));
  CHECK_THROWS_AS(load_angle(w, radians_per_second(1), unset<Torque>()), InvalidInput);
  CHECK_THROWS_AS(load_angle(w, unset<AngularSpeed>(), newton_metres(1)), InvalidInput);
  CHECK_THROWS_AS(load_angle({}, radians_per_second(1), newton_metres(1)), InvalidInput);
}

}  // namespace
}  // namespace pitchline
