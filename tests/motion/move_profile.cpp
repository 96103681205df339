#include "pitchline/motion/move_profile.hpp"

#include <cmath>
#include <vector>

#include "pitchline/motion/fastest_move.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::acceleration_steps;
using motion::fastest_move;
using motion::MotionState;
using motion::MoveLimits;
using motion::MovePeaks;
using motion::MoveProfile;
using motion::state_at;
using motion::Trapezoid;

MoveLimits limits_of(double speed, double up, double down) {
  return {.speed = metres_per_second(speed),
          .acceleration = metres_per_second_squared(up),
          .deceleration = metres_per_second_squared(down)};
}
double seconds_of(const MoveProfile& move) { return in_seconds(move.duration()); }

// 0.5 m/s, up in 0.1 s, down in 0.25 s.
const Trapezoid uneven{.top_speed = metres_per_second(0.5),
                       .speeding_up = seconds(0.1),
                       .cruising = seconds(0.3),
                       .slowing_down = seconds(0.25)};

TEST_CASE("a ramp limited in jerk covers the printed S-curve distances", "[motion][published]") {
  // [industrialmonitordirect], Q: 0 to 10 in/s at 200 in/s2, jerk 4000 and 8000 in/s3: 0.5 and
  // 0.375 in. The formula printed there is wrong; v/2 (v/a + a/j) gives these figures (C).
  const auto ramp = [](double jerk) {
    const Acceleration a = inches(200) / (seconds(1) * seconds(1));
    const MoveProfile move = fastest_move(
        inches(5), {.speed = inches(10) / seconds(1), .acceleration = a, .deceleration = a},
        Jerk(inches(jerk) / (seconds(1) * seconds(1) * seconds(1))));
    return position_at(move, move.trapezoid.speeding_up + move.up_jerk_time);
  };
  CHECK_THAT(ramp(4000), testing::IsNear(inches(0.5), inches(1e-12)));
  CHECK_THAT(ramp(8000), testing::IsNear(inches(0.375), inches(1e-12)));
}

TEST_CASE("a smoothed triangle and a smoothed move of thirds keep their mean speed",
          "[motion][published]") {
  // [Nook application] and [linearmotiontips], Q: peak 2 and 1.5 times the mean of the trapezoid.
  const Trapezoid triangle{
      .top_speed = metres_per_second(2), .speeding_up = seconds(1), .slowing_down = seconds(1)};
  const Trapezoid thirds{.top_speed = metres_per_second(1.5),
                         .speeding_up = seconds(1),
                         .cruising = seconds(1),
                         .slowing_down = seconds(1)};
  for (const Trapezoid& plain : {triangle, thirds}) {
    const MoveProfile move{plain, seconds(0.2), seconds(0.2)};
    CHECK_THAT(in_seconds(move.duration()), WithinRel(in_seconds(plain.duration()) + 0.2, 1e-14));
    CHECK_THAT(in_metres(position_at(move, move.duration())),
               WithinRel(in_seconds(plain.duration()), 1e-14));  // mean speed 1 m/s
  }
}

TEST_CASE("acceleration_steps are those of the trapezoid", "[motion][property]") {
  // By hand: 0.5/0.1 = 5 and 0.5/0.25 = 2 m/s2 at 0, 0.1, 0.4 and 0.65 s.
  const auto steps = acceleration_steps({uneven, seconds(0.04), seconds(0.04)});
  REQUIRE(steps.size() == 4);
  const std::vector<std::pair<double, double>> wanted{{0, 5}, {0.1, -5}, {0.4, -2}, {0.65, 2}};
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK_THAT(in_seconds(steps[i].at), WithinAbs(wanted[i].first, 1e-15));
    CHECK_THAT(in_metres_per_second_squared(steps[i].step), WithinRel(wanted[i].second, 1e-14));
    CHECK(steps[i].jerk_time == seconds(0.04));
  }
  CHECK(acceleration_steps({}).empty());
}

