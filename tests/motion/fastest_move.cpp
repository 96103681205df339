#include "pitchline/motion/fastest_move.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "support/catch.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using motion::fastest_move;
using motion::fastest_trapezoid;
using motion::MoveLimits;
using motion::MovePeaks;
using motion::MoveProfile;
using motion::Trapezoid;

MoveLimits limits_of(double speed, double up, double down) {
  return {.speed = metres_per_second(speed),
          .acceleration = metres_per_second_squared(up),
          .deceleration = metres_per_second_squared(down)};
}
double duration(double s, const MoveLimits& limits, double j) {
  return in_seconds(fastest_move(metres(s), limits, metres_per_second_cubed(j)).duration());
}

TEST_CASE("fastest_move with a jerk gives the seven parts worked by hand", "[motion][property]") {
  // v 1 m/s, a 2 m/s2, j 10 m/s3: ramps of 1/2 + 2/10 = 0.7 s and 0.35 m. 1 m: 0.3 s between.
  CHECK_THAT(duration(1.0, limits_of(1, 2, 2), 10), WithinRel(1.7, 1e-14));
  // Speed never reached: ramps of 0.6 s at v = 0.8 (0.8/2 + 0.2): 0.48 m.
  CHECK_THAT(duration(0.48, limits_of(1, 2, 2), 10), WithinRel(1.2, 1e-14));
  // Nor the acceleration: v = 0.1, a = 1, four parts of 0.1 s: 0.02 m.
  CHECK_THAT(duration(0.02, limits_of(1, 2, 2), 10), WithinRel(0.4, 1e-14));
  // Up 1 m/s2 reached, down 9 not: v = 0.4 in 0.4 + 0.1 s and 2 √0.04 = 0.4 s: 0.18 m.
  CHECK_THAT(duration(0.18, limits_of(1, 1, 9), 10), WithinRel(0.9, 1e-14));
  CHECK_THAT(duration(0.18, limits_of(1, 9, 1), 10), WithinRel(0.9, 1e-14));
  // Both reached, up 2 and down 4: v = 1.6 in 1 s and 0.8 s: 1.44 m.
  CHECK_THAT(duration(1.44, limits_of(9, 2, 4), 10), WithinRel(1.8, 1e-14));
  // The speed reached before either acceleration: 0.1 m/s, ramps of 0.2 s, 0.8 s between.
  CHECK_THAT(duration(0.1, limits_of(0.1, 2, 5), 10), WithinRel(1.2, 1e-14));
}

TEST_CASE("fastest_move covers its distance within every limit", "[motion][property]") {
  const double s = GENERATE(take(12, random(-5.0, 1.0)));  // powers of ten
  const double v = GENERATE(0.05, 1.0, 50.0);
  const double up = GENERATE(0.5, 5.0);
  const double down = GENERATE(0.5, 3.0, 20.0);
  const double j = GENERATE(1.0, 60.0, 5000.0);
  CAPTURE(s, v, up, down, j);
  const Length stroke = metres(std::pow(10.0, s));
  const MoveProfile move = fastest_move(stroke, limits_of(v, up, down), metres_per_second_cubed(j));
  CHECK_THAT(number(distance(move.trapezoid) / stroke), WithinRel(1.0, 1e-12));
  CHECK_THAT(number(position_at(move, move.duration()) / stroke), WithinRel(1.0, 1e-12));
  const MovePeaks most = peaks(move);
  const double slack = 1.0 + 1e-10;  // times of seconds, ramps of 0.1 ms
  CHECK(in_metres_per_second(most.speed) <= v * slack);
  CHECK(in_metres_per_second_squared(most.acceleration) <= up * slack);
  CHECK(in_metres_per_second_squared(most.deceleration) <= down * slack);
  CHECK_THAT(in_metres_per_second_cubed(most.jerk), WithinRel(j, 1e-12));  // always in use
  CHECK_THAT(number(most.speed / move.trapezoid.top_speed), WithinRel(1.0, 1e-11));
}

