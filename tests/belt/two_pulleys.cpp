#include "pitchline/belt/two_pulleys.hpp"

#include <array>
#include <numbers>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using belt::belt_length;
using belt::centre_distance;
using belt::nearest_whole_tooth_belt;
using belt::pair_wraps;
using belt::TwoPulleys;
using belt::whole_tooth_belt;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using testing::IsNear;

TwoPulleys pulleys(const Fraction& pitch, int first, int second) {
  return {.profile = {.name = "test", .pitch_millimetres = pitch},
          .first_teeth = first,
          .second_teeth = second};
}

TEST_CASE("centre_distance gives the printed drive selection tables", "[belt][published]") {
  // [GT3 manual] p. 12 to 23, Q: GT 5 mm, inches to 0.01; the table rounds its own way, so 0.01.
  int rows = 0;
  for (const testing::CsvRow& row : testing::published("belts_centre_distance.csv")) {
    ++rows;
    const auto pair = pulleys(Fraction(5), static_cast<int>(row.number("z_driver")),
                              static_cast<int>(row.number("z_driven")));
    const Length length = millimetres(row.number("pitch_length_mm"));
    CAPTURE(row.number("z_driver"), row.number("z_driven"), in_millimetres(length));
    const Length met = centre_distance(pair, length);
    CHECK_THAT(met, IsNear(inches(row.number("C_published_in")), inches(0.01)));
    // The same cells by bisection elsewhere (C).
    CHECK_THAT(met, IsNear(millimetres(row.number("C_exact_mm_computed")), millimetres(0.00051)));
  }
  CHECK(rows == 21);
  // More cells of the same tables.
  struct Cell {
    int first, second;
    double length_mm, printed_in;
  };
  for (const Cell& cell : std::array<Cell, 5>{{{20, 24, 1000, 17.52},
                                               {64, 80, 650, 5.69},
                                               {60, 72, 2100, 34.84},
                                               {18, 23, 1300, 23.57},
                                               {25, 34, 1150, 19.74}}}) {
    CAPTURE(cell.first, cell.second, cell.length_mm);
    CHECK_THAT(
        centre_distance(pulleys(Fraction(5), cell.first, cell.second), millimetres(cell.length_mm)),
        IsNear(inches(cell.printed_in), inches(0.01)));
  }
}

TEST_CASE("centre_distance shows that one printed cell is a misprint", "[belt][published]") {
  // [GT3 manual] 28/28 teeth, 650 mm: printed 10.00 in. By hand (650 − 28·5)/2 = 255 mm = 10.04 in.
  const Length met = centre_distance(pulleys(Fraction(5), 28, 28), millimetres(650));
  CHECK_THAT(met, IsNear(millimetres(255), millimetres(1e-9)));
  CHECK(met - inches(10.00) > inches(0.03));
}

TEST_CASE("the pair formulas give the worked linear axis of a handbook", "[belt][published]") {
  // [Optibelt manual], Q: T5, two pulleys of 42 teeth, a = 3236 mm: 6682 mm, so 1336 teeth, 6680
  // mm, a = 3235 mm.
  const auto pair = pulleys(Fraction(5), 42, 42);
  CHECK_THAT(belt_length(pair, millimetres(3236)), IsNear(millimetres(6682), millimetres(0.5)));
  const auto belt = nearest_whole_tooth_belt(pair, millimetres(3236));
  CHECK(belt.teeth == 1336);
  CHECK_THAT(belt.length, IsNear(millimetres(6680), millimetres(0.5)));
  CHECK_THAT(belt.centre_distance, IsNear(millimetres(3235), millimetres(0.5)));
}

TEST_CASE("the pair formulas give figures computed another way", "[belt][published]") {
  // (C), from the tooth form of the handbook and by bisection: pitch 2 mm.
  CHECK_THAT(belt_length(pulleys(Fraction(2), 20, 60), millimetres(100)),
             IsNear(millimetres(281.6233), millimetres(0.00005)));
  CHECK_THAT(belt_length(pulleys(Fraction(2), 20, 60), millimetres(60)),
             IsNear(millimetres(202.7122), millimetres(0.00005)));
  CHECK_THAT(whole_tooth_belt(pulleys(Fraction(2), 16, 60), 100).centre_distance,
             IsNear(millimetres(60.36791), millimetres(0.000005)));
  CHECK_THAT(whole_tooth_belt(pulleys(Fraction(2), 60, 20), 305).centre_distance,
             IsNear(millimetres(264.69371), millimetres(0.000005)));
}

