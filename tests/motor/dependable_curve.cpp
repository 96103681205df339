#include "pitchline/motor/dependable_curve.hpp"

#include "pitchline/parts/winding_connection.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/published_curves.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motor::DependableCurve;
using motor::EddyConstant;
using motor::Feed;
using motor::LossModel;
using testing::CurveCase;
using testing::IsNear;
using testing::Score;

EddyConstant eddy(double newton_metres_per_second) {
  return newton_metres(newton_metres_per_second) / seconds(1);
}

parts::StepperMotor motor_named(const std::string& name) {
  for (const CurveCase& each : testing::published_points())
    if (each.motor_name == name) return each.motor;
  throw std::runtime_error("no motor " + name);
}

TEST_CASE("the dependable curve gives an independent computation", "[motor][published]") {
  // reference/published/dependable_check.csv: the same equations computed independently, ten
  // digits (C).
  const auto rows = testing::published("dependable_check.csv");
  CHECK(rows.size() == 76);
  LossModel of_sheet;
  of_sheet.inductance = InductanceRatio(1.2);
  of_sheet.characteristic_share = CharacteristicShare(100);
  for (const testing::CsvRow& row : rows) {
    CAPTURE(row.text("motor"), row.text("voltage_V"), row.text("speed_rpm"));
    const auto motor = motor_named(row.text("motor"));
    const Feed feed = testing::feed_of(
        row, row.text("current_is") == "rms" ? parts::CurrentIs::rms : parts::CurrentIs::peak);
    const AngularSpeed speed = revolutions_per_minute(row.number("speed_rpm"));
    const auto at = [&](const LossModel& model) {
      return in_newton_metres(motor::dependable_torque(motor, feed, speed, model));
    };
    CHECK_THAT(at({}), WithinRel(row.number("dependable_Nm"), 1e-8));
    CHECK_THAT(at(of_sheet), WithinRel(row.number("inductance_1p2_alone_Nm"), 1e-8));
    const Torque bound =
        motor::loss_free_pull_out(motor::driven_winding(motor, feed), speed).torque;
    CHECK_THAT(in_newton_metres(bound), WithinRel(row.number("loss_free_Nm"), 1e-8));
  }
}

TEST_CASE("the dependable curve is nearer to published torque than half of the loss-free one",
          "[motor][published]") {
  Score halved;
  Score dependable;
  for (const CurveCase& each : testing::published_points()) {
    const auto winding = motor::driven_winding(each.motor, each.feed);
    const auto over_published = [&](Torque torque) { return number(torque / each.point.torque); };
    const Torque bound = motor::loss_free_pull_out(winding, each.point.speed).torque;
    halved.add(each.motor_name, over_published(0.5 * bound));
    dependable.add(each.motor_name, over_published(motor::dependable_torque(each.motor, each.feed,
                                                                            each.point.speed)));
  }
  INFO(halved.table("half of the loss-free torque"));
  INFO(dependable.table("dependable"));
  CHECK(dependable.mean() > halved.mean());
  CHECK(dependable.worst() < halved.worst());
}

TEST_CASE("the inductance that acts is the larger of two", "[motor]") {
  // 1.5 · 3 mH, against T_h/(N_r φ (√2 I_r)²) = 0.59/(50 · 0.28 · 8) H = 5.268 mH.
  auto motor = testing::stepper(0.59, 2.0, 1.60, 3.0);
  CHECK_THAT(motor::effective_inductance(motor), IsNear(millihenries(5.268), millihenries(0.0005)));
  motor.inductance = millihenries(4);
  CHECK_THAT(motor::effective_inductance(motor), IsNear(millihenries(6), millihenries(1e-9)));
  // A motor of 0.9 degrees has twice the pole pairs.
  motor = testing::stepper(0.59, 2.0, 1.60, 1.0);
  motor.full_steps_per_turn = full_steps(400);
  CHECK_THAT(motor::effective_inductance(motor), IsNear(millihenries(2.634), millihenries(0.0005)));
}

TEST_CASE("the dependable curve never rises with speed nor exceeds the loss-free curve",
          "[motor][property]") {
  const auto speeds = testing::many_speeds();
  for (int i = 0; i < 400; ++i) {
    const testing::RandomMotor random = testing::random_motor(i);
    const DependableCurve curve(random.motor, random.feed);
    const motor::DrivenWinding winding = motor::driven_winding(random.motor, random.feed);
    Torque last = unlimited<Torque>();
    bool rises = false;
    bool exceeds = false;
    for (const AngularSpeed& speed : speeds) {
      const Torque torque = curve.at(speed);
      const Torque bound = motor::loss_free_pull_out(winding, speed).torque;
      const Torque rounding = 1e-12 * random.motor.holding_torque;
      rises = rises || torque > last + rounding;
      exceeds = exceeds || torque > bound + rounding;
      last = torque;
    }
    INFO(random.text);
    CHECK_FALSE(rises);
    CHECK_FALSE(exceeds);
  }
}

