#include "pitchline/belt/strength.hpp"

#include <cmath>
#include <limits>

#include "pitchline/belt/pulley.hpp"
#include "pitchline/belt/service_factor.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using belt::allowable_pull;
using belt::allowable_tension;
using belt::margin;
using belt::tooth_force;
using belt::tooth_force_per_width;
using belt::width_for_teeth;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using parts::Belt;
using parts::BeltEnds;
using testing::IsNear;

Stiffness newtons_per_centimetre(double x) { return newtons_per_millimetre(x / 10); }

TEST_CASE("width_for_teeth gives the printed width of a linear axis", "[belt][published]") {
  // [Optibelt manual] section 4, Q: T5, 7.2 N*m, c2 = 2: 14.4 N*m; S = 429 N; 12 of 21 teeth
  // counted; 23.88 N per tooth and 10 mm: 15.0 mm, so 16 mm; actual factor 2 * 16/15 = 2.13.
  const Stiffness tooth = newtons_per_centimetre(23.88);
  const Length width = width_for_teeth(newtons(429), tooth, 12);
  CHECK_THAT(width, IsNear(millimetres(15.0), millimetres(0.05)));
  CHECK_THAT(belt::linear_service_factor * number(millimetres(16) / millimetres(15)),
             Catch::Matchers::WithinAbs(2.13, 0.005));
  // The same manual, Q: T5, 25 mm, 12 teeth, 720 N at most; T10, 50 mm, 6 teeth, 1425 N.
  CHECK_THAT(tooth_force(tooth, 12, millimetres(25)), IsNear(newtons(720), newtons(5)));
  CHECK_THAT(tooth_force(newtons_per_centimetre(47.41), 6, millimetres(50)),
             IsNear(newtons(1425), newtons(5)));
}

TEST_CASE("tooth_force times the travel per angle is the printed torque of a tooth",
          "[belt][published]") {
  // [Mulco] p. 44-105, Q: M_spec of one tooth, one tooth in mesh and 1 cm: T5 1.910 N*cm, T10 8.04
  // N*cm; they are F_Uspec t/2pi of 24.0 and 50.5 N per cm.
  const auto torque = [](const char* name, int pitch, double force) {
    return tooth_force(newtons_per_centimetre(force), 1, millimetres(10)) *
           belt::pulley_transmission({.name = name, .pitch_millimetres = Fraction(pitch)}, 1);
  };
  CHECK_THAT(torque("T5", 5, 24.0), IsNear(newton_metres(0.01910), newton_metres(0.000005)));
  CHECK_THAT(torque("T10", 10, 50.5), IsNear(newton_metres(0.0804), newton_metres(0.00005)));
}

TEST_CASE("width_for_teeth inverts tooth_force", "[belt][property]") {
  const int teeth = GENERATE(1, 6, 12);
  CAPTURE(teeth);
  const Stiffness tooth = newtons_per_centimetre(16.32);
  const Force bears = tooth_force(tooth, teeth, millimetres(16));
  CHECK_THAT(number(width_for_teeth(bears, tooth, teeth) / millimetres(16)), WithinRel(1.0, 1e-14));
}

Belt polyurethane(BeltEnds ends, double width_mm) {
  Belt bought{.width = millimetres(width_mm), .ends = ends};
  parts::BeltProfile& p = bought.profile;
  p.name = "T5";
  p.pitch_millimetres = Fraction(5);
  p.construction = parts::Construction::polyurethane_steel;
  p.open_ended_tension = {{{millimetres(10), newtons(360)}, {millimetres(16), newtons(570)}},
                          "open"};
  p.closed_loop_tension = {{{millimetres(6), newtons(180)}, {millimetres(10), newtons(330)}},
                           "loop"};
  p.welded_share = {0.5, "half"};
  p.tooth_strength = {{{revolutions_per_minute(0), newtons_per_centimetre(24.70)},
                       {revolutions_per_minute(100), newtons_per_centimetre(22.28)},
                       {revolutions_per_minute(3000), newtons_per_centimetre(12.65)}},
                      12,
                      6,
                      "teeth"};
  return bought;
}

TEST_CASE("allowable_tension depends on how the belt ends", "[belt][published]") {
  // [Elatech] T5, Q: 10 mm open 360 N, welded half; [Mulco] T5, Q: moulded loop 330 N.
  CHECK(allowable_tension(polyurethane(BeltEnds::open, 10)).value == newtons(360));
  CHECK(allowable_tension(polyurethane(BeltEnds::welded, 10)).value == newtons(180));
  CHECK(allowable_tension(polyurethane(BeltEnds::closed_loop, 10)).value == newtons(330));
  CHECK(allowable_tension(polyurethane(BeltEnds::welded, 16)).source == "half; open");
}

