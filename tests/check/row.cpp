#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/drive.hpp"

#include <fstream>
#include <iterator>
#include <limits>
#include <set>
#include <string>

#include "pitchline/check/check_machine.hpp"
#include "pitchline/check/rows/lift_screw.hpp"
#include "pitchline/check/rows/supply.hpp"
#include "pitchline/check/search/what_binds.hpp"
#include "support/catch.hpp"
#include "support/kite_loft.hpp"
#include "support/lift.hpp"
#include "support/project_folder.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;

// Machines of the tests, asked for all that an axis can be asked.
std::vector<machine::Machine> some_machines() {
  std::vector<machine::Machine> list;
  for (const double mass : {0.4, 1.4, 6.0}) {
    for (const double speed : {0.1, 0.35, 0.9}) {
      machine::Machine m = testing::kite_loft();
      for (machine::Axis& axis : m.axes) {
        axis.want.speed = metres_per_second(speed);
        axis.want.position_error = millimetres(0.3);
        axis.want.corner_error = millimetres(0.6);
        machine::belt_drive(axis).moving.front().mass = kilograms(mass);
      }
      list.push_back(m);
    }
  }
  list.push_back(testing::kite_loft_bed(testing::trapezoidal_screw(12, 3, 1)));
  return list;
}

// The bed of the kite loft as a level axis of one screw: nothing is lifted.
machine::Machine level_screw_axis(Speed speed, Length bearing_distance) {
  machine::Machine m = testing::kite_loft_bed(testing::trapezoidal_screw(10, 2, 1));
  axis::ScrewAxis& drive = testing::screws_of(m);
  drive.incline = degrees(0);
  drive.screws_per_motor = 1;
  drive.stand.reset();
  drive.screw.bearing_distance = bearing_distance;
  drive.travel = bearing_distance - millimetres(100);
  m.axes.front().lift.reset();
  m.axes.front().want.speed = speed;
  m.axes.front().want.stroke = unset<Length>();
  return m;
}

const report::Finding* find(const std::vector<report::Finding>& rows, std::string_view key) {
  for (const report::Finding& f : rows)
    if (f.key == key) return &f;
  return nullptr;
}

TEST_CASE("each row has a key of its own, says what it asks and has one judge",
          "[check][property]") {
  std::set<std::string_view> keys;
  for (const check::Row& row : check::rows()) {
    CAPTURE(row.key);
    CHECK(keys.insert(row.key).second);
    CHECK_FALSE(row.asks.empty());
    CHECK((row.judge == nullptr) != (row.judge_all == nullptr));
    CHECK((row.binds == check::Binds::nothing) == row.mechanism.empty());
    if (row.binds != check::Binds::nothing) CHECK(row.judge != nullptr);
  }
}

TEST_CASE("the reference lists the rows as they are", "[check][reference]") {
  // After a change that is meant, build the target renew_reference, and read the difference.
  std::ifstream file(testing::reference_folder() + "/rows.md");
  const std::string written{std::istreambuf_iterator<char>(file), {}};
  CHECK(written == check::rows_in_markdown());
}

TEST_CASE("the findings of a row carry its key", "[check][property]") {
  for (const machine::Machine& m : some_machines()) {
    const check::AxisState s = check::state_of(m, m.axes.front());
    for (const check::Row& row : check::rows()) {
      if (!row.applies(s) || row.judge == nullptr) continue;
      CHECK(row.judge(s).key == row.key);
    }
  }
}

TEST_CASE("a row that binds has its margin whether or not it is put into words",
          "[check][property]") {
  for (const machine::Machine& m : some_machines()) {
    const check::AxisState s = check::state_of(m, m.axes.front());
    check::AxisState quiet = s;
    quiet.in_words = false;
    for (const check::Row& row : check::rows()) {
      if (row.binds == check::Binds::nothing || !row.applies(s)) continue;
      CAPTURE(row.key);
      const double with = row.judge(s).margin;
      const double without = row.judge(quiet).margin;
      CHECK((with == without || (with != with && without != without)));
    }
  }
}

TEST_CASE("what binds first is the first of what binds", "[check][property]") {
  for (const machine::Machine& m : some_machines()) {
    const check::AxisState s = check::state_of(m, m.axes.front());
    const check::SupplyJudge supply = [&](const check::AxisState& asked) {
      return check::supply_finding(m, {&asked});
    };
    const report::Binding all = check::what_binds(s, supply).front();
    // Sought from below, from above, and from where nothing is known.
    for (const double near : {0.01, 1.0, 150.0, std::numeric_limits<double>::infinity()}) {
      CAPTURE(near, all.what);
      const check::FirstToBind first =
          check::first_to_bind(s, supply, metres_per_second_squared(near));
      if (is_finite(all.allowed) && all.allowed > Acceleration{}) {
        CHECK_THAT(number(first.allowed / all.allowed), WithinRel(1.0, 2e-6));
      } else if (!is_finite(all.allowed) && s.axis.want.jerk_time > seconds(0)) {
        // Nothing binds, and the move comes to no more.
        CHECK(first.allowed == check::hardest_for(s));
        CHECK(first.what == "jerk time");
        continue;
      } else {
        CHECK(first.allowed == all.allowed);
      }
      CHECK(first.what == all.what);
    }
  }
}

TEST_CASE("a level screw is judged as the same screw in a lift", "[check]") {
  // Tr 10x2 between bearings 1600 mm apart at 60 mm/s: the screw whirls far below its 1800 rpm.
  const machine::Machine m = level_screw_axis(millimetres_per_second(60), millimetres(1600));
  const auto rows = check::findings_of(check::state_of(m, m.axes.front()));
  for (const char* key : {"column", "critical_speed", "nut_pressure", "nut_wear"}) {
    CAPTURE(key);
    CHECK(find(rows, key) != nullptr);
  }
  const report::Finding& whirls = *find(rows, "critical_speed");
  CHECK(whirls.verdict == report::Verdict::fails);
  machine::Machine lift = m;
  lift.axes.front().lift = machine::Lift{};
  const check::AxisState lifted = check::state_of(lift, lift.axes.front());
  CHECK(whirls.margin == check::critical_speed_finding(lifted).margin);
}

TEST_CASE("a level screw that is thick and short enough holds", "[check]") {
  const machine::Machine m = level_screw_axis(millimetres_per_second(10), millimetres(300));
  const auto rows = check::findings_of(check::state_of(m, m.axes.front()));
  CHECK(find(rows, "critical_speed")->verdict == report::Verdict::holds);
  CHECK(find(rows, "column")->verdict == report::Verdict::holds);
}

TEST_CASE("a row that cannot be worked out is unsure and stops no other", "[check][error]") {
  machine::Machine m = testing::kite_loft_bed(testing::trapezoidal_screw(12, 3, 1));
  m.axes.front().lift->nut_length = millimetres(1);  // shorter than the pitch
  const auto rows = check::findings_of(check::state_of(m, m.axes.front()));
  const report::Finding* nut = find(rows, "nut");
  REQUIRE(nut != nullptr);
  CHECK(nut->verdict == report::Verdict::unsure);
  CHECK_THAT(nut->reason, Contains("cannot be worked out") && Contains("nut"));
  CHECK(find(rows, "torque_margin") != nullptr);
  CHECK(find(rows, "height_step") != nullptr);
}

}  // namespace
}  // namespace pitchline
