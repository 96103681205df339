#include "pitchline/belt/pulley.hpp"

#include <array>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using belt::pitch_diameter;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using testing::IsNear;

parts::BeltProfile profile(const char* name, Fraction pitch) {
  return {.name = name, .pitch_millimetres = pitch, .source = "test"};
}

struct Printed {
  int teeth;
  double diameter;
};

TEST_CASE("pitch_diameter gives the printed table of GT 2 mm pulleys", "[belt][published]") {
  // [SDP handbook] table 33, T-67, Q: mm.
  const auto gt2 = profile("GT 2 mm", Fraction(2));
  for (const auto& [teeth, diameter] : std::array<Printed, 15>{{{12, 7.64},
                                                                {14, 8.91},
                                                                {16, 10.19},
                                                                {18, 11.46},
                                                                {20, 12.73},
                                                                {24, 15.28},
                                                                {28, 17.83},
                                                                {32, 20.37},
                                                                {36, 22.92},
                                                                {40, 25.46},
                                                                {48, 30.56},
                                                                {56, 35.65},
                                                                {64, 40.74},
                                                                {72, 45.84},
                                                                {80, 50.93}}}) {
    CAPTURE(teeth);
    CHECK_THAT(pitch_diameter(gt2, teeth), IsNear(millimetres(diameter), millimetres(0.005)));
  }
}

TEST_CASE("pitch_diameter gives printed diameters of other profiles", "[belt][published]") {
  // [GT3 manual] p. 134-137, Q: GT 5 mm, inch.
  const auto gt5 = profile("GT 5 mm", Fraction(5));
  for (const auto& [teeth, diameter] : std::array<Printed, 8>{{{12, 0.752},
                                                               {16, 1.003},
                                                               {20, 1.253},
                                                               {24, 1.504},
                                                               {30, 1.880},
                                                               {40, 2.506},
                                                               {60, 3.760},
                                                               {72, 4.511}}}) {
    CAPTURE(teeth);
    CHECK_THAT(pitch_diameter(gt5, teeth), IsNear(inches(diameter), inches(0.0005)));
  }
  // [Elatech 3M], Q: HTD 3M, mm.
  const auto htd3 = profile("HTD 3M", Fraction(3));
  for (const auto& [teeth, diameter] :
       std::array<Printed, 5>{{{10, 9.55}, {16, 15.28}, {20, 19.10}, {50, 47.75}, {120, 114.59}}}) {
    CAPTURE(teeth);
    CHECK_THAT(pitch_diameter(htd3, teeth), IsNear(millimetres(diameter), millimetres(0.005)));
  }
  // [Optibelt manual], Q: T5 with 42 teeth, T10 with 40.
  CHECK_THAT(pitch_diameter(profile("T5", Fraction(5)), 42),
             IsNear(millimetres(66.85), millimetres(0.005)));
  CHECK_THAT(pitch_diameter(profile("T10", Fraction(10)), 40),
             IsNear(millimetres(127.32), millimetres(0.005)));
}

TEST_CASE("pitch_diameter differs from the printed T-series table, as that book warns",
          "[belt][published]") {
  // [SDP handbook] tables 5 to 7, Q: 20 teeth of T2.5, T5, T10 are printed as 16.00, 32.00, 63.80.
  // Not p z/pi: 0.085 to 0.17 mm more, and a diameter from there would give wrong travel.
  const std::array<std::pair<Fraction, double>, 3> table{
      {{Fraction(5, 2), 16.00}, {Fraction(5), 32.00}, {Fraction(10), 63.80}}};
  for (const auto& [pitch, printed] : table) {
    CAPTURE(printed);
    const Length excess = millimetres(printed) - pitch_diameter(profile("T", pitch), 20);
    CHECK(excess > millimetres(0.08));
    CHECK(excess < millimetres(0.175));
  }
}

TEST_CASE("pulley_transmission moves the belt by pitch times teeth a turn", "[belt][property]") {
  const int count = GENERATE(12, 16, 20, 31, 60);
  const Fraction pitch = GENERATE(Fraction(2), Fraction(254, 125), Fraction(5));
  CAPTURE(count);
  const Length turn = belt::pulley_transmission(profile("any", pitch), count) * revolution;
  CHECK_THAT(in_millimetres(turn), WithinRel(to_double(pitch * Fraction(count)), 1e-15));
}

TEST_CASE("assumed_pulley_inertia is that of an aluminium cylinder as long as two belt widths",
          "[belt][property]") {
  // By hand: GT 2 mm, 20 teeth, 9 mm: d = 40/pi = 12.7324 mm, l = 18 mm, 2700 kg/m3:
  // J = pi rho l d^4/32 = pi * 2700 * 0.018 * 2.628091e-8 / 32 = 1.253940e-7 kg*m2.
  const Inertia met =
      belt::assumed_pulley_inertia(profile("GT 2 mm", Fraction(2)), millimetres(9), 20);
  CHECK_THAT(in_kilogram_square_metres(met), WithinRel(1.253940e-7, 1e-6));
}

TEST_CASE("the pulley formulas refuse a pitch, a width or teeth not above zero", "[belt][error]") {
  const auto gt2 = profile("GT 2 mm", Fraction(2));
  CHECK_THROWS_MATCHES(pitch_diameter({}, 20), InvalidInput,
                       Message("pitch must be > 0, got 0 mm/tooth"));
  CHECK_THROWS_MATCHES(pitch_diameter(gt2, 0), InvalidInput, Message("teeth must be >= 1, got 0"));
  CHECK_THROWS_AS(belt::pulley_transmission(gt2, -3), InvalidInput);
  CHECK_THROWS_MATCHES(belt::assumed_pulley_inertia(gt2, unset<Length>(), 20), InvalidInput,
                       Message("belt width must be > 0, got nan m"));
  CHECK_THROWS_AS(belt::assumed_pulley_inertia(gt2, millimetres(9), 0), InvalidInput);
}

}  // namespace
}  // namespace pitchline
