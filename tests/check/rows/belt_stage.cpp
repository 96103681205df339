#include "pitchline/check/rows/belt_stage.hpp"

#include "pitchline/check/check_machine.hpp"
#include "pitchline/check/row.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"
#include "support/is_near.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using machine::Machine;
using report::Finding;
using report::Verdict;
using testing::detail;
using testing::IsNear;

// The kite loft with a stage of 20 to 60 teeth of the same profile, 6 mm wide, 90 mm apart.
Machine loft() {
  Machine m = testing::kite_loft();
  axis::BeltAxis& drive = machine::belt_drive(m.axes.front());
  parts::BeltStage stage{.profile = drive.belt.profile,
                         .width = millimetres(6),
                         .motor_teeth = 20,
                         .driven_teeth = 60,
                         .centre_distance = millimetres(90)};
  stage.profile.open_ended_tension = {.rows = {{millimetres(6), newtons(26)}},
                                      .source = "invented"};
  drive.stage = stage;
  return m;
}
parts::BeltStage& stage(Machine& m) { return *machine::belt_drive(m.axes.front()).stage; }

check::AxisState state(const Machine& m) { return check::state_of(m, m.axes.front()); }
double peak(const Machine& m) { return in_newtons(check::belt_peak_force(state(m))); }

Finding found(const Machine& m, const std::string& key) {
  return testing::row(check::check_machine(m), key);
}

belt::StockLoop listed(int teeth) {
  return {.maker = "a maker",
          .series = "a series",
          .profile = "GT 2 mm",
          .pitch_millimetres = Fraction(2),
          .length_millimetres = Fraction(2 * teeth),
          .teeth = teeth,
          .source = "invented"};
}

// Peak force of the belt, a third of it because the driven pulley is three times the drive pulley,
// over the efficiency of 0.95. The driven shaft turns with 2 m/s^2 over the radius of the drive
// pulley, 40/(2 pi) mm: a solid aluminium pulley of 120/pi mm, twice 6 mm long, and drive pulley
// and idler of 2e-7 kg m^2 each, all of which the stage's belt accelerates at a radius of 60/pi mm.
double pull_by_hand(const Machine& m) {
  const double pi = std::numbers::pi;
  const double driven = pi * 2700.0 * 0.012 * std::pow(0.120 / pi, 4) / 32.0;
  const double turning = (driven + 4e-7) * (2.0 / (0.040 / (2.0 * pi))) / (0.060 / pi);
  return peak(m) / 3.0 / 0.95 + turning;
}

TEST_CASE("the belt of a stage carries a force of its own by hand", "[check][property]") {
  const Machine m = loft();
  const double pull = pull_by_hand(m);
  const Finding f = found(m, "stage_belt_tension");
  CHECK_THAT(detail(f, "pull of the stage's belt"), WithinRel(pull, 1e-9));
  // [SDP handbook] eq. 10-1 with the 1.6 of [GT3 manual] p. 11: 0.406 of 1.6 pulls.
  const double tension = 0.406 * 1.6 * pull;
  CHECK_THAT(detail(f, "tension to set, each strand"), WithinRel(tension, 1e-9));
  // Both strands are tight under the pull itself; under 1.6 pulls one is slack.
  CHECK_THAT(detail(f, "without service factor"), WithinRel(tension + pull / 2.0, 1e-9));
  CHECK_THAT(detail(f, "with service factor"), WithinRel(1.6 * pull, 1e-9));
  CHECK_THAT(f.limit.coherent(), WithinRel(26.0, 1e-12));
  CHECK_THAT(f.source, Contains("eq. 10-1") && Contains("GT3 manual 2014"));
  // sqrt(90^2 - (40/pi)^2): the radii differ by 40/pi mm.
  CHECK_THAT(detail(f, "free length of a strand"),
             WithinRel(1e-3 * std::sqrt(8100.0 - std::pow(40.0 / std::numbers::pi, 2)), 1e-12));
}

