#include <array>
#include <numbers>

#include "pitchline/belt/pulley.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using belt::fewest_teeth;
using belt::outside_diameter;
using belt::PulleyBody;
using belt::shaft_fit;
using belt::smallest_back_bend;
using belt::wall_under_teeth;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using testing::IsNear;

parts::BeltProfile profile_with(Fraction pitch, double u_mm) {
  parts::BeltProfile profile{.name = "test", .pitch_millimetres = pitch};
  profile.pitch_line_differential = {millimetres(u_mm), "test"};
  return profile;
}

struct PrintedDiameter {
  int teeth;
  double diameter;
};

TEST_CASE("outside_diameter gives the printed diameters of GT 5 mm and HTD 3M pulleys",
          "[belt][published]") {
  // [GT3 manual] p. 134-137, Q: inch; u = 0.5715 mm of [SDP handbook] table 4.
  const auto gt5 = profile_with(Fraction(5), 0.5715);
  for (const auto& [teeth, diameter] : std::array<PrintedDiameter, 8>{{{12, 0.707},
                                                                       {16, 0.958},
                                                                       {20, 1.208},
                                                                       {24, 1.459},
                                                                       {30, 1.835},
                                                                       {40, 2.461},
                                                                       {60, 3.715},
                                                                       {72, 4.466}}}) {
    CAPTURE(teeth);
    CHECK_THAT(outside_diameter(gt5, teeth), IsNear(inches(diameter), inches(0.0005)));
  }
  // [Elatech 3M], Q: mm.
  const auto htd3 = profile_with(Fraction(3), 0.381);
  for (const auto& [teeth, diameter] :
       std::array<PrintedDiameter, 4>{{{10, 8.79}, {16, 14.52}, {20, 18.34}, {120, 113.83}}}) {
    CAPTURE(teeth);
    CHECK_THAT(outside_diameter(htd3, teeth), IsNear(millimetres(diameter), millimetres(0.005)));
  }
  // These two are printed as the rounded pitch diameter less 0.76, so they carry two roundings.
  for (const auto& [teeth, diameter] : std::array<PrintedDiameter, 2>{{{50, 46.99}, {76, 71.82}}}) {
    CAPTURE(teeth);
    CHECK_THAT(outside_diameter(htd3, teeth), IsNear(millimetres(diameter), millimetres(0.010)));
  }
  // GT 2 mm, 20 teeth, Q2: 12.224 mm.
  CHECK_THAT(outside_diameter(profile_with(Fraction(2), 0.254), 20),
             IsNear(millimetres(12.224), millimetres(0.0005)));
}

TEST_CASE("outside_diameter differs from the printed T series, as that book warns",
          "[belt][published]") {
  // [SDP handbook] tables 5 to 7, Q: 20 teeth of T2.5, T5, T10: 15.40, 31.00, 61.80 mm over the
  // teeth. As much above p z/pi - 2 u as the printed pitch diameters are above p z/pi.
  struct Row {
    Fraction pitch;
    double u, pitch_diameter, outside;
  };
  for (const Row& row : std::array<Row, 3>{{{Fraction(5, 2), 0.3, 16.00, 15.40},
                                            {Fraction(5), 0.5, 32.00, 31.00},
                                            {Fraction(10), 1.0, 63.80, 61.80}}}) {
    CAPTURE(row.outside);
    const auto t = profile_with(row.pitch, row.u);
    const Length excess = millimetres(row.outside) - outside_diameter(t, 20);
    CHECK(excess > millimetres(0.08));
    CHECK(excess < millimetres(0.175));
    CHECK_THAT(in_millimetres(millimetres(row.pitch_diameter) - belt::pitch_diameter(t, 20)),
               WithinRel(in_millimetres(excess), 1e-9));
  }
}

TEST_CASE("outside_diameter is unknown where u is", "[belt][property]") {
  CHECK(is_unset(outside_diameter({.name = "x", .pitch_millimetres = Fraction(5)}, 20)));
  CHECK(is_unset(
      wall_under_teeth({.name = "x", .pitch_millimetres = Fraction(5)}, 20, millimetres(5))));
}

