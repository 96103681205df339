#include "pitchline/motor/zero_torque_speed.hpp"

#include "support/catch.hpp"
#include "support/published_curves.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::WithinAbs;
using motor::zero_torque_speed;

TEST_CASE("zero_torque_speed gives the printed speed of a weakly fed motor", "[motor][published]") {
  // The NEMA 17 of the pull-out table at 12 V and 0.75 A (C): 129.226289 rad/s, 1234.020161 rpm.
  const auto speed = zero_torque_speed(
      motor::driven_winding(testing::tabled_motor("NEMA17"), amperes(0.75), volts(12)));
  REQUIRE(speed.has_value());
  CHECK_THAT(in_radians_per_second(*speed), WithinAbs(129.226289, 0.5e-6));
  CHECK_THAT(in_revolutions_per_minute(*speed), WithinAbs(1234.020161, 0.5e-6));
}

TEST_CASE("zero_torque_speed is where the loss-free torque ends", "[motor][property]") {
  int with = 0;
  int without = 0;
  for (int i = 0; i < 300; ++i) {
    testing::RandomMotor random = testing::random_motor(i);
    random.feed.voltage *= 0.2;
    random.feed.amplitude *= i % 2 == 0 ? 0.3 : 1.0;
    INFO(random.text << ", 0.2 of the voltage, current " << in_amperes(random.feed.amplitude));
    const auto winding = motor::driven_winding(random.motor, random.feed);
    const auto torque = [&](AngularSpeed speed) {
      return motor::loss_free_pull_out(winding, speed).torque;
    };
    if (const auto speed = zero_torque_speed(winding)) {
      ++with;
      CHECK(torque(*speed * (1 - 1e-6)) > newton_metres(0));
      CHECK(torque(*speed * (1 + 1e-6)) == newton_metres(0));
    } else {
      ++without;
      CHECK(torque(radians_per_second(1e5)) > newton_metres(0));
    }
  }
  CHECK(with > 50);
  CHECK(without > 50);
}

TEST_CASE("zero_torque_speed refuses an unset winding", "[motor][error]") {
  CHECK_THROWS_AS(zero_torque_speed({}), InvalidInput);
}

}  // namespace
}  // namespace pitchline
