#include "pitchline/motor/measured_curve.hpp"

#include <math.h>  // Boost 1.74 needs it before pchip.hpp

#include <array>
#include <boost/math/interpolators/pchip.hpp>

#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/published_curves.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motor::Feed;
using motor::MeasuredCurve;
using parts::PublishedCurve;
using testing::CurveCase;
using testing::IsNear;
using testing::Score;

PublishedCurve invented(std::vector<std::array<double, 2>> points) {
  PublishedCurve curve{
      .points = {}, .voltage = volts(48), .amplitude = amperes(3.8), .source = "invented"};
  for (const auto& [rpm, torque] : points)
    curve.points.push_back({revolutions_per_minute(rpm), newton_metres(torque)});
  return curve;
}

TEST_CASE("a measured curve passes through every published point that does not rise",
          "[motor][published]") {
  const auto points = testing::published_points();
  std::size_t levelled = 0;
  for (const std::string& name : testing::motor_names(points)) {
    for (const PublishedCurve& curve : testing::curves_of(points, name)) {
      const MeasuredCurve measured(curve);
      levelled += measured.levelled();
      Torque least = unlimited<Torque>();
      for (const parts::CurvePoint& point : curve.points) {
        CAPTURE(name, in_revolutions_per_minute(point.speed));
        least = std::min(least, point.torque);
        CHECK(measured.at(point.speed) == least);
      }
    }
  }
  // The one curve that rises: 0.406 N·m at 200 rpm, 0.422 N·m at 400 rpm.
  CHECK(levelled == 1);
}

TEST_CASE("a measured curve foretells a published point that is left out of it",
          "[motor][published]") {
  // Each inner point of each published curve in turn. Above it by 5 % at most.
  const auto points = testing::published_points();
  Score score;
  for (const std::string& name : testing::motor_names(points)) {
    for (const PublishedCurve& curve : testing::curves_of(points, name)) {
      for (std::size_t i = 1; i + 1 < curve.points.size(); ++i) {
        PublishedCurve others = curve;
        others.points.erase(others.points.begin() + static_cast<std::ptrdiff_t>(i));
        const Torque torque = MeasuredCurve(others).at(curve.points[i].speed);
        score.add(name, number(torque / curve.points[i].torque));
      }
    }
  }
  INFO(score.table("inner points left out"));
  CHECK(score.count() == 29);
  CHECK(score.worst() <= 1.05);
  CHECK(score.mean() >= 0.95);
}

TEST_CASE("constant power stays constant power between two points", "[motor][property]") {
  // T ω = const is a straight line in the logarithms, for two points as for many.
  const MeasuredCurve two(invented({{300, 2.0}, {1200, 0.5}}));
  const MeasuredCurve many(
      invented({{300, 2.0}, {400, 1.5}, {600, 1.0}, {1000, 0.6}, {1200, 0.5}}));
  for (const double rpm : {300.0, 350.0, 500.0, 777.0, 1199.0}) {
    CAPTURE(rpm);
    const AngularSpeed speed = revolutions_per_minute(rpm);
    CHECK_THAT(in_newton_metres(two.at(speed)), WithinRel(600 / rpm, 1e-12));
    CHECK_THAT(in_newton_metres(many.at(speed)), WithinRel(600 / rpm, 1e-12));
  }
}

TEST_CASE("a measured curve is the monotone cubic of Boost.Math in its logarithms",
          "[motor][property]") {
  const PublishedCurve curve =
      invented({{100, 1.8}, {300, 1.79}, {400, 1.79}, {500, 1.2}, {900, 0.4}, {1000, 0.05}});
  std::vector<double> x;
  std::vector<double> y;
  for (const parts::CurvePoint& point : curve.points) {
    x.push_back(std::log(in_radians_per_second(point.speed)));
    y.push_back(std::log(in_newton_metres(point.torque)));
  }
  const boost::math::interpolators::pchip<std::vector<double>> cubic(std::move(x), std::move(y));
  const MeasuredCurve measured(curve);
  for (double rpm = 101; rpm < 1000; rpm += 7) {
    CAPTURE(rpm);
    const AngularSpeed speed = revolutions_per_minute(rpm);
    CHECK_THAT(std::log(in_newton_metres(measured.at(speed))),
               WithinAbs(cubic(std::log(in_radians_per_second(speed))), 1e-12));
  }
}

TEST_CASE("a measured curve neither overshoots nor rises, and is constant below its first point",
          "[motor][property]") {
  const auto curve = GENERATE(
      invented({{100, 1.8}, {300, 1.79}, {310, 1.2}, {320, 1.19}, {900, 0.4}, {1000, 0.05}}),
      invented({{100, 1.8}, {200, 1.8}, {300, 1.8}, {400, 0.9}}),
      invented({{100, 1.0}, {101, 0.1}}), invented({{100, 1.5}, {400, 1.6}, {500, 0.8}}),
      invented({{50, 1.0}, {200, 1.2}, {300, 1.1}, {400, 0.9}, {450, 0.95}, {800, 0.3}}));
  const MeasuredCurve measured(curve);
  CHECK(measured.at(radians_per_second(0)) == curve.points.front().torque);
  CHECK(measured.at(0.99 * curve.points.front().speed) == curve.points.front().torque);
  Torque last = unlimited<Torque>();
  for (std::size_t i = 1; i < curve.points.size(); ++i) {
    const Torque top = measured.at(curve.points[i - 1].speed);
    const Torque bottom = measured.at(curve.points[i].speed);
    for (int k = 0; k <= 200; ++k) {
      const AngularSpeed speed = curve.points[i - 1].speed +
                                 (k / 200.0) * (curve.points[i].speed - curve.points[i - 1].speed);
      const Torque torque = measured.at(std::min(speed, curve.points[i].speed));
      REQUIRE(torque <= last);
      REQUIRE(torque <= top);
      REQUIRE(torque >= bottom);
      last = torque;
    }
  }
}