TEST_CASE("fewest_teeth takes the row of the speed and knows no pulley faster than all",
          "[belt][published]") {
  // [SDP handbook] table 8 p. T-21, Q, GT 2 mm.
  parts::BeltProfile gt2{.name = "GT 2 mm", .pitch_millimetres = Fraction(2)};
  gt2.smallest_pulley = {{{12, revolutions_per_minute(5000)},
                          {14, revolutions_per_minute(7500)},
                          {16, revolutions_per_minute(14000)}},
                         "table 8"};
  CHECK(fewest_teeth(gt2, revolutions_per_minute(0)).teeth == 12);
  CHECK(fewest_teeth(gt2, revolutions_per_minute(5000)).teeth == 12);
  CHECK(fewest_teeth(gt2, revolutions_per_minute(5001)).teeth == 14);
  CHECK(fewest_teeth(gt2, revolutions_per_minute(14000)).teeth == 16);
  CHECK(fewest_teeth(gt2, revolutions_per_minute(600)).source == "table 8");
  const auto beyond = fewest_teeth(gt2, revolutions_per_minute(14001));
  CHECK_FALSE(beyond.known());
  CHECK(beyond.beyond_listed_speed);
  // [GT3 manual] p. 177, Q: back bend 1.3 times: 1.3 * 24/pi = 9.931 mm.
  CHECK_THAT(smallest_back_bend(gt2, revolutions_per_minute(600)).value,
             IsNear(millimetres(9.931), millimetres(0.0005)));
  gt2.smallest_back_idler = {millimetres(12.7), "table 11"};
  CHECK(smallest_back_bend(gt2, revolutions_per_minute(600)).value == millimetres(12.7));
}

TEST_CASE("fewest_teeth counts a back bend where the profile has a figure for it",
          "[belt][property]") {
  // [Mulco], Q: T5: 10 teeth, 15 with contraflexure.
  parts::BeltProfile t5{.name = "T5", .pitch_millimetres = Fraction(5)};
  t5.smallest_pulley = {{{.teeth = 10}}, "straight"};
  t5.smallest_pulley_with_back_bend = {15, "bent"};
  CHECK(fewest_teeth(t5, revolutions_per_minute(1e5)).teeth == 10);
  const auto bent = fewest_teeth(t5, revolutions_per_minute(1000), true);
  CHECK(bent.teeth == 15);
  CHECK(bent.source == "bent");
  const auto unknown = fewest_teeth({}, revolutions_per_minute(1000));
  CHECK_FALSE(unknown.known());
  CHECK_FALSE(unknown.beyond_listed_speed);
  CHECK_FALSE(smallest_back_bend({}, revolutions_per_minute(1000)).known());
}

TEST_CASE("shaft_fit takes nominal diameters and tells inches from millimetres",
          "[belt][property]") {
  CHECK(shaft_fit({.bore = millimetres(5), .shaft = millimetres(5)}).fits);
  CHECK(shaft_fit({.bore = millimetres(6.35), .shaft = inches(0.25)}).fits);
  CHECK(shaft_fit({.bore = millimetres(5.03), .shaft = millimetres(5)}).fits);
  CHECK_FALSE(shaft_fit({.bore = millimetres(5.031), .shaft = millimetres(5)}).fits);
  CHECK_FALSE(shaft_fit({.bore = millimetres(6.35), .shaft = millimetres(6)}).fits);
  CHECK_FALSE(shaft_fit({.bore = millimetres(8), .shaft = inches(0.375)}).fits);
  CHECK_THAT(shaft_fit({.bore = millimetres(5), .shaft = inches(0.25)}).clearance,
             IsNear(millimetres(-1.35), millimetres(1e-9)));
}

TEST_CASE("wall_under_teeth leaves a fraction of a millimetre in the smallest pulleys",
          "[belt][property]") {
  // By hand, GT 2 mm, 12 teeth, bore 5 mm: (24/pi - 2*0.254 - 2*0.76 - 5)/2 = 0.3057 mm.
  parts::BeltProfile gt2 = profile_with(Fraction(2), 0.254);
  gt2.tooth_height = {millimetres(0.76), "test"};
  CHECK_THAT(wall_under_teeth(gt2, 12, millimetres(5)),
             IsNear(millimetres(0.3057), millimetres(0.0001)));
  CHECK(wall_under_teeth(gt2, 12, millimetres(6)) < metres(0));
}

