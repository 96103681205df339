#include "pitchline/motor/calibration.hpp"

#include "pitchline/parts/winding_connection.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/published_curves.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motor::CalibratedCurve;
using motor::Calibration;
using motor::Feed;
using motor::LossModel;
using motor::PublishedPoint;
using testing::CurveCase;
using testing::IsNear;

TEST_CASE("a calibration gives an independent computation", "[motor][published]") {
  // reference/published/dependable_check.csv: the same equations computed independently (C).
  const auto rows = testing::published("dependable_check.csv");
  const auto points = testing::published_points();
  std::size_t compared = 0;
  for (const testing::CsvRow& row : rows) {
    if (row.text("published_Nm").empty()) continue;
    CAPTURE(row.text("motor"), row.text("voltage_V"), row.text("speed_rpm"));
    const AngularSpeed speed = revolutions_per_minute(row.number("speed_rpm"));
    const auto each = std::find_if(points.begin(), points.end(), [&](const CurveCase& point) {
      return point.motor_name == row.text("motor") && point.point.speed == speed &&
             point.feed.voltage == volts(row.number("voltage_V"));
    });
    REQUIRE(each != points.end());
    const Calibration calibration(each->motor, {each->feed, each->point});
    CHECK_THAT(calibration.inductance_ratio(), WithinRel(row.number("inductance_ratio"), 1e-8));
    const CalibratedCurve curve(calibration, each->feed);
    const auto at = [&](double times) { return in_newton_metres(curve.at(times * speed)); };
    CHECK_THAT(at(0.5), WithinRel(row.number("calibrated_at_half_speed_Nm"), 1e-8));
    CHECK_THAT(at(1.2), WithinRel(row.number("calibrated_at_1p2_speed_Nm"), 1e-8));
    CHECK_THAT(at(2.0), WithinRel(row.number("calibrated_at_twice_speed_Nm"), 1e-8));
    const auto on = [&](double times) {
      const Feed feed{times * each->feed.voltage, each->feed.amplitude};
      return in_newton_metres(CalibratedCurve(calibration, feed).at(speed));
    };
    CHECK_THAT(on(1.2), WithinRel(row.number("calibrated_at_1p2_voltage_Nm"), 1e-8));
    CHECK_THAT(on(0.9), WithinRel(row.number("calibrated_at_0p9_voltage_Nm"), 1e-8));
    ++compared;
  }
  CHECK(compared == 43);
}

TEST_CASE(
    "no published point is below the model, so each shows an inductance of the model's or "
    "less",
    "[motor][published]") {
  for (const CurveCase& each : testing::published_points()) {
    CAPTURE(each.motor_name, in_revolutions_per_minute(each.point.speed));
    const Calibration calibration(each.motor, {each.feed, each.point});
    CHECK_FALSE(calibration.contradicts_loss_free());
    CHECK(calibration.level() <= 1.0);
    CHECK(calibration.inductance_ratio() >= 1.0);
    // Near 1.0 to 1.9 times the sheet's where the voltage limits.
    CHECK(calibration.inductance_ratio() <= 1.95);
  }
}

TEST_CASE("a calibrated curve passes through its point, never rises and stays below loss-free",
          "[motor][property]") {
  const auto speeds = testing::many_speeds();
  for (int i = 0; i < 80; ++i) {
    testing::RandomMotor random = testing::random_motor(i);
    random.feed = motor::counted(random.motor, random.feed);
    const motor::DrivenWinding winding = motor::driven_winding(random.motor, random.feed);
    const AngularSpeed speed =
        (0.3 + 0.05 * i) * std::max(motor::corner_speed(winding), radians_per_second(5));
    const double share = 0.3 + 0.6 * std::abs(std::sin(i));
    const Torque torque = share * motor::loss_free_pull_out(winding, speed).torque;
    if (!(torque > newton_metres(0))) continue;
    INFO(random.text << ", point " << in_revolutions_per_minute(speed) << " rpm, "
                     << in_newton_metres(torque) << " N*m");
    const Calibration calibration(random.motor, {random.feed, {speed, torque}});
    CHECK_FALSE(calibration.contradicts_loss_free());
    const Torque rounding = 1e-9 * random.motor.holding_torque;
    CHECK_THAT(CalibratedCurve(calibration, random.feed).at(speed), IsNear(torque, rounding));
    for (const double times : {0.6, 1.0, 1.5}) {
      CAPTURE(times);
      const Feed feed{times * random.feed.voltage, random.feed.amplitude / std::sqrt(times)};
      const CalibratedCurve curve(calibration, feed);
      const auto other = motor::driven_winding(random.motor, feed);
      Torque last = unlimited<Torque>();
      bool rises = false;
      bool exceeds = false;
      for (const AngularSpeed& each : speeds) {
        const Torque now = curve.at(each);
        rises = rises || now > last + rounding;
        exceeds = exceeds || now > motor::loss_free_pull_out(other, each).torque + rounding;
        last = now;
      }
      CHECK_FALSE(rises);
      CHECK_FALSE(exceeds);
    }
  }
}

