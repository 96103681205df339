#include "pitchline/motion/kept_figure.hpp"

#include <cmath>
#include <string>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::error_over;
using motion::kept_pulses;
using motion::kept_travel;
using motion::KeptFigure;
using motion::PiFraction;
using motion::print_decimal;
using testing::IsNear;

// "832/3", "192/pi" or "125/24*pi".
PiFraction pi_fraction_from(std::string text) {
  PiFraction x;
  if (text.ends_with("/pi")) {
    x.pi_power = -1;
    text.erase(text.size() - 3);
  } else if (text.ends_with("*pi")) {
    x.pi_power = 1;
    text.erase(text.size() - 3);
  }
  const std::size_t slash = text.find('/');
  x.factor = slash == std::string::npos
                 ? Fraction(std::stoll(text))
                 : Fraction(std::stoll(text.substr(0, slash)), std::stoll(text.substr(slash + 1)));
  return x;
}

TEST_CASE("kept figures and their errors are those of the table", "[motion][published]") {
  // reference/published/steps_per_mm.csv: whole numbers and 20 digits, made apart (C).
  int rows = 0;
  for (const testing::CsvRow& row : testing::published("steps_per_mm.csv")) {
    CAPTURE(row.text("drive"));
    ++rows;
    const auto near = [&](const char* column) {
      return WithinAbs(row.number(column), 1.02 * row.half_digit(column));
    };
    const KeptFigure steps = kept_pulses(pi_fraction_from(row.text("steps_per_mm_exact")), 3);
    CHECK(print_decimal(steps.kept.value(), 3) == row.text("stored_3dec_steps_per_mm"));
    CHECK_THAT(in_millimetres(error_over(steps, millimetres(1300))),
               near("error_over_1300mm_mm_3dec"));
    const KeptFigure pulse = kept_travel(pi_fraction_from(row.text("um_per_pulse_exact")), 4);
    CHECK(print_decimal(pulse.kept.value(), 4) == row.text("stored_4dec_um_per_pulse"));
    CHECK_THAT(in_millimetres(error_over(pulse, millimetres(1300))),
               near("error_over_1300mm_mm_um4dec"));
  }
  CHECK(rows == 8);
}

TEST_CASE("a whole number of steps costs what the fraction beside it is", "[motion][published]") {
  // 160/3 kept as 53: 53 · 3/160 − 1 = −1/160 of 1300 mm is −8.125 mm, by hand.
  const KeptFigure whole = kept_pulses({.factor = Fraction(160, 3)}, 0);
  CHECK(whole.kept.value() == Fraction(53));
  CHECK_THAT(error_over(whole, millimetres(1300)), IsNear(millimetres(-8.125), millimetres(1e-9)));
  // 80/3 of a degree kept as 27: 27 · 3/80 − 1 = 1/80 of 360 degrees is 4.5 degrees.
  const KeptFigure degrees_whole = kept_pulses({.factor = Fraction(80, 3)}, 0);
  CHECK_THAT(error_over(degrees_whole, revolutions(1)), IsNear(degrees(4.5), degrees(1e-9)));
  // 3/80 of a degree a pulse kept as 0.038: 0.0375/0.038 − 1 = −1/76 of 360 degrees.
  const KeptFigure turn = kept_travel({.factor = Fraction(3, 80)}, 3);
  CHECK_THAT(error_over(turn, revolutions(1)), IsNear(degrees(-360.0 / 76.0), degrees(1e-9)));
}

