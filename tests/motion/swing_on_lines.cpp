#include "pitchline/motion/swing_on_lines.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "pitchline/motion/residual_vibration.hpp"
#include "support/catch.hpp"
#include "support/chance.hpp"
#include "support/sticking_load.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using motion::LinesInTurn;

motion::ElasticMode mode(double omega, double zeta) {
  return {.natural_frequency = hertz(omega / (2.0 * std::numbers::pi)),
          .damping_ratio = DampingRatio(zeta)};
}

LinesInTurn lines(double top, double jerk_time, double friction = 0.0) {
  return {.speed = metres_per_second(top),
          .acceleration = metres_per_second_squared(1),
          .jerk_time = seconds(jerk_time),
          .cruise = seconds(40),
          .friction = metres_per_second_squared(friction)};
}

double swing(double omega, double zeta, const LinesInTurn& run) {
  return in_metres(motion::largest_swing_on_lines(mode(omega, zeta), run));
}

// The largest force beyond friction at full speed, of an integration of the same lines, over the
// stiffness: no envelope, so it may lie below one by what a half swing decays.
double integrated(double omega, double zeta, const LinesInTurn& run) {
  const double top = in_metres_per_second(run.speed);
  const double jerk_time = in_seconds(run.jerk_time);
  const double friction = in_metres_per_second_squared(run.friction);
  double most = 0.0;
  testing::run_sticking_load({.omega = omega, .zeta = zeta, .friction = friction},
                             {.top = top,
                              .acceleration = 1.0,
                              .jerk_time = jerk_time,
                              .cruise = in_seconds(run.cruise) + jerk_time,
                              .dwell = in_seconds(run.rest),
                              .moves = run.lines},
                             200, [&](double speed, double force) {
                               if (std::abs(speed - top) < 1e-9 * top)
                                 most = std::max(most, force - friction);
                             });
  return most / (omega * omega);
}

TEST_CASE("the swing on one line without friction is that of the ramp", "[motion][property]") {
  const double jerk_time = GENERATE(0.0, 0.2, 0.9, 3.0);
  const double omega = GENERATE(2.0, 9.0, 31.0);
  CAPTURE(jerk_time, omega);
  const Acceleration a = metres_per_second_squared(1);
  const Time j = seconds(jerk_time);
  const Length by_steps =
      motion::residual_amplitude(mode(omega, 0.03),
                                 {{.at = seconds(0), .step = a, .jerk_time = j},
                                  {.at = seconds(1.3), .step = -a, .jerk_time = j}},
                                 seconds(1.3 + jerk_time));
  CHECK_THAT(swing(omega, 0.03, lines(1.3, jerk_time)), WithinRel(in_metres(by_steps), 1e-6));
}

TEST_CASE("the swing of the first line is that of an integration with friction",
          "[motion][property]") {
  const double jerk_time = GENERATE(0.0, 0.15, 0.7);
  const double friction = GENERATE(0.0, 0.1, 0.8);
  const double omega = GENERATE(4.0, 13.0);
  CAPTURE(jerk_time, friction, omega);
  const LinesInTurn run = lines(1.7, jerk_time, friction);
  const double found = swing(omega, 0.005, run);
  const double peak = integrated(omega, 0.005, run);
  // Over half a swing a damping of 0.005 leaves 0.984 of it.
  CHECK(found >= peak * 0.999);
  CHECK(found <= peak / 0.97);
}

// What a line hands on is followed as long as the drive rests. From then on friction is taken to
// pull one way, which an integration of 300 draws shows to be too little in a few: those whose load
// has all but stopped as the next line begins.
TEST_CASE("the swing that lines hand on is no less than that of an integration, but for a few",
          "[motion][property]") {
  testing::Chance chance(7);
  int below = 0;
  double least = 1.0;
  double most = 0.0;
  for (int n = 0; n < 300; ++n) {
    const double omega = std::exp(chance.between(std::log(2.0), std::log(30.0)));
    const double zeta = chance.between(0.01, 0.05);
    // One after the other: compilers differ in the order of what stands in a call.
    const double top = chance.between(0.5, 3.0);
    const double jerk_time = chance.between(0.0, 1.0);
    const double friction = std::exp(chance.between(std::log(0.01), std::log(1.0)));
    LinesInTurn run = lines(top, jerk_time, friction);
    run.rest = seconds(chance.between(0.0, 1.0));
    run.cruise = seconds(chance.between(3.0, 20.0));
    run.lines = 3;
    const double ratio = swing(omega, zeta, run) / integrated(omega, zeta, run);
    if (ratio < 0.9) ++below;
    least = std::min(least, ratio);
    most = std::max(most, ratio);
  }
  CHECK(below <= 9);
  CHECK(least > 0.4);
  CHECK(most < 3.0);
}

TEST_CASE("a longer jerk time than a period only lets the swing of lines fall",
          "[motion][property]") {
  double before = swing(10.0, 0.02, lines(2.0, 0.7, 0.05));
  for (const double jerk_time : {1.3, 1.95, 2.6, 3.9}) {
    const double now = swing(10.0, 0.02, lines(2.0, jerk_time, 0.05));
    CHECK(now < 1.2 * before);
    before = now;
  }
}

TEST_CASE("largest_swing_on_lines refuses what its table excludes", "[motion][error]") {
  const auto refused = [](auto&& spoil) {
    LinesInTurn run = lines(1, 0);
    spoil(run);
    return motion::largest_swing_on_lines(mode(10, 0.01), run);
  };
  CHECK_THROWS_MATCHES(refused([](LinesInTurn& r) { r.speed = unset<Speed>(); }), InvalidInput,
                       Message("speed must be > 0, got nan m/s"));
  CHECK_THROWS_AS(refused([](LinesInTurn& r) { r.acceleration = {}; }), InvalidInput);
  CHECK_THROWS_AS(refused([](LinesInTurn& r) { r.jerk_time = seconds(-1); }), InvalidInput);
  CHECK_THROWS_AS(refused([](LinesInTurn& r) { r.cruise = seconds(-1); }), InvalidInput);
  CHECK_THROWS_AS(refused([](LinesInTurn& r) { r.rest = seconds(-1); }), InvalidInput);
  CHECK_THROWS_AS(refused([](LinesInTurn& r) { r.lines = 0; }), InvalidInput);
  CHECK_THROWS_AS(refused([](LinesInTurn& r) { r.friction = -r.acceleration; }), InvalidInput);
  CHECK_THROWS_AS(refused([](LinesInTurn& r) { r.in_drive = -r.acceleration; }), InvalidInput);
}

}  // namespace
}  // namespace pitchline