TEST_CASE("a calibration does not depend on the winding", "[motor][property]") {
  for (int i = 0; i < 20; ++i) {
    const testing::RandomMotor random = testing::random_motor(i);
    INFO(random.text);
    const AngularSpeed speed = revolutions_per_minute(400);
    const Torque torque =
        0.7 *
        motor::loss_free_pull_out(
            motor::driven_winding(random.motor, motor::counted(random.motor, random.feed)), speed)
            .torque;
    if (!(torque > newton_metres(0))) continue;
    const double turns = 1.7;
    const Feed feed{turns * random.feed.voltage, random.feed.amplitude / turns};
    const Calibration calibration(random.motor, {random.feed, {speed, torque}});
    const Calibration rewound(parts::rewound(random.motor, turns), {feed, {speed, torque}});
    CHECK_THAT(rewound.level(), WithinAbs(calibration.level(), 1e-9));
    const CalibratedCurve curve(calibration, random.feed);
    const CalibratedCurve other(rewound, feed);
    for (const double rpm : {100.0, 500.0, 900.0, 2000.0})
      CHECK_THAT(other.at(revolutions_per_minute(rpm)),
                 IsNear(curve.at(revolutions_per_minute(rpm)), 1e-8 * random.motor.holding_torque));
  }
}

TEST_CASE("a point below the corner leaves the curve above it as it is", "[motor][property]") {
  // Such a point says nothing of the voltage-limited region. What the rise at the point leaves has
  // died away at exp(0.25) times its speed.
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const Feed feed{volts(48), amperes(3.8)};
  const Calibration calibration(motor, {feed, {revolutions_per_minute(100), newton_metres(1.75)}});
  CHECK(calibration.level() == 1.0);
  const CalibratedCurve curve(calibration, feed);
  const motor::DependableCurve usual(motor, feed);
  CHECK(curve.at(revolutions_per_minute(50)) >= newton_metres(1.75));
  for (const double rpm : {500.0, 700.0, 1000.0, 1500.0}) {
    CAPTURE(rpm);
    const AngularSpeed speed = revolutions_per_minute(rpm);
    CHECK_THAT(curve.at(speed), IsNear(usual.at(speed), 1e-3 * motor.holding_torque));
  }
}

TEST_CASE("a point above the corner leaves the curve below it as it is", "[motor][property]") {
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const Feed feed{volts(48), amperes(3.8)};
  const Calibration calibration(motor, {feed, {revolutions_per_minute(900), newton_metres(0.7)}});
  CHECK(calibration.level() < 0.75);
  const AngularSpeed slow = revolutions_per_minute(100);
  CHECK_THAT(CalibratedCurve(calibration, feed).at(slow),
             IsNear(motor::dependable_torque(motor, feed, slow), newton_metres(1e-9)));
}

TEST_CASE("a calibrated torque never falls as voltage or current rises", "[motor][property]") {
  for (int i = 0; i < 60; ++i) {
    const testing::RandomMotor random = testing::random_motor(i);
    const Feed feed = motor::counted(random.motor, random.feed);
    const motor::DrivenWinding winding = motor::driven_winding(random.motor, feed);
    const AngularSpeed given =
        (0.3 + 0.05 * i) * std::max(motor::corner_speed(winding), radians_per_second(5));
    const Torque torque =
        (0.3 + 0.6 * std::abs(std::sin(i))) * motor::loss_free_pull_out(winding, given).torque;
    if (!(torque > newton_metres(0))) continue;
    const Calibration calibration(random.motor, {feed, {given, torque}});
    bool falls = false;
    for (const double speeds : {0.0, 0.5, 0.95, 1.0, 1.05, 1.5, 3.0}) {
      Torque by_voltage{};
      Torque by_current{};
      for (double times = 0.4; times < 3.0; times += 0.04) {
        const auto at = [&](const Feed& other) {
          return CalibratedCurve(calibration, other).at(speeds * given);
        };
        const Torque rounding = 1e-9 * random.motor.holding_torque;
        const Torque more = at({times * feed.voltage, feed.amplitude});
        const Torque stronger = at({feed.voltage, times * feed.amplitude});
        falls = falls || more < by_voltage - rounding || stronger < by_current - rounding;
        by_voltage = more;
        by_current = stronger;
      }
    }
    INFO(random.text);
    CHECK_FALSE(falls);
  }
}