TEST_CASE("no choice of lower ramps is faster than fastest_move", "[motion][property]") {
  const double s = GENERATE(0.002, 0.03, 0.2, 1.5);
  const double down = GENERATE(1.5, 4.0, 12.0);
  CAPTURE(s, down);
  const double v_max = 0.7, up = 4.0, j = 50.0;
  const double fastest = duration(s, limits_of(v_max, up, down), j);
  // Every ramp to v that rises to an acceleration a with the jerk takes v/a + a/j, a² ≤ v j, and
  // covers half of v times it; what is left is done at v. Times by brute force.
  const int n = 300;
  double best = std::numeric_limits<double>::infinity();
  for (int i = 1; i <= n; ++i) {
    const double v = v_max * i / n;
    const auto ramp = [&](double most) {
      double least = std::numeric_limits<double>::infinity();
      for (int k = 1; k <= n; ++k) {
        const double a = most * k / n;
        if (a * a <= v * j) least = std::min(least, v / a + a / j);
      }
      return least;
    };
    const double ramps = ramp(up) + ramp(down);
    if (v * ramps / 2.0 <= s) best = std::min(best, s / v + ramps / 2.0);
  }
  CHECK(best >= fastest * (1.0 - 1e-12));
  CHECK(best <= fastest * 1.02);
}

TEST_CASE("fastest_move gets faster with every limit and slower with the distance",
          "[motion][property]") {
  const double s = GENERATE(0.0005, 0.01, 0.1, 2.0);
  const double v = GENERATE(0.1, 1.0);
  CAPTURE(s, v);
  const double base = duration(s, limits_of(v, 3, 5), 40);
  const double slack = base * (1.0 + 1e-13);
  CHECK(duration(s, limits_of(1.1 * v, 3, 5), 40) <= slack);
  CHECK(duration(s, limits_of(v, 3.3, 5), 40) <= slack);
  CHECK(duration(s, limits_of(v, 3, 5.5), 40) <= slack);
  CHECK(duration(s, limits_of(v, 3, 5), 44) < base);
  CHECK(duration(1.1 * s, limits_of(v, 3, 5), 40) > base);
}

TEST_CASE("fastest_move keeps its shape under other scales of length and time",
          "[motion][property]") {
  // Lengths times 3, times times 0.2.
  const double s = GENERATE(0.0005, 0.02, 0.2, 2.0);
  const double l = 3.0, t = 0.2;
  CHECK_THAT(duration(l * s, limits_of(l / t, 3 * l / t / t, 8 * l / t / t), 40 * l / t / t / t),
             WithinRel(t * duration(s, limits_of(1, 3, 8), 40), 1e-13));
}

TEST_CASE("fastest_move passes from one case to the next without a jump", "[motion][property]") {
  // c = 2, ρ = 3, j = 10: c³/j² = 0.08, so the cases meet at 0.16 m and at 0.08 · 9 · 16/2 = 5.76
  // m.
  const double border = GENERATE(0.16, 5.76);
  const MoveLimits limits = limits_of(1000, 2, 6);
  CHECK_THAT(duration(border * (1 + 1e-13), limits, 10),
             WithinRel(duration(border * (1 - 1e-13), limits, 10), 1e-12));
}

TEST_CASE("without a limit of jerk fastest_move is the trapezoid", "[motion][property]") {
  const double s = GENERATE(0.01, 1.0);
  const MoveLimits limits = limits_of(0.5, 2, 7);
  const Trapezoid plain = fastest_trapezoid(metres(s), limits);
  const MoveProfile move = fastest_move(metres(s), limits, unlimited<Jerk>());
  CHECK(move.duration() == plain.duration());
  CHECK(move.up_jerk_time == seconds(0));
  CHECK(fastest_move(metres(s), limits, seconds(0)).duration() == plain.duration());
  // The smallest step above it is of the order of a/j.
  CHECK_THAT(duration(s, limits, 1e12), WithinRel(in_seconds(plain.duration()), 1e-10));
}

