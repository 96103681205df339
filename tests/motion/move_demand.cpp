#include "pitchline/motion/move_demand.hpp"

#include <random>

#include "support/catch.hpp"
#include "support/spring_load.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using motion::AxisAtMotor;
using motion::ElasticMode;
using motion::largest_demand;
using motion::move_demand;
using motion::RunningMove;
using motion::tightest_moment;

// 2 kg on 12 mm a radian, no inertia at the motor: the mass that moves is the load alone.
AxisAtMotor two_kilograms(Force friction = {}) {
  return {.transmission = metres(0.012) / radian, .mass = kilograms(2), .friction = friction};
}
const ElasticMode undamped{.natural_frequency = hertz(20), .damping_ratio = DampingRatio(0)};
RunningMove one_move(Length stroke, Time jerk_time = {}) {
  return {.speed = metres_per_second(0.5),
          .acceleration = metres_per_second_squared(5),
          .stroke = stroke,
          .jerk_time = jerk_time};
}

TEST_CASE("a start without damping asks for the torque of the soft belt", "[motion][property]") {
  // Derived apart in soft_belt_peak_torque from the energy of the load on its spring.
  const double friction = GENERATE(0.0, 1.0, 6.0, 40.0);
  CAPTURE(friction);
  const AxisAtMotor axis = two_kilograms(newtons(friction));
  const auto moments = move_demand(axis, undamped, one_move(metres(1)));
  REQUIRE(moments.front().phase == motion::MovePhase::starting);
  CHECK_THAT(
      in_newton_metres(moments.front().torque),
      WithinRel(in_newton_metres(motion::soft_belt_peak_torque(axis, metres_per_second_squared(5))),
                1e-12));
}

TEST_CASE("static friction that lets go at once leaves its energy in the swing",
          "[motion][property]") {
  // W = 6 + 4 N wind the belt up to u^2 = 2 a W/k; then 4 N less hold the load: it swings about
  // F + M a from F + B with sqrt((M a - B)^2 + 2 M a W) = sqrt(6^2 + 2 * 10 * 10) = 15.362 N.
  AxisAtMotor axis = two_kilograms(newtons(6));
  axis.breakaway = newtons(4);
  const auto moments = move_demand(axis, undamped, one_move(metres(1)));
  CHECK_THAT(in_newtons(moments.front().force),
             WithinRel(6.0 + 10.0 + std::sqrt(36.0 + 200.0), 1e-12));
  axis.breakaway = newtons(-1);
  CHECK_THROWS_MATCHES(move_demand(axis, undamped, one_move(metres(1))), InvalidInput,
                       Message("breakaway friction must be >= 0, got -1 N"));
}

TEST_CASE("the corners of one undamped move add up to four times M a", "[motion][property]") {
  // Known bound of a move without friction: worst ramp 2 M a, worst whole move 4 M a.
  const auto worst = largest_demand(two_kilograms(), undamped, one_move(metres(1)));
  CHECK_THAT(in_newtons(worst.force), WithinRel(4.0 * 2.0 * 5.0, 1e-12));
}

TEST_CASE("a swing dies down over a long stroke", "[motion][property]") {
  // zeta omega t = 0.04 * 2 pi 20 * 1.9 s = 9.55 while it runs: e^-9.55 = 7e-5 of the first ramp is
  // left. Slowing down then asks M a (1 + 1), stopping M a (1 + e^(-0.04 * 2 pi 20 * 0.1)) = 1.605.
  const ElasticMode load{.natural_frequency = hertz(20), .damping_ratio = DampingRatio(0.04)};
  const auto worst = largest_demand(two_kilograms(), load, one_move(metres(1)));
  CHECK_THAT(in_newtons(worst.force), WithinRel(2.0 * 10.0, 1e-3));
  const auto last = move_demand(two_kilograms(), load, one_move(metres(1))).back();
  CHECK(last.phase == motion::MovePhase::stopped);
  CHECK_THAT(in_newtons(last.force), WithinRel(1.605 * 10.0, 1e-3));
}

