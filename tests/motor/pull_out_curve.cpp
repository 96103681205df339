#include "pitchline/motor/pull_out_curve.hpp"

#include "pitchline/parts/winding_connection.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/published_curves.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::WithinRel;
using motor::Basis;
using motor::Feed;
using motor::PullOutCurve;
using testing::CurveCase;
using testing::IsNear;

const Feed full{volts(48), amperes(3.8)};

parts::StepperMotor plain() { return testing::stepper(1.89, 2.8, 1.13, 5.4); }

parts::PublishedCurve invented(double volt, double ampere, std::vector<parts::CurvePoint> points) {
  return {.points = std::move(points),
          .voltage = volts(volt),
          .amplitude = amperes(ampere),
          .source = "invented"};
}

parts::CurvePoint at(double rpm, double torque) {
  return {revolutions_per_minute(rpm), newton_metres(torque)};
}

TEST_CASE("a verdict on a published point rests on it and never above", "[motor][published]") {
  const auto points = testing::published_points();
  for (const std::string& name : testing::motor_names(points)) {
    for (const CurveCase& each : points) {
      if (each.motor_name != name) continue;
      CAPTURE(name, in_volts(each.feed.voltage), in_revolutions_per_minute(each.point.speed));
      auto motor = each.motor;
      motor.curves = testing::curves_of(points, name);
      const PullOutCurve curve(motor, each.feed);
      CHECK_FALSE(curve.points_contradict_loss_free());
      const motor::VerdictTorque met = curve.for_verdict(each.point.speed);
      CHECK(met.basis == Basis::measured);
      CHECK(met.torque <= each.point.torque);
      CHECK(met.torque >= 0.96 * each.point.torque);  // the one curve that rises, by 4 %
      CHECK(curve.measured(each.point.speed) == met.torque);
      CHECK(curve.loss_free(each.point.speed).torque >= met.torque);
      CHECK(curve.dependable(each.point.speed) <= each.point.torque);
      CHECK(curve.points_levelled() == (name == "StepperOnline 17HS19-2004S1"));
    }
  }
}

TEST_CASE("without published points a verdict rests on the dependable curve", "[motor][property]") {
  const PullOutCurve curve(plain(), full);
  for (const double rpm : {0.0, 300.0, 900.0}) {
    const AngularSpeed speed = revolutions_per_minute(rpm);
    const auto met = curve.for_verdict(speed);
    CHECK(met.basis == Basis::dependable);
    CHECK(met.basis_in_words == "dependable curve of the model");
    CHECK(met.torque == motor::dependable_torque(plain(), full, speed));
    CHECK(curve.dependable(speed) == met.torque);
    CHECK_FALSE(curve.calibrated(speed).has_value());
    CHECK_FALSE(curve.measured(speed).has_value());
    CHECK(curve.loss_free(speed).torque ==
          motor::loss_free_pull_out(motor::driven_winding(plain(), full), speed).torque);
  }
  CHECK_FALSE(curve.loss_level().has_value());
  CHECK_FALSE(curve.measured_feed().has_value());
}

TEST_CASE("one published point calibrates; the nearest feed is taken", "[motor][property]") {
  auto motor = plain();
  motor.curves = {invented(24, 3.8, {at(300, 0.8)}), invented(47, 3.8, {at(600, 1.1)}),
                  invented(80, 3.8, {at(600, 1.3)})};
  const PullOutCurve curve(motor, full);
  const motor::Calibration calibration(motor, {{volts(47), amperes(3.8)}, at(600, 1.1)});
  const motor::CalibratedCurve wanted(calibration, full);
  for (const double rpm : {0.0, 300.0, 600.0, 900.0}) {
    const AngularSpeed speed = revolutions_per_minute(rpm);
    const auto met = curve.for_verdict(speed);
    CHECK(met.basis == Basis::calibrated);
    CHECK(met.torque == wanted.at(speed));
    CHECK(curve.calibrated(speed) == met.torque);
    CHECK_FALSE(curve.measured(speed).has_value());
  }
  CHECK(curve.loss_level() == calibration.level());
}