TEST_CASE("the length obeys the tooth form of the handbook", "[belt][published]") {
  // [SDP handbook] eq. 22: Q = (NB − N1)/(N1 − N2), (tan φ − φ)/π = Q,
  // k = (tan(π/4 − φ/2) + φ)/π, C = p/2 [(NB − N1) + k (N1 − N2)]. φ from C cos φ = R1 − R2.
  const int large = GENERATE(24, 40, 72);
  const int belt_teeth = GENERATE(100, 151, 400);
  CAPTURE(large, belt_teeth);
  const auto pair = pulleys(Fraction(3), large, 18);
  const Length c = whole_tooth_belt(pair, belt_teeth).centre_distance;
  const double phi = std::acos(3.0 * (large - 18) / (2.0 * std::numbers::pi) / in_millimetres(c));
  const double q = static_cast<double>(belt_teeth - large) / (large - 18);
  CHECK_THAT((std::tan(phi) - phi) / std::numbers::pi, WithinRel(q, 1e-9));
  const double k = (std::tan(std::numbers::pi / 4 - phi / 2) + phi) / std::numbers::pi;
  CHECK_THAT(1.5 * ((belt_teeth - large) + k * (large - 18)), WithinRel(in_millimetres(c), 1e-9));
}

TEST_CASE("pair_wraps counts the teeth in mesh of two worked pairs", "[belt][published]") {
  // (C): 20/60, p = 2 mm, C = 60 mm: 8.6387 (the printed approximation says 8.5853); 16/80, p = 3
  // mm, C = 90 mm: 6.2357.
  const auto a = pair_wraps(pulleys(Fraction(2), 20, 60), millimetres(60));
  CHECK_THAT(in_teeth(a.first.teeth_in_mesh), WithinAbs(8.6387, 0.00005));
  CHECK(a.first.whole_teeth_in_mesh == 8);
  const auto b = pair_wraps(pulleys(Fraction(3), 80, 16), millimetres(90));
  CHECK_THAT(in_teeth(b.second.teeth_in_mesh), WithinAbs(6.2357, 0.00005));
  CHECK(b.second.whole_teeth_in_mesh == 6);
  // Half of equal pulleys: whole, not one less by rounding.
  const auto c = pair_wraps(pulleys(Fraction(254, 125), 20, 20), millimetres(300));
  CHECK(c.first.whole_teeth_in_mesh == 10);
  CHECK(c.second.whole_teeth_in_mesh == 10);
}

TEST_CASE("centre_distance inverts belt_length", "[belt][property]") {
  const int first = GENERATE(10, 16, 20, 60, 200);
  const int second = GENERATE(10, 17, 20, 72);
  const double share = GENERATE(1.000001, 1.01, 1.5, 4.0, 100.0);
  const Fraction pitch = GENERATE(Fraction(2), Fraction(254, 125), Fraction(14));
  CAPTURE(first, second, share, print_fraction(pitch));
  const auto pair = pulleys(pitch, first, second);
  const double least = to_double(pitch) * (first + second) / (2 * std::numbers::pi);
  const Length wanted = millimetres(share * least);
  CHECK_THAT(in_millimetres(centre_distance(pair, belt_length(pair, wanted))),
             WithinRel(in_millimetres(wanted), 1e-9));
}

TEST_CASE("belt_length on equal pulleys is two centre distances and the teeth",
          "[belt][published]") {
  // [SDP handbook] T-41, the rule for measuring belts: L = 2 C + N p.
  const int count = GENERATE(12, 20, 45);
  CAPTURE(count);
  CHECK_THAT(in_millimetres(belt_length(pulleys(Fraction(5), count, count), millimetres(250))),
             WithinRel(500.0 + 5.0 * count, 1e-14));
}

TEST_CASE("belt_length grows by twice the sine of the strands, and takes the pulleys either way",
          "[belt][property]") {
  // dL/dC = 2 √(1 − ((R1 − R2)/C)²), against a central difference.
  const double c = GENERATE(45.0, 60.0, 150.0);
  CAPTURE(c);
  const auto pair = pulleys(Fraction(2), 20, 100);
  const auto length = [&](double mm) { return in_millimetres(belt_length(pair, millimetres(mm))); };
  const double slope = (length(c + 1e-4) - length(c - 1e-4)) / 2e-4;
  const double lean = 2.0 * 80 / (2 * std::numbers::pi) / c;
  CHECK_THAT(slope, WithinRel(2 * std::sqrt(1 - lean * lean), 1e-8));
  CHECK_THAT(in_millimetres(belt_length(pulleys(Fraction(2), 100, 20), millimetres(c))),
             WithinRel(length(c), 1e-15));
}