TEST_CASE("more moves, shorter rests, less damping and less jerk time never ask for less",
          "[motion][property]") {
  const AxisAtMotor axis = two_kilograms(newtons(4));
  const auto force = [&](double zeta, double frequency, int count, double dwell, double jerk) {
    RunningMove move = one_move(metres(0.2), seconds(jerk));
    move.in_succession = count;
    move.dwell = seconds(dwell);
    return in_newtons(largest_demand(axis,
                                     ElasticMode{.natural_frequency = hertz(frequency),
                                                 .damping_ratio = DampingRatio(zeta)},
                                     move)
                          .force);
  };
  CHECK(force(0.02, 25, 1, 0, 0) < force(0.02, 25, 2, 0, 0));
  CHECK(force(0.02, 25, 2, 0, 0) < force(0.02, 25, 10, 0, 0));
  CHECK(force(0.02, 25, 10, 0.5, 0) < force(0.02, 25, 10, 0.1, 0));
  CHECK(force(0.05, 25, 3, 0, 0) < force(0.01, 25, 3, 0, 0));
  CHECK(force(0.02, 25, 3, 0, 0.05) < force(0.02, 25, 3, 0, 0.01));
  CHECK(force(0.02, 25, 3, 0, 0.01) < force(0.02, 25, 3, 0, 0));
  CHECK(force(0.02, 25, 3, 0, 0.05) < force(0.02, 10, 3, 0, 0.05));
}

TEST_CASE("without a known swing nothing dies down and no jerk time helps", "[motion][property]") {
  // Three moves of four corners each: 1 + 11 of M a while slowing down, 12 M a on stopping.
  RunningMove move = one_move(metres(1), seconds(0.05));
  move.in_succession = 3;
  const auto worst = largest_demand(two_kilograms(), std::nullopt, move);
  CHECK_THAT(in_newtons(worst.force), WithinRel(12.0 * 10.0, 1e-12));
}

TEST_CASE("a stroke that is not given is no easier than any that is", "[motion][property]") {
  const AxisAtMotor axis = two_kilograms(newtons(4));
  const ElasticMode load{.natural_frequency = hertz(18), .damping_ratio = DampingRatio(0.03)};
  const auto available = [](Speed v) { return newton_metres(1.0 - 0.8 * in_metres_per_second(v)); };
  const double worst = tightest_moment(axis, load, one_move(unset<Length>()), available).margin;
  for (const double stroke : {0.004, 0.01, 0.02, 0.04, 0.05, 0.08, 0.2, 1.0}) {
    CAPTURE(stroke);
    CHECK(worst <= tightest_moment(axis, load, one_move(metres(stroke)), available).margin);
  }
}

TEST_CASE("the peak forces known for steps at their worst stay within what a move asks",
          "[motion][property]") {
  // Independent linear model, phi = 0, ramps of one period or more, worst rest between the moves:
  // 2 M a for a start, 3.4 M a for one move at a damping ratio of 0.04; 4.0 M a for ten moves to
  // and fro at 0.04 and 6.4 M a at 0.01.
  const auto of = [](double zeta, int count) {
    RunningMove move{.speed = metres_per_second(0.5),
                     .acceleration = metres_per_second_squared(5),
                     .stroke = unset<Length>(),
                     .in_succession = count};
    return in_newtons(largest_demand(two_kilograms(),
                                     ElasticMode{.natural_frequency = hertz(10),
                                                 .damping_ratio = DampingRatio(zeta)},
                                     move)
                          .force) /
           10.0;
  };
  CHECK(of(0.04, 1) > 3.4);
  CHECK(of(0.04, 1) < 4.0);
  CHECK(of(0.04, 10) > 4.0);
  CHECK(of(0.01, 10) > 6.4);
}

TEST_CASE("no move integrated in time asks for more than its demand", "[motion][property]") {
  // The load of one mass on a spring with damping and sticking friction, behind a reference that
  // follows the profile exactly; integrated apart from the header. The torque that is there falls
  // with speed.
  std::mt19937 random(20261125);
  const auto draw = [&](double low, double high) {
    return low + (high - low) * std::generate_canonical<double, 53>(random);
  };
  double closest = 1e9;
  for (int i = 0; i < 300; ++i) {
    const testing::SpringLoad load{.mass = draw(0.5, 10.0),
                                   .frequency = draw(8.0, 60.0),
                                   .damping_ratio = draw(0.01, 0.05),
                                   .friction = draw(0.0, 1.0) < 0.2 ? 0.0 : draw(0.5, 30.0),
                                   .breakaway = draw(0.0, 1.0) < 0.5 ? 0.0 : draw(0.0, 15.0)};
    const double speed = draw(0.05, 1.2);
    const double acceleration = draw(0.5, 20.0);
    const double ramp = speed / acceleration;
    const double stroke = std::exp(draw(std::log(0.005), std::log(1.0)));
    const double share = draw(0.0, 1.0) < 0.4 ? 0.0 : draw(0.0, 1.0);
    const int count = draw(0.0, 1.0) < 0.5 ? 1 : 4;
    const double dwell = draw(0.0, 1.0) < 0.5 ? 0.0 : draw(0.0, 0.3);
    const double top = std::min(speed, std::sqrt(stroke * acceleration));
    const double jerk_time = share * std::min(ramp, top / acceleration);
    const double fall = draw(0.0, 0.9) / speed;
    CAPTURE(i, load.mass, load.frequency, load.damping_ratio, load.friction, speed, acceleration,
            stroke, jerk_time, count, dwell, fall);

    const AxisAtMotor axis{.transmission = metres(0.01) / radian,
                           .mass = kilograms(load.mass),
                           .friction = newtons(load.friction),
                           .breakaway = newtons(load.breakaway)};
    const auto tightest = tightest_moment(
        axis,
        ElasticMode{.natural_frequency = hertz(load.frequency),
                    .damping_ratio = DampingRatio(load.damping_ratio)},
        {.speed = metres_per_second(speed),
         .acceleration = metres_per_second_squared(acceleration),
         .stroke = metres(stroke),
         .jerk_time = seconds(jerk_time),
         .in_succession = count,
         .dwell = seconds(dwell)},
        [&](Speed v) { return newton_metres(1.0 - fall * in_metres_per_second(v)); });
    const double integrated = testing::least_margin_in_time(
        load, {.top = top, .acceleration = acceleration, .stroke = stroke, .jerk_time = jerk_time},
        count, dwell, [&](double v) { return (1.0 - fall * v) / 0.01; });
    CHECK(tightest.margin <= 1.001 * integrated);
    closest = std::min(closest, integrated / tightest.margin);
  }
  // Not safe by being far too careful: some case comes near.
  CHECK(closest < 1.05);
}

