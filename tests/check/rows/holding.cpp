#include "pitchline/check/rows/holding.hpp"

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
using testing::kite_loft;

std::optional<Finding> found(const Machine& m) {
  return check::holding_finding(check::state_of(m, m.axes.front()));
}

// 0.9 kg straight up on 40 mm a turn: 8.82599 N * 6.3662 mm = 0.056188 N*m. Of 2 A, 0.5 A are left
// at standstill: a quarter.
Machine hanging(double standstill) {
  Machine m = kite_loft();
  machine::belt_drive(m.axes.front()).incline = degrees(90);
  machine::belt_drive(m.axes.front()).driver.at_rest = amperes(standstill);
  return m;
}

TEST_CASE("a level axis holds nothing", "[check][property]") { CHECK_FALSE(found(kite_loft())); }

TEST_CASE("a hanging load needs its share of the current at standstill", "[check][property]") {
  const Machine m = hanging(0.5);
  const check::AxisState s = check::state_of(m, m.axes.front());
  const Finding f = *found(m);
  CHECK_THAT(f.value.coherent(), WithinRel(0.9 * 9.80665 * 0.04 / (2.0 * std::numbers::pi), 1e-9));
  CHECK_THAT(f.limit.coherent(), WithinRel(0.25 * in_newton_metres(s.at_rest.torque), 1e-12));
  CHECK(f.verdict == Verdict::holds);
  // Just too little, and just enough.
  const double least = 2.0 * f.value.coherent() / in_newton_metres(s.at_rest.torque);
  CHECK(found(hanging(0.999 * least))->verdict == Verdict::fails);
  CHECK_THAT(found(hanging(0.999 * least))->remedy, Contains("standstill current"));
  CHECK(found(hanging(1.001 * least))->verdict == Verdict::tight);
}

TEST_CASE("a driver that does not reduce its current holds with all of it", "[check][property]") {
  Machine m = hanging(0.5);
  machine::belt_drive(m.axes.front()).driver.at_rest = unset<Current>();
  const check::AxisState s = check::state_of(m, m.axes.front());
  CHECK_THAT(found(m)->limit.coherent(), WithinRel(in_newton_metres(s.at_rest.torque), 1e-12));
}

TEST_CASE("a load that no current holds asks for a brake", "[check][property]") {
  Machine m = hanging(2.0);
  machine::belt_drive(m.axes.front()).moving.front().mass = kilograms(60);
  CHECK(found(m)->verdict == Verdict::fails);
  CHECK_THAT(found(m)->remedy, Contains("brake"));
}

// A bed of 6 kg on one screw of 10 mm, lead `lead`, friction from `least` on.
Machine lift(int lead, double least) {
  Machine m = kite_loft();
  const axis::BeltAxis belt = machine::belt_drive(m.axes.front());
  m.axes.front().drive =
      axis::ScrewAxis{.motor = belt.motor,
                      .driver = belt.driver,
                      .screw = {.lead_millimetres = Fraction(lead),
                                .outer_diameter = millimetres(10),
                                .mean_diameter = millimetres(9),
                                .minor_diameter = millimetres(7.5),
                                .bearing_distance = millimetres(200)},
                      .loss = axis::ThreadFriction{.flank_half_angle = degrees(15),
                                                   .least = FrictionCoefficient(least),
                                                   .most = FrictionCoefficient(0.2)},
                      .travel = millimetres(100),
                      .moving = {{.name = "bed", .mass = kilograms(6)}},
                      .guide = belt.guide,
                      .incline = degrees(90)};
  return m;
}

TEST_CASE("a thread that locks at its least friction holds by itself", "[check][property]") {
  // tan(lead angle) = 2/(9 pi) = 0.0707 is below 0.1.
  const Finding f = *found(lift(2, 0.1));
  CHECK(f.verdict == Verdict::holds);
  CHECK(f.value.coherent() == 0.0);
  CHECK_THAT(f.reason, Contains("locks by itself"));
}

TEST_CASE("a steep thread turns back with what its least friction leaves", "[check][property]") {
  // Secant form on Tr 10 x 8: F d/2 (l - pi f d sec a)/(pi d + f l sec a), f 0.1, sec 15 deg
  // = 1.03528: 58.84 N * 4.5 mm * (8 - 2.9271)/(28.2743 + 0.8282) = 0.04615 N*m; the exact form
  // is within 1 % of it.
  const Finding f = *found(lift(8, 0.1));
  CHECK_THAT(f.value.coherent(), WithinRel(0.04615, 0.01));
  CHECK(f.verdict == Verdict::holds);
  Machine weak = lift(8, 0.1);
  std::get<axis::ScrewAxis>(weak.axes.front().drive).driver.at_rest = amperes(0.1);
  CHECK(found(weak)->verdict == Verdict::fails);
}

}  // namespace
}  // namespace pitchline