TEST_CASE("the wraps of a pair add up to one turn, the larger pulley has more",
          "[belt][property]") {
  const double c = GENERATE(31.0, 60.0, 900.0);
  CAPTURE(c);
  const auto w = pair_wraps(pulleys(Fraction(2), 60, 20), millimetres(c));
  CHECK_THAT(in_degrees(w.first.angle + w.second.angle), WithinRel(360.0, 1e-14));
  CHECK(w.first.angle > w.second.angle);
  CHECK_THAT(in_teeth(w.first.teeth_in_mesh),
             WithinRel(60 * in_degrees(w.first.angle) / 360, 1e-14));
}

TEST_CASE("free_strand is what the wraps leave of the belt", "[belt][property]") {
  // L = 2 t + R1 wrap1 + R2 wrap2.
  const double distance = GENERATE(26.0, 60.0, 400.0);
  const belt::TwoPulleys pair = pulleys(Fraction(2), 20, 60);
  const auto wraps = pair_wraps(pair, millimetres(distance));
  const double on_pulleys = 20.0 / std::numbers::pi * in_radians(wraps.first.angle) +
                            60.0 / std::numbers::pi * in_radians(wraps.second.angle);
  const double length = in_millimetres(belt_length(pair, millimetres(distance)));
  CHECK_THAT(in_millimetres(belt::free_strand(pair, millimetres(distance))),
             WithinRel((length - on_pulleys) / 2.0, 1e-9));
  CHECK_THROWS_AS(belt::free_strand(pair, millimetres(25)), OutsideValidity);
}

TEST_CASE("nearest_whole_tooth_belt is not farther than its neighbours", "[belt][property]") {
  const double c = GENERATE(40.0, 61.3, 99.9, 300.0);
  CAPTURE(c);
  const auto pair = pulleys(Fraction(2), 20, 48);
  const auto best = nearest_whole_tooth_belt(pair, millimetres(c));
  const auto off = [&](int count) {
    return std::abs(count * 2.0 - in_millimetres(belt_length(pair, millimetres(c))));
  };
  CHECK(off(best.teeth) <= off(best.teeth + 1));
  CHECK(off(best.teeth) <= off(best.teeth - 1));
  CHECK_THAT(in_millimetres(belt_length(pair, best.centre_distance)),
             WithinRel(2.0 * best.teeth, 1e-12));
}

TEST_CASE("the pair formulas refuse what cannot be", "[belt][error]") {
  const auto pair = pulleys(Fraction(2), 20, 60);
  CHECK_THROWS_MATCHES(belt_length(pair, unset<Length>()), InvalidInput,
                       Message("centre distance must be > 0, got nan mm"));
  CHECK_THROWS_AS(belt_length(pair, unlimited<Length>()), InvalidInput);
  CHECK_THROWS_AS(pair_wraps(pair, metres(0)), InvalidInput);
  CHECK_THROWS_MATCHES(belt_length(pair, millimetres(25)), OutsideValidity,
                       Message("pulleys overlap: centre distance 25 mm must be above the sum of "
                               "the pitch radii, 25.4648 mm"));
  CHECK_THROWS_AS(pair_wraps(pair, millimetres(25)), OutsideValidity);
  CHECK_THROWS_MATCHES(centre_distance(pair, metres(-1)), InvalidInput,
                       Message("belt length must be > 0, got -1000 mm"));
  CHECK_THROWS_AS(centre_distance(pair, unset<Length>()), InvalidInput);
  CHECK_THROWS_AS(centre_distance(pair, millimetres(130)), OutsideValidity);
  CHECK_THROWS_WITH(whole_tooth_belt(pair, 65),
                    Catch::Matchers::StartsWith("belt of 130 mm is too short: round these "
                                                "pulleys, pitch circles touching, it is"));
  CHECK_THROWS_MATCHES(whole_tooth_belt(pair, 0), InvalidInput,
                       Message("belt teeth must be >= 1, got 0"));
  CHECK_THROWS_MATCHES(belt_length(pulleys(Fraction(2), 0, 60), millimetres(99)), InvalidInput,
                       Message("teeth must be >= 1, got 0"));
  CHECK_THROWS_MATCHES(centre_distance(pulleys(Fraction(0), 20, 60), millimetres(99)), InvalidInput,
                       Message("pitch must be > 0, got 0 mm/tooth"));
}

TEST_CASE("a belt of more teeth than can be counted is refused", "[belt][error]") {
  const auto pair = pulleys(Fraction(2), 20, 60);
  CHECK_THROWS_MATCHES(nearest_whole_tooth_belt(pair, metres(1e9)), OutsideValidity,
                       Message("1e+12 teeth are no belt: at most 1e9 are counted"));
}

}  // namespace
}  // namespace pitchline