TEST_CASE("state_at gives the states of a trapezoid and of its ramps worked by hand",
          "[motion][property]") {
  const MoveProfile plain{.trapezoid = uneven};
  CHECK_THAT(in_metres(position_at(plain, seconds(0.1))), WithinAbs(0.025, 1e-15));
  CHECK_THAT(in_metres(position_at(plain, seconds(0.2))), WithinAbs(0.075, 1e-15));
  CHECK_THAT(in_metres_per_second(speed_at(plain, seconds(0.05))), WithinAbs(0.25, 1e-15));
  CHECK(acceleration_at(plain, seconds(0)) == metres_per_second_squared(5));  // after the jump
  CHECK(acceleration_at(plain, seconds(0.2)) == metres_per_second_squared(0));
  CHECK(jerk_at(plain, seconds(0.05)) == metres_per_second_cubed(0));

  // A jerk of 5/0.04 = 125 m/s3 for 0.04 s: 0.1 m/s and 125 · 0.04³/6 = 0.00133… m.
  const MoveProfile smooth{uneven, seconds(0.04), seconds(0.04)};
  CHECK_THAT(in_metres(position_at(smooth, seconds(0.04))), WithinRel(0.004 / 3.0, 1e-12));
  CHECK_THAT(in_metres_per_second(speed_at(smooth, seconds(0.04))), WithinRel(0.1, 1e-12));
  CHECK_THAT(in_metres_per_second_squared(acceleration_at(smooth, seconds(0.02))),
             WithinRel(2.5, 1e-12));
  CHECK_THAT(in_metres_per_second_cubed(jerk_at(smooth, seconds(0.02))), WithinRel(125.0, 1e-12));
  CHECK_THAT(in_metres_per_second_cubed(jerk_at(smooth, seconds(0.42))), WithinRel(-50.0, 1e-12));
}

TEST_CASE("the box-filtered trapezoid is the mean of the trapezoid over the jerk time",
          "[motion][property]") {
  // Also where the jerk time is longer than a ramp, the cruise or the whole move.
  const double jerk_time = GENERATE(0.01, 0.15, 0.28, 0.4, 2.0);
  CAPTURE(jerk_time);
  const MoveProfile plain{.trapezoid = uneven};
  const MoveProfile smooth{uneven, seconds(jerk_time), seconds(jerk_time)};
  const double length = in_metres(motion::distance(uneven));
  const auto before = [&](double t) {
    return t <= 0.0 ? 0.0 : t >= 0.65 ? length : in_metres(position_at(plain, seconds(t)));
  };
  for (int i = 0; i <= 24; ++i) {
    const double t = seconds_of(smooth) * (i / 24.0);  // the last is the end to the bit
    // The speed is a difference of positions of the trapezoid, exactly.
    CHECK_THAT(in_metres_per_second(speed_at(smooth, seconds(t))),
               WithinAbs((before(t) - before(t - jerk_time)) / jerk_time, 1e-12));
  }
  CHECK_THAT(in_metres(position_at(smooth, smooth.duration())), WithinRel(length, 1e-12));
}

TEST_CASE("position, speed and acceleration are the integrals of the jerk", "[motion][property]") {
  const MoveProfile move =
      GENERATE(MoveProfile{uneven, seconds(0.03), seconds(0.08)},
               MoveProfile{uneven, seconds(0.5), seconds(0.2)},
               fastest_move(metres(0.4), limits_of(0.6, 3, 7), metres_per_second_cubed(40)),
               fastest_move(metres(0.01), limits_of(0.6, 3, 7), metres_per_second_cubed(40)));
  const int n = 100'000;
  const double h = seconds_of(move) / n;
  CAPTURE(seconds_of(move));
  double s = 0, v = 0, a = 0;
  for (int i = 0; i < n; ++i) {
    if (i % 1000 == 0) {
      const MotionState now = state_at(move, seconds(i * h));
      CHECK_THAT(in_metres(now.position), WithinAbs(s, 1e-9));
      CHECK_THAT(in_metres_per_second(now.speed), WithinAbs(v, 1e-8));
      // The jerk jumps: each of up to eight times it is wrong for at most one h.
      CHECK_THAT(in_metres_per_second_squared(now.acceleration), WithinAbs(a, 8 * 167 * h));
    }
    const MotionState middle = state_at(move, seconds((i + 0.5) * h));
    s += h * in_metres_per_second(middle.speed);
    v += h * in_metres_per_second_squared(middle.acceleration);
    a += h * in_metres_per_second_cubed(middle.jerk);
  }
  const MotionState end = state_at(move, move.duration());
  CHECK_THAT(in_metres(end.position), WithinRel(in_metres(distance(move.trapezoid)), 1e-12));
  CHECK_THAT(in_metres_per_second(end.speed), WithinAbs(0.0, 1e-13));
  CHECK(end.acceleration == metres_per_second_squared(0));
}