TEST_CASE("a point above the loss-free curve is reported and nothing above the curve promised",
          "[motor][property]") {
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const Feed feed{volts(48), amperes(2.0)};  // 2.0 A holds 1.89 · 2.0/(2.8 √2) = 0.955 N·m
  const Calibration calibration(motor, {feed, {revolutions_per_minute(100), newton_metres(1.2)}});
  CHECK(calibration.contradicts_loss_free());
  CHECK_THAT(in_newton_metres(CalibratedCurve(calibration, feed).at(revolutions_per_minute(100))),
             WithinAbs(0.9546, 0.0001));
}

TEST_CASE("a point measured with more than the rated current is not counted on in full",
          "[motor][property]") {
  // 1.6 N·m with 1.5 times the full amplitude, in the region of constant current: 1.6/1.5 N·m with
  // the full one, and no more at any current.
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const Current most = std::numbers::sqrt2 * amperes(2.8);
  const AngularSpeed speed = revolutions_per_minute(100);
  const Calibration calibration(motor, {{volts(48), 1.5 * most}, {speed, newton_metres(1.6)}});
  for (const double times : {1.0, 1.5, 3.0})
    CHECK_THAT(CalibratedCurve(calibration, {volts(48), times * most}).at(speed),
               IsNear(newton_metres(1.6 / 1.5), newton_metres(1e-9)));
}

TEST_CASE("a point below the dependable curve takes away what limits there", "[motor][property]") {
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const Feed feed{volts(48), amperes(3.8)};
  const auto calibrated_at = [&](double rpm, double share) {
    const AngularSpeed speed = revolutions_per_minute(rpm);
    const Torque torque = share * motor::dependable_torque(motor, feed, speed);
    const Calibration calibration(motor, {feed, {speed, torque}});
    const CalibratedCurve curve(calibration, feed);
    CHECK_THAT(curve.at(speed), IsNear(torque, 1e-9 * torque));
    CHECK(curve.at(1.3 * speed) <= motor::dependable_torque(motor, feed, 1.3 * speed));
    return calibration;
  };
  CHECK(calibrated_at(600, 0.8).level() > 1.0);  // inductance
  CHECK(calibrated_at(600, 0.05).level() > 1.0);
  const Calibration slow = calibrated_at(50, 0.8);  // current
  CHECK(slow.level() == 1.0);
  CHECK(slow.losses().current_share.value() < 0.8 * LossModel{}.current_share.value() + 0.01);
}

TEST_CASE("a calibration refuses a point that is none", "[motor][error]") {
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const Feed feed{volts(48), amperes(3.8)};
  const parts::CurvePoint point{revolutions_per_minute(600), newton_metres(0.9)};
  CHECK_THROWS_AS(Calibration({}, {feed, point}), InvalidInput);
  CHECK_THROWS_AS(Calibration(motor, {{}, point}), InvalidInput);
  CHECK_THROWS_MATCHES(Calibration(motor, {feed, {radians_per_second(0), newton_metres(1)}}),
                       InvalidInput,
                       Message("speed of a published point must be > 0 and above the one before "
                               "it, got 0 rad/s"));
  CHECK_THROWS_MATCHES(Calibration(motor, {feed, {radians_per_second(9), newton_metres(0)}}),
                       InvalidInput, Message("torque of a published point must be > 0, got 0 N*m"));
  const Calibration good(motor, {feed, point});
  CHECK_THROWS_AS(CalibratedCurve(good, {}), InvalidInput);
  CHECK_THROWS_AS(CalibratedCurve(good, feed).at(radians_per_second(-1)), InvalidInput);
}

}  // namespace
}  // namespace pitchline
