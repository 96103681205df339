#include "pitchline/motion/capability.hpp"

#include "pitchline/motor/loss_free_torque.hpp"
#include "support/axes.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/drives.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::acceleration_at;
using motion::AccelerationAtSpeed;
using motion::AxisAtMotor;
using motion::largest_acceleration_from_rest;
using motion::speed_without_acceleration;
using motion::TorqueUse;
using testing::IsNear;
using testing::TabledDrive;

// A table with straight lines between its points: flat, a dip of half at 40 rad/s, up again.
Torque dipped(AngularSpeed speed) {
  const double w = in_radians_per_second(speed);
  const double depth = std::max(0.0, 1.0 - std::abs(w - 40.0) / 7.3);
  return newton_metres(0.4 * (1.0 - 0.5 * depth));
}

const TorqueUse all{.margin = TorqueMargin(1)};

TEST_CASE("acceleration_at gives the table of acceleration against speed", "[motion][published]") {
  // reference/published/accel.csv, accel_vs_speed.csv: independent derivation (C), S = 2, viscous
  // drag on the motor.
  const auto drives = testing::published("accel.csv");
  for (const testing::CsvRow& row : testing::published("accel_vs_speed.csv")) {
    CAPTURE(row.text("case"), row.text("v_m_s"));
    const TabledDrive drive(row.text("case") == "B1" ? drives.at(0) : drives.at(1));
    const Speed speed = metres_per_second(row.number("v_m_s"));
    const double expected = row.number("a_m_s2");
    CHECK_THAT(in_metres_per_second_squared(
                   acceleration_at(drive.axis, drive.torque_at(), drive.use, speed)),
               WithinAbs(std::max(expected, 0.0), 1e-8));
    // The curve falls, so its end sets what can be had from rest.
    const AccelerationAtSpeed from_rest =
        largest_acceleration_from_rest(drive.axis, drive.torque_at(), drive.use, speed);
    CHECK_THAT(in_metres_per_second_squared(from_rest.acceleration),
               WithinAbs(std::max(expected, 0.0), 1e-8));
    CHECK_THAT(number(from_rest.speed / speed), WithinRel(1.0, 1e-12));
  }
}

TEST_CASE("acceleration and its end are those tabled for two drives", "[motion][published]") {
  // reference/published/accel.csv, as above.
  for (const testing::CsvRow& row : testing::published("accel.csv")) {
    CAPTURE(row.text("case"));
    const TabledDrive drive(row);
    CHECK_THAT(
        in_metres_per_second_squared(acceleration_at(drive.axis, drive.torque_at(), drive.use, {})),
        WithinRel(row.number("a_at_0_m_s2"), 1e-9));
    const std::optional<Speed> end =
        speed_without_acceleration(drive.axis, drive.torque_at(), drive.use);
    REQUIRE(end);
    CHECK_THAT(in_metres_per_second(*end), WithinRel(row.number("v_zero_accel_m_s"), 1e-9));
    // A limit beyond the end changes nothing, one below it leaves nothing to find.
    const auto again = speed_without_acceleration(drive.axis, drive.torque_at(), drive.use,
                                                  metres_per_second(2.0));
    REQUIRE(again);
    CHECK_THAT(number(*again / *end), WithinRel(1.0, 1e-12));
    CHECK_FALSE(speed_without_acceleration(drive.axis, drive.torque_at(), drive.use, 0.999 * *end));
  }
}

TEST_CASE("acceleration_at gives a maker's printed starting time", "[motion][published]") {
  // [Harmonic Drive FHA]: 0.81 + 1.5 kg*m2 to 60 rpm with 150 N*m left over after the friction of
  // 10.6 N*m inside. Printed: 0.097 s. All rotary, so any transmission serves.
  const Transmission any = metres_per_radian(0.1);
  const AxisAtMotor axis{.transmission = any,
                         .mass = kilograms(0),
                         .motor_side_inertia = kilogram_square_metres(0.81 + 1.5),
                         .friction = newton_metres(10.6) / any};
  const auto torque_at = [](AngularSpeed) { return newton_metres(150 + 10.6); };
  const Speed speed = revolutions_per_minute(60) * any;
  const Time start =
      speed / largest_acceleration_from_rest(axis, torque_at, all, speed).acceleration;
  CHECK_THAT(start, IsNear(seconds(0.097), seconds(0.0005)));
}

