#include "pitchline/check/search/to_measure.hpp"

#include <algorithm>
#include <string>

#include "pitchline/check/row.hpp"
#include "support/catch.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using machine::UsualFigure;

// The loft with figures that nobody measured, and a position error that a softer axis exceeds.
machine::Machine loft(double position_error_mm) {
  machine::Machine m = testing::kite_loft();
  machine::Axis& x = m.axes.front();
  machine::belt_drive(x).stiffness_share = StiffnessShare(0.7);
  x.usual = {UsualFigure::stiffness_share, UsualFigure::static_friction};
  x.want.position_error = millimetres(position_error_mm);
  x.want.corner_error = unset<Length>();
  return m;
}

std::vector<report::FigureToMeasure> asked_of(const machine::Machine& m) {
  const check::AxisState s = check::state_of(m, m.axes.front());
  return check::to_measure(s, check::findings_of(s));
}

double error_at(double share) {
  machine::Machine m = loft(100.0);
  machine::belt_drive(m.axes.front()).stiffness_share = StiffnessShare(share);
  const check::AxisState s = check::state_of(m, m.axes.front());
  for (const report::Finding& f : check::findings_of(s))
    if (f.key == "position_error") return 1e3 * f.value.coherent();
  return 0.0;
}

TEST_CASE("a figure whose range would change a verdict is named with the rows",
          "[check][property]") {
  // It holds at 0.7 and fails at 0.4.
  const auto soft = asked_of(loft((error_at(0.7) + error_at(0.4)) / 2.0));
  const auto named = std::find_if(soft.begin(), soft.end(), [](const auto& each) {
    return each.key == "drive.stiffness_share" && each.fails;
  });
  REQUIRE(named != soft.end());
  CHECK(named->value == "0.40");
  CHECK_THAT(named->rows, Contains("position error"));
  // It fails at 0.7 and would hold at 1.
  const auto stiff = asked_of(loft((error_at(0.7) + error_at(1.0)) / 2.0));
  CHECK(std::any_of(stiff.begin(), stiff.end(), [](const auto& each) {
    return each.key == "drive.stiffness_share" && !each.fails && each.value == "1.0" &&
           each.rows.find("position error") != std::string::npos;
  }));
}

TEST_CASE("what decides nothing, or was measured, is not asked for", "[check][property]") {
  for (const report::FigureToMeasure& each : asked_of(loft(50.0)))
    CHECK(each.key != "drive.stiffness_share");
  machine::Machine measured = loft((error_at(0.7) + error_at(0.4)) / 2.0);
  measured.axes.front().usual.clear();
  CHECK(asked_of(measured).empty());
}

}  // namespace
}  // namespace pitchline
