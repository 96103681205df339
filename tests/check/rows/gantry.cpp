#include "pitchline/check/rows/gantry.hpp"

#include "pitchline/check/row.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using machine::Machine;
using report::Finding;
using report::Verdict;
using testing::detail;
using testing::kite_loft;

axis::BeltAxis& drive(Machine& m) { return machine::belt_drive(m.axes.front()); }

std::vector<Finding> findings(const Machine& m) {
  return check::judged_by(check::gantry_rows(), check::state_of(m, m.axes.front()));
}

Machine pair() {
  Machine m = kite_loft();
  drive(m).motors = 2;
  drive(m).moving = {{.name = "beam", .mass = kilograms(3)},
                     {.name = "head", .mass = kilograms(0.9), .travels_along_beam = true}};
  drive(m).belt_distance = metres(1.2);
  return m;
}
Machine shaft_driven() {
  Machine m = pair();
  drive(m).motors = 1;
  drive(m).cross_shaft =
      axis::ShaftToFarBelt{.shaft = {.diameter = millimetres(12),
                                     .length = metres(1),
                                     .shear_modulus = parts::steel_shear_modulus},
                           .density = kilograms_per_cubic_metre(7850)};
  return m;
}

TEST_CASE("an axis with one belt has no two sides", "[check][property]") {
  CHECK(findings(kite_loft()).empty());
  Machine m = pair();
  drive(m).belt_distance = unset<Length>();
  CHECK(findings(m).empty());
}

TEST_CASE("a pair may start four full steps out of square", "[check][property]") {
  // 40 mm a turn of 200 steps: 0.2 mm a step, 0.8 mm in all, 0.4 mm either motor; over 1.2 m.
  Machine m = pair();
  const Finding f = findings(m).at(0);
  CHECK(f.key == "out_of_square");
  CHECK_THAT(f.value.coherent(), WithinRel(0.8e-3, 1e-12));
  CHECK_THAT(detail(f, "jump of one motor, at most"), WithinRel(0.4e-3, 1e-12));
  CHECK_THAT(detail(f, "travel lost with every stall"), WithinRel(0.8e-3, 1e-12));
  // More than the wanted 0.5 mm is no failure of the parts: homing takes it out.
  CHECK(f.verdict == Verdict::unsure);
  CHECK_THAT(f.remedy, Contains("home each side"));
  drive(m).each_side_homed = true;
  CHECK(findings(m).at(0).verdict == Verdict::holds);
  drive(m).each_side_homed = false;
  m.axes.front().want.position_error = unset<Length>();
  CHECK(findings(m).at(0).verdict == Verdict::holds);
}

TEST_CASE("a pair whose one side stands racks its beam with what the other can pull",
          "[check][property]") {
  const Machine m = pair();
  const check::AxisState s = check::state_of(m, m.axes.front());
  const Finding f = findings(m).at(1);
  CHECK(f.key == "one_side_stalls");
  const double t = 0.04 / (2.0 * std::numbers::pi);
  // Friction of the deciding side: 0.004 * 2.4 kg * g + 4 N / 2.
  const double friction = 0.004 * 2.4 * 9.80665 + 2.0;
  const double force =
      in_newton_metres(s.curve.loss_free(radians_per_second(0)).torque) / t - friction;
  CHECK_THAT(f.value.coherent(), WithinRel(force, 1e-9));
  CHECK_THAT(detail(f, "moment on the guides"), WithinRel(force * 1.2, 1e-9));
  // 0.1 rad over 1.2 m is 120 mm, 0.4 s at 300 mm/s: earlier than a hand.
  CHECK_THAT(detail(f, "time looked at"), WithinRel(0.99 * 0.4, 1e-9));
  CHECK(f.verdict == Verdict::holds);
}

TEST_CASE("the far side of a cross shaft lags by the wind-up and the stretch of its belt",
          "[check][property]") {
  Machine m = shaft_driven();
  const check::AxisState s = check::state_of(m, m.axes.front());
  const Finding f = findings(m).at(0);
  CHECK(f.key == "cross_shaft");
  const double share = 2.4 / 3.9;
  CHECK_THAT(detail(f, "share of the far side"), WithinRel(share, 1e-12));
  const double force = share * in_newtons(check::belt_peak_force(s));
  const double t = 0.04 / (2.0 * std::numbers::pi);
  CHECK_THAT(detail(f, "torque in the shaft"), WithinRel(force * t, 1e-9));
  // 161.435 N m/rad of 12 mm by 1 m of steel. The belt: E A = 3115 N/mm * 9 mm, two strands of
  // (1700 +- 1500)/2 mm at the ends, the short one and the rest of the loop, is softest in the
  // middle of the travel: the header of the strands knows it.
  const double belt = in_newtons_per_metre(belt::smallest_strand_stiffness(
      {.tension_per_strain = parts::tension_per_strain(drive(m).belt), .span = metres(1.7)},
      metres(1.5)));
  CHECK_THAT(f.value.coherent(), WithinRel(force * (t * t / 161.435 + 1.0 / belt), 1e-5));
  // T d/2 / J_p, J_p = pi d^4/32.
  CHECK_THAT(detail(f, "shear stress in it"),
             WithinRel(force * t * 0.006 / (std::numbers::pi / 32.0 * std::pow(0.012, 4)), 1e-9));

  m.axes.front().want.corner_error = metres(0.999 * f.value.coherent());
  CHECK(findings(m).at(0).verdict == Verdict::fails);
  CHECK_FALSE(findings(m).at(0).remedy.empty());
  m.axes.front().want.corner_error = metres(1.2 * f.value.coherent());
  CHECK(findings(m).at(0).verdict == Verdict::holds);
  m.axes.front().want.corner_error = unset<Length>();
  CHECK(findings(m).at(0).verdict == Verdict::holds);
}

TEST_CASE("the far side of an unknown belt is not sure", "[check][property]") {
  Machine m = shaft_driven();
  drive(m).belt.profile.stiffness_per_width =
      unset<decltype(parts::BeltProfile::stiffness_per_width)>();
  const Finding f = findings(m).at(0);
  CHECK(f.verdict >= Verdict::unsure);
  CHECK_THAT(f.reason, Contains("unknown part"));
}

}  // namespace
}  // namespace pitchline
