#include "pitchline/axis/turned_work.hpp"

#include <cmath>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using axis::Chuck;
using axis::Rollers;
using axis::RotaryAxis;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using testing::IsNear;

// A spar of the kite loft, our own invented machine, in a chuck or on rollers.
RotaryAxis in_chuck() {
  return {.driver = {.pulses_per_turn = pulses(3200)},
          .hold = Chuck{.motor_turns_per_chuck_turn = Fraction(3)},
          .heaviest = {.diameter = millimetres(80),
                       .length = millimetres(600),
                       .density = kilograms_per_cubic_metre(700),
                       .eccentricity = millimetres(2)}};
}
RotaryAxis on_rollers() {
  RotaryAxis axis = in_chuck();
  axis.hold = Rollers{.motor_turns_per_roller_turn = Fraction(2),
                      .diameter_millimetres = Fraction(20),
                      .centre_distance = millimetres(60),
                      .grip = FrictionCoefficient(0.3)};
  return axis;
}

TEST_CASE("a pulse turns work in a chuck by the same and on rollers by less the thicker it is",
          "[axis]") {
  // 360/(3200 · 3) = 0.0375 deg; on rollers 360 · 20/(3200 · 2 · D).
  for (const int diameter : {10, 80}) {
    CHECK_THAT(in_degrees(axis::angle_per_pulse(in_chuck(), Fraction(diameter))),
               WithinRel(0.0375, 1e-12));
    CHECK_THAT(in_degrees(axis::angle_per_pulse(on_rollers(), Fraction(diameter))),
               WithinRel(360.0 * 20 / 6400 / diameter, 1e-12));
  }
}

TEST_CASE("the smallest workpiece on rollers turns by just the angle that is wanted", "[axis]") {
  // 360 · 20/(6400 · 0.05) = 22.5 mm.
  const auto least = axis::smallest_diameter(on_rollers(), degrees(0.05));
  REQUIRE(least);
  CHECK_THAT(*least, IsNear(millimetres(22.5), millimetres(1e-9)));
  CHECK_THAT(in_degrees(axis::angle_per_pulse(on_rollers(), Fraction(45, 2))),
             WithinRel(0.05, 1e-12));
  // A chuck is fine enough for all, or for none.
  CHECK(axis::smallest_diameter(in_chuck(), degrees(0.0375)) == metres(0));
  CHECK_FALSE(axis::smallest_diameter(in_chuck(), degrees(0.0374)));
}

TEST_CASE("smallest and largest diameter are each other's reverse", "[axis][property]") {
  // The surface of work of any diameter runs D/2 times the angle.
  const double degrees_wanted = GENERATE(take(10, random(0.01, 1.0)));
  CAPTURE(degrees_wanted);
  const Length least = *axis::smallest_diameter(on_rollers(), degrees(degrees_wanted));
  const Length travel = least / 2.0 * in_radians(degrees(degrees_wanted));
  // On rollers that travel is the one of every workpiece: just allowed, and no less.
  CHECK(axis::largest_diameter(on_rollers(), travel * (1 + 1e-9)).has_value());
  CHECK_FALSE(axis::largest_diameter(on_rollers(), travel * (1 - 1e-9)).has_value());
}

TEST_CASE("the top of the work stands above the bed by axle, radius and what it runs out",
          "[axis]") {
  CHECK_THAT(axis::top_above_bed(in_chuck(), millimetres(60)),
             IsNear(millimetres(60 + 40 + 2), millimetres(1e-9)));
  // On rollers 20 mm thick and 60 mm apart: sides of 50 over a base of 60 stand 40 high.
  CHECK_THAT(axis::top_above_bed(on_rollers(), millimetres(15)),
             IsNear(millimetres(15 + 40 + 40 + 2), millimetres(1e-9)));
}

TEST_CASE("what is asked of turned work is refused outside its range", "[axis][error]") {
  CHECK_THROWS_MATCHES(axis::smallest_diameter(in_chuck(), degrees(0)), InvalidInput,
                       Message("angle per pulse must be > 0, got 0 deg"));
  CHECK_THROWS_AS(axis::angle_per_pulse(in_chuck(), Fraction(0)), InvalidInput);
  CHECK_THROWS_AS(axis::top_above_bed(in_chuck(), unset<Length>()), InvalidInput);
  RotaryAxis wide = on_rollers();
  std::get<Rollers>(wide.hold).centre_distance = millimetres(110);
  CHECK_THROWS_AS(axis::top_above_bed(wide, millimetres(10)), InvalidInput);
  RotaryAxis bad = in_chuck();
  bad.heaviest.diameter = unset<Length>();
  CHECK_THROWS_AS(axis::top_above_bed(bad, millimetres(10)), InvalidInput);
}

}  // namespace
}  // namespace pitchline
