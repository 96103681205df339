#include "pitchline/motion/trapezoid.hpp"

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::fastest_trapezoid;
using motion::MoveLimits;
using motion::Trapezoid;
using motion::trapezoid_in_time;

Speed km_per_h(double x) { return metres_per_second(x / 3.6); }
Acceleration km_per_h_per_s(double x) { return metres_per_second_squared(x / 3.6); }
double in_km_per_h(Speed x) { return 3.6 * in_metres_per_second(x); }

TEST_CASE("trapezoid_in_time gives the printed acceleration of a train", "[motion][published]") {
  // [Thareja] ex. 43.2, Q2: 1.5 km, 36 km/h schedule with a 25 s stop, braking at
  // 3 km/h/s, top over mean speed 1.25. Printed: 1.7 km/h/s. So 125 s, mean 43.2, top 54 km/h.
  const auto top = [](double rate) {
    return in_km_per_h(trapezoid_in_time({.distance = metres(1500),
                                          .duration = seconds(125),
                                          .acceleration = km_per_h_per_s(rate),
                                          .deceleration = km_per_h_per_s(3)})
                           .top_speed);
  };
  CHECK(top(1.65) > 54.0);  // half a unit of the printed digit to each side
  CHECK(top(1.75) < 54.0);
  CHECK_THAT(top(1.6875), WithinAbs(54.0, 1e-9));  // recomputed, C
}

TEST_CASE("fastest_trapezoid gives the printed schedule speed of a train", "[motion][published]") {
  // [Thareja] ex. 43.3, Q2: 1.5 km at 1.8 and 3.6 km/h/s, top over mean speed 1.25,
  // stop of 21 s. Printed: schedule speed 38.7 km/h; top speed 56.92 km/h (C).
  const Trapezoid run = fastest_trapezoid(metres(1500), {.speed = km_per_h(56.92),
                                                         .acceleration = km_per_h_per_s(1.8),
                                                         .deceleration = km_per_h_per_s(3.6)});
  const Speed mean = metres(1500) / run.duration();
  CHECK_THAT(number(run.top_speed / mean), WithinAbs(1.25, 0.0005));
  const Speed schedule = metres(1500) / (run.duration() + seconds(21));
  CHECK_THAT(in_km_per_h(schedule), WithinAbs(38.7, 0.05));
}

