#include "pitchline/belt/tension.hpp"
#include "pitchline/belt/tension_to_set.hpp"

#include <algorithm>
#include <cmath>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using belt::CarriageDrive;
using belt::effective_pull;
using belt::largest_strand_tension;
using belt::PulleyLoad;
using belt::rule_tension;
using belt::shaft_load;
using belt::slack_free_tension;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using testing::IsNear;

TEST_CASE("slack_free_tension is the least at which no strand of a scan goes slack",
          "[belt][property]") {
  const double travel = GENERATE(0.3, 0.8, 0.99);
  const double force = GENERATE(2.0, 25.0);
  CAPTURE(travel, force);
  const CarriageDrive drive{.span = metres(1), .travel = metres(travel), .force = newtons(force)};
  const Force needed = slack_free_tension(drive);
  const auto slackens = [&](const Force& pretension) {
    for (int i = 0; i <= 200; ++i)
      for (const double sense : {1.0, -1.0})
        if (belt::strand_state({.tension_per_strain = newtons(20e3), .span = metres(1)},
                               {.position = metres((1 - travel) / 2 + travel * i / 200),
                                .pretension = pretension,
                                .pull = sense * drive.force})
                .slack != belt::Slack::none)
          return true;
    return false;
  };
  CHECK_FALSE(slackens(1.000001 * needed));
  CHECK(slackens(0.999 * needed));
  // [Elatech] p. 55, Q: pretension at least the peripheral force is always enough.
  CHECK(needed <= drive.force);
  CHECK(needed > 0.5 * drive.force);
  CHECK_THAT(number((slack_free_tension(drive, newtons(3)) - needed) / newtons(3)),
             WithinRel(1.0, 1e-12));
}

TEST_CASE("slack_free_tension of a worked gantry", "[belt][property]") {
  // By hand: span 1700, travel 1500 mm, nearest 100 mm: share 1 - 100/3400 = 0.9705882; 12 N.
  CHECK_THAT(slack_free_tension(
                 {.span = millimetres(1700), .travel = millimetres(1500), .force = newtons(12)}),
             IsNear(newtons(11.647059), newtons(1e-6)));
}

TEST_CASE("slackening_force is the force for which slack_free_tension asks", "[belt][property]") {
  const double travel = GENERATE(0.3, 0.8, 0.99);
  const double force = GENERATE(2.0, 25.0);
  CAPTURE(travel, force);
  const CarriageDrive drive{.span = metres(1), .travel = metres(travel), .force = newtons(force)};
  CHECK_THAT(
      in_newtons(belt::slackening_force(
          {.span = metres(1), .travel = metres(travel), .pretension = slack_free_tension(drive)})),
      WithinRel(force, 1e-14));
  CHECK(belt::slackening_force(
            {.span = metres(1), .travel = metres(travel), .pretension = newtons(0)}) == newtons(0));
}

TEST_CASE("a pair of strands shares its pull until one is slack", "[belt][property]") {
  // 10 N each and 12 N of pull: 16 and 4 N. 30 N of pull are more than twice 10 N: 30 and none.
  CHECK(belt::largest_tension_of_pair({.tension = newtons(10), .pull = newtons(12)}) ==
        newtons(16));
  CHECK(belt::largest_tension_of_pair({.tension = newtons(10), .pull = newtons(20)}) ==
        newtons(20));
  CHECK(belt::largest_tension_of_pair({.tension = newtons(10), .pull = newtons(30)}) ==
        newtons(30));
  CHECK_THROWS_AS(belt::largest_tension_of_pair({.tension = newtons(-1), .pull = newtons(1)}),
                  InvalidInput);
  CHECK_THROWS_AS(belt::largest_tension_of_pair({.tension = newtons(1), .pull = unset<Force>()}),
                  InvalidInput);
}

TEST_CASE("largest_strand_tension is the largest of a scan and at most pretension plus force",
          "[belt][property]") {
  const double pretension = GENERATE(0.0, 6.0, 11.0, 40.0);
  CAPTURE(pretension);
  const CarriageDrive drive{.span = metres(1), .travel = metres(0.9), .force = newtons(12)};
  const Force largest = largest_strand_tension(drive, newtons(pretension));
  Force scanned{};
  for (int i = 0; i <= 300; ++i)
    for (const double sense : {1.0, -1.0}) {
      const auto s = belt::strand_state({.tension_per_strain = newtons(20e3), .span = metres(1)},
                                        {.position = metres(0.05 + 0.9 * i / 300),
                                         .pretension = newtons(pretension),
                                         .pull = sense * drive.force});
      scanned = std::max({scanned, s.near_tension, s.far_tension});
    }
  CHECK_THAT(number(largest / scanned), WithinRel(1.0, 1e-12));
  // [Elatech] p. 55, Q: peak = pretension + peripheral force.
  CHECK(largest <= newtons(pretension) + drive.force);
  CHECK(largest >= drive.force);
}