TEST_CASE("the dependable and the loss-free curve do not depend on the winding",
          "[motor][property]") {
  const auto speeds = testing::many_speeds();
  for (int i = 0; i < 60; ++i) {
    const testing::RandomMotor random = testing::random_motor(i);
    const double turns = 0.3 * std::pow(10.0, i / 60.0);
    INFO(random.text << ", turns " << turns);
    const parts::StepperMotor other = parts::rewound(random.motor, turns);
    const Feed feed{turns * random.feed.voltage, random.feed.amplitude / turns};
    const DependableCurve curve(random.motor, random.feed);
    const DependableCurve rewound(other, feed);
    double dependable = 0.0;
    double loss_free = 0.0;
    for (const AngularSpeed& speed : speeds) {
      const auto differ = [&](Torque a, Torque b) {
        return std::abs(number((a - b) / random.motor.holding_torque));
      };
      dependable = std::max(dependable, differ(curve.at(speed), rewound.at(speed)));
      loss_free = std::max(
          loss_free,
          differ(motor::loss_free_pull_out(motor::driven_winding(random.motor, random.feed), speed)
                     .torque,
                 motor::loss_free_pull_out(motor::driven_winding(other, feed), speed).torque));
    }
    CHECK(dependable <= 1e-12);
    CHECK(loss_free <= 1e-12);
  }
}

TEST_CASE("the dependable torque never falls as voltage or current rises", "[motor][property]") {
  for (int i = 0; i < 200; ++i) {
    const testing::RandomMotor random = testing::random_motor(i);
    bool falls = false;
    for (double rpm = 0; rpm < 4000; rpm = 1.3 * rpm + 20) {
      const AngularSpeed speed = revolutions_per_minute(rpm);
      Torque by_voltage{};
      Torque by_current{};
      for (double times = 0.3; times < 4.0; times *= 1.07) {
        const Torque rounding = 1e-12 * random.motor.holding_torque;
        const auto at = [&](const Feed& feed) {
          return motor::dependable_torque(random.motor, feed, speed);
        };
        const Torque more = at({times * random.feed.voltage, random.feed.amplitude});
        const Torque stronger = at({random.feed.voltage, times * random.feed.amplitude});
        falls = falls || more < by_voltage - rounding || stronger < by_current - rounding;
        by_voltage = more;
        by_current = stronger;
      }
    }
    INFO(random.text);
    CHECK_FALSE(falls);
  }
}

TEST_CASE("the dependable curve has no jump", "[motor][property]") {
  for (int i = 0; i < 60; ++i) {
    const testing::RandomMotor random = testing::random_motor(i);
    INFO(random.text);
    const DependableCurve curve(random.motor, random.feed);
    const AngularSpeed speed = curve.corner();
    if (!(speed > radians_per_second(0))) continue;
    CHECK_THAT(curve.at(speed * (1 - 1e-10)),
               IsNear(curve.at(speed * (1 + 1e-10)), 1e-7 * random.motor.holding_torque));
  }
}

TEST_CASE("the dependable torque at rest is the current that is forced less the drag",
          "[motor][property]") {
  // T_h · k_i − k_d T_h for a motor at its full rating, by hand: 1.89 · (0.80 − 0.02).
  auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const Feed full{volts(48), amperes(2.8 * std::numbers::sqrt2)};
  const auto at_rest = [&](const LossModel& model = {}) {
    return in_newton_metres(motor::dependable_torque(motor, full, radians_per_second(0), model));
  };
  CHECK_THAT(at_rest(), WithinRel(1.89 * 0.78, 1e-12));
  // Half of a detent torque counts where it is the larger drag.
  motor.detent_torque = newton_metres(0.07);
  CHECK_THAT(at_rest(), WithinRel(1.89 * 0.78, 1e-12));
  motor.detent_torque = newton_metres(0.2);
  CHECK_THAT(at_rest(), WithinRel(1.89 * 0.80 - 0.1, 1e-12));
  // The least drag of a small motor: 0.14 · 0.80 − 0.011.
  motor = testing::stepper(0.14, 2.8, 1.13, 5.4);
  CHECK_THAT(at_rest(), WithinRel(0.14 * 0.80 - 0.011, 1e-12));
  // A holding torque with one phase on is 1/√2 of that with two.
  motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  motor.holding_torque /= std::numbers::sqrt2;
  motor.holding_rating = parts::HoldingRating::one_phase_on;
  CHECK_THAT(at_rest(), WithinRel(1.89 * 0.78, 1e-12));
}

TEST_CASE("an inductance that may be larger never raises the dependable torque",
          "[motor][property]") {
  // Where the current is below K_t/(N_r L), more inductance moves the speed of zero torque
  // outwards.
  LossModel nominal;
  nominal.inductance = InductanceRatio(1);
  nominal.characteristic_share = CharacteristicShare(100);
  for (int i = 0; i < 100; ++i) {
    testing::RandomMotor random = testing::random_motor(i);
    random.feed.amplitude *= 0.4;
    random.motor.inductance *= 0.5;
    INFO(random.text << ", 0.4 of the current, half the inductance");
    const DependableCurve tolerant(random.motor, random.feed);
    const DependableCurve measured(random.motor, random.feed, nominal);
    bool raises = false;
    for (const AngularSpeed& speed : testing::many_speeds())
      raises = raises || tolerant.at(speed) > measured.at(speed);
    CHECK_FALSE(raises);
  }
}