TEST_CASE("two jerk times leave the distance and give the mean to the duration",
          "[motion][property]") {
  const double up = GENERATE(0.0, 0.02, 0.3);
  const double down = GENERATE(0.0, 0.05, 0.4);
  CAPTURE(up, down);
  const MoveProfile move{uneven, seconds(up), seconds(down)};
  CHECK_THAT(seconds_of(move), WithinRel(0.65 + (up + down) / 2.0, 1e-14));
  const MotionState end = state_at(move, move.duration());
  CHECK_THAT(in_metres(end.position), WithinRel(in_metres(motion::distance(uneven)), 1e-12));
  const auto steps = acceleration_steps(move);
  CHECK_THAT(in_seconds(steps[3].at + steps[3].jerk_time), WithinRel(seconds_of(move), 1e-14));
}

TEST_CASE("a move with its ramps exchanged is the same move backwards", "[motion][property]") {
  const Trapezoid turned{.top_speed = uneven.top_speed,
                         .speeding_up = uneven.slowing_down,
                         .cruising = uneven.cruising,
                         .slowing_down = uneven.speeding_up};
  const MoveProfile move{uneven, seconds(0.06), seconds(0.13)};
  const MoveProfile back{turned, seconds(0.13), seconds(0.06)};
  const double length = in_metres(motion::distance(uneven));
  for (int i = 0; i <= 20; ++i) {
    const Time t = move.duration() * (i / 20.0);
    const Time mirrored = i == 20 ? Time{} : Time(move.duration() - t);
    CHECK_THAT(in_metres(position_at(back, mirrored)),
               WithinAbs(length - in_metres(position_at(move, t)), 1e-13));
    CHECK_THAT(in_metres_per_second(speed_at(back, mirrored)),
               WithinAbs(in_metres_per_second(speed_at(move, t)), 1e-13));
  }
}

TEST_CASE("peaks are what a scan over the move finds", "[motion][property]") {
  // Jerk times beyond a ramp and beyond the cruise: nothing of the trapezoid is reached.
  const double up = GENERATE(0.02, 0.2, 0.9);
  const double down = GENERATE(0.03, 0.4);
  CAPTURE(up, down);
  const MoveProfile move{uneven, seconds(up), seconds(down)};
  double v = 0, a = 0, b = 0, j = 0;
  for (int i = 0; i <= 4000; ++i) {
    const MotionState s = state_at(move, move.duration() * (i / 4000.0));
    v = std::max(v, in_metres_per_second(s.speed));
    a = std::max(a, in_metres_per_second_squared(s.acceleration));
    b = std::max(b, -in_metres_per_second_squared(s.acceleration));
    j = std::max(j, std::abs(in_metres_per_second_cubed(s.jerk)));
  }
  const MovePeaks most = peaks(move);
  CHECK(in_metres_per_second(most.speed) >= v - 1e-14);
  CHECK_THAT(in_metres_per_second(most.speed), WithinRel(v, 1e-5));
  CHECK(in_metres_per_second_squared(most.acceleration) >= a - 1e-14);
  CHECK_THAT(in_metres_per_second_squared(most.acceleration), WithinRel(a, 0.02));
  CHECK_THAT(in_metres_per_second_squared(most.deceleration), WithinRel(b, 0.02));
  CHECK_THAT(in_metres_per_second_cubed(most.jerk), WithinRel(j, 1e-12));
}