TEST_CASE("a dip in the middle of a torque curve limits every speed beyond it",
          "[motion][property]") {
  const AxisAtMotor axis = testing::inclined_axis();
  const auto speed_at = [&](double w) { return radians_per_second(w) * axis.transmission; };
  // At the bottom of the dip the curve has 0.2 N*m, by hand: rigid_acceleration of that.
  const Acceleration bottom = motion::rigid_acceleration(axis, newton_metres(0.2));
  const Acceleration flat = motion::rigid_acceleration(axis, newton_metres(0.4));
  for (const double w : {40.0, 40.001, 41.7, 100.0, 333.3, 2000.0}) {
    CAPTURE(w);
    const AccelerationAtSpeed met = largest_acceleration_from_rest(axis, dipped, all, speed_at(w));
    CHECK_THAT(number(met.acceleration / bottom), WithinRel(1.0, 1e-9));
    CHECK_THAT(in_radians_per_second(met.speed / axis.transmission), WithinRel(40.0, 1e-8));
  }
  CHECK(largest_acceleration_from_rest(axis, dipped, all, speed_at(30)).acceleration == flat);
  CHECK(acceleration_at(axis, dipped, all, speed_at(100)) == flat);
  CHECK(largest_acceleration_from_rest(axis, dipped, all, {}).acceleration == flat);
}

TEST_CASE("a dip below friction ends the speeds that can be reached", "[motion][property]") {
  AxisAtMotor axis = testing::inclined_axis();
  axis.efficiency = Efficiency(1.0);
  axis.gravity = newtons(0);
  // 0.3 N*m of friction at the shaft: the falling side of the dip, 0.4 (1 - 0.5 d), has it at
  // d = 0.5, so at 40 - 7.3/2 rad/s.
  axis.friction = newton_metres(0.3) / axis.transmission;
  const auto end = speed_without_acceleration(axis, dipped, all);
  REQUIRE(end);
  CHECK_THAT(in_radians_per_second(*end / axis.transmission), WithinRel(40.0 - 3.65, 1e-12));
  // Beyond it the curve recovers, but from rest nothing is left.
  const Speed beyond = radians_per_second(100) * axis.transmission;
  CHECK(acceleration_at(axis, dipped, all, beyond) > Acceleration{});
  CHECK(largest_acceleration_from_rest(axis, dipped, all, beyond).acceleration == Acceleration{});
}

TEST_CASE("an axis that friction holds does not start, and one without loss never ends",
          "[motion][property]") {
  AxisAtMotor axis = testing::inclined_axis();
  const auto weak = [](AngularSpeed) { return newton_metres(0.01); };
  CHECK(acceleration_at(axis, weak, all, {}) == Acceleration{});
  CHECK(speed_without_acceleration(axis, weak, all) == Speed{});
  const auto none = [](AngularSpeed) { return newton_metres(-0.01); };
  CHECK(acceleration_at(axis, none, all, {}) == Acceleration{});
  axis.friction = axis.gravity = newtons(0);
  CHECK_FALSE(speed_without_acceleration(axis, weak, all));
  // With drag alone it ends where T/S = B w.
  const TorqueUse dragged{.margin = TorqueMargin(2),
                          .motor_drag = newton_metre_seconds_per_radian(2e-5)};
  const auto end = speed_without_acceleration(axis, weak, dragged);
  REQUIRE(end);
  CHECK_THAT(in_radians_per_second(*end / axis.transmission), WithinRel(0.005 / 2e-5, 1e-12));
}