TEST_CASE("rule_tension gives the printed factors in their own units", "[belt][published]") {
  // [SDP handbook] eq. 10-1 and 10-2, Q: Tst = 0.812 DQ/d + m S2 with lbf, lbf in, in and 1000
  // ft/min. Q = 1.43 lbf in (table 33, 20 teeth at 1000 rpm), d = 40/pi mm, D = 1.5 and 1.2.
  const Torque inch_pound = pounds_force(1) * inches(1) / radian;
  const double d_inch = 40 / std::acos(-1.0) / 25.4;
  PulleyLoad load{.torque = 1.43 * inch_pound,
                  .pitch_diameter = inches(d_inch),
                  .service_factor = 1.5,
                  .speed_tension = pounds_force(0.039 * 0.4 * 0.4)};
  CHECK_THAT(rule_tension(belt::sdp_rule(1.5), load) / pounds_force(1) * newtons(1),
             IsNear(newtons(0.812 * 1.5 * 1.43 / d_inch + 0.039 * 0.16), newtons(1e-9)));
  load.service_factor = 1.2;
  CHECK_THAT(rule_tension(belt::sdp_rule(1.2), load) / pounds_force(1) * newtons(1),
             IsNear(newtons(1.05 * 1.2 * 1.43 / d_inch + 0.039 * 0.16), newtons(1e-9)));
  // [GT3 manual] Formula 5, Q: Tst = 20 HP/S + M S2. The horsepower of that pull at 400 ft/min.
  load.service_factor = 1.0;
  const double pull_lbf = 2 * 1.43 / d_inch;
  const double horsepower = pull_lbf * 400 / 33000;
  CHECK_THAT(rule_tension(belt::gt3_rule_5, load) / pounds_force(1) * newtons(1),
             IsNear(newtons(20 * horsepower / 0.4 + 0.039 * 0.16), newtons(1e-9)));
  CHECK_THAT(rule_tension(belt::poly_chain_rule, load) / pounds_force(1) * newtons(1),
             IsNear(newtons(17.4 * horsepower / 0.4 + 0.039 * 0.16), newtons(1e-9)));
  // [Elatech] p. 55, Q: the peripheral force, or half of it, without a term of speed.
  CHECK_THAT(rule_tension(belt::elatech_linear_rule, load) / pounds_force(1) * newtons(1),
             IsNear(newtons(pull_lbf), newtons(1e-9)));
  CHECK_THAT(rule_tension(belt::elatech_conveyor_rule, load) / pounds_force(1) * newtons(1),
             IsNear(newtons(pull_lbf / 2), newtons(1e-9)));
}

TEST_CASE("the tension rules differ by edition and each names its own", "[belt][published]") {
  // Shares of the effective pull, computed from the printed factors: 0.406, 0.525, 0.606, 0.527.
  CHECK_THAT(belt::sdp_rule_10_1.share, WithinAbs(0.406, 0.0005));
  CHECK_THAT(belt::sdp_rule_10_2.share, WithinAbs(0.525, 0.0005));
  CHECK_THAT(belt::gt3_rule_5.share, WithinAbs(0.606, 0.0005));
  CHECK_THAT(belt::poly_chain_rule.share, WithinAbs(0.527, 0.0005));
  for (const belt::TensionRule& rule : belt::tension_rules) CHECK_FALSE(rule.edition.empty());
  CHECK(belt::sdp_rule(1.3).edition == belt::sdp_rule_10_1.edition);
  CHECK(belt::sdp_rule(1.29).edition == belt::sdp_rule_10_2.edition);
}

TEST_CASE("effective_pull is the force at the pitch radius", "[belt][published]") {
  // [SDP handbook] table 33, Q: GT 2 mm, 6 mm, 20 teeth, 1.63 lbf in at 10 rpm, which is 28.9 N.
  const Torque rated = 1.63 * (pounds_force(1) * inches(1) / radian);
  CHECK_THAT(effective_pull({.torque = rated, .pitch_diameter = millimetres(40 / std::acos(-1.0))}),
             IsNear(newtons(28.9), newtons(0.05)));
}