TEST_CASE("the share that is lost stays inside its bound", "[motion][property]") {
  // Half a unit of the last place, of the exact figure or, for the travel of a pulse, of the kept.
  const std::int64_t numerator = GENERATE(range<std::int64_t>(1, 4000, 397));
  const std::int64_t denominator = GENERATE(1, 3, 7, 127, 360);
  const int pi_power = GENERATE(-1, 0, 1);
  const int decimals = GENERATE(0, 2, 3, 6, 9);
  CAPTURE(numerator, denominator, pi_power, decimals);
  const PiFraction exact{.factor = Fraction(numerator, denominator), .pi_power = pi_power};
  const double half = 0.5 * std::pow(10.0, -decimals) * (1 + 1e-9);
  const KeptFigure steps = kept_pulses(exact, decimals);
  const KeptFigure travel = kept_travel(exact, decimals);
  CHECK(steps.kept == travel.kept);
  CHECK(steps.kept.has_value() == (decimal_value(exact) >= 0.5 * std::pow(10.0, -decimals)));
  if (!steps.kept) return;
  CHECK(std::fabs(steps.excess) * decimal_value(exact) <= half);
  CHECK(std::fabs(travel.excess) * to_double(*travel.kept) <= half);
  // Too many pulses go too far, too long a travel of each goes too short.
  CHECK_THAT((1 + steps.excess) * (1 + travel.excess), WithinRel(1.0, 1e-15));
  CHECK(steps.loses_nothing() == (steps.excess == 0.0));
}

TEST_CASE("a figure that rounds to zero is kept as nothing", "[motion][error]") {
  const KeptFigure steps = kept_pulses({.factor = Fraction(1, 3)}, 0);
  CHECK_FALSE(steps.kept);
  CHECK_FALSE(steps.loses_nothing());
  CHECK_THROWS_MATCHES(error_over(steps, metres(1)), OutsideValidity,
                       Message("1/3 rounds to zero at 0 decimals"));
  CHECK_THROWS_MATCHES(error_over(steps, revolutions(1)), OutsideValidity,
                       Message("1/3 rounds to zero at 0 decimals"));
}

TEST_CASE("decimals are printed with all their places", "[motion][property]") {
  CHECK(print_decimal(Fraction(80), 3) == "80.000");
  CHECK(print_decimal(Fraction(53333, 1000), 3) == "53.333");
  CHECK(print_decimal(Fraction(1, 80), 4) == "0.0125");
  CHECK(print_decimal(Fraction(0), 2) == "0.00");
  CHECK(print_decimal(Fraction(67), 0) == "67");
  CHECK(print_decimal(Fraction(1, 1'000'000'000'000), 12) == "0.000000000001");
  // A double would show 123456.789012346 here.
  CHECK(print_decimal(Fraction(123'456'789'012'345'678, 1'000'000'000'000), 12) ==
        "123456.789012345678");
}

TEST_CASE("kept figures refuse what they cannot hold", "[motion][error]") {
  CHECK_THROWS_MATCHES(kept_pulses({.factor = Fraction(0)}, 3), InvalidInput,
                       Message("pulses per travel must be > 0, got 0"));
  CHECK_THROWS_MATCHES(kept_travel({.factor = Fraction(-1)}, 3), InvalidInput,
                       Message("travel per pulse must be > 0, got -1"));
  CHECK_THROWS_MATCHES(kept_pulses({.factor = Fraction(1)}, 10), InvalidInput,
                       Message("decimals must be from 0 to 9, got 10"));
  const KeptFigure one = kept_pulses({.factor = Fraction(1)}, 3);
  CHECK_THROWS_MATCHES(error_over(one, unset<Length>()), InvalidInput,
                       Message("travel must be > 0, got nan mm"));
  CHECK_THROWS_MATCHES(error_over(one, degrees(0)), InvalidInput,
                       Message("travel must be > 0, got 0 deg"));
  CHECK_THROWS_MATCHES(print_decimal(Fraction(1), 13), InvalidInput,
                       Message("decimals must be from 0 to 12, got 13"));
  CHECK_THROWS_MATCHES(
      print_decimal(Fraction(1, 3), 3), InvalidInput,
      Message("value to print must be a fraction of 3 decimals, got 0.3333333333"));
  CHECK_THROWS_MATCHES(print_decimal(Fraction(-1), 3), InvalidInput,
                       Message("value to print must be a fraction of 3 decimals, got -1"));
  CHECK_THROWS_MATCHES(print_decimal(Fraction(2'000'000), 12), InvalidInput,
                       Message("value to print must be a fraction of 12 decimals, got 2000000"));
}

}  // namespace
}  // namespace pitchline