TEST_CASE("what acceleration_at gives takes the torque of the curve over the margin",
          "[motion][property]") {
  const double v = GENERATE(take(20, random(0.0, 0.3)));
  const double margin = GENERATE(1.0, 1.7);
  CAPTURE(v, margin);
  const AxisAtMotor axis = testing::inclined_axis();
  const TorqueUse use{.margin = TorqueMargin(margin),
                      .motor_drag = newton_metre_seconds_per_radian(3e-4)};
  const Speed speed = metres_per_second(v);
  const AngularSpeed turning = speed / axis.transmission;
  const Acceleration a = acceleration_at(axis, dipped, use, speed);
  REQUIRE(a > Acceleration{});
  const Torque needed = motion::rigid_torque(axis, a) + use.motor_drag * turning;
  CHECK_THAT(number(needed * margin / dipped(turning)), WithinRel(1.0, 1e-12));
}

TEST_CASE("more mass, friction, gravity, loss, drag or margin never helps", "[motion][property]") {
  const double v = GENERATE(take(20, random(0.0, 0.5)));
  CAPTURE(v);
  const Speed speed = metres_per_second(v);
  const AxisAtMotor axis = testing::inclined_axis();
  const auto largest = [&](const AxisAtMotor& x, const TorqueUse& use) {
    return largest_acceleration_from_rest(x, dipped, use, speed).acceleration;
  };
  const Acceleration here = largest(axis, all);
  const auto worse = [&](auto spoil) {
    AxisAtMotor other = axis;
    spoil(other);
    CHECK(largest(other, all) < here);
  };
  worse([](auto& x) { x.mass *= 1.5; });
  worse([](auto& x) { x.friction *= 1.5; });
  worse([](auto& x) { x.gravity *= 1.5; });
  worse([](auto& x) { x.efficiency = Efficiency(0.8); });
  CHECK(largest(axis, {.margin = TorqueMargin(1.2)}) < here);
  CHECK(largest(axis, {.margin = TorqueMargin(1),
                       .motor_drag = newton_metre_seconds_per_radian(1e-4)}) < here);
}

TEST_CASE("the capability of an axis refuses what its tables exclude", "[motion][error]") {
  const AxisAtMotor good = testing::inclined_axis();
  const Speed speed = metres_per_second(0.1);
  const auto refuses = [&](const AxisAtMotor& axis, const auto& torque_at, const TorqueUse& use,
                           const char* text) {
    CHECK_THROWS_MATCHES(acceleration_at(axis, torque_at, use, speed), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(largest_acceleration_from_rest(axis, torque_at, use, speed), InvalidInput,
                         Message(text));
    CHECK_THROWS_MATCHES(speed_without_acceleration(axis, torque_at, use), InvalidInput,
                         Message(text));
  };
  AxisAtMotor bad = good;
  bad.mass = unset<Mass>();
  refuses(bad, dipped, all, "mass must be >= 0, got nan kg");
  const AxisAtMotor nothing{.transmission = metres_per_radian(1), .mass = kilograms(0)};
  refuses(nothing, dipped, all, "accelerated mass must be > 0, got 0 kg");
  TorqueUse use = all;
  use.motor_drag = unset<RotaryDrag>();
  refuses(good, dipped, use, "motor drag must be >= 0, got nan N*m*s/rad");
  refuses(
      good, [](AngularSpeed) { return unset<Torque>(); }, all,
      "torque of the curve must be finite, got nan N*m");
  refuses(
      good, [](AngularSpeed) { return unlimited<Torque>(); }, all,
      "torque of the curve must be finite, got inf N*m");
  for (const Speed& wrong : {metres_per_second(-1), unset<Speed>(), unlimited<Speed>()}) {
    CHECK_THROWS_AS(acceleration_at(good, dipped, all, wrong), InvalidInput);
    CHECK_THROWS_AS(largest_acceleration_from_rest(good, dipped, all, wrong), InvalidInput);
  }
  CHECK_THROWS_MATCHES(acceleration_at(good, dipped, all, metres_per_second(-1)), InvalidInput,
                       Message("speed must be >= 0, got -1 m/s"));
  CHECK_THROWS_MATCHES(speed_without_acceleration(good, dipped, all, {}), InvalidInput,
                       Message("speed limit must be > 0, got 0 m/s"));
}

}  // namespace
}  // namespace pitchline
