#include "pitchline/motion/duty.hpp"

#include <cmath>
#include <limits>
#include <numbers>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::DutySegment;
using testing::IsNear;

using Cycle = std::vector<DutySegment>;

Cycle published_cycle(std::string_view name, double* rms, double* half_digit) {
  Cycle cycle;
  for (const testing::CsvRow& row : testing::published("duty.csv")) {
    if (row.text("case") != name) continue;
    cycle.push_back({.duration = seconds(row.number("duration_s")),
                     .torque = newton_metres(row.number("torque_Nm"))});
    *rms = row.number("rms_Nm");
    *half_digit = row.half_digit("rms_Nm");
  }
  return cycle;
}

TEST_CASE("rms_torque gives a published reversing mill and a small cycle", "[motion][published]") {
  // reference/published/duty.csv. [Dubey] ex. 4.2, Q2, printed: 45 975 N*m and 962.9 kW.
  double rms = 0.0;
  double half = 0.0;
  const Cycle mill = published_cycle("reversing mill", &rms, &half);
  REQUIRE(mill.size() == 8);
  const Torque torque = motion::rms_torque(mill);
  CHECK_THAT(torque, IsNear(newton_metres(rms), newton_metres(half)));
  CHECK_THAT(torque, IsNear(newton_metres(45'975), newton_metres(0.5)));
  CHECK_THAT(Power(torque * revolutions_per_minute(200)), IsNear(watts(962'895), watts(0.5)));
  // The torque of the reversal: 1e4 kg*m2 from +200 to -200 rpm in 5 s.
  const Torque reversal =
      kilogram_square_metres(1e4) * (2.0 * revolutions_per_minute(200) / seconds(5));
  CHECK_THAT(reversal, IsNear(mill[2].torque, newton_metres(0.005)));
  CHECK(motion::cycle_time(mill) == seconds(39));
  CHECK(motion::peak_torque(mill) == mill[2].torque);

  const Cycle mini = published_cycle("mini", &rms, &half);
  REQUIRE(mini.size() == 4);
  CHECK_THAT(motion::rms_torque(mini), IsNear(newton_metres(rms), newton_metres(half)));
}

TEST_CASE("power and energy of a hand-computed cycle", "[motion][property]") {
  // Up to 100 rad/s in 0.1 s with 2 N*m: 2 * 50 * 0.1 = 10 J, peak 200 W. 0.3 s with 0.5 N*m:
  // 15 J. Down with -1 N*m: -5 J, peak -100 W. Sum 20 J in 1 s.
  const AngularSpeed top = radians_per_second(100);
  const AngularSpeed rest{};
  const Cycle cycle{{.duration = seconds(0.1),
                     .torque = newton_metres(2),
                     .speed_at_start = rest,
                     .speed_at_end = top},
                    {.duration = seconds(0.3),
                     .torque = newton_metres(0.5),
                     .speed_at_start = top,
                     .speed_at_end = top},
                    {.duration = seconds(0.1),
                     .torque = newton_metres(-1),
                     .speed_at_start = top,
                     .speed_at_end = rest},
                    {.duration = seconds(0.5), .torque = newton_metres(0)}};
  CHECK_THAT(in_joules(motion::shaft_energy(cycle).driving), WithinRel(25.0, 1e-12));
  CHECK_THAT(in_joules(motion::shaft_energy(cycle).returned), WithinRel(5.0, 1e-12));
  CHECK_THAT(in_watts(motion::mean_power(cycle)), WithinRel(20.0, 1e-12));
  CHECK_THAT(in_watts(motion::peak_power(cycle)), WithinRel(200.0, 1e-12));
  CHECK_THAT(in_watts(motion::peak_braking_power(cycle)), WithinRel(100.0, 1e-12));
  CHECK(motion::peak_torque(cycle) == newton_metres(2));
}

TEST_CASE("a repeated segment counts like its copies", "[motion][property]") {
  const int times = GENERATE(1, 3, 40);
  CAPTURE(times);
  const DutySegment one{.duration = seconds(0.2),
                        .torque = newton_metres(-1.5),
                        .speed_at_start = radians_per_second(30),
                        .speed_at_end = radians_per_second(10),
                        .current = amperes(2)};
  const DutySegment other{
      .duration = seconds(0.7), .torque = newton_metres(0.4), .current = amperes(1)};
  DutySegment repeated = one;
  repeated.times = times;
  Cycle copies{other};
  for (int i = 0; i < times; ++i) copies.push_back(one);
  const Cycle counted{repeated, other};
  CHECK_THAT(number(motion::cycle_time(counted) / motion::cycle_time(copies)),
             WithinRel(1.0, 1e-12));
  CHECK_THAT(number(motion::rms_torque(counted) / motion::rms_torque(copies)),
             WithinRel(1.0, 1e-12));
  CHECK_THAT(number(motion::rms_current(counted) / motion::rms_current(copies)),
             WithinRel(1.0, 1e-12));
  CHECK_THAT(number(motion::mean_power(counted) / motion::mean_power(copies)),
             WithinRel(1.0, 1e-12));
  CHECK(motion::peak_braking_power(counted) == motion::peak_braking_power(copies));
  repeated.times = 0;  // does not occur
  CHECK(motion::peak_torque({repeated, other}) == other.torque);
  CHECK(motion::peak_braking_power({repeated, other}) == watts(0));
}

TEST_CASE("RMS torque lies between mean and peak and scales with torque, not with time",
          "[motion][property]") {
  const double a = GENERATE(take(10, random(-3.0, 3.0)));
  const double b = GENERATE(take(3, random(-3.0, 3.0)));
  CAPTURE(a, b);
  const auto cycle = [&](double torque, double time) {
    return Cycle{{.duration = seconds(0.3 * time), .torque = newton_metres(a * torque)},
                 {.duration = seconds(0.9 * time), .torque = newton_metres(b * torque)}};
  };
  const Torque rms = motion::rms_torque(cycle(1, 1));
  CHECK(rms <= motion::peak_torque(cycle(1, 1)) * (1 + 1e-12));
  CHECK(in_newton_metres(rms) * (1 + 1e-12) >=
        std::abs(0.25 * a + 0.75 * b));  // times 0.3 and 0.9 of 1.2
  CHECK_THAT(number(motion::rms_torque(cycle(-2, 1)) / rms), WithinRel(2.0, 1e-12));
  CHECK_THAT(number(motion::rms_torque(cycle(1, 7)) / rms), WithinRel(1.0, 1e-12));
}

TEST_CASE("the current of a stepper follows its driver's setting", "[motion][property]") {
  // 2 A for 1 s and half of it for 3 s: sqrt((4 + 3)/4) A.
  CHECK_THAT(in_amperes(motion::rms_current({.running = amperes(2),
                                             .at_rest = amperes(1),
                                             .moving = seconds(1),
                                             .resting = seconds(3)})),
             WithinRel(std::sqrt(7.0 / 4.0), 1e-12));
  // No reduction: the setting itself, whatever the times; never at rest: the running current.
  CHECK_THAT(in_amperes(motion::rms_current({.running = amperes(2),
                                             .at_rest = amperes(2),
                                             .moving = seconds(0.3),
                                             .resting = seconds(8)})),
             WithinRel(2.0, 1e-12));
  CHECK_THAT(in_amperes(motion::rms_current({.running = amperes(2),
                                             .at_rest = amperes(0),
                                             .moving = seconds(5),
                                             .resting = seconds(0)})),
             WithinRel(2.0, 1e-12));
}

TEST_CASE("the figures of a cycle refuse what their tables exclude", "[motion][error]") {
  const DutySegment good{.duration = seconds(1), .torque = newton_metres(1), .current = amperes(1)};
  const auto refuses = [&](const Cycle& cycle, const char* text) {
    CHECK_THROWS_MATCHES(motion::cycle_time(cycle), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(motion::rms_torque(cycle), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(motion::peak_torque(cycle), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(motion::shaft_energy(cycle), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(motion::mean_power(cycle), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(motion::peak_power(cycle), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(motion::peak_braking_power(cycle), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(motion::rms_current(cycle), InvalidInput, Message(text));
  };
  const auto spoiled = [&](auto spoil) {
    DutySegment bad = good;
    spoil(bad);
    return Cycle{good, bad};
  };
  refuses({}, "cycle time must be > 0, got 0 s");
  refuses(spoiled([](auto& x) { x.duration = unset<Time>(); }), "duration must be >= 0, got nan s");
  refuses(spoiled([](auto& x) { x.duration = seconds(-1); }), "duration must be >= 0, got -1 s");
  refuses(spoiled([](auto& x) { x.torque = unset<Torque>(); }),
          "torque must be finite, got nan N*m");
  refuses(spoiled([](auto& x) { x.speed_at_start = radians_per_second(-1); }),
          "speed of the shaft must be >= 0, got -1 rad/s");
  refuses(spoiled([](auto& x) { x.speed_at_end = unset<AngularSpeed>(); }),
          "speed of the shaft must be >= 0, got nan rad/s");
  refuses(spoiled([](auto& x) { x.current = amperes(-1); }), "current must be >= 0, got -1 A");
  refuses(spoiled([](auto& x) { x.times = -1; }), "times must be >= 0, got -1");
  CHECK_THROWS_MATCHES(motion::rms_current(spoiled([](auto& x) { x.current = std::nullopt; })),
                       InvalidInput, Message("current of each segment must be >= 0, got nan A"));
  motion::StepperCurrent stepper{
      .running = amperes(2), .at_rest = amperes(1), .moving = seconds(0), .resting = seconds(0)};
  CHECK_THROWS_MATCHES(motion::rms_current(stepper), InvalidInput,
                       Message("cycle time must be > 0, got 0 s"));
  stepper.moving = seconds(1);
  stepper.at_rest = unset<Current>();
  CHECK_THROWS_MATCHES(motion::rms_current(stepper), InvalidInput,
                       Message("current must be >= 0, got nan A"));
}

}  // namespace
}  // namespace pitchline