TEST_CASE("fastest_move with a jerk time is the trapezoid and that time", "[motion][property]") {
  const double s = GENERATE(0.001, 0.05, 1.0);
  const double t_j = GENERATE(0.02, 0.5);
  CAPTURE(s, t_j);
  const MoveLimits limits = limits_of(0.5, 2, 7);
  const Trapezoid plain = fastest_trapezoid(metres(s), limits);
  const MoveProfile move = fastest_move(metres(s), limits, seconds(t_j));
  CHECK_THAT(in_seconds(move.duration()), WithinRel(in_seconds(plain.duration()) + t_j, 1e-14));
  CHECK_THAT(in_metres(position_at(move, move.duration())), WithinRel(s, 1e-12));
  const MovePeaks most = peaks(move);
  CHECK(in_metres_per_second(most.speed) <= 0.5 * (1 + 1e-12));
  CHECK(in_metres_per_second_squared(most.acceleration) <= 2.0 * (1 + 1e-12));
  CHECK(in_metres_per_second_squared(most.deceleration) <= 7.0 * (1 + 1e-12));
}

TEST_CASE("a move of short stroke does not reach its acceleration through a long jerk time",
          "[motion][property]") {
  // Triangle of 1 mm at 2 m/s2: two ramps of √(0.001/2) = 0.02236 s, over 0.1 s: 2 · 0.2236 m/s2.
  const MoveProfile move = fastest_move(metres(0.001), limits_of(1, 2, 2), seconds(0.1));
  CHECK_THAT(in_metres_per_second_squared(peaks(move).acceleration),
             WithinRel(2.0 * std::sqrt(0.0005) / 0.1, 1e-12));
}

TEST_CASE("a symmetric fastest_move by jerk is a box-filtered trapezoid", "[motion][property]") {
  const double s = GENERATE(0.001, 0.05, 1.0);
  const MoveProfile move =
      fastest_move(metres(s), limits_of(0.5, 2, 2), metres_per_second_cubed(20));
  CHECK(move.up_jerk_time == move.down_jerk_time);
  CHECK_THAT(in_metres(position_at(move, move.duration() / 2.0)), WithinRel(s / 2.0, 1e-12));
}

TEST_CASE("a fastest_move of no distance takes no time", "[motion][property]") {
  const MoveLimits limits = limits_of(1, 1, 1);
  CHECK(fastest_move(metres(0), limits, seconds(0.1)).duration() == seconds(0));
  const MoveProfile move = fastest_move(metres(0), limits, metres_per_second_cubed(10));
  CHECK(move.duration() == seconds(0));
  CHECK(position_at(move, seconds(0)) == metres(0));
}

TEST_CASE("fastest_move refuses what its tables exclude", "[motion][error]") {
  const MoveLimits good = limits_of(1, 1, 1);
  CHECK_THROWS_MATCHES(fastest_move(metres(1), good, metres_per_second_cubed(0)), InvalidInput,
                       Message("jerk must be > 0, got 0 m/s^3"));
  CHECK_THROWS_AS(fastest_move(metres(1), good, unset<Jerk>()), InvalidInput);
  CHECK_THROWS_MATCHES(fastest_move(metres(1), good, seconds(-1)), InvalidInput,
                       Message("jerk time must be >= 0, got -1 s"));
  CHECK_THROWS_AS(fastest_move(metres(1), good, unset<Time>()), InvalidInput);
  CHECK_THROWS_AS(fastest_move(metres(1), good, unlimited<Time>()), InvalidInput);
  CHECK_THROWS_AS(fastest_move(metres(-1), good, seconds(0)), InvalidInput);
  CHECK_THROWS_AS(fastest_move(unset<Length>(), good, metres_per_second_cubed(1)), InvalidInput);
  CHECK_THROWS_AS(fastest_move(metres(1), {}, metres_per_second_cubed(1)), InvalidInput);
  CHECK_THROWS_AS(fastest_move(metres(1), limits_of(1, 1, 0), metres_per_second_cubed(1)),
                  InvalidInput);
}

}  // namespace
}  // namespace pitchline