TEST_CASE("a measured curve goes before single points and says where it ends",
          "[motor][property]") {
  auto motor = plain();
  motor.curves = {invented(48, 3.8, {at(600, 1.1)}),
                  invented(36, 3.8, {at(300, 1.3), at(500, 0.95)}),
                  invented(48, 3.8, {at(300, 1.7), at(400, 1.5), at(600, 1.1)})};
  const PullOutCurve same(motor, full);
  const auto within = same.for_verdict(revolutions_per_minute(500));
  CHECK(within.basis == Basis::measured);
  CHECK(within.basis_in_words == "published curve");
  CHECK(same.for_verdict(revolutions_per_minute(0)).torque == newton_metres(1.7));
  CHECK(same.for_verdict(revolutions_per_minute(600)).torque == newton_metres(1.1));
  const auto beyond = same.for_verdict(revolutions_per_minute(601));
  CHECK(beyond.basis == Basis::beyond_measured);
  CHECK(beyond.basis_in_words == "beyond the published points: model");
  CHECK_THAT(beyond.torque, IsNear(newton_metres(1.1), newton_metres(0.01)));
  CHECK(beyond.torque <= newton_metres(1.1));
  CHECK_FALSE(same.measured(revolutions_per_minute(601)).has_value());
  CHECK(same.calibrated(revolutions_per_minute(601)) == beyond.torque);
  CHECK(same.measured_feed()->voltage == volts(48));

  // 40 V lies nearer to 36 V than to 48 V on the logarithmic scale.
  const PullOutCurve other(motor, {volts(40), amperes(3.8)});
  CHECK(other.measured_feed()->voltage == volts(36));
  const auto transferred = other.for_verdict(revolutions_per_minute(400));
  CHECK(transferred.basis == Basis::measured_transferred);
  CHECK(transferred.basis_in_words ==
        "published curve carried to this supply and current by the model");
  CHECK(other.for_verdict(revolutions_per_minute(700)).basis == Basis::beyond_measured);
}

TEST_CASE("what a verdict rests on never rises with speed nor exceeds the loss-free curve",
          "[motor][property]") {
  const auto speeds = testing::many_speeds();
  for (int i = 0; i < 60; ++i) {
    const testing::RandomMotor random = testing::random_motor(i);
    auto motor = random.motor;
    const auto winding = motor::driven_winding(motor, motor::counted(motor, random.feed));
    const AngularSpeed corner = std::max(motor::corner_speed(winding), revolutions_per_minute(30));
    // An invented curve of one to five points, 0.5 to 0.95 of the loss-free torque.
    parts::PublishedCurve curve{.points = {},
                                .voltage = random.feed.voltage,
                                .amplitude = random.feed.amplitude,
                                .source = "invented"};
    for (int k = 0; k <= i % 5; ++k) {
      const AngularSpeed speed = (0.5 + 0.6 * k) * corner;
      const double share = 0.5 + 0.45 * std::abs(std::cos(i + k));
      const Torque torque = share * motor::loss_free_pull_out(winding, speed).torque;
      if (torque > newton_metres(0)) curve.points.push_back({speed, torque});
    }
    if (curve.points.empty()) continue;
    motor.curves = {curve};
    for (const double times : {0.5, 0.9, 1.0, 1.1, 2.0}) {
      for (const double amperes_times : {0.6, 1.0, 1.3}) {
        const Feed feed{times * random.feed.voltage, amperes_times * random.feed.amplitude};
        const PullOutCurve pull_out(motor, feed);
        Torque last = unlimited<Torque>();
        bool rises = false;
        bool exceeds = false;
        for (const AngularSpeed& speed : speeds) {
          const Torque torque = pull_out.for_verdict(speed).torque;
          rises = rises || torque > last + 1e-9 * motor.holding_torque;
          exceeds =
              exceeds || torque > pull_out.loss_free(speed).torque + 1e-9 * motor.holding_torque;
          last = torque;
        }
        INFO(random.text << ", voltage times " << times << ", current times " << amperes_times);
        CHECK_FALSE(rises);
        CHECK_FALSE(exceeds);
      }
    }
  }
}

