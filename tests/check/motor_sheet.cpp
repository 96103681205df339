#include "pitchline/check/make_motor_sheet.hpp"
#include "pitchline/check/motor_use.hpp"

#include "support/catch.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;

report::MotorUse use_of_x() {
  const machine::Machine loft = testing::kite_loft();
  return check::motor_use(loft, loft.axes.front());
}

TEST_CASE("round_step divides any range into 8 to 13 round parts", "[check][property]") {
  const double top = GENERATE(take(200, random(0.01, 90'000.0)));
  CAPTURE(top);
  const double parts = top / check::round_step(top);
  CHECK(parts <= 13.0 * (1 + 1e-9));
  CHECK(parts >= 8.0);
}

TEST_CASE("a motor sheet has rows up to the top speed and one at the wanted speed", "[check]") {
  report::MotorUse use = use_of_x();
  use.top_speed = revolutions_per_minute(1310);
  const report::MotorSheet sheet = check::motor_sheet(use);
  CHECK(sheet.rows.front().speed == radians_per_second(0));
  CHECK(sheet.rows.back().speed == *use.top_speed);
  int wanted = 0;
  for (std::size_t i = 0; i < sheet.rows.size(); ++i) {
    const report::CurveRow& row = sheet.rows[i];
    if (i > 0) CHECK(row.speed > sheet.rows[i - 1].speed);
    if (row.wanted) {
      ++wanted;
      // 300 mm/s on 20 teeth of 2 mm: 7.5 turns a second.
      CHECK_THAT(in_revolutions_per_minute(row.speed), WithinRel(450.0, 1e-12));
    }
    CHECK(row.verdict.torque <= row.loss_free.torque);
  }
  CHECK(wanted == 1);
}

TEST_CASE("a motor sheet closes the energy balance of the supply", "[check][property]") {
  const report::MotorSheet sheet = check::motor_sheet(use_of_x());
  for (const report::DutyRow& row : sheet.duty) {
    CAPTURE(row.state);
    REQUIRE(row.possible);
    const Power taken = row.supply * sheet.use.feed.voltage;
    const Power spent = row.copper + row.iron + row.shaft;
    CHECK_THAT(in_watts(taken), WithinRel(in_watts(spent), 1e-12));
  }
}

TEST_CASE("the voltage for the load gives the peak of the start and no less does", "[check]") {
  const report::MotorSheet sheet = check::motor_sheet(use_of_x());
  REQUIRE(sheet.voltage.for_load);
  const Torque wanted = sheet.use.load->margin.value() * sheet.use.load->start_peak;
  const auto torque_at = [&](Voltage v) {
    return motor::PullOutCurve(sheet.use.motor, {v, sheet.use.feed.amplitude})
        .for_verdict(sheet.voltage.speed)
        .torque;
  };
  CHECK(torque_at(*sheet.voltage.for_load) >= wanted);
  CHECK(torque_at(0.999 * *sheet.voltage.for_load) < wanted);
}

TEST_CASE("a motor by itself has no travel and no load", "[check]") {
  report::MotorUse use = use_of_x();
  use.load.reset();
  const report::MotorSheet sheet = check::motor_sheet(use);
  for (const motor::RateToAvoid& rate : sheet.resonance.rates) CHECK(is_unset(rate.travel_speed));
  CHECK(is_unset(sheet.microsteps.step.of_travel));
  CHECK_FALSE(sheet.microsteps.finest);
  CHECK_FALSE(sheet.voltage.for_load);
}

TEST_CASE("a motor sheet refuses an inertia or a top speed that is not above zero",
          "[check][error]") {
  report::MotorUse use = use_of_x();
  use.top_speed = radians_per_second(0);
  CHECK_THROWS_MATCHES(check::motor_sheet(use), InvalidInput,
                       Message("top speed must be > 0, got 0 rad/s"));
  use = use_of_x();
  use.inertia = unset<Inertia>();
  CHECK_THROWS_MATCHES(check::motor_sheet(use), InvalidInput,
                       Message("inertia must be > 0, got nan kg*m^2"));
}

}  // namespace
}  // namespace pitchline