parts::Belt gt2(double width_mm) {
  parts::Belt bought{.width = millimetres(width_mm)};
  bought.profile.start_tension = {
      {{millimetres(6), pounds_force(3)}, {millimetres(9), pounds_force(4)}}, "table 10"};
  bought.profile.speed_tension = {{{millimetres(6), pounds_force(0.039)}}, "table 9"};
  bought.profile.least_tension = {{{millimetres(6), pounds_force(2)}}, "table 9"};
  return bought;
}

TEST_CASE("tension_to_set is the listed start as far as the machine needs no more and bears it",
          "[belt][published]") {
  // GT 2 mm, 6 mm wide: 3 lbf to start with and 2 lbf at least, SDP handbook tables 10 and 9.
  const Force start = pounds_force(3);
  const Force least = pounds_force(2);
  const auto alone = belt::tension_to_set(gt2(6));
  CHECK_THAT(alone.value, IsNear(start, newtons(0.01)));
  CHECK_THAT(alone.least, IsNear(least, newtons(0.01)));
  CHECK_THAT(alone.most, IsNear(2.0 * start, newtons(0.01)));
  const auto pulled = belt::tension_to_set(gt2(6), {.slack_free = newtons(60)});
  CHECK(pulled.value == newtons(60));
  CHECK(pulled.least == newtons(60));
  CHECK(pulled.most == newtons(60));
  const auto weak = belt::tension_to_set(gt2(6), {.bearable = newtons(10)});
  CHECK(weak.value == newtons(10));
  CHECK(weak.most == newtons(10));
  // A strand that would go slack weighs more than what is borne.
  CHECK(belt::tension_to_set(gt2(6), {.slack_free = newtons(12), .bearable = newtons(10)}).value ==
        newtons(12));
  const parts::Belt unknown{};
  CHECK_FALSE(belt::tension_to_set(unknown).known());
  CHECK(belt::tension_to_set(unknown, {.slack_free = newtons(7)}).value == newtons(7));
  CHECK_THROWS_AS(belt::tension_to_set(gt2(6), {.slack_free = newtons(-1)}), InvalidInput);
  CHECK_THROWS_AS(belt::tension_to_set(gt2(6), {.bearable = newtons(0)}), InvalidInput);
}

TEST_CASE("positioning_tension is 1.5 to 2 times the printed start value", "[belt][published]") {
  // [SDP handbook] table 10, Q: GT 2 mm, 6 mm: 3 lbf, so 20 to 27 N; 9 mm: 27 to 36 N.
  const auto narrow = belt::positioning_tension(gt2(6));
  CHECK_THAT(narrow.low, IsNear(newtons(20), newtons(0.5)));
  CHECK_THAT(narrow.high, IsNear(newtons(27), newtons(0.5)));
  const auto wide = belt::positioning_tension(gt2(9));
  CHECK_THAT(wide.low, IsNear(newtons(27), newtons(0.5)));
  CHECK_THAT(wide.high, IsNear(newtons(36), newtons(0.5)));
  CHECK(wide.source == "1.5 to 2 times that of table 10");
}

TEST_CASE("the tension tables count a width between two rows as the wider", "[belt][property]") {
  const auto between = belt::start_tension(gt2(7));
  CHECK(between.value == pounds_force(4));
  CHECK(between.source == "table 10; the figure of 9 mm, the next wider that is listed");
  CHECK_FALSE(belt::start_tension(gt2(12)).known());
  CHECK_FALSE(belt::least_tension(gt2(9)).known());
  CHECK(belt::least_tension(gt2(6)).value == pounds_force(2));
  CHECK(is_unset(belt::positioning_tension(gt2(12)).low));
  CHECK(belt::positioning_tension(gt2(12)).source.empty());
}