TEST_CASE("the least tension of the maker holds in a stage as well", "[check][property]") {
  Machine m = loft();
  stage(m).profile.least_tension = {.rows = {{millimetres(6), newtons(20)}}, .source = "invented"};
  const Finding f = found(m, "stage_belt_tension");
  CHECK(detail(f, "tension to set, each strand") == 20.0);
  CHECK_THAT(f.source, Contains("the least of the maker"));
  // The shaft of the motor: 2 T sin(wrap/2) = 2 T free strand/centre distance.
  const Finding load = found(m, "shaft_load");
  CHECK_THAT(
      load.value.coherent(),
      WithinRel(40.0 * std::sqrt(8100.0 - std::pow(40.0 / std::numbers::pi, 2)) / 90.0, 1e-9));
}

TEST_CASE("teeth in mesh of a stage follow its centre distance", "[check][property]") {
  Machine m = loft();
  Finding f = found(m, "stage_tooth_mesh");
  // pi - 2 asin((40/pi)/90) = 2.8577: 9.096 of 20 teeth.
  const double wrap = std::numbers::pi - 2.0 * std::asin(40.0 / std::numbers::pi / 90.0);
  CHECK_THAT(detail(f, "wrap of the small pulley"), WithinRel(wrap, 1e-12));
  CHECK_THAT(detail(f, "teeth in mesh, exact"),
             WithinRel(20.0 * wrap / (2.0 * std::numbers::pi), 1e-12));
  CHECK_THAT(f.reason, Contains("on 9 teeth"));
  CHECK_THAT(detail(f, "with service factor"), WithinRel(1.6 * pull_by_hand(m), 1e-9));
  CHECK_THAT(f.limit.coherent(), WithinRel(26.0, 1e-12));

  // 10 to 60 teeth, 23 mm apart: radii 10/pi and 60/pi mm, wrap 180 - 2 asin(50/(23 pi)) = 92.5
  // deg, 2.57 teeth: two, which bear 0.2 of the rating.
  stage(m).motor_teeth = 10;
  stage(m).centre_distance = millimetres(23);
  f = found(m, "stage_tooth_mesh");
  CHECK_THAT(f.limit.coherent(), WithinRel(0.2 * 26.0, 1e-9));
  CHECK_THAT(f.reason, Contains("on 2 teeth"));

  // 6 to 200 teeth, pitch circles nearly touching: 180 - 2 asin(194/206) = 39 deg, below 60 deg.
  stage(m).motor_teeth = 6;
  stage(m).driven_teeth = 200;
  stage(m).centre_distance = millimetres(206.0 / std::numbers::pi + 0.01);
  f = found(m, "stage_tooth_mesh");
  CHECK(f.verdict == Verdict::fails);
  CHECK(f.margin < 1.0);
  CHECK_THAT(f.remedy, Contains("60 deg"));
}

TEST_CASE("the smaller pulley of a stage is the one that bends the belt", "[check][property]") {
  Machine m = loft();
  CHECK(found(m, "stage_smallest_pulley").verdict == Verdict::holds);
  stage(m).motor_teeth = 11;  // the profile asks for 12
  CHECK(found(m, "stage_smallest_pulley").verdict == Verdict::fails);
  // A stage that speeds up has its small pulley on the driven shaft, and more of a service factor:
  // 44 to 11 teeth is a speed ratio of 4, [GT3 manual] p. 11 adds 0.4.
  stage(m).motor_teeth = 44;
  stage(m).driven_teeth = 11;
  CHECK(found(m, "stage_smallest_pulley").verdict == Verdict::fails);
  CHECK_THAT(detail(found(m, "stage_tooth_mesh"), "service factor"), WithinRel(2.0, 1e-12));
  CHECK_THAT(found(m, "stage_tooth_mesh").source, Contains("speeding up"));
}

