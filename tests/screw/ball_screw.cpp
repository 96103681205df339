#include "pitchline/screw/ball_screw_life.hpp"

#include <cmath>
#include <numbers>

#include "pitchline/screw/ball_screw_size.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using screw::ball_screw_life;
using screw::BallScrewSize;
using screw::mean_load;
using testing::IsNear;

TEST_CASE("life of balls gives the printed hours and rating of ball bearings",
          "[screw][published]") {
  // The same law. [Wentzell] 20.1, Q2: 5050 lb, 2400 lb, 1750 rpm: 88.73 h (88.726, C); 20.2:
  // 200 h ask for 6621 lb.
  const AngularSpeed speed = revolutions_per_minute(1750);
  const Angle life = ball_screw_life(
      {.dynamic_rating = pounds_force(5050), .mean_load = pounds_force(2400), .load_factor = 1.0});
  CHECK_THAT(in_seconds(life / speed) / 3600, WithinAbs(88.73, 0.005));
  CHECK_THAT(screw::needed_dynamic_rating(seconds(200 * 3600.0) * speed, pounds_force(2400), 1.0),
             IsNear(pounds_force(6621), pounds_force(0.5)));
}

TEST_CASE("a table with balls has the printed life", "[screw][published]") {
  // [THK KR] p. 13, Q: 790 N on average, 3.25e6 km at 50 km of base; C/f_w of 31.8 kN is what that
  // implies (C). Cubic, so the base of 50 km goes as 10⁶ turns.
  const Angle life = ball_screw_life(
      {.dynamic_rating = newtons(31'800), .mean_load = newtons(790), .load_factor = 1.0});
  CHECK_THAT(in_revolutions(life) / 1e6 * 50, WithinAbs(3.25e6, 0.015e6));
}

TEST_CASE("life and the rating that it asks for undo each other", "[screw][property]") {
  const double load = GENERATE(take(10, random(50.0, 2000.0)));
  const double factor = GENERATE(1.0, 1.5, 2.0);
  CAPTURE(load, factor);
  const Force rating = newtons(5000);
  const Angle life = ball_screw_life(
      {.dynamic_rating = rating, .mean_load = newtons(load), .load_factor = factor});
  CHECK_THAT(number(screw::needed_dynamic_rating(life, newtons(load), factor) / rating),
             WithinRel(1.0, 1e-12));
  // Twice the factor: an eighth.
  CHECK_THAT(number(ball_screw_life({.dynamic_rating = rating,
                                     .mean_load = newtons(load),
                                     .load_factor = 2 * factor}) /
                    life),
             WithinRel(0.125, 1e-12));
}

TEST_CASE("the mean load wears a ball screw like the cycle does", "[screw][property]") {
  CHECK_THAT(mean_load({{newtons(300), millimetres(40)}, {newtons(300), metres(9)}}),
             IsNear(newtons(300), newtons(1e-9)));
  // Shares of life add up: each part uses s/L, and L goes as F⁻³.
  const double way = GENERATE(0.1, 1.0, 5.0);
  const double heavy = GENERATE(120.0, 400.0, 1500.0);
  const Force rating = newtons(6000);
  const auto used = [&](double load, double metres_travelled) {
    return metres_travelled /
           in_revolutions(ball_screw_life(
               {.dynamic_rating = rating, .mean_load = newtons(load), .load_factor = 1.0}));
  };
  const Force mean = mean_load(
      {{newtons(heavy), metres(way)}, {newtons(100), metres(2)}, {newtons(0), metres(1)}});
  CHECK_THAT(used(in_newtons(mean), way + 3), WithinRel(used(heavy, way) + used(100, 2), 1e-12));
  CHECK(mean_load({{newtons(0), metres(1)}}) == newtons(0));
  // A load that rises evenly from zero: ∫x³ = 1/4, the cube root of a quarter of the largest.
  std::vector<screw::LoadShare> ramp;
  for (int i = 0; i < 1000; ++i) ramp.push_back({newtons(i + 0.5), metres(1)});
  CHECK_THAT(in_newtons(mean_load(ramp)), WithinRel(1000 * std::cbrt(0.25), 1e-5));
}

TEST_CASE("preload lifts off where the contact on the one side is free", "[screw][published]") {
  // [Steinmeyer], Q: 2.83. Two contacts that give way as F^⅔, pressed together by F_pr: the load F
  // is the difference of both at a shift of 1, where one of them is free.
  CHECK_THAT(screw::lift_off_load(newtons(100)), IsNear(newtons(283), newtons(0.5)));
  const auto contact = [](double depth) { return depth > 0 ? std::pow(depth, 1.5) : 0.0; };
  CHECK_THAT(in_newtons(screw::lift_off_load(newtons(1))),
             WithinRel(contact(1 + 1.0) - contact(1 - 1.0), 1e-12));
  CHECK_THAT(number(screw::needed_preload(screw::lift_off_load(newtons(70))) / newtons(70)),
             WithinRel(1.0, 1e-12));
  // [THK screws], Q: preload of about a third of the largest load.
  CHECK_THAT(in_newtons(screw::needed_preload(newtons(1))), WithinAbs(1.0 / 3.0, 0.025));
}

TEST_CASE("preload drags as a share of what it would turn", "[screw][property]") {
  // 0.2 · 500 N · 5 mm/2π.
  CHECK_THAT(in_newton_metres(screw::preload_drag(newtons(500), millimetres(5), 0.2)),
             WithinRel(0.2 * 500 * 0.005 / (2 * std::numbers::pi), 1e-12));
  // Lead angles of 5 mm on 16 and of 20 mm on 20: factors near the printed 0.1 to 0.3.
  for (const double slope : {5 / (16 * std::numbers::pi), 20 / (20 * std::numbers::pi)}) {
    const double k = screw::drag_factor(radians(std::atan(slope)));
    CHECK_THAT(k * k * slope, WithinRel(0.0025, 1e-12));
    CHECK(k > 0.08);
    CHECK(k < screw::most_drag_factor);
  }
  CHECK(screw::static_safety({.rating = newtons(9000), .largest = newtons(1800)}) ==
        screw::shock_static_safety);
}

BallScrewSize size() {
  // From memory of a usual rolled size, 16 x 5.
  return {.nominal_diameter = millimetres(16),
          .lead = millimetres(5),
          .ball_circle_diameter = millimetres(16.5),
          .ball_diameter = millimetres(3.175),
          .core_diameter = millimetres(13.1)};
}

TEST_CASE("a ball screw's size hangs together", "[screw][property]") {
  CHECK_NOTHROW(screw::require_valid(size()));
  CHECK_THAT(std::tan(in_radians(screw::lead_angle(size()))) * std::numbers::pi * 16.5,
             WithinRel(5.0, 1e-12));
}

TEST_CASE("a ball screw with a figure outside its range of life or size is refused by name",
          "[screw][error]") {
  const auto refuses = [](auto spoil, const char* text) {
    BallScrewSize bad = size();
    spoil(bad);
    CHECK_THROWS_MATCHES(screw::require_valid(bad), InvalidInput, Message(text));
    CHECK_THROWS_AS(screw::lead_angle(bad), InvalidInput);
  };
  refuses([](auto& s) { s.lead = unset<Length>(); }, "lead must be > 0, got nan mm");
  refuses([](auto& s) { s.starts = 0; }, "starts must be from 1 to 20, got 0");
  refuses([](auto& s) { s.ball_circle_diameter = unset<Length>(); },
          "ball circle diameter must be > 0, got nan mm");
  refuses([](auto& s) { s.nominal_diameter = millimetres(20); },
          "nominal diameter must be within 20 % of the ball circle diameter, got 20 mm");
  refuses([](auto& s) { s.starts = 2; },
          "ball diameter must be > 0 and < lead over starts, got 3.175 mm");
  refuses([](auto& s) { s.core_diameter = millimetres(16); },
          "core diameter must be from 0.7 to 1.3 ball diameters below the ball circle, got 16 mm");
  refuses([](auto& s) { s.core_diameter = millimetres(12); },
          "core diameter must be from 0.7 to 1.3 ball diameters below the ball circle, got 12 mm");

  CHECK_THROWS_MATCHES(
      ball_screw_life({.dynamic_rating = newtons(0), .mean_load = newtons(1), .load_factor = 1}),
      InvalidInput, Message("dynamic rating must be > 0, got 0 N"));
  CHECK_THROWS_MATCHES(
      ball_screw_life(
          {.dynamic_rating = newtons(1), .mean_load = unset<Force>(), .load_factor = 1}),
      InvalidInput, Message("mean load must be > 0, got nan N"));
  CHECK_THROWS_MATCHES(
      ball_screw_life({.dynamic_rating = newtons(10), .mean_load = newtons(1), .load_factor = 0.9}),
      InvalidInput, Message("load factor must be from 1 to 10, got 0.9"));
  CHECK_THROWS_MATCHES(
      ball_screw_life(
          {.dynamic_rating = newtons(1000), .mean_load = newtons(501), .load_factor = 1}),
      OutsideValidity,
      Message("the law of life holds up to half of the dynamic rating of 1000 N, "
              "and the mean load is 501 N"));
  CHECK_THROWS_MATCHES(screw::needed_dynamic_rating(radians(0), newtons(1), 1), InvalidInput,
                       Message("life must be > 0, got 0 rev"));
  CHECK_THROWS_AS(screw::needed_dynamic_rating(revolution, newtons(0), 1), InvalidInput);
  CHECK_THROWS_AS(screw::needed_dynamic_rating(revolution, newtons(1), std::nan("")), InvalidInput);
  CHECK_THROWS_MATCHES(mean_load({}), InvalidInput,
                       Message("travel of the cycle must be > 0, got 0 mm"));
  CHECK_THROWS_MATCHES(mean_load({{newtons(-1), metres(1)}}), InvalidInput,
                       Message("load must be >= 0, got -1 N"));
  CHECK_THROWS_MATCHES(mean_load({{newtons(1), unset<Length>()}}), InvalidInput,
                       Message("travel must be >= 0, got nan mm"));
  CHECK_THROWS_AS(screw::static_safety({.rating = newtons(0), .largest = newtons(1)}),
                  InvalidInput);
  CHECK_THROWS_AS(screw::static_safety({.rating = newtons(1), .largest = newtons(0)}),
                  InvalidInput);
  CHECK_THROWS_AS(screw::lift_off_load(newtons(-1)), InvalidInput);
  CHECK_THROWS_AS(screw::needed_preload(unset<Force>()), InvalidInput);
  CHECK_THROWS_AS(screw::preload_drag(newtons(0), metres(1), 0.2), InvalidInput);
  CHECK_THROWS_AS(screw::preload_drag(newtons(1), metres(0), 0.2), InvalidInput);
  CHECK_THROWS_MATCHES(screw::preload_drag(newtons(1), metres(1), 1.2), InvalidInput,
                       Message("drag factor must be from 0 to 1, got 1.2"));
  CHECK_THROWS_MATCHES(screw::drag_factor(degrees(0)), InvalidInput,
                       Message("lead angle must be > 0 and < 90, got 0 deg"));
}

}  // namespace
}  // namespace pitchline