TEST_CASE("speed_tension is the printed constant at 1000 ft/min and grows with the square",
          "[belt][property]") {
  const Speed thousand_feet_a_minute = inches(12'000) / seconds(60);
  CHECK_THAT(in_newtons(belt::speed_tension(gt2(6), thousand_feet_a_minute).value),
             WithinRel(in_newtons(pounds_force(0.039)), 1e-12));
  CHECK_THAT(in_newtons(belt::speed_tension(gt2(6), 0.1 * thousand_feet_a_minute).value),
             WithinRel(in_newtons(pounds_force(0.00039)), 1e-12));
  CHECK_FALSE(belt::speed_tension(gt2(12), metres_per_second(1)).known());
}

TEST_CASE("shaft_load adds the two strands as vectors", "[belt][property]") {
  const double wrap = GENERATE(60.0, 90.0, 147.0, 180.0, 200.0, 360.0);
  CAPTURE(wrap);
  // The strands as vectors: both pull away from the pulley, at wrap apart on its rim.
  const double half = wrap / 360 * std::acos(-1.0);
  const double along = (31 + 12) * std::sin(half);
  const double across = (31 - 12) * std::cos(half);
  CHECK_THAT(
      in_newtons(shaft_load(
          {.first_strand = newtons(31), .second_strand = newtons(12), .wrap = degrees(wrap)})),
      WithinRel(std::hypot(along, across), 1e-12));
  CHECK_THAT(
      in_newtons(shaft_load(
          {.first_strand = newtons(20), .second_strand = newtons(20), .wrap = degrees(wrap)})),
      WithinAbs(40 * std::sin(half), 1e-12));
}

TEST_CASE("shaft_load_at_rest is twice the tension", "[belt][property]") {
  CHECK_THAT(in_newtons(belt::shaft_load_at_rest(newtons(20))), WithinRel(40.0, 1e-14));
  CHECK_THAT(
      in_newtons(shaft_load(
          {.first_strand = newtons(31), .second_strand = newtons(12), .wrap = degrees(180)})),
      WithinRel(43.0, 1e-14));
}

TEST_CASE("the tension formulas refuse what their tables exclude", "[belt][error]") {
  const CarriageDrive drive{.span = metres(1), .travel = metres(0.9), .force = newtons(10)};
  const auto refuses = [&](auto change) {
    CarriageDrive bad = drive;
    change(bad);
    CHECK_THROWS_AS(slack_free_tension(bad), InvalidInput);
    CHECK_THROWS_AS(largest_strand_tension(bad, newtons(1)), InvalidInput);
  };
  refuses([](CarriageDrive& d) { d.span = unset<Length>(); });
  refuses([](CarriageDrive& d) { d.travel = metres(1); });
  refuses([](CarriageDrive& d) { d.travel = metres(0); });
  refuses([](CarriageDrive& d) { d.force = unset<Force>(); });
  refuses([](CarriageDrive& d) { d.force = unlimited<Force>(); });
  CHECK_THROWS_MATCHES(slack_free_tension(drive, newtons(-1)), InvalidInput,
                       Message("kept tension must be >= 0, got -1 N"));
  CHECK_THROWS_AS(largest_strand_tension(drive, unset<Force>()), InvalidInput);

  const PulleyLoad load{.torque = newton_metres(0.1), .pitch_diameter = millimetres(12)};
  PulleyLoad bad = load;
  bad.torque = unset<Torque>();
  CHECK_THROWS_AS(effective_pull(bad), InvalidInput);
  bad = load;
  bad.pitch_diameter = metres(0);
  CHECK_THROWS_AS(effective_pull(bad), InvalidInput);
  bad = load;
  bad.service_factor = 0.9;
  CHECK_THROWS_MATCHES(effective_pull(bad), InvalidInput,
                       Message("service factor must be >= 1, got 0.9"));
  bad = load;
  bad.speed_tension = newtons(-1);
  CHECK_THROWS_AS(rule_tension(belt::gt3_rule_5, bad), InvalidInput);
  // A speed tension that nobody knows does not pass for none.
  bad.speed_tension = belt::speed_tension(gt2(12), metres_per_second(1)).value;
  CHECK_THROWS_AS(rule_tension(belt::gt3_rule_5, bad), InvalidInput);
  CHECK_THROWS_AS(belt::sdp_rule(0.5), InvalidInput);
  CHECK_THROWS_AS(belt::speed_tension(gt2(6), metres_per_second(-1)), InvalidInput);
  CHECK_THROWS_AS(
      shaft_load({.first_strand = newtons(-1), .second_strand = newtons(1), .wrap = degrees(180)}),
      InvalidInput);
  CHECK_THROWS_AS(
      shaft_load(
          {.first_strand = newtons(1), .second_strand = unset<Force>(), .wrap = degrees(180)}),
      InvalidInput);
  CHECK_THROWS_AS(
      shaft_load({.first_strand = newtons(1), .second_strand = newtons(1), .wrap = degrees(0)}),
      InvalidInput);
  CHECK_THROWS_AS(belt::shaft_load_at_rest(unset<Force>()), InvalidInput);
  CHECK_THROWS_MATCHES(
      belt::slackening_force(
          {.span = metres(1), .travel = metres(0.5), .pretension = unset<Force>()}),
      InvalidInput, Message("pretension must be >= 0, got nan N"));
  CHECK_THROWS_AS(
      belt::slackening_force({.span = metres(1), .travel = metres(1), .pretension = newtons(1)}),
      InvalidInput);
}

}  // namespace
}  // namespace pitchline
