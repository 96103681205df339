#include "pitchline/axis/tying_belt.hpp"

#include "pitchline/belt/tension.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using axis::TyingBelt;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using testing::IsNear;

// Three equal pulleys of 20 teeth, 2 mm, on a right triangle: equal ones leave free spans as long
// as their centres are apart, 300, 400 and 500 mm.
const Length radius = millimetres(20.0 / std::numbers::pi);
belt::LoopPulley pulley(const char* name, double x, double y) {
  return {.name = name, .x = millimetres(x), .y = millimetres(y), .pitch_line_radius = radius};
}
const TyingBelt three{
    .loop = {.profile = {.pitch_millimetres = Fraction(2)},
             .pulleys = {pulley("motor", 0, 300), pulley("near", 0, 0), pulley("far", 400, 0)}},
    .motor = 0,
    .screws = {1, 2}};
const std::vector<Force> far_alone{newtons(0), newtons(10)};

TEST_CASE("the motor of tied screws turns them all", "[axis]") {
  // Four screws of 0.2 N·m behind 24 to 30 teeth at 0.9: 0.8/(1.25 · 0.9).
  const Torque each = newton_metres(0.2);
  CHECK_THAT(axis::tied_torque({each, each, each, each}, 1.25, Efficiency(0.9)),
             IsNear(newton_metres(0.8 / 1.125), newton_metres(1e-12)));
}

TEST_CASE("a tying belt keeps its slack span tight with the mean of what the screws pull",
          "[axis]") {
  // By hand. The span behind the far screw, 500 mm, pulls 10 N more than the other two: 10 · 500 of
  // 1200 mm. The other way round those two, 700 mm, pull 10 N more than it.
  CHECK_THAT(axis::slack_free_tension(three, far_alone),
             IsNear(newtons(10.0 * 700 / 1200), newtons(1e-9)));
  const auto forwards = axis::span_tensions(three, far_alone, newtons(20));
  CHECK_THAT(forwards[0], IsNear(newtons(20 - 10.0 * 500 / 1200), newtons(1e-9)));
  CHECK_THAT(forwards[1], IsNear(forwards[0], newtons(1e-9)));
  CHECK_THAT(forwards[2] - forwards[1], IsNear(newtons(10), newtons(1e-9)));
  const auto backwards = axis::span_tensions(three, far_alone, newtons(20), false);
  CHECK_THAT(backwards[2], IsNear(newtons(20 - 10.0 * 700 / 1200), newtons(1e-9)));
}

TEST_CASE("a belt round motor and one screw is the belt round two pulleys", "[axis][property]") {
  const TyingBelt two{.loop = {.profile = {.pitch_millimetres = Fraction(2)},
                               .pulleys = {pulley("motor", 0, 0), pulley("screw", 250, 0)}},
                      .motor = 0,
                      .screws = {1}};
  const double pull = GENERATE(take(10, random(1.0, 80.0)));
  CAPTURE(pull);
  const Force needed = axis::slack_free_tension(two, {newtons(pull)});
  CHECK_THAT(in_newtons(needed), WithinRel(pull / 2, 1e-12));
  const auto met = axis::span_tensions(two, {newtons(pull)}, newtons(60));
  const Force largest = std::max(met[0], met[1]);
  CHECK_THAT(largest,
             IsNear(belt::largest_tension_of_pair({.tension = newtons(60), .pull = newtons(pull)}),
                    newtons(1e-9)));
}

TEST_CASE("spans of a tying belt stay as long as their pulleys stand apart", "[axis][property]") {
  const double near = GENERATE(take(5, random(0.0, 20.0)));
  const double far = GENERATE(take(5, random(0.0, 20.0)));
  const bool forwards = GENERATE(true, false);
  CAPTURE(near, far, forwards);
  const std::vector<Force> pulls{newtons(near), newtons(far)};
  const Force at_rest = axis::slack_free_tension(three, pulls);
  const auto tension = axis::span_tensions(three, pulls, at_rest, forwards);
  // The stretch of all spans together is that at rest, and none is slack.
  const double sum =
      in_newtons(tension[0]) * 300 + in_newtons(tension[1]) * 400 + in_newtons(tension[2]) * 500;
  CHECK_THAT(sum, WithinRel(in_newtons(at_rest) * 1200, 1e-9));
  for (const Force& each : tension) CHECK(each >= newtons(-1e-9));
}

TEST_CASE("screws differ in height by the stretch of the belt between them", "[axis]") {
  // Lead 4 mm, 20 teeth of 2 mm: a tenth of the belt's shift. By hand: 10 N · 500/1200 over the
  // 400 mm between the screws, 20 kN per strain.
  const Length h = axis::height_by_stretch(three, far_alone, newtons(20'000), millimetres(4));
  CHECK_THAT(h, IsNear(millimetres(0.1 * 10.0 * 500 / 1200 * 400 / 20'000), millimetres(1e-9)));
  // Where the way back is long the span takes nearly all of the pull: worked out apart from this
  // library, 10 N over 400 mm make 0.02 mm.
  TyingBelt far = three;
  far.loop.pulleys[0] = pulley("motor", 0, 300'000);
  far.motor = 0;
  const Length long_way =
      axis::height_by_stretch(far, {newtons(0), newtons(20)}, newtons(20'000), millimetres(4));
  CHECK_THAT(long_way, IsNear(millimetres(0.02), millimetres(2e-4)));
}

TEST_CASE("a tying belt is refused where it cannot be", "[axis][error]") {
  const std::vector<Force> pulls{newtons(1), newtons(1)};
  TyingBelt bad = three;
  bad.screws = {1, 1};
  CHECK_THROWS_AS(axis::slack_free_tension(bad, pulls), InvalidInput);
  bad.screws = {1, 7};
  CHECK_THROWS_AS(axis::slack_free_tension(bad, pulls), InvalidInput);
  bad.screws = {0, 1};
  CHECK_THROWS_AS(axis::slack_free_tension(bad, pulls), InvalidInput);
  bad.screws = {};
  CHECK_THROWS_AS(axis::slack_free_tension(bad, {}), InvalidInput);
  CHECK_THROWS_AS(axis::slack_free_tension(three, {newtons(1)}), InvalidInput);
  CHECK_THROWS_AS(axis::slack_free_tension(three, {newtons(1), newtons(-1)}), InvalidInput);
  CHECK_THROWS_AS(axis::span_tensions(three, pulls, unset<Force>()), InvalidInput);
  CHECK_THROWS_AS(axis::span_tensions(three, far_alone, newtons(1)), OutsideValidity);
  bad = three;
  bad.loop.pulleys[1].x = millimetres(1);
  bad.loop.pulleys[1].y = millimetres(300);
  CHECK_THROWS_AS(axis::slack_free_tension(bad, pulls), OutsideValidity);
  CHECK_THROWS_AS(axis::height_by_stretch(three, pulls, newtons(0), millimetres(4)), InvalidInput);
  CHECK_THROWS_AS(axis::height_by_stretch(three, pulls, newtons(1), metres(0)), InvalidInput);
  CHECK_THROWS_AS(axis::tied_torque({newton_metres(1)}, 0, Efficiency(0.9)), InvalidInput);
  CHECK_THROWS_AS(axis::tied_torque({unset<Torque>()}, 1, Efficiency(0.9)), InvalidInput);
}

}  // namespace
}  // namespace pitchline