TEST_CASE("current above the rated one is not counted on", "[motor][property]") {
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const Current full = std::numbers::sqrt2 * amperes(2.8);
  for (const double rpm : {0.0, 200.0, 600.0, 1500.0}) {
    CAPTURE(rpm);
    const AngularSpeed speed = revolutions_per_minute(rpm);
    const auto at = [&](double times) {
      return motor::dependable_torque(motor, {volts(48), times * full}, speed);
    };
    CHECK(at(1.5) == at(1.0));
    CHECK(at(1.0) >= at(0.9));
  }
}

TEST_CASE("each named loss lowers the dependable torque", "[motor][property]") {
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const Feed feed{volts(48), amperes(3.8)};
  const auto at = [&](double rpm, const LossModel& model) {
    return motor::dependable_torque(motor, feed, revolutions_per_minute(rpm), model);
  };
  const auto lowers = [&](double rpm, auto ease) {
    LossModel eased;
    ease(eased);
    CHECK(at(rpm, eased) > at(rpm, LossModel{}));
  };
  lowers(100, [](LossModel& m) { m.current_share = MeanCurrentShare(1); });
  lowers(600, [](LossModel& m) { m.voltage_share = VoltageShare(1); });
  lowers(600, [](LossModel& m) { m.characteristic_share = CharacteristicShare(0.3); });
  lowers(600, [](LossModel& m) { m.hot_winding = ResistanceRatio(1); });
  lowers(100, [](LossModel& m) { m.drag = DragShare(0.01); });
  // What acts where the other two decide: the inductance of a motor of little flux, the drag of one
  // with a large detent torque.
  auto other = motor;
  other.inductance = millihenries(9);
  other.detent_torque = newton_metres(0.2);
  const auto of_other = [&](const LossModel& model) {
    return motor::dependable_torque(other, feed, revolutions_per_minute(600), model);
  };
  LossModel eased;
  eased.inductance = InductanceRatio(1.2);
  CHECK(of_other(eased) > of_other({}));
  eased = {};
  eased.drag_of_detent = DragShare(0.3);
  CHECK(of_other(eased) > of_other({}));
}

TEST_CASE("the dependable curve refuses what has no meaning, by name", "[motor][error]") {
  const auto motor = testing::stepper(1.89, 2.8, 1.13, 5.4);
  const Feed feed{volts(48), amperes(3.8)};
  const AngularSpeed speed = radians_per_second(1);
  CHECK_THROWS_MATCHES(motor::dependable_torque(motor, {}, speed), InvalidInput,
                       Message("phase current must be > 0, got nan A"));
  CHECK_THROWS_MATCHES(motor::dependable_torque(motor, {volts(0), amperes(1)}, speed), InvalidInput,
                       Message("voltage must be > 0, got 0 V"));
  CHECK_THROWS_AS(motor::dependable_torque({}, feed, speed), InvalidInput);
  CHECK_THROWS_MATCHES(motor::dependable_torque(motor, feed, radians_per_second(-1)), InvalidInput,
                       Message("speed must be >= 0, got -1 rad/s"));
  CHECK_THROWS_AS(motor::dependable_torque(motor, feed, unset<AngularSpeed>()), InvalidInput);
  LossModel model;
  model.least_drag = newton_metres(-1);
  CHECK_THROWS_MATCHES(motor::dependable_torque(motor, feed, speed, model), InvalidInput,
                       Message("least drag must be >= 0, got -1 N*m"));
  model = {};
  model.eddy_constant = eddy(0);
  CHECK_THROWS_MATCHES(motor::dependable_torque(motor, feed, speed, model), InvalidInput,
                       Message("eddy constant must be > 0, got 0 N*m/s"));
  CHECK_THROWS_MATCHES(MeanCurrentShare(0), InvalidInput,
                       Message("current share must be > 0 and <= 1, got 0"));
  CHECK_THROWS_MATCHES(VoltageShare(1.1), InvalidInput,
                       Message("voltage share must be > 0 and <= 1, got 1.1"));
  CHECK_THROWS_MATCHES(InductanceRatio(0.8), InvalidInput,
                       Message("inductance ratio must be >= 1 and <= 10, got 0.8"));
  CHECK_THROWS_MATCHES(ResistanceRatio(0.8), InvalidInput,
                       Message("resistance ratio must be >= 1 and <= 10, got 0.8"));
  CHECK_THROWS_MATCHES(DragShare(-0.1), InvalidInput,
                       Message("drag share must be >= 0 and <= 10, got -0.1"));
  CHECK_THROWS_MATCHES(CharacteristicShare(0), InvalidInput,
                       Message("characteristic current share must be > 0 and <= 100, got 0"));
  auto negative = motor;
  negative.detent_torque = newton_metres(-0.01);
  CHECK_THROWS_MATCHES(motor::dependable_torque(negative, feed, speed), InvalidInput,
                       Message("detent torque must be >= 0, got -0.01 N*m"));
}

}  // namespace
}  // namespace pitchline
