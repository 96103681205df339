#include "pitchline/check/rows/beam.hpp"

#include <algorithm>
#include <cmath>

#include "pitchline/check/rows/accuracy.hpp"
#include "pitchline/check/search/what_binds.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using machine::Machine;
using report::Finding;
using report::Verdict;
using testing::detail;
using testing::kite_loft;

axis::BeltAxis& drive(Machine& m) { return machine::belt_drive(m.axes.front()); }
machine::Want& want(Machine& m) { return m.axes.front().want; }
structure::Beam& beam(Machine& m) { return *m.axes.front().beam; }

// The beam of reference/published/beam.csv, 3 kg/m over 1300 mm, with 2.5 kg in its middle.
Machine gantry() {
  Machine m = kite_loft();
  drive(m).motors = 2;
  drive(m).moving = {{.name = "beam", .mass = kilograms(3.9)},
                     {.name = "ends", .mass = kilograms(1)},
                     {.name = "head", .mass = kilograms(2), .travels_along_beam = true},
                     {.name = "hoses", .mass = kilograms(0.5), .travels_along_beam = true}};
  m.axes.front().beam = structure::Beam{.span = millimetres(1300),
                                        .elastic_modulus = megapascals(70'000),
                                        .second_moment = millimetres_to_the_fourth(20e4),
                                        .mass = kilograms(3.9),
                                        .damping_ratio = DampingRatio(0)};
  want(m).acceleration = metres_per_second_squared(5);
  return m;
}
Finding finding(const Machine& m) {
  return check::beam_finding(check::state_of(m, m.axes.front()));
}

TEST_CASE("the beam is judged with all that travels along it in its middle", "[check][published]") {
  // beam.csv: 41.9335792 Hz, 88.400977 Hz clamped, 80.7119606 um at 5 m/s².
  const Finding f = finding(gantry());
  CHECK(f.key == "beam");
  CHECK_THAT(detail(f, "what travels along the beam"), WithinRel(2.5, 1e-14));
  CHECK_THAT(detail(f, "first frequency, ends free to turn"), WithinAbs(41.9335792, 5e-8));
  CHECK_THAT(detail(f, "the same with clamped ends"), WithinRel(88.400977, 2e-7));
  CHECK_THAT(detail(f, "bending at steady acceleration"), WithinAbs(80.7119606e-6, 5e-14));
  CHECK_THAT(detail(f, "after one step of acceleration, at most"),
             WithinAbs(161.4239212e-6, 1e-13));
  const double w = 2 * std::numbers::pi * 41.9335792;
  CHECK_THAT(
      detail(f, "stiffness of the beam at the carriage") / detail(f, "mass that swings on it"),
      WithinRel(w * w, 1e-8));
}

TEST_CASE(
    "without damping or jerk time a whole move bends the beam four times as far as its "
    "acceleration",
    "[check][property]") {
  // Start, end of the ramp and start of the other: three swings of one bending each at their worst,
  // on top of the steady one.
  Machine m = gantry();
  CHECK_THAT(finding(m).value.coherent(), WithinRel(4 * 80.7119606e-6, 1e-8));
  // The bending goes with the acceleration; a long jerk time leaves the steady one.
  want(m).acceleration = metres_per_second_squared(1);
  CHECK_THAT(finding(m).value.coherent(), WithinRel(0.8 * 80.7119606e-6, 1e-8));
  want(m).jerk_time = seconds(20);
  CHECK_THAT(finding(m).value.coherent(), WithinRel(0.2 * 80.7119606e-6, 2e-3));
  // In between: a/x a corner with x = ω t_j/2, beyond a half swing.
  want(m).jerk_time = seconds(0.05);
  const double x = std::numbers::pi * 41.9335792 * 0.05;
  CHECK_THAT(finding(m).value.coherent(), WithinRel(0.2 * 80.7119606e-6 * (1 + 3 / x), 1e-8));
}

TEST_CASE("damping and rest let swings of the beam die down, and more moves add to them",
          "[check][property]") {
  Machine m = gantry();
  const double undamped = finding(m).value.coherent();
  beam(m).damping_ratio = DampingRatio(0.02);
  const double damped = finding(m).value.coherent();
  CHECK(damped < undamped);
  want(m).repeats = 5;
  const double in_a_row = finding(m).value.coherent();
  CHECK(in_a_row > damped);
  want(m).dwell = seconds(5);
  CHECK_THAT(finding(m).value.coherent(), WithinRel(damped, 1e-6));
  // Friction and its breakaway act on the drive, not on the beam.
  want(m) = gantry().axes.front().want;
  drive(m).guide.breakaway = newtons(20);
  drive(m).guide.drag = newtons(30);
  CHECK_THAT(finding(m).value.coherent(), WithinRel(damped, 1e-12));
}

TEST_CASE("a beam that bends too far fails and one that nobody asks about holds",
          "[check][property]") {
  Machine m = gantry();
  want(m).corner_error = millimetres(0.3);  // of 0.3228 mm
  Finding f = finding(m);
  CHECK(f.verdict == Verdict::fails);
  CHECK(f.margin < 1.0);
  // 1/41.93 Hz.
  CHECK_THAT(f.remedy, Contains("second moment") && Contains("0.02385 s"));
  want(m).corner_error = unset<Length>();
  f = finding(m);
  CHECK(f.verdict == Verdict::holds);
  CHECK(std::isinf(f.margin));
  CHECK(f.remedy.empty());
  CHECK_THROWS(detail(f, "drive and beam together"));
}

TEST_CASE("the beam has what the drive leaves of the error", "[check][property]") {
  Machine m = gantry();
  want(m).acceleration = metres_per_second_squared(1);
  const check::AxisState s = check::state_of(m, m.axes.front());
  const double of_drive = check::corner_error_finding(s).value.coherent();
  const double of_beam = finding(m).value.coherent();
  REQUIRE(of_drive > 1.2 * of_beam);
  const auto asked = [&](double limit) {
    want(m).corner_error = metres(limit);
    return finding(m);
  };
  CHECK_THAT(detail(asked(1e-3), "drive and beam together"), WithinRel(of_drive + of_beam, 1e-12));
  CHECK_THAT(asked(of_drive + 3 * of_beam).margin, WithinRel(3.0, 1e-9));
  CHECK(asked(of_drive + 3 * of_beam).verdict == Verdict::holds);
  CHECK(asked(of_drive + 1.1 * of_beam).verdict == Verdict::tight);
  // Each for itself keeps it: no failure for certain.
  CHECK(asked(of_drive + 0.9 * of_beam).verdict == Verdict::unsure);
  CHECK_THAT(asked(of_drive + 0.9 * of_beam).margin, WithinRel(0.9, 1e-9));
  CHECK_THAT(finding(m).reason, Contains("the drive takes"));
  CHECK_THAT(finding(m).remedy, Contains("stiffer drive"));
  // Where the drive leaves nothing there is no room for any beam, and it stays so.
  CHECK(asked(0.9 * of_drive).margin == 0.0);
  CHECK(asked(0.9 * of_drive).verdict == Verdict::unsure);
  CHECK(asked(0.9 * of_beam).verdict == Verdict::fails);
  // Where the drive's part is not known, the beam is judged alone and is not sure.
  drive(m).belt.profile.stiffness_per_width =
      unset<decltype(parts::BeltProfile::stiffness_per_width)>();
  CHECK_THAT(asked(3 * of_beam).margin, WithinRel(3.0, 1e-9));
  CHECK(asked(3 * of_beam).verdict == Verdict::unsure);
  CHECK_THAT(finding(m).reason, Contains("is not known"));
  CHECK_FALSE(finding(m).remedy.empty());
  CHECK(asked(0.9 * of_beam).verdict == Verdict::fails);
}

// A supply that bears everything.
report::Finding nothing_of_the_supply(const check::AxisState&) {
  return check::compared("supply_power", "supply power, peak", watts(1), report::Bound::at_most,
                         watts(1000));
}

TEST_CASE("the beam is one of what binds, by its own row", "[check][property]") {
  Machine m = gantry();
  const auto mechanism = [&] {
    const check::AxisState s = check::state_of(m, m.axes.front());
    const auto all = check::mechanisms(s, nothing_of_the_supply);
    return std::count_if(all.begin(), all.end(),
                         [&](const check::Mechanism& each) { return each.judge(s).key == "beam"; });
  };
  CHECK(mechanism() == 1);
  const report::Binding b = check::binding_of(
      check::state_of(m, m.axes.front()),
      {"bending of the beam", check::Binds::acceleration, check::beam_finding, {}});
  CHECK(b.key == "beam");
  REQUIRE(is_finite(b.allowed));
  const auto margin_at = [&](double factor) {
    Machine other = m;
    want(other).acceleration = factor * b.allowed;
    return finding(other).margin;
  };
  CHECK(margin_at(1.0 - 1e-4) >= 1.0);
  CHECK(margin_at(1.0 + 1e-4) < 1.0);
  CHECK(margin_at(2.0) < 1.0);
  want(m).corner_error = unset<Length>();
  CHECK(mechanism() == 0);
  m = gantry();
  m.axes.front().beam.reset();
  CHECK(mechanism() == 0);
}

TEST_CASE("a beam driven at one end alone is unsure", "[check][property]") {
  Machine m = gantry();
  want(m).acceleration = metres_per_second_squared(0.2);
  drive(m).motors = 1;
  const Finding f = finding(m);
  CHECK(f.verdict == Verdict::unsure);
  CHECK_THAT(f.reason, Contains("one end alone is driven"));
  CHECK_THAT(f.remedy, Contains("cross shaft"));
  drive(m).belt_distance = metres(1.3);
  drive(m).cross_shaft =
      axis::ShaftToFarBelt{.shaft = {.diameter = millimetres(16),
                                     .length = metres(1.2),
                                     .shear_modulus = parts::steel_shear_modulus},
                           .density = kilograms_per_cubic_metre(7850)};
  CHECK(finding(m).verdict == Verdict::holds);
  drive(m).cross_shaft.reset();
  want(m).corner_error = unset<Length>();
  CHECK(finding(m).verdict == Verdict::holds);
  CHECK(finding(m).remedy.empty());
  want(m).corner_error = micrometres(10);  // of 12.9 um
  CHECK(finding(m).verdict == Verdict::fails);
}

TEST_CASE("screws that are tied together drive both ends of a beam", "[check][property]") {
  Machine m = gantry();
  const axis::BeltAxis belt = drive(m);
  axis::ScrewAxis screws{.motor = belt.motor,
                         .driver = belt.driver,
                         .screw = {.lead_millimetres = Fraction(8),
                                   .outer_diameter = millimetres(12),
                                   .mean_diameter = millimetres(10),
                                   .minor_diameter = millimetres(8),
                                   .bearing_distance = millimetres(500)},
                         .loss = Efficiency(0.5),
                         .travel = millimetres(400),
                         .moving = belt.moving,
                         .guide = belt.guide};
  want(m) = {.speed = millimetres_per_second(20),
             .acceleration = metres_per_second_squared(0.2),
             .corner_error = millimetres(1)};
  m.axes.front().drive = screws;
  CHECK(finding(m).verdict == Verdict::unsure);
  screws.screws_per_motor = 2;
  m.axes.front().drive = screws;
  CHECK(finding(m).verdict == Verdict::holds);
  CHECK_THAT(detail(finding(m), "what travels along the beam"), WithinRel(2.5, 1e-14));
}

TEST_CASE("a beam with a figure outside its range is refused by name as the row is asked",
          "[check][error]") {
  Machine m = gantry();
  beam(m).second_moment = unset<SecondMoment>();
  CHECK_THROWS_AS(finding(m), InvalidInput);
}

}  // namespace
}  // namespace pitchline
