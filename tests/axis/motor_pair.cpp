#include "pitchline/axis/motor_pair.hpp"

#include <algorithm>
#include <cmath>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using axis::BeamLoad;
using axis::MotorPair;
using axis::OneSideStands;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

// The kite loft's long axis, our own invented machine: 20 teeth of 2 mm, 1.8°, belts 1300 mm apart.
MotorPair pair() {
  return {.transmission = millimetres(40) / revolution,
          .full_steps_per_turn = full_steps(200),
          .belt_distance = millimetres(1300)};
}
OneSideStands stands() {
  return {.pull_out_torque = newton_metres(0.3),
          .friction = newtons(4),
          .speed = millimetres_per_second(200),
          .until_noticed = seconds(0.2)};
}
const BeamLoad load{.beam = kilograms(3), .carriage = kilograms(0.9)};

bool begins(const OutsideValidity& e, const char* text) {
  return std::string(e.what()).find(text) == 0;
}

TEST_CASE("the shares of a pair add up and balance about the carriage's place",
          "[axis][property]") {
  const double place = GENERATE(0.0, 0.2, 0.5, 0.8, 1.0);
  CAPTURE(place);
  const axis::PairShares shares = axis::load_shares(load, place);
  const double first = in_kilograms(shares.first);
  const double second = in_kilograms(shares.second);
  CHECK_THAT(first + second, WithinRel(3.9, 1e-14));
  // Moments about the first belt, in beam lengths: what the second carries is at 1.
  CHECK_THAT(second, WithinRel(3.0 * 0.5 + 0.9 * place, 1e-14));
  CHECK(shares.larger() == (place < 0.5 ? shares.first : shares.second));
  CHECK(axis::deciding_share(load) >= shares.larger());
}

TEST_CASE("the deciding share is met with the carriage at either end", "[axis][property]") {
  CHECK_THAT(in_kilograms(axis::deciding_share(load)), WithinRel(2.4, 1e-14));
  CHECK(axis::load_shares(load, 0.0).first == axis::load_shares(load, 1.0).second);
  CHECK(axis::deciding_share(load) == axis::load_shares(load, 1.0).larger());
}

TEST_CASE("two rotors settle no further apart than four full steps", "[axis][property]") {
  // By trial: rotors at any place, in full steps, settle at the nearest place p + 4 n of their
  // field p; whatever the fields, one side gains at most 4 steps on the other.
  double most = 0.0;
  double most_of_one = 0.0;
  const auto settled = [](double rotor, double field) {
    return field + 4 * std::round((rotor - field) / 4);
  };
  for (double a = 0; a < 4; a += 0.1)
    for (double b = 0; b < 4; b += 0.1)
      for (const double field : {0.0, 0.5, 1.0, 3.3}) {
        const double by_a = settled(a, field) - a;
        const double by_b = settled(b, field) - b;
        most = std::max(most, std::abs(by_a - by_b));
        most_of_one = std::max(most_of_one, std::abs(by_a));
      }
  CHECK_THAT(most, WithinAbs(4.0, 0.11));
  CHECK(most <= 4.0 + 1e-9);
  const axis::StartJump jump = axis::start_jump(pair());
  const double step = in_metres(axis::travel_per_full_step(pair()));
  CHECK_THAT(step, WithinRel(0.04 / 200, 1e-14));  // 40 mm over 200 steps
  CHECK(in_metres(jump.apart) / step >= most - 1e-9);
  CHECK(in_metres(jump.each) / step >= most_of_one - 1e-9);
  CHECK_THAT(in_millimetres(jump.apart), WithinRel(0.8, 1e-13));
  CHECK_THAT(in_millimetres(jump.each), WithinRel(0.4, 1e-13));
  CHECK_THAT(in_radians(jump.skew), WithinRel(0.8 / 1300, 1e-13));
}

