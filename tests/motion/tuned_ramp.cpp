#include "pitchline/motion/tuned_ramp.hpp"

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using motion::ElasticMode;
using motion::RunningMove;
using motion::tuned_ramp;
using testing::IsNear;

// One swing lasts 0.04 s.
const ElasticMode mode{.natural_frequency = hertz(25), .damping_ratio = DampingRatio(0)};
const RunningMove move{.speed = metres_per_second(0.5),
                       .acceleration = metres_per_second_squared(5)};
const Length tolerance = micrometres(1e-6);

TEST_CASE("a tuned ramp is a whole number of swings and no steeper than wanted",
          "[motion][property]") {
  // The wanted ramp lasts 0.1 s: three swings are the first that are no shorter, 0.5/0.12 m/s^2.
  const auto tuned = tuned_ramp(mode, move);
  CHECK(tuned.periods == 3);
  CHECK_THAT(tuned.ramp, IsNear(seconds(0.12), seconds(1e-12)));
  CHECK_THAT(tuned.acceleration,
             IsNear(metres_per_second_squared(0.5 / 0.12), metres_per_second_squared(1e-9)));
  CHECK_THAT(tuned.leaves, IsNear(metres(0), tolerance));
  CHECK_THAT(tuned.jerk_time, IsNear(seconds(0.04), seconds(1e-12)));
  CHECK_THAT(tuned.jerk_leaves, IsNear(metres(0), tolerance));
}

TEST_CASE("a ramp that is tuned already stays as it is", "[motion][property]") {
  RunningMove at_two = move;
  at_two.acceleration = metres_per_second_squared(0.5 / 0.08);
  CHECK(tuned_ramp(mode, at_two).periods == 2);
  CHECK_THAT(tuned_ramp(mode, at_two).acceleration,
             IsNear(at_two.acceleration, metres_per_second_squared(1e-9)));
}

TEST_CASE("a short stroke is tuned as the triangle that it is", "[motion][property]") {
  // 8 mm at 5 m/s^2 reach 0.2 m/s in exactly 0.04 s; 7 mm do so in 0.0374 s, and with ramps of
  // 0.04 s take 0.007/0.04^2 = 4.375 m/s^2.
  RunningMove step = move;
  step.stroke = millimetres(8);
  CHECK(tuned_ramp(mode, step).periods == 1);
  CHECK_THAT(tuned_ramp(mode, step).acceleration,
             IsNear(metres_per_second_squared(5), metres_per_second_squared(1e-6)));
  step.stroke = millimetres(7);
  CHECK(tuned_ramp(mode, step).periods == 1);
  CHECK_THAT(tuned_ramp(mode, step).acceleration,
             IsNear(metres_per_second_squared(4.375), metres_per_second_squared(1e-9)));
}

TEST_CASE("tuned_ramp refuses what its table excludes", "[motion][error]") {
  RunningMove bad = move;
  bad.acceleration = metres_per_second_squared(0);
  CHECK_THROWS_MATCHES(tuned_ramp(mode, bad), InvalidInput,
                       Message("acceleration must be > 0, got 0 m/s^2"));
  bad = move;
  bad.speed = unset<Speed>();
  CHECK_THROWS_AS(tuned_ramp(mode, bad), InvalidInput);
  bad = move;
  bad.stroke = metres(0);
  CHECK_THROWS_AS(tuned_ramp(mode, bad), InvalidInput);
  CHECK_THROWS_AS(tuned_ramp({.damping_ratio = DampingRatio(0)}, move), InvalidInput);
}

TEST_CASE("tuned_ramp says where a ramp lasts too long to be counted in periods",
          "[motion][error]") {
  RunningMove slow = move;
  slow.acceleration = metres_per_second_squared(1e-9);
  CHECK_THROWS_AS(tuned_ramp(mode, slow), OutsideValidity);
  slow.acceleration = metres_per_second_squared(1e-7);  // 0.5 m/s: 5e6 s of 0.04 s
  CHECK(tuned_ramp(mode, slow).periods == 125'000'000);
}

}  // namespace
}  // namespace pitchline
