#include "pitchline/motor/dependable_torque.hpp"

#include "pitchline/parts/driver.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

struct Point {
  motor::DrivenWinding winding;
  AngularSpeed speed;
  Torque torque;
};

Point point(const testing::CsvRow& row, parts::CurrentIs current_is) {
  const auto motor =
      testing::stepper(row.number("holding_torque_Nm"), row.number("rated_current_A"),
                       row.number("R_ohm"), row.number("L_mH"));
  const parts::Driver driver{.current = amperes(row.number("current_A")), .current_is = current_is};
  return {motor::driven_winding(motor, parts::current_amplitude(driver),
                                volts(row.number("voltage_V"))),
          revolutions_per_minute(row.number("speed_rpm")), newton_metres(row.number("torque_Nm"))};
}

TEST_CASE("no published pull-out point lies below the dependable or above the loss-free torque",
          "[motor][published]") {
  // [pull-out]: marks Q and Q2 row by row in the table. Where the sheet does not say what its
  // current means ("doubtful", 23HS45-4204S), both readings must hold. Peak is the one that tests
  // the loss-free bound, as it gives the smaller curve; RMS gives the larger dependable torque.
  double least = 1.0;
  double most = 0.0;
  const auto rows = testing::published("pull_out_curves.csv");
  CHECK(rows.size() == 28);
  for (const testing::CsvRow& row : rows) {
    const std::string& current_is = row.text("current_is");
    std::vector<parts::CurrentIs> readings;
    if (current_is != "peak") readings.push_back(parts::CurrentIs::rms);
    if (current_is != "rms") readings.push_back(parts::CurrentIs::peak);
    for (const parts::CurrentIs reading : readings) {
      CAPTURE(row.text("motor"), row.text("voltage_V"), row.text("speed_rpm"), current_is);
      const Point p = point(row, reading);
      CHECK(p.torque >= motor::dependable_torque(p.winding, p.speed));
      const Torque bound = motor::loss_free_pull_out(p.winding, p.speed).torque;
      CHECK(p.torque <= bound);
      least = std::min(least, number(p.torque / bound));
      most = std::max(most, number(p.torque / bound));
    }
  }
  // The range that the headers state.
  CHECK_THAT(least, WithinAbs(0.51, 0.005));
  CHECK_THAT(most, WithinAbs(0.98, 0.005));
}

TEST_CASE("dependable_torque is half of the loss-free torque at every speed", "[motor][property]") {
  const motor::DrivenWinding w = testing::motor_a();
  for (const double rpm : {0.0, 300.0, 450.0, 900.0, 2500.0}) {
    CAPTURE(rpm);
    const AngularSpeed speed = revolutions_per_minute(rpm);
    CHECK_THAT(2.0 * in_newton_metres(motor::dependable_torque(w, speed)),
               WithinRel(in_newton_metres(motor::loss_free_pull_out(w, speed).torque), 1e-15));
  }
}

TEST_CASE("dependable_torque refuses what the loss-free torque refuses", "[motor][error]") {
  CHECK_THROWS_AS(motor::dependable_torque({}, radians_per_second(1)), InvalidInput);
  CHECK_THROWS_AS(motor::dependable_torque(testing::motor_a(), radians_per_second(-1)),
                  InvalidInput);
}

}  // namespace
}  // namespace pitchline