TEST_CASE("the listed belt of a stage is named with where it is taut", "[check][published]") {
  Machine m = loft();
  // 60 and 20 teeth of 2 mm, belt of 305 teeth: 264.69371 mm, see belts_centre_distance.csv for the
  // formula's proof.
  m.listed_loops = {listed(200), listed(305), listed(320)};
  stage(m).centre_distance = millimetres(264);
  Finding f = found(m, "stage_belt_order");
  CHECK_THAT(millimetres(1000.0 * f.value.coherent()),
             IsNear(millimetres(0.69371), millimetres(0.000005)));
  CHECK(f.verdict ==
        Verdict::unsure);  // no take-up is given, and fixed centres are held to 0.05 mm
  CHECK_THAT(f.reason, Contains("305 teeth, 610 mm") && Contains("264.7 mm"));
  CHECK_THAT(f.remedy, Contains("drive.stage.take_up"));
  CHECK_THAT(detail(f, "305 teeth, 610 mm, a maker a series"), WithinRel(0.26469371, 1e-7));

  stage(m).take_up = millimetres(0.69);
  CHECK(found(m, "stage_belt_order").verdict == Verdict::fails);
  stage(m).take_up = millimetres(2);
  f = found(m, "stage_belt_order");
  CHECK(f.verdict == Verdict::holds);
  CHECK_THAT(f.margin, WithinRel(2.0 / 0.69371, 1e-5));

  stage(m).take_up = unset<Length>();
  stage(m).centre_distance = millimetres(264.69371);
  CHECK(found(m, "stage_belt_order").verdict == Verdict::holds);
}

TEST_CASE("a stage without a listed belt says so", "[check][property]") {
  Machine m = loft();
  // 100 mm apart the belt would be 281.6233 mm long.
  stage(m).centre_distance = millimetres(100);
  m.listed_loops = {listed(20)};  // too short to go round
  const Finding f = found(m, "stage_belt_order");
  CHECK(f.verdict == Verdict::unsure);
  CHECK_THAT(f.reason, Contains("no listed closed belt"));
  CHECK_THAT(millimetres(1000.0 * f.value.coherent()),
             IsNear(millimetres(281.6233), millimetres(0.00005)));
  m.listed_loops = {};
  CHECK(found(m, "stage_belt_order").verdict == Verdict::unsure);
}

TEST_CASE("a bore belongs to the motor's pulley of a stage", "[check][property]") {
  Machine m = loft();
  stage(m).profile.pitch_line_differential = {millimetres(0.254), "invented"};
  stage(m).profile.tooth_height = {millimetres(0.76), "invented"};
  machine::belt_drive(m.axes.front()).motor.shaft_diameter = millimetres(5);
  machine::belt_drive(m.axes.front()).pulley_teeth = 40;
  // Of 20 teeth: 40/pi - 0.508 - 1.52 mm.
  CHECK_THAT(found(m, "pulley_bore").limit.coherent(),
             WithinRel(1e-3 * (40.0 / std::numbers::pi - 2.028), 1e-9));
}

TEST_CASE("a stage is judged where its axis asks for no force at all", "[check][property]") {
  Machine m = loft();
  axis::BeltAxis& drive = machine::belt_drive(m.axes.front());
  drive.guide.friction = FrictionCoefficient(0);
  drive.guide.drag = newtons(0);
  m.axes.front().want.acceleration = metres_per_second_squared(0);
  const check::AxisState s = state(m);
  const Finding f = check::stage_tension_finding(s, check::stage_state(s));
  CHECK(f.value.coherent() == 0.0);
  CHECK(f.verdict == Verdict::holds);
  CHECK_THROWS(detail(f, "tone of a strand, plucked"));
}

TEST_CASE("an axis without a stage has no rows of one", "[check][property]") {
  const Machine m = testing::kite_loft();
  CHECK(check::judged_by(check::stage_rows(), state(m)).empty());
}

TEST_CASE("a stage whose pulleys overlap is refused", "[check][error]") {
  Machine m = loft();
  stage(m).centre_distance = millimetres(20);
  CHECK_THROWS_AS(check::check_machine(m), OutsideValidity);
  stage(m).centre_distance = unset<Length>();
  CHECK_THROWS_AS(check::stage_state(state(m)), InvalidInput);
}

}  // namespace
}  // namespace pitchline