TEST_CASE("a trapezoid gives the printed distance and mean speed of a long run",
          "[motion][published]") {
  // [Gupta] ex. 7.1, Q2: 30 s up and down at 5 km/h/s, 10 min between. Printed:
  // 26.25 km, 143.18 km/h.
  const Trapezoid run{.top_speed = km_per_h(150),
                      .speeding_up = seconds(30),
                      .cruising = seconds(600),
                      .slowing_down = seconds(30)};
  CHECK_THAT(in_metres(motion::distance(run)), WithinAbs(26'250, 5));
  CHECK_THAT(in_km_per_h(motion::distance(run) / run.duration()), WithinAbs(143.18, 0.005));
  const Trapezoid back = trapezoid_in_time({.distance = metres(26'250),
                                            .duration = seconds(660),
                                            .acceleration = km_per_h_per_s(5),
                                            .deceleration = km_per_h_per_s(5)});
  CHECK_THAT(in_km_per_h(back.top_speed), WithinAbs(150, 1e-6));
  CHECK_THAT(in_seconds(back.cruising), WithinAbs(600, 1e-6));
}

TEST_CASE("a triangle peaks at twice its mean speed and a move of thirds at one and a half",
          "[motion][published]") {
  // Mean 216 in/min over 36 in in 10 s, triangular peak 432 in/min: [Nook application], Q.
  const Speed inch_per_minute = inches(1) / seconds(60);
  const Trapezoid triangle =
      trapezoid_in_time({.distance = inches(36),
                         .duration = seconds(10),
                         .acceleration = (432.0 * inch_per_minute) / seconds(5),
                         .deceleration = (432.0 * inch_per_minute) / seconds(5)});
  // Twice the mean is a double root, so half the digits are lost in it.
  CHECK_THAT(number(triangle.top_speed / inch_per_minute), WithinAbs(432, 1e-3));
  const Trapezoid thirds{.top_speed = millimetres_per_second(300),
                         .speeding_up = seconds(1),
                         .cruising = seconds(1),
                         .slowing_down = seconds(1)};
  CHECK_THAT(number(thirds.top_speed / Speed(motion::distance(thirds) / thirds.duration())),
             WithinRel(1.5, 1e-12));  // [linearmotiontips], Q
}

TEST_CASE("fastest_trapezoid gives the tabled times of two drives", "[motion][published]") {
  // reference/published/accel.csv: independent derivation (C).
  for (const testing::CsvRow& row : testing::published("accel.csv")) {
    CAPTURE(row.text("case"));
    const Acceleration a = metres_per_second_squared(row.number("a_opt_m_s2"));
    const Trapezoid move = fastest_trapezoid(metres(row.number("stroke_m")),
                                             {.speed = metres_per_second(row.number("v_opt_m_s")),
                                              .acceleration = a,
                                              .deceleration = a});
    CHECK_THAT(in_seconds(move.duration()), WithinAbs(row.number("t_opt_s"), 1.5e-9));
    CHECK_THAT(in_seconds(move.speeding_up), WithinAbs(row.number("t_acc_s"), 1.5e-9));
    CHECK_THAT(in_seconds(move.cruising), WithinAbs(row.number("t_cruise_s"), 3e-9));
  }
}

TEST_CASE("fastest_trapezoid covers its distance within its limits and none is faster",
          "[motion][property]") {
  const double s = GENERATE(take(6, random(0.001, 2.0)));
  const double v = GENERATE(0.05, 0.6, 3.0);
  const double up = GENERATE(0.5, 5.0);
  const double down = GENERATE(0.5, 9.0);
  CAPTURE(s, v, up, down);
  const MoveLimits limits{.speed = metres_per_second(v),
                          .acceleration = metres_per_second_squared(up),
                          .deceleration = metres_per_second_squared(down)};
  const Trapezoid move = fastest_trapezoid(metres(s), limits);
  CHECK_THAT(in_metres(motion::distance(move)), WithinRel(s, 1e-12));
  CHECK(move.top_speed <= limits.speed);
  CHECK(move.cruising >= seconds(0));
  CHECK_THAT(number(Speed(limits.acceleration * move.speeding_up) / move.top_speed),
             WithinRel(1.0, 1e-12));
  CHECK_THAT(number(Speed(limits.deceleration * move.slowing_down) / move.top_speed),
             WithinRel(1.0, 1e-12));
  MoveLimits less = limits;
  less.acceleration = 0.9 * limits.acceleration;
  CHECK(fastest_trapezoid(metres(s), less).duration() > move.duration());
  less = limits;
  less.speed = 0.9 * move.top_speed;
  CHECK(fastest_trapezoid(metres(s), less).duration() > move.duration());

  // trapezoid_in_time, given its duration, finds the same move.
  if (move.cruising > seconds(1e-6)) {
    const Trapezoid same = trapezoid_in_time({.distance = metres(s),
                                              .duration = move.duration(),
                                              .acceleration = limits.acceleration,
                                              .deceleration = limits.deceleration});
    CHECK_THAT(number(same.top_speed / move.top_speed), WithinRel(1.0, 1e-6));
  }
}

TEST_CASE("trapezoid_in_time covers its distance in its time", "[motion][property]") {
  const double s = GENERATE(take(8, random(0.0, 2.0)));
  const double slack = GENERATE(1.0001, 1.2, 5.0);
  CAPTURE(s, slack);
  const Acceleration up = metres_per_second_squared(2);
  const Acceleration down = metres_per_second_squared(5);
  const double least = std::sqrt(2.0 * s * (1.0 / 2.0 + 1.0 / 5.0));
  const Time time = seconds(slack * least + 1e-9);
  const Trapezoid move = trapezoid_in_time(
      {.distance = metres(s), .duration = time, .acceleration = up, .deceleration = down});
  CHECK_THAT(in_metres(motion::distance(move)), WithinRel(s, 1e-9));
  CHECK_THAT(in_seconds(move.duration()), WithinRel(in_seconds(time), 1e-12));
  CHECK(move.cruising > seconds(0));
}

TEST_CASE("a move of no distance takes no time", "[motion][property]") {
  const Trapezoid move =
      fastest_trapezoid(metres(0), {.speed = unlimited<Speed>(),
                                    .acceleration = metres_per_second_squared(1),
                                    .deceleration = metres_per_second_squared(1)});
  CHECK(move.duration() == seconds(0));
  CHECK(move.top_speed == metres_per_second(0));
}

TEST_CASE("fastest_trapezoid and trapezoid_in_time refuse what their tables exclude",
          "[motion][error]") {
  const Acceleration one = metres_per_second_squared(1);
  const MoveLimits good{.speed = metres_per_second(1), .acceleration = one, .deceleration = one};
  CHECK_THROWS_MATCHES(fastest_trapezoid(metres(-1), good), InvalidInput,
                       Message("distance must be >= 0, got -1 m"));
  CHECK_THROWS_AS(fastest_trapezoid(unset<Length>(), good), InvalidInput);
  CHECK_THROWS_AS(fastest_trapezoid(unlimited<Length>(), good), InvalidInput);
  MoveLimits bad = good;
  bad.speed = unset<Speed>();
  CHECK_THROWS_MATCHES(fastest_trapezoid(metres(1), bad), InvalidInput,
                       Message("speed must be > 0, got nan m/s"));
  bad = good;
  bad.acceleration = metres_per_second_squared(0);
  CHECK_THROWS_MATCHES(fastest_trapezoid(metres(1), bad), InvalidInput,
                       Message("acceleration must be > 0, got 0 m/s^2"));
  bad = good;
  bad.deceleration = unset<Acceleration>();
  CHECK_THROWS_MATCHES(fastest_trapezoid(metres(1), bad), InvalidInput,
                       Message("deceleration must be > 0, got nan m/s^2"));
  CHECK_THROWS_MATCHES(trapezoid_in_time({.distance = unset<Length>(),
                                          .duration = seconds(1),
                                          .acceleration = one,
                                          .deceleration = one}),
                       InvalidInput, Message("distance must be >= 0, got nan m"));
  CHECK_THROWS_MATCHES(trapezoid_in_time({.distance = metres(1),
                                          .duration = seconds(0),
                                          .acceleration = one,
                                          .deceleration = one}),
                       InvalidInput, Message("duration must be > 0, got 0 s"));
  CHECK_THROWS_AS(trapezoid_in_time({.distance = metres(1),
                                     .duration = seconds(9),
                                     .acceleration = unset<Acceleration>(),
                                     .deceleration = one}),
                  InvalidInput);
  CHECK_THROWS_AS(trapezoid_in_time({.distance = metres(1),
                                     .duration = seconds(9),
                                     .acceleration = one,
                                     .deceleration = -one}),
                  InvalidInput);
}

TEST_CASE("trapezoid_in_time says what time the ramps need at least", "[motion][error]") {
  // 1 m at 1 and 1 m/s2: a triangle of 2 s.
  const Acceleration one = metres_per_second_squared(1);
  CHECK_NOTHROW(trapezoid_in_time(
      {.distance = metres(1), .duration = seconds(2), .acceleration = one, .deceleration = one}));
  CHECK_THROWS_MATCHES(
      trapezoid_in_time({.distance = metres(1),
                         .duration = seconds(1.99),
                         .acceleration = one,
                         .deceleration = one}),
      OutsideValidity,
      Message("1000 mm cannot be covered in 1.990 s: these ramps need at least 2.000 s"));
}

}  // namespace
}  // namespace pitchline