TEST_CASE("bore_at_grooves is the bore that leaves no wall", "[belt][property]") {
  parts::BeltProfile profile = profile_with(Fraction(2), 0.254);
  CHECK(is_unset(belt::bore_at_grooves(profile, 20)));
  profile.tooth_height = {millimetres(0.76), "test"};
  // 40/pi - 2 * 0.254 - 2 * 0.76 mm.
  CHECK_THAT(in_millimetres(belt::bore_at_grooves(profile, 20)),
             WithinRel(40.0 / std::numbers::pi - 2.028, 1e-12));
  CHECK_THAT(in_millimetres(wall_under_teeth(profile, 20, belt::bore_at_grooves(profile, 20))),
             Catch::Matchers::WithinAbs(0.0, 1e-12));
}

TEST_CASE("inertia of a pulley adds its rings", "[belt][property]") {
  // By hand, aluminium 2700 kg/m3: teeth 20 x 10 mm, two flanges 24 x 1 mm, hub 16 x 6 mm, bore 5.
  // pi rho/32 = 265.0719; l (d^4 - b^4): 0.010 (1.6e-7 - 6.25e-10) = 1.59375e-9;
  // 2 * 0.001 (3.31776e-7 - 6.25e-10) = 6.62302e-10; 0.006 (6.5536e-8 - 6.25e-10) = 3.89466e-10;
  // sum 2.645518e-9, J = 7.012524e-7.
  const PulleyBody body{.toothed_diameter = millimetres(20),
                        .toothed_length = millimetres(10),
                        .bore = millimetres(5),
                        .flanges = 2,
                        .flange_diameter = millimetres(24),
                        .flange_thickness = millimetres(1),
                        .hub_diameter = millimetres(16),
                        .hub_length = millimetres(6),
                        .density = kilograms_per_cubic_metre(2700)};
  CHECK_THAT(in_kilogram_square_metres(belt::inertia(body)), WithinRel(7.012524e-7, 1e-6));
  // Without bore, flanges and hub it is the solid cylinder.
  const PulleyBody plain{.toothed_diameter = millimetres(20),
                         .toothed_length = millimetres(10),
                         .density = kilograms_per_cubic_metre(2700)};
  CHECK(belt::inertia(plain) == parts::inertia({.diameter = millimetres(20),
                                                .length = millimetres(10),
                                                .density = kilograms_per_cubic_metre(2700)}));
}

TEST_CASE("the pulley body formulas refuse what their tables exclude", "[belt][error]") {
  CHECK_THROWS_MATCHES(outside_diameter(profile_with(Fraction(2), 0), 20), InvalidInput,
                       Message("pitch line differential must be > 0, got 0 mm"));
  CHECK_THROWS_AS(outside_diameter(profile_with(Fraction(2), 0.7), 2), OutsideValidity);
  CHECK_THROWS_MATCHES(fewest_teeth({}, unset<AngularSpeed>()), InvalidInput,
                       Message("speed must be >= 0, got nan rpm"));
  CHECK_THROWS_AS(smallest_back_bend({}, revolutions_per_minute(-1)), InvalidInput);
  CHECK_THROWS_MATCHES(shaft_fit({.bore = millimetres(0), .shaft = millimetres(5)}), InvalidInput,
                       Message("bore must be > 0, got 0 mm"));
  CHECK_THROWS_AS(shaft_fit({.bore = millimetres(5), .shaft = unset<Length>()}), InvalidInput);
  CHECK_THROWS_AS(wall_under_teeth(profile_with(Fraction(2), 0.254), 20, metres(0)), InvalidInput);

  const PulleyBody good{.toothed_diameter = millimetres(20),
                        .toothed_length = millimetres(10),
                        .density = kilograms_per_cubic_metre(2700)};
  const auto refuses = [&](auto change) {
    PulleyBody bad = good;
    change(bad);
    CHECK_THROWS_AS(belt::inertia(bad), InvalidInput);
  };
  refuses([](PulleyBody& b) { b.toothed_diameter = unset<Length>(); });
  refuses([](PulleyBody& b) { b.toothed_length = metres(0); });
  refuses([](PulleyBody& b) { b.bore = millimetres(20); });
  refuses([](PulleyBody& b) { b.bore = millimetres(-1); });
  refuses([](PulleyBody& b) { b.flanges = -1; });
  refuses([](PulleyBody& b) { b.flanges = 1; });
  refuses([](PulleyBody& b) { b.hub_length = millimetres(5); });
  refuses([](PulleyBody& b) { b.hub_length = unset<Length>(); });
  refuses([](PulleyBody& b) { b.density = unset<Density>(); });
}

}  // namespace
}  // namespace pitchline