TEST_CASE("motors of half the step angle start half as far from square", "[axis][property]") {
  MotorPair fine = pair();
  fine.full_steps_per_turn = full_steps(400);
  CHECK_THAT(number(axis::start_jump(fine).apart / axis::start_jump(pair()).apart),
             WithinRel(0.5, 1e-14));
  CHECK(axis::lost_per_stall(fine) == axis::start_jump(fine).apart);
  CHECK_THAT(in_millimetres(axis::lost_per_stall(pair())), WithinRel(0.8, 1e-13));
}

TEST_CASE("racking is speed times time while nothing resists", "[axis][property]") {
  const axis::Racking met = axis::racking(pair(), stands());
  // 0.3 N·m on 6.366 mm is 47.12 N, less 4 N; times 1.3 m.
  const double force = 0.3 * 2 * std::numbers::pi / 0.04 - 4;
  CHECK_THAT(in_newtons(met.force), WithinRel(force, 1e-13));
  CHECK_THAT(in_newton_metres(met.guide_moment), WithinRel(force * 1.3, 1e-13));
  CHECK_THAT(in_millimetres(met.lag), WithinRel(40.0, 1e-13));
  CHECK_THAT(in_radians(met.skew), WithinRel(40.0 / 1300, 1e-13));
  CHECK_FALSE(met.running_motor_stalls);
  OneSideStands unnoticed = stands();
  unnoticed.until_noticed = seconds(0);
  CHECK(axis::racking(pair(), unnoticed).lag == metres(0));
}

TEST_CASE("stiff guides stop the running motor where they answer its force", "[axis][property]") {
  OneSideStands side = stands();
  double last = 1e9;
  bool stalled = false;
  for (const double stiffness : {1.0, 100.0, 1e3, 2e3, 1e4, 1e6}) {
    CAPTURE(stiffness);
    side.racking_stiffness = newton_metres_per_radian(stiffness);
    const axis::Racking met = axis::racking(pair(), side);
    const double lag = in_metres(met.lag);
    CHECK(lag <= last);
    CHECK(met.running_motor_stalls >= stalled);  // once it stalls, stiffer guides stall it too
    last = lag;
    stalled = met.running_motor_stalls;
    const double answer = stiffness * in_radians(met.skew) / 1.3;  // force at the running belt
    if (stalled) CHECK_THAT(answer, WithinRel(in_newtons(met.force), 1e-12));
    CHECK(answer <= in_newtons(met.force) * (1 + 1e-12));
    // The work put in covers what the guides store.
    CHECK(in_newtons(met.force) * lag >=
          0.5 * stiffness * std::pow(in_radians(met.skew), 2) * (1 - 1e-12));
  }
  CHECK(stalled);
  side.racking_stiffness = unlimited<TorsionalStiffness>();
  CHECK(axis::racking(pair(), side).lag == metres(0));
}

TEST_CASE("racking_stiffness is the moment of its blocks", "[axis][property]") {
  // Two rails, blocks 80 mm apart, 20 N/um: 0.001 rad moves each by 40 um, 800 N on 40 mm, times 4
  // blocks: 128 N·m.
  const axis::GuideBlocks guide{.block_stiffness = newtons_per_metre(20e6),
                                .spacing = millimetres(80)};
  CHECK_THAT(in_newton_metres_per_radian(axis::racking_stiffness(guide)),
             WithinRel(128.0 / 0.001, 1e-13));
  axis::GuideBlocks one = guide;
  one.guiding_rails = 1;
  CHECK_THAT(number(axis::racking_stiffness(one) / axis::racking_stiffness(guide)),
             WithinRel(0.5, 1e-14));
  one.spacing = 2.0 * one.spacing;
  CHECK_THAT(number(axis::racking_stiffness(one) / axis::racking_stiffness(guide)),
             WithinRel(2.0, 1e-14));
}

