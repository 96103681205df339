#include "pitchline/motor/steady_running.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "support/catch.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using motor::SteadyRunning;

// The same driver and phase, followed in time by the classic method of Runge and Kutta until the
// current repeats itself; torque as mean over the last turn of the field.
double integrated(const motor::DrivenWinding& w, AngularSpeed speed, double load_angle) {
  const double K = in_newton_metres_per_ampere(w.torque_constant);
  const double R = in_ohms(w.resistance);
  const double L = in_henries(w.inductance);
  const double I = in_amperes(w.amplitude);
  const double V = in_volts(w.voltage);
  const double tau = in_seconds(motor::usual_current_time_constant);
  const double turning = w.pole_pairs * in_radians_per_second(speed);
  const double period = 2.0 * std::numbers::pi / turning;
  const auto turns = std::ceil(12.0 * L / R / period) + 2.0;
  const double steps = std::ceil(period / (tau / 8.0));
  const double h = period / steps;
  const auto rate = [&](double t, double i) {
    const double angle = turning * t;
    const double wanted = L / tau * (I * std::cos(angle + load_angle) - i);
    return (std::clamp(wanted, -V, V) - R * i +
            K * in_radians_per_second(speed) * std::sin(angle)) /
           L;
  };
  double i = I * std::cos(load_angle);
  double mean = 0.0;
  for (double turn = 0.0; turn < turns; turn += 1.0) {
    mean = 0.0;
    for (double n = 0.0; n < steps; n += 1.0) {
      const double t = n * h;
      mean -= 2.0 * K * i * std::sin(turning * t) / steps;
      const double a = rate(t, i);
      const double b = rate(t + h / 2.0, i + h / 2.0 * a);
      const double c = rate(t + h / 2.0, i + h / 2.0 * b);
      const double d = rate(t + h, i + h * c);
      i += h / 6.0 * (a + 2.0 * b + 2.0 * c + d);
    }
  }
  return mean;
}

double holding(const motor::DrivenWinding& w) {
  return in_newton_metres_per_ampere(w.torque_constant) * in_amperes(w.amplitude);
}

TEST_CASE("a steadily running motor makes the torque of an integration in time",
          "[motor][property]") {
  for (const auto& w : {testing::motor_a(), testing::motor_b()}) {
    for (const double rpm : {60.0, 300.0, 700.0}) {
      const AngularSpeed speed = revolutions_per_minute(rpm);
      SteadyRunning running(w, speed);
      for (const double degrees_ahead : {-40.0, 20.0, 60.0, 100.0}) {
        INFO(rpm << " rpm, " << degrees_ahead << " degrees");
        const double angle = in_radians(degrees(degrees_ahead));
        CHECK_THAT(in_newton_metres(running.torque(radians(angle))) / holding(w),
                   WithinAbs(integrated(w, speed, angle) / holding(w), 0.003));
      }
    }
  }
}

TEST_CASE("pull-out is the largest torque of any load angle", "[motor][property]") {
  for (const double rpm : {1.0, 120.0, 400.0, 1000.0, 1600.0}) {
    INFO(rpm << " rpm");
    const auto w = testing::motor_a();
    SteadyRunning running(w, revolutions_per_minute(rpm));
    double most = -1e9;
    for (double angle = -90.0; angle <= 180.0; angle += 0.5)
      most = std::max(most, in_newton_metres(running.torque(degrees(angle))));
    CHECK(in_newton_metres(running.pull_out()) >= most - 2e-4 * holding(w));
    CHECK(in_newton_metres(running.pull_out()) <= most + 2e-4 * holding(w));
  }
}

TEST_CASE("the load angle gives its torque, whatever was asked before", "[motor][property]") {
  const auto w = testing::motor_a();
  const AngularSpeed speed = revolutions_per_minute(500);
  SteadyRunning asked_often(w, speed);
  for (const double share : {0.9, 0.1, 0.95, 0.0, 0.5, 0.51, 0.49, 0.999}) {
    INFO(share);
    const Torque torque = share * asked_often.pull_out();
    const auto angle = asked_often.load_angle(torque);
    const auto alone = SteadyRunning(w, speed).load_angle(torque);
    REQUIRE(angle.has_value());
    REQUIRE(alone.has_value());
    CHECK_THAT(in_radians(*angle), WithinAbs(in_radians(*alone), 1e-5));
    CHECK_THAT(in_newton_metres(asked_often.torque(*angle)),
               WithinAbs(in_newton_metres(torque), 1e-6 * holding(w)));
  }
  CHECK_FALSE(asked_often.load_angle(1.001 * asked_often.pull_out()).has_value());
}

TEST_CASE("a steadily running motor refuses what its table excludes", "[motor][error]") {
  const auto w = testing::motor_a();
  CHECK_THROWS_MATCHES(SteadyRunning(w, radians_per_second(-1)), InvalidInput,
                       Message("speed must be >= 0, got -1 rad/s"));
  CHECK_THROWS_AS(SteadyRunning(w, radians_per_second(1), seconds(0)), InvalidInput);
  CHECK_THROWS_AS(SteadyRunning({}, radians_per_second(1)), InvalidInput);
  SteadyRunning running(w, radians_per_second(1));
  CHECK_THROWS_AS(running.load_angle(unset<Torque>()), InvalidInput);
}

}  // namespace
}  // namespace pitchline