TEST_CASE("a smoothed ramp asks for torque while its acceleration fades", "[motion][property]") {
  // A stiff drive, friction of 2 M a, a jerk time as long as the ramp and a motor of constant
  // power. Where the part w of the acceleration is left, the speed is v (1 - w^2/2) and the power
  // M a v (2 + w)(1 - w^2/2): largest at w = (sqrt 10 - 2)/3, 2.2083 M a v. Full acceleration ends
  // at 3 * 0.5 and the cruise takes 2.
  const ElasticMode stiff{.natural_frequency = hertz(2000), .damping_ratio = DampingRatio(0.05)};
  const double power = 30.0;  // W
  const auto tightest = tightest_moment(
      two_kilograms(newtons(20)), stiff, one_move(metres(1), seconds(0.1)), [&](Speed v) {
        return newton_metres(0.012 * power / std::max(1e-3, in_metres_per_second(v)));
      });
  CHECK(tightest.demand.phase == motion::MovePhase::speeding_up);
  CHECK_THAT(tightest.margin, WithinRel(power / (2.2083 * 2.0 * 5.0 * 0.5), 5e-3));
}

TEST_CASE("largest_holding finds the first failure and not an isolated pass above it",
          "[motion][property]") {
  const auto most = metres_per_second_squared(100);
  const auto holds = [](Acceleration a) {
    const double x = in_metres_per_second_squared(a);
    return x < 7.0 || (x > 20.0 && x < 30.0);
  };
  CHECK_THAT(in_metres_per_second_squared(motion::largest_holding(most, holds)),
             WithinRel(7.0, 2e-6));
  CHECK(motion::largest_holding(most, [](Acceleration) { return true; }) == most);
  CHECK(motion::largest_holding(most, [](Acceleration) { return false; }) == Acceleration{});
}

TEST_CASE("move_demand refuses what its table excludes", "[motion][error]") {
  const auto demand = [](RunningMove move, const ElasticMode& load = undamped) {
    return move_demand(two_kilograms(), load, move);
  };
  RunningMove move = one_move(metres(1));
  move.speed = unset<Speed>();
  CHECK_THROWS_MATCHES(demand(move), InvalidInput, Message("speed must be > 0, got nan m/s"));
  move = one_move(metres(0));
  CHECK_THROWS_MATCHES(demand(move), InvalidInput, Message("stroke must be > 0, got 0 m"));
  move = one_move(metres(1), seconds(-0.1));
  CHECK_THROWS_MATCHES(demand(move), InvalidInput, Message("jerk time must be >= 0, got -0.1 s"));
  move = one_move(metres(1));
  move.in_succession = 0;
  CHECK_THROWS_MATCHES(demand(move), InvalidInput,
                       Message("moves in succession must be >= 1, got 0"));
  move = one_move(metres(1));
  move.dwell = unset<Time>();
  CHECK_THROWS_AS(demand(move), InvalidInput);
  move = one_move(metres(1));
  move.acceleration = unset<Acceleration>();
  CHECK_THROWS_AS(demand(move), InvalidInput);
  CHECK_THROWS_AS(demand(one_move(metres(1)), {.natural_frequency = unset<Frequency>(),
                                               .damping_ratio = DampingRatio(0)}),
                  InvalidInput);
}

}  // namespace
}  // namespace pitchline