TEST_CASE("peaks of a plain trapezoid are its own and its jerk is infinite", "[motion][property]") {
  const MovePeaks most = motion::peaks({.trapezoid = uneven});
  CHECK_THAT(in_metres_per_second(most.speed), WithinRel(0.5, 1e-14));
  CHECK_THAT(in_metres_per_second_squared(most.acceleration), WithinRel(5.0, 1e-14));
  CHECK_THAT(in_metres_per_second_squared(most.deceleration), WithinRel(2.0, 1e-14));
  CHECK(most.jerk == unlimited<Jerk>());
  CHECK(motion::peaks({}).jerk == metres_per_second_cubed(0));
}

TEST_CASE("a jerk time too short to see changes nothing but the jerk", "[motion][property]") {
  const MoveProfile move{uneven, seconds(1e-14), seconds(1e-14)};
  const MovePeaks most = peaks(move);
  CHECK_THAT(in_metres_per_second(most.speed), WithinRel(0.5, 1e-12));
  CHECK_THAT(in_metres_per_second_squared(most.acceleration), WithinRel(5.0, 0.05));
  CHECK_THAT(in_metres(position_at(move, move.duration())),
             WithinRel(in_metres(motion::distance(uneven)), 1e-12));
  CHECK_THAT(in_metres(position_at(move, seconds(0.2))), WithinAbs(0.075, 1e-13));
}

TEST_CASE("a triangle that rounding left with less than no cruise is still a move",
          "[motion][property]") {
  Trapezoid triangle{.top_speed = metres_per_second(1),
                     .speeding_up = seconds(1),
                     .cruising = seconds(-1e-9),
                     .slowing_down = seconds(1)};
  const MoveProfile move{triangle, seconds(0.1), seconds(0.1)};
  CHECK_THAT(in_metres(position_at(move, move.duration())), WithinRel(1.0 - 1e-9, 1e-12));
  triangle.cruising = seconds(-1e-5);
  CHECK_THROWS_MATCHES(acceleration_steps({.trapezoid = triangle}), InvalidInput,
                       Message("time of cruising must be >= 0, got -1e-05 s"));
}

TEST_CASE("a move's states refuse what their tables exclude", "[motion][error]") {
  const MoveProfile move{uneven, seconds(0.05), seconds(0.05)};
  CHECK_NOTHROW(state_at(move, move.duration()));
  CHECK_THROWS_MATCHES(state_at(move, seconds(-0.1)), InvalidInput,
                       Message("time must be from 0 to 0.7 s, got -0.1 s"));
  CHECK_THROWS_AS(position_at(move, seconds(0.701)), InvalidInput);
  CHECK_THROWS_AS(speed_at(move, unset<Time>()), InvalidInput);
  CHECK_THROWS_AS(acceleration_at(move, seconds(1)), InvalidInput);
  CHECK_THROWS_AS(jerk_at(move, seconds(1)), InvalidInput);
  const auto refuses = [&](auto spoil, const char* text) {
    MoveProfile bad = move;
    spoil(bad);
    CHECK_THROWS_MATCHES(acceleration_steps(bad), InvalidInput, Message(text));
    CHECK_THROWS_AS(peaks(bad), InvalidInput);
    CHECK_THROWS_AS(state_at(bad, seconds(0)), InvalidInput);
  };
  refuses([](MoveProfile& m) { m.trapezoid.top_speed = unset<Speed>(); },
          "top speed must be >= 0, got nan m/s");
  refuses([](MoveProfile& m) { m.trapezoid.speeding_up = seconds(0); },
          "time of speeding up must be > 0, got 0 s");
  refuses([](MoveProfile& m) { m.trapezoid.slowing_down = unlimited<Time>(); },
          "time of slowing down must be > 0, got inf s");
  refuses([](MoveProfile& m) { m.trapezoid.cruising = unset<Time>(); },
          "time of cruising must be >= 0, got nan s");
  refuses([](MoveProfile& m) { m.up_jerk_time = seconds(-1); },
          "jerk time of the acceleration must be >= 0, got -1 s");
  refuses([](MoveProfile& m) { m.down_jerk_time = unset<Time>(); },
          "jerk time of the deceleration must be >= 0, got nan s");
  refuses([](MoveProfile& m) { m.down_jerk_time = seconds(2.05); },
          "start of slowing down must be >= 0, got -0.6 s");
}

}  // namespace
}  // namespace pitchline