TEST_CASE("allowable_tension takes the next narrower width and none below the narrowest",
          "[belt][property]") {
  const auto between = allowable_tension(polyurethane(BeltEnds::open, 15));
  CHECK(between.value == newtons(360));
  CHECK(between.source == "open; the figure of 10 mm, the next narrower that is listed");
  CHECK(allowable_tension(polyurethane(BeltEnds::open, 50)).value == newtons(570));
  const auto narrow = allowable_tension(polyurethane(BeltEnds::open, 6));
  CHECK_FALSE(narrow.known());
  CHECK(narrow.asks ==
        "the allowable tension of open-ended T5, 6 mm wide, is not known: ask its maker");
  CHECK(std::isnan(margin(narrow, newtons(10))));
  CHECK_FALSE(allowable_tension(polyurethane(BeltEnds::welded, 6)).known());
  Belt no_share = polyurethane(BeltEnds::welded, 10);
  no_share.profile.welded_share = {};
  CHECK_FALSE(allowable_tension(no_share).known());
  // A profile whose maker lists loops only has no answer for open stock.
  Belt loops_only = polyurethane(BeltEnds::open, 10);
  loops_only.profile.open_ended_tension = {};
  loops_only.profile.tension_of_one_inch = {newtons(930), "inch"};
  loops_only.width = millimetres(32);
  CHECK_FALSE(allowable_tension(loops_only).known());
}

TEST_CASE("allowable_tension of a rubber loop says where it comes from", "[belt][property]") {
  Belt rubber{.width = millimetres(9), .ends = BeltEnds::closed_loop};
  rubber.profile.name = "GT 2 mm";
  rubber.profile.construction = parts::Construction::rubber_glass;
  rubber.profile.tension_of_one_inch = {newtons(111), "inch"};
  // Never scaled down from an inch.
  CHECK_FALSE(allowable_tension(rubber).known());
  rubber.width = inches(1);
  CHECK(allowable_tension(rubber).value == newtons(111));
  rubber.width = millimetres(40);
  CHECK(allowable_tension(rubber).value == newtons(111));
  rubber.profile.open_ended_tension = {{{millimetres(9), newtons(39)}}, "table 30"};
  rubber.width = millimetres(9);
  CHECK(allowable_tension(rubber).value == newtons(39));
  CHECK(allowable_tension(rubber).source == "table 30; printed for open-ended stock");
}

TEST_CASE("tooth_force_per_width falls with the speed and ends with its list", "[belt][property]") {
  const auto strength = polyurethane(BeltEnds::open, 10).profile.tooth_strength;
  const auto at = [&](double rpm) {
    return tooth_force_per_width(strength, revolutions_per_minute(rpm));
  };
  CHECK(at(0) == newtons_per_centimetre(24.70));
  CHECK(at(1) == newtons_per_centimetre(22.28));
  CHECK(at(100) == newtons_per_centimetre(22.28));
  CHECK(at(101) == newtons_per_centimetre(12.65));
  CHECK(at(3000) == newtons_per_centimetre(12.65));
  CHECK(is_unset(at(3001)));
  CHECK(is_unset(tooth_force_per_width({}, revolutions_per_minute(0))));
}

TEST_CASE("allowable_pull counts at most 12 teeth, or 6 of a welded belt", "[belt][published]") {
  // [Elatech] T5 and p. 52, Q: 24.70 N per tooth and cm at rest; 10 mm: 12 * 24.70 = 296.4 N.
  const auto at_rest = [](BeltEnds ends, int teeth) {
    return in_newtons(allowable_pull(polyurethane(ends, 10),
                                     {.teeth_in_mesh = teeth, .speed = radians_per_second(0)})
                          .value);
  };
  CHECK_THAT(at_rest(BeltEnds::open, 5), WithinRel(123.5, 1e-12));
  CHECK_THAT(at_rest(BeltEnds::open, 12), WithinRel(296.4, 1e-12));
  CHECK_THAT(at_rest(BeltEnds::open, 30), WithinRel(296.4, 1e-12));
  CHECK_THAT(at_rest(BeltEnds::closed_loop, 30), WithinRel(296.4, 1e-12));
  CHECK_THAT(at_rest(BeltEnds::welded, 30), WithinRel(148.2, 1e-12));
  const auto fast = allowable_pull(polyurethane(BeltEnds::open, 10),
                                   {.teeth_in_mesh = 10, .speed = revolutions_per_minute(4000)});
  CHECK_FALSE(fast.known());
  CHECK(fast.asks ==
        "the tooth strength of open-ended T5, 10 mm wide, is not known: ask its "
        "maker; its source ends at 3000 rpm");
  Belt no_count = polyurethane(BeltEnds::welded, 10);
  no_count.profile.tooth_strength.counted_at_most_welded = 0;
  CHECK_FALSE(
      allowable_pull(no_count, {.teeth_in_mesh = 8, .speed = radians_per_second(0)}).known());
  Belt no_strength = polyurethane(BeltEnds::open, 10);
  no_strength.profile.tooth_strength = {};
  CHECK_FALSE(
      allowable_pull(no_strength, {.teeth_in_mesh = 8, .speed = radians_per_second(0)}).known());
}

