#include "pitchline/units/make.hpp"

#include "pitchline/units/literals.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {
using Catch::Matchers::WithinRel;
using namespace pitchline::literals;

TEST_CASE("makers hold the exact factors of the standards", "[units][published]") {
  // [SP 811] Appendix B: 1 in = 0.0254 m, 1 lb = 0.453 592 37 kg, both exact, and with the standard
  // acceleration of free fall 9.806 65 m/s² a pound-force of 4.448 221 615 260 5 N, exact too.
  CHECK(in_metres(inches(1)) == 0.0254);
  CHECK(in_kilograms(pounds(1)) == 0.45359237);
  CHECK(in_newtons(pounds_force(1)) == 4.4482216152605);
  CHECK(in_metres_per_second_squared(standard_gravity) == 9.80665);
  // [SI brochure 2019]: prefixes; 1 g cm² = 1e-3 kg · 1e-4 m².
  CHECK(in_kilogram_square_metres(gram_square_centimetres(1)) == 1e-7);
  CHECK(in_pascals(megapascals(1)) == 1e6);
  CHECK(in_metres_to_the_fourth(millimetres_to_the_fourth(1)) == 1e-12);
  CHECK(in_newtons_per_metre(newtons_per_millimetre(1)) == 1000);
}

TEST_CASE("makers round a decimal number once", "[units][property]") {
  // 3 · 1e-3 is rounded twice; 1338 of the numbers from 1 to 10 000 would differ from n / 1000.
  int different = 0;
  for (int n = 1; n <= 10'000; ++n) {
    if (in_metres(millimetres(n)) != n / 1000.0) ++different;
    if (in_metres(millimetres(n / 10.0)) != n / 10.0 / 1000.0) ++different;
  }
  CHECK(different == 0);
}

TEST_CASE("readers give back what the makers took", "[units][property]") {
  const double x = GENERATE(take(50, random(1e-3, 1e4)));
  CAPTURE(x);
  CHECK_THAT(in_inches(inches(x)), WithinRel(x, 1e-15));
  CHECK_THAT(in_pounds(pounds(x)), WithinRel(x, 1e-15));
  CHECK_THAT(in_degrees(degrees(x)), WithinRel(x, 1e-15));
  CHECK_THAT(in_revolutions_per_minute(revolutions_per_minute(x)), WithinRel(x, 1e-15));
  CHECK_THAT(in_gram_square_centimetres(gram_square_centimetres(x)), WithinRel(x, 1e-15));
  CHECK_THAT(in_full_steps_per_revolution(full_steps_per_revolution(x)), WithinRel(x, 1e-15));
  CHECK_THAT(in_pulses_per_millimetre(pulses_per_millimetre(x)), WithinRel(x, 1e-15));
}

TEST_CASE("an angle is the same in radians, degrees and turns", "[units][property]") {
  CHECK(in_degrees(revolution) == 360);
  CHECK(in_radians(radian) == 1);
  CHECK(in_revolutions(revolution) == 1);
  CHECK(in_radians(degrees(180)) == std::numbers::pi);
  CHECK_THAT(in_radians_per_second(revolutions_per_minute(60)),
             WithinRel(2 * std::numbers::pi, 1e-15));
  // A stepper of 1.8 degrees makes 200 full steps a turn.
  CHECK_THAT(number(full_steps_per_revolution(200) * degrees(1.8) / full_steps(1)),
             WithinRel(1.0, 1e-15));
}

TEST_CASE("makers work at compile time", "[units][property]") {
  STATIC_REQUIRE(in_metres(millimetres(1500)) == 1.5);
  STATIC_REQUIRE(in_millimetres(metres(1.5)) == 1500);
  STATIC_REQUIRE(millimetres(600) / seconds(2) == millimetres_per_second(300));
}

TEST_CASE("literals are what the makers make", "[units][property]") {
  STATIC_REQUIRE(1.9_kg == kilograms(1.9));
  STATIC_REQUIRE(82_g == grams(82));
  STATIC_REQUIRE(1.5_m == metres(1.5));
  STATIC_REQUIRE(2.032_mm == millimetres(2.032));
  STATIC_REQUIRE(0.75_in == inches(0.75));
  STATIC_REQUIRE(3_s == seconds(3));
  STATIC_REQUIRE(20_ms == milliseconds(20));
  STATIC_REQUIRE(42_Hz == hertz(42));
  STATIC_REQUIRE(0.6_m_per_s == metres_per_second(0.6));
  STATIC_REQUIRE(600_mm_per_s == millimetres_per_second(600));
  STATIC_REQUIRE(5_m_per_s2 == metres_per_second_squared(5));
  STATIC_REQUIRE(4_N == newtons(4));
  STATIC_REQUIRE(1.26_Nm == newton_metres(1.26));
  STATIC_REQUIRE(1.8_deg == degrees(1.8));
  STATIC_REQUIRE(2000_rpm == revolutions_per_minute(2000));
  STATIC_REQUIRE(82_g_cm2 == gram_square_centimetres(82));
  STATIC_REQUIRE(2.8_A == amperes(2.8));
  STATIC_REQUIRE(36_V == volts(36));
  STATIC_REQUIRE(0.83_ohm == ohms(0.83));
  STATIC_REQUIRE(3_mH == millihenries(3));
  STATIC_REQUIRE(350_W == watts(350));
  STATIC_REQUIRE(20_teeth == teeth(20));
  STATIC_REQUIRE(3200_pulses == pulses(3200));
  STATIC_REQUIRE(200_full_steps == full_steps(200));
  STATIC_REQUIRE(-8_mm == millimetres(-8));
}

}  // namespace
}  // namespace pitchline
