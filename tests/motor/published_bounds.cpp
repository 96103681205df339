#include "pitchline/motor/loss_free_torque.hpp"

#include "pitchline/parts/driver.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::WithinAbs;

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

TEST_CASE("no published pull-out point lies above the loss-free torque or below half of it",
          "[motor][published]") {
  // [pull-out]: marks Q and Q2 row by row in the table. Where the sheet does not say what its
  // current means ("doubtful", 23HS45-4204S), both readings must hold. Peak is the one that tests
  // the loss-free bound, as it gives the smaller curve; RMS gives the larger half.
  double least = 1.0;
  double most = 0.0;
  const auto rows = testing::published("pull_out_curves.csv");
  CHECK(rows.size() == 43);
  for (const testing::CsvRow& row : rows) {
    const std::string& current_is = row.text("current_is");
    std::vector<parts::CurrentIs> readings;
    if (current_is != "peak") readings.push_back(parts::CurrentIs::rms);
    if (current_is != "rms") readings.push_back(parts::CurrentIs::peak);
    for (const parts::CurrentIs reading : readings) {
      CAPTURE(row.text("motor"), row.text("voltage_V"), row.text("speed_rpm"), current_is);
      const Point p = point(row, reading);
      CHECK(p.torque >= 0.5 * motor::loss_free_pull_out(p.winding, p.speed).torque);
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

}  // namespace
}  // namespace pitchline