TEST_CASE("allowable_pull of rubber is its tension times the correction for few teeth",
          "[belt][published]") {
  // [SDP handbook] table 30, Q: GT 2 mm, 9 mm: 39 N; [GT3 manual] p. 175, Q: 0.6 for 4 teeth.
  Belt rubber{.width = millimetres(9)};
  rubber.profile.construction = parts::Construction::rubber_glass;
  rubber.profile.open_ended_tension = {{{millimetres(9), newtons(39)}}, "table 30"};
  const auto with = [&](int teeth) {
    return allowable_pull(rubber, {.teeth_in_mesh = teeth, .speed = radians_per_second(60)});
  };
  CHECK(with(10).value == newtons(39));
  CHECK(with(10).source == "table 30");
  CHECK_THAT(in_newtons(with(4).value), WithinRel(23.4, 1e-12));
  CHECK(with(4).source == "table 30; times 0.6 for 4 teeth in mesh, GT3 manual p. 175");
  CHECK(with(1).value == newtons(0));
}

TEST_CASE("margin is allowed over required", "[belt][property]") {
  belt::Limit limit;
  limit.value = newtons(39);
  CHECK_THAT(margin(limit, newtons(26)), WithinRel(1.5, 1e-15));
  CHECK(margin(limit, newtons(0)) == std::numeric_limits<double>::infinity());
  CHECK(std::isnan(margin({}, newtons(1))));
}

TEST_CASE("clamp_teeth and clamp_length follow the maker's rule", "[belt][published]") {
  // [Elatech] p. 52, Q: at least 7 teeth, 12 with heavy cord.
  CHECK(belt::clamp_teeth(parts::Construction::polyurethane_steel) == 7);
  CHECK(belt::clamp_teeth(parts::Construction::rubber_glass) == 7);
  CHECK(belt::clamp_teeth(parts::Construction::polyurethane_heavy_steel) == 12);
  CHECK_THAT(in_millimetres(belt::clamp_length(polyurethane(BeltEnds::open, 10).profile)),
             WithinRel(35.0, 1e-15));
}

TEST_CASE("the strength formulas refuse what their tables exclude", "[belt][error]") {
  const Belt good = polyurethane(BeltEnds::open, 10);
  Belt no_width = good;
  no_width.width = unset<Length>();
  CHECK_THROWS_MATCHES(allowable_tension(no_width), InvalidInput,
                       Message("belt width must be > 0, got nan mm"));
  CHECK_THROWS_AS(belt::breaking_load(no_width), InvalidInput);
  CHECK_THROWS_AS(allowable_pull(no_width, {8, radians_per_second(0)}), InvalidInput);
  CHECK_THROWS_MATCHES(allowable_pull(good, {0, radians_per_second(0)}), InvalidInput,
                       Message("teeth in mesh must be >= 1, got 0"));
  CHECK_THROWS_MATCHES(allowable_pull(good, {.teeth_in_mesh = 8}), InvalidInput,
                       Message("speed must be >= 0, got nan rpm"));
  CHECK_THROWS_AS(tooth_force(unset<Stiffness>(), 8, millimetres(10)), InvalidInput);
  CHECK_THROWS_AS(tooth_force(newtons_per_millimetre(1), 0, millimetres(10)), InvalidInput);
  CHECK_THROWS_AS(tooth_force(newtons_per_millimetre(1), 8, metres(0)), InvalidInput);
  CHECK_THROWS_AS(width_for_teeth(newtons(-1), newtons_per_millimetre(1), 8), InvalidInput);
  CHECK_THROWS_AS(width_for_teeth(newtons(1), newtons_per_millimetre(1), 0), InvalidInput);
  CHECK_THROWS_MATCHES(margin({}, newtons(-1)), InvalidInput,
                       Message("required force must be >= 0, got -1 N"));
  CHECK_THROWS_AS(belt::clamp_length({}), InvalidInput);
  CHECK_FALSE(belt::breaking_load(good).known());
}

}  // namespace
}  // namespace pitchline
