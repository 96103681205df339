#include "pitchline/screw/nut_wear.hpp"

#include <cmath>
#include <numbers>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using screw::Lubrication;
using screw::NutMaterial;
using screw::WearingNut;
using testing::IsNear;

const WearFactor unit = cubic_millimetres_per_newton_metre(1);

// A nut of the kite loft, our own invented machine: Tr8x2, 12 mm long, 60 N.
WearingNut nut() {
  return {.thread = {.mean_diameter = millimetres(7),
                     .minor_diameter = millimetres(5.5),
                     .pitch = millimetres(2),
                     .nut_length = millimetres(12)},
          .lead = millimetres(2),
          .flank_half_angle = degrees(15),
          .load = newtons(60),
          .wear = *screw::nut_wear(NutMaterial::brass, Lubrication::oiled),
          .allowed_play = millimetres(0.5)};
}

TEST_CASE("worn_depth gives the printed hours of a bearing", "[screw][published]") {
  // [Wentzell] 19.2, Q2: 0.01 in, K 12e-10 in inches, psi, ft/min and hours: 2788 h with the
  // rounded 30.5 psi and 98 ft/min; recomputed 2785 with 30.476 and 98.175 (C).
  const Pressure psi = pounds_force(1) / (inches(1) * inches(1));
  const Speed feet_per_minute = inches(12) / seconds(60);
  const Time hour = seconds(3600);
  const WearFactor k = 12e-10 * inches(1) / (psi * feet_per_minute * hour);
  const auto depth = [&](double p, double v, double hours) {
    return in_inches(screw::worn_depth(k, p * psi * (v * feet_per_minute), hours * hour));
  };
  CHECK_THAT(depth(30.5, 98, 2788), WithinRel(0.01, 0.5 / 2788));
  CHECK_THAT(depth(30.476, 98.175, 2785), WithinRel(0.01, 0.5 / 2785));
  // In our units, within the row of a plastic with solid lubricant.
  CHECK_THAT(number(k / unit), WithinAbs(2.4e-7, 0.05e-7));
  const auto* row = screw::nut_wear(NutMaterial::filled_plastic, Lubrication::dry);
  REQUIRE(row != nullptr);
  CHECK(k > row->least);
  CHECK(k < row->most);
}

TEST_CASE("after the travel of its life a nut is worn by its play", "[screw][property]") {
  const double lead = GENERATE(2.0, 4.0, 8.0);
  const double half = GENERATE(0.0, 15.0);
  CAPTURE(lead, half);
  WearingNut n = nut();
  n.lead = millimetres(lead);
  n.flank_half_angle = degrees(half);
  const screw::NutLife life = screw::nut_life(n);
  CHECK(life.shortest < life.longest);
  // The same by the time: at 300 rpm the nut travels 5 · lead a second.
  const PressureVelocity pv =
      screw::bearing_pressure(n.thread, n.load) *
      screw::rubbing_speed({.mean_diameter = n.thread.mean_diameter, .lead = n.lead},
                           revolutions_per_minute(300));
  for (const auto& [travel, k] :
       {std::pair{life.shortest, n.wear.most}, std::pair{life.longest, n.wear.least}}) {
    const Time time = travel / millimetres_per_second(5 * lead);
    const Length depth = screw::worn_depth(k, pv, time);
    CHECK_THAT(number(depth / n.allowed_play),
               WithinRel(std::cos(half * std::numbers::pi / 180), 1e-12));
  }
  // Worn volume is K F s: depth over the flanks of six threads, π d_m · P/2 · 6 as seen axially.
  const double worn = 0.5 * std::numbers::pi * 7 * 1 * 6;  // mm³ along the axis
  const double slid = in_metres(life.longest) * std::hypot(1.0, std::numbers::pi * 7 / lead);  // m
  CHECK_THAT(worn * std::cos(half * std::numbers::pi / 180),
             WithinRel(number(n.wear.least / unit) * 60 * slid, 1e-12));
}

TEST_CASE("the width of a life is that of its wear factor, tenfold at the least",
          "[screw][property]") {
  for (const screw::NutWear& row : screw::nut_wears) {
    CAPTURE(in_words(row.nut), in_words(row.lubrication));
    CHECK(row.most >= 10.0 * row.least);
    CHECK(screw::nut_wear(row.nut, row.lubrication) == &row);
    WearingNut n = nut();
    n.wear = row;
    const screw::NutLife life = screw::nut_life(n);
    CHECK_THAT(number(life.longest / life.shortest),
               WithinRel(number(row.most / row.least), 1e-12));
    if (row.lubrication != Lubrication::oiled) continue;
    const auto* dry = screw::nut_wear(row.nut, Lubrication::dry);
    if (dry != nullptr) CHECK(row.least < dry->least);
  }
  CHECK(screw::nut_wear(NutMaterial::steel, Lubrication::oiled) == nullptr);
}

TEST_CASE("wear with a figure outside its range is refused by name", "[screw][error]") {
  const PressureVelocity pv = megapascal_metres_per_second(0.01);
  CHECK_THROWS_MATCHES(screw::worn_depth(-1.0 * unit, pv, seconds(1)), InvalidInput,
                       Message("wear factor must be >= 0, got -1 mm^3/(N*m)"));
  CHECK_THROWS_MATCHES(screw::worn_depth(unit, unset<PressureVelocity>(), seconds(1)), InvalidInput,
                       Message("pressure times speed must be >= 0, got nan MPa*m/s"));
  CHECK_THROWS_MATCHES(screw::worn_depth(unit, pv, unset<Time>()), InvalidInput,
                       Message("time must be >= 0, got nan s"));
  const auto refuses = [](auto spoil, const char* text) {
    WearingNut bad = nut();
    spoil(bad);
    CHECK_THROWS_MATCHES(screw::nut_life(bad), InvalidInput, Message(text));
  };
  refuses([](auto& n) { n.load = newtons(0); }, "load must be > 0, got 0 N");
  refuses([](auto& n) { n.thread.pitch = unset<Length>(); }, "pitch must be > 0, got nan mm");
  refuses([](auto& n) { n.lead = unset<Length>(); }, "lead must be > 0, got nan mm");
  refuses([](auto& n) { n.flank_half_angle = unset<Angle>(); },
          "flank half angle must be from 0 to 45, got nan deg");
  refuses([](auto& n) { n.allowed_play = metres(0); }, "allowed play must be > 0, got 0 mm");
  refuses([](auto& n) { n.wear.least = WearFactor{}; },
          "least wear factor must be > 0, got 0 mm^3/(N*m)");
  refuses([](auto& n) { n.wear.most = n.wear.least / 2.0; },
          "most wear factor must be >= least wear factor, got 1.5e-08 mm^3/(N*m)");
}

}  // namespace
}  // namespace pitchline
