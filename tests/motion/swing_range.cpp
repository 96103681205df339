#include "pitchline/motion/swing_range.hpp"

#include <cmath>
#include <numbers>

#include "support/catch.hpp"
#include "support/swing_attack.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using motion::RunningMove;
using motion::safe_accelerations;
using motion::SwingingAxis;

// 1 kg and 1 N/m: w = 1/s, forces are accelerations and torques.
SwingingAxis unit_axis(double friction, double breakaway) {
  return {.axis = {.transmission = metres_per_radian(1),
                   .mass = kilograms(1),
                   .friction = newtons(friction),
                   .breakaway = newtons(breakaway)},
          .natural_frequency = hertz(1.0 / (2.0 * std::numbers::pi))};
}
auto constant(double torque) {
  return [torque](Speed) { return newton_metres(torque); };
}

TEST_CASE("without static friction the safe range begins at nothing",
          "[motion][swings][property]") {
  const RunningMove move{.speed = metres_per_second(50), .stroke = metres(2e4)};
  const auto range =
      safe_accelerations(unit_axis(2, 0), move,
                         {.most = metres_per_second_squared(100), .margin = 1.25}, constant(12.5));
  REQUIRE(range);
  CHECK(range->all_smaller_safe);
  CHECK(range->lower == Acceleration{});
  CHECK_FALSE(range->ends_at_most);
  CHECK(range->reached == range->upper);
  // 12.5/1.25 = F + a + sqrt(a^2 + 2 a F) = 10: 8^2 = a (2 (10 - 2) + 2 F) = 20 a. The swing after
  // the ramp, F + (a + S), asks for less than that only once it has decayed; here it asks the same.
  const double start = 64.0 / 20.0;
  CHECK_THAT(in_metres_per_second_squared(range->upper), WithinRel(start, 0.01));
}

TEST_CASE("static friction gives the safe range a lower end where the motor is weak",
          "[motion][swings][property]") {
  // F 1, B 2: sticking and slipping asks for up to 1 + 2 sqrt(1 + 1/(4 pi 0.005)) = 9.2 N.
  const SwingingAxis axis = unit_axis(1, 2);
  const RunningMove move{.speed = metres_per_second(12), .stroke = metres(3000)};
  const motion::SafeAccelerationQuestion question{.most = metres_per_second_squared(10)};
  const double worst = 1.0 + 2.0 * std::sqrt(1.0 + 1.0 / (4.0 * std::numbers::pi * 0.005));
  CHECK(motion::all_smaller_safe(axis, move.speed, 1.0, constant(1.001 * worst)));
  CHECK_FALSE(motion::all_smaller_safe(axis, move.speed, 1.0, constant(0.999 * worst)));
  const auto strong = safe_accelerations(axis, move, question, constant(1.2 * worst));
  REQUIRE(strong);
  CHECK(strong->all_smaller_safe);
  CHECK(strong->lower == Acceleration{});

  const auto weak = safe_accelerations(axis, move, question, constant(7.0));
  REQUIRE(weak);
  CHECK_FALSE(weak->all_smaller_safe);
  CHECK(weak->lower > metres_per_second_squared(0.01));
  CHECK(weak->upper > 2.0 * weak->lower);
  // Both ends are ends: a hundredth further the margin is gone, a hundredth inward it is there.
  const auto margin = [&](Acceleration a) {
    RunningMove run = move;
    run.acceleration = a;
    return motion::tightest_part(motion::swing_bound(axis, run), constant(7.0)).margin;
  };
  CHECK(margin(weak->lower * 1.01) >= 1.0);
  CHECK(margin(weak->lower / 1.01) < 1.0);
  CHECK(margin(weak->upper / 1.01) >= 1.0);
  CHECK(margin(weak->upper * 1.01) < 1.0);

  CHECK_FALSE(safe_accelerations(axis, move, question, constant(2.9)));
}

TEST_CASE("no acceleration beyond the speed over the jerk time is called safe",
          "[motion][swings][property]") {
  const RunningMove move{
      .speed = metres_per_second(2), .stroke = metres(100), .jerk_time = seconds(4)};
  const auto range = safe_accelerations(unit_axis(1, 0), move,
                                        {.most = metres_per_second_squared(100)}, constant(1000));
  REQUIRE(range);
  CHECK(range->ends_at_most);
  CHECK_THAT(in_metres_per_second_squared(range->upper), WithinRel(0.5, 1e-12));
  CHECK_THAT(in_metres_per_second_squared(range->reached), WithinRel(0.5, 1e-12));
  // A short stroke comes to less: sqrt(0.02 a) over 4 s at a = 0.5 m/s^2 is 0.025 m/s^2.
  RunningMove brief = move;
  brief.stroke = metres(0.02);
  const auto reached = safe_accelerations(unit_axis(1, 0), brief,
                                          {.most = metres_per_second_squared(100)}, constant(1000));
  REQUIRE(reached);
  CHECK_THAT(in_metres_per_second_squared(reached->reached), WithinRel(0.025, 1e-12));
}

TEST_CASE("safe_accelerations refuses what its question excludes", "[motion][swings][error]") {
  const RunningMove move{.speed = metres_per_second(2), .stroke = metres(100)};
  CHECK_THROWS_MATCHES(safe_accelerations(unit_axis(1, 0), move, {}, constant(1)), InvalidInput,
                       Message("most must be > 0, got nan m/s^2"));
  CHECK_THROWS_MATCHES(
      safe_accelerations(unit_axis(1, 0), move,
                         {.most = metres_per_second_squared(1), .margin = 0.0}, constant(1)),
      InvalidInput, Message("margin must be > 0, got 0"));
}

TEST_CASE("a search for a move that exceeds the bound on swings finds none",
          "[motion][swings][property]") {
  // The long search is a program of its own, in tests/proof.
  for (const bool overlap : {false, true}) {
    testing::Attacker attacker(20261130);
    attacker.overlap = overlap;
    double worst = 0.0;
    testing::Attack at{};
    attacker.search(6400, [&](const testing::Attack& attack, double ratio) {
      if (ratio > worst) {
        worst = ratio;
        at = attack;
      }
    });
    CAPTURE(overlap, worst, testing::in_words(at));
    CHECK(worst <= 1.0);
    // The search comes near: it would see a bound that is a hundredth too low.
    CHECK(worst > 0.99);
  }
}

}  // namespace
}  // namespace pitchline