TEST_CASE("a measured curve says that it took a rising point down", "[motor][property]") {
  const MeasuredCurve rising(invented({{100, 1.5}, {400, 1.6}, {500, 0.8}}));
  CHECK(rising.levelled());
  CHECK(rising.at(revolutions_per_minute(400)) == newton_metres(1.5));
  CHECK_FALSE(MeasuredCurve(invented({{100, 1.5}, {400, 1.5}, {500, 0.8}})).levelled());
}

TEST_CASE("a published curve carried to another voltage stays near the curve published there",
          "[motor][published]") {
  // The one motor with two curves, 36 V and 48 V: each from the other. Above it by 5 % at most.
  const auto points = testing::published_points();
  const std::string name = "StepperOnline 23HS30-2804S";
  const auto curves = testing::curves_of(points, name);
  REQUIRE(curves.size() == 2);
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  Score score;
  for (const auto& [from, to] : {std::pair{0, 1}, std::pair{1, 0}}) {
    const PublishedCurve& target = curves[static_cast<std::size_t>(to)];
    const auto carried = motor::carried(MeasuredCurve(curves[static_cast<std::size_t>(from)]),
                                        motor, {target.voltage, target.amplitude});
    REQUIRE(carried.has_value());
    for (const parts::CurvePoint& point : target.points)
      score.add(fmt::format("to {} V", in_volts(target.voltage)),
                number(carried->at(point.speed) / point.torque));
  }
  INFO(score.table("carried"));
  CHECK(score.worst() <= 1.05);
  CHECK(score.mean() >= 0.85);
}

TEST_CASE("a carried curve never rises, exceeds no loss-free torque and gains by voltage",
          "[motor][property]") {
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const MeasuredCurve measured(
      invented({{100, 1.7}, {300, 1.6}, {450, 1.3}, {600, 1.0}, {900, 0.6}, {1500, 0.3}}));
  for (const double volt : {12.0, 24.0, 40.0, 48.0, 55.0, 80.0}) {
    for (const double ampere : {1.0, 2.0, 3.8, 6.0}) {
      CAPTURE(volt, ampere);
      const Feed feed{volts(volt), amperes(ampere)};
      const auto carried = motor::carried(measured, motor, feed);
      if (!carried) continue;
      const auto winding = motor::driven_winding(motor, feed);
      Torque last = unlimited<Torque>();
      for (double rpm = 0; rpm <= 1500; rpm += 10) {
        CAPTURE(rpm);
        const AngularSpeed speed = revolutions_per_minute(rpm);
        if (speed > carried->last().speed) break;
        const Torque torque = carried->at(speed);
        REQUIRE(torque <= last);
        REQUIRE(torque <= motor::loss_free_pull_out(winding, speed).torque * (1 + 1e-3));
        if (ampere == 3.8 && volt >= 48) REQUIRE(torque >= measured.at(speed) * (1 - 1e-3));
        last = torque;
      }
    }
  }
  // To its own feed a curve is carried as it is.
  const auto same = motor::carried(measured, motor, measured.feed());
  REQUIRE(same.has_value());
  for (const parts::CurvePoint& point : measured.points())
    CHECK_THAT(same->at(point.speed), IsNear(point.torque, 1e-12 * point.torque));
}

TEST_CASE("a measured curve refuses what it cannot tell", "[motor][error]") {
  CHECK_THROWS_MATCHES(MeasuredCurve(invented({{100, 1}})), InvalidInput,
                       Message("points of a measured curve must be >= 2, got 1"));
  CHECK_THROWS_MATCHES(MeasuredCurve(invented({})), InvalidInput,
                       Message("points of a published curve must be >= 1, got 0"));
  CHECK_THROWS_AS(MeasuredCurve(invented({{100, 1}, {100, 1}})), InvalidInput);
  CHECK_THROWS_AS(MeasuredCurve(invented({{100, 1}, {90, 1}})), InvalidInput);
  CHECK_THROWS_AS(MeasuredCurve(invented({{100, 1}, {200, -1}})), InvalidInput);
  PublishedCurve curve = invented({{100, 1}, {200, 0.5}});
  const MeasuredCurve measured(curve);
  CHECK_THROWS_MATCHES(measured.at(radians_per_second(-1)), InvalidInput,
                       Message("speed must be >= 0, got -1 rad/s"));
  CHECK_THROWS_AS(measured.at(unset<AngularSpeed>()), InvalidInput);
  CHECK_THROWS_MATCHES(measured.at(radians_per_second(21)), OutsideValidity,
                       Message("speed 21 rad/s is beyond the last published point, 20.94 rad/s"));
  curve.voltage = unset<Voltage>();
  CHECK_THROWS_MATCHES(MeasuredCurve(curve), InvalidInput,
                       Message("voltage of a published curve must be > 0, got nan V"));
  curve.voltage = volts(48);
  curve.amplitude = amperes(0);
  CHECK_THROWS_MATCHES(MeasuredCurve(curve), InvalidInput,
                       Message("current of a published curve must be > 0, got 0 A"));
}

}  // namespace
}  // namespace pitchline