TEST_CASE("what a verdict rests on never falls as the supply voltage rises", "[motor][property]") {
  auto motor = plain();
  const auto curves = GENERATE(
      std::vector<parts::PublishedCurve>{}, std::vector{invented(48, 3.8, {at(300, 1.7)})},
      std::vector{invented(48, 3.8, {at(700, 0.95)})},
      std::vector{invented(36, 3.8, {at(300, 1.44), at(390, 1.28), at(510, 1.0), at(600, 0.88)})});
  motor.curves = curves;
  for (const double rpm : {0.0, 100.0, 300.0, 450.0, 600.0, 900.0, 1500.0, 2500.0}) {
    Torque last{};
    for (double volt = 12; volt <= 120; volt += 1) {
      CAPTURE(rpm, volt);
      const PullOutCurve curve(motor, {volts(volt), amperes(3.8)});
      const Torque torque = curve.for_verdict(revolutions_per_minute(rpm)).torque;
      // A carried curve is a cubic through points at every sixteenth of a step, which costs that.
      REQUIRE(torque >= last * (1 - 1e-4));
      last = torque;
    }
  }
}

TEST_CASE("a curve measured with more than the rated current counts in full at that current only",
          "[motor][property]") {
  auto motor = plain();
  const double most = 2.8 * std::numbers::sqrt2;
  motor.curves = {invented(48, 1.5 * most, {at(50, 1.8), at(100, 1.7)})};
  const AngularSpeed speed = revolutions_per_minute(50);
  const PullOutCurve same(motor, {volts(48), 1.5 * amperes(most)});
  CHECK(same.for_verdict(speed).torque == newton_metres(1.8));
  // Two thirds of the current, two thirds of the torque, less the reserve of 0.90.
  const PullOutCurve less(motor, {volts(48), amperes(most)});
  CHECK(less.for_verdict(speed).basis == Basis::measured_transferred);
  CHECK_THAT(less.for_verdict(speed).torque,
             IsNear(newton_metres(1.8 / 1.5 * 0.90), newton_metres(1e-9)));
}

TEST_CASE("points above the loss-free curve are reported and not followed", "[motor][property]") {
  auto motor = plain();
  motor.curves = {invented(48, 2.0, {at(100, 1.2), at(300, 1.1)})};  // 2.0 A holds 0.955 N·m
  const PullOutCurve curve(motor, {volts(48), amperes(2.0)});
  CHECK(curve.points_contradict_loss_free());
  const AngularSpeed speed = revolutions_per_minute(100);
  CHECK(curve.for_verdict(speed).torque == curve.loss_free(speed).torque);
}

TEST_CASE("a pull-out curve refuses a feed, a motor or a speed that is none", "[motor][error]") {
  CHECK_THROWS_AS(PullOutCurve(plain(), {}), InvalidInput);
  CHECK_THROWS_AS(PullOutCurve({}, full), InvalidInput);
  auto motor = plain();
  motor.curves = {invented(48, 3.8, {})};
  CHECK_THROWS_AS(PullOutCurve(motor, full), InvalidInput);
  motor.curves = {invented(48, 3.8, {at(300, 1.7), at(600, 1.1)})};
  for (const PullOutCurve& curve : {PullOutCurve(plain(), full), PullOutCurve(motor, full)}) {
    CHECK_THROWS_AS(curve.for_verdict(radians_per_second(-1)), InvalidInput);
    CHECK_THROWS_AS(curve.for_verdict(unset<AngularSpeed>()), InvalidInput);
    CHECK_THROWS_AS(curve.dependable(radians_per_second(-1)), InvalidInput);
  }
}

}  // namespace
}  // namespace pitchline