TEST_CASE("a pair with a figure outside its range is refused by name", "[axis][error]") {
  const auto refuses = [](auto spoil, const char* text) {
    MotorPair bad = pair();
    spoil(bad);
    CHECK_THROWS_MATCHES(axis::travel_per_full_step(bad), InvalidInput, Message(text));
    CHECK_THROWS_AS(axis::lost_per_stall(bad), InvalidInput);
    CHECK_THROWS_AS(axis::start_jump(bad), InvalidInput);
    CHECK_THROWS_AS(axis::racking(bad, stands()), InvalidInput);
  };
  refuses([](auto& x) { x.transmission = unset<Transmission>(); },
          "transmission must be > 0, got nan m/rad");
  refuses([](auto& x) { x.full_steps_per_turn = unset<FullSteps>(); },
          "full steps per turn must be >= 4, got nan");
  refuses([](auto& x) { x.belt_distance = metres(0); }, "belt distance must be > 0, got 0 mm");
  CHECK_THROWS_MATCHES(axis::load_shares({.carriage = kilograms(1)}, 0.5), InvalidInput,
                       Message("beam mass must be >= 0, got nan kg"));
  CHECK_THROWS_MATCHES(axis::deciding_share({.beam = kilograms(1)}), InvalidInput,
                       Message("carriage mass must be >= 0, got nan kg"));
  CHECK_THROWS_MATCHES(axis::load_shares(load, 1.5), InvalidInput,
                       Message("place of the carriage must be from 0 to 1, got 1.5"));
  CHECK_THROWS_AS(axis::load_shares(load, std::nan("")), InvalidInput);
}

TEST_CASE("a stalled side with a figure outside its range is refused by name", "[axis][error]") {
  const auto refuses = [](auto spoil, const char* text) {
    OneSideStands bad = stands();
    spoil(bad);
    CHECK_THROWS_MATCHES(axis::racking(pair(), bad), InvalidInput, Message(text));
  };
  refuses([](auto& x) { x.pull_out_torque = unset<Torque>(); },
          "pull-out torque must be > 0, got nan N*m");
  refuses([](auto& x) { x.friction = unset<Force>(); }, "friction must be >= 0, got nan N");
  refuses([](auto& x) { x.speed = unset<Speed>(); }, "speed must be >= 0, got nan mm/s");
  refuses([](auto& x) { x.until_noticed = seconds(-1); },
          "time until noticed must be >= 0, got -1 s");
  refuses([](auto& x) { x.racking_stiffness = unset<TorsionalStiffness>(); },
          "racking stiffness must be >= 0, got nan N*m/rad");
  axis::GuideBlocks bad{.block_stiffness = newtons_per_metre(1e7), .spacing = millimetres(80)};
  bad.guiding_rails = 3;
  CHECK_THROWS_MATCHES(axis::racking_stiffness(bad), InvalidInput,
                       Message("guiding rails must be 1 or 2, got 3"));
  bad = {.spacing = millimetres(80)};
  CHECK_THROWS_MATCHES(axis::racking_stiffness(bad), InvalidInput,
                       Message("block stiffness must be > 0, got nan N/m"));
  bad = {.block_stiffness = newtons_per_metre(1e7)};
  CHECK_THROWS_MATCHES(axis::racking_stiffness(bad), InvalidInput,
                       Message("block spacing must be > 0, got nan mm"));
}

TEST_CASE("a pair beyond small angles or stuck in its own friction is outside validity",
          "[axis][error]") {
  using Catch::Matchers::Predicate;
  OneSideStands side = stands();
  side.until_noticed = seconds(0.64);  // 128 mm over 1300 mm
  CHECK_NOTHROW(axis::racking(pair(), side));
  side.until_noticed = seconds(0.66);
  CHECK_THROWS_MATCHES(axis::racking(pair(), side), OutsideValidity,
                       Predicate<OutsideValidity>(
                           [](const auto& e) { return begins(e, "the beam is out of square"); }));
  side = stands();
  side.friction = newtons(50);
  CHECK_THROWS_MATCHES(axis::racking(pair(), side), OutsideValidity,
                       Predicate<OutsideValidity>(
                           [](const auto& e) { return begins(e, "the running motor pulls"); }));
  MotorPair narrow = pair();
  narrow.belt_distance = millimetres(7);
  CHECK_THROWS_AS(axis::start_jump(narrow), OutsideValidity);
}

}  // namespace
}  // namespace pitchline
