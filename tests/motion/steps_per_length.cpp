#include "pitchline/motion/steps_per_length.hpp"

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::kept_at;
using motion::pulses_per_millimetre_exactly;
using motion::StepTrain;
using motion::travel_error;

// "832/3", "40" or "53.333" as a fraction.
Fraction fraction_in(const std::string& text) {
  if (const std::size_t slash = text.find('/'); slash != std::string::npos)
    return {std::stoll(text.substr(0, slash)), std::stoll(text.substr(slash + 1))};
  const std::size_t point = text.find('.');
  if (point == std::string::npos) return {std::stoll(text)};
  std::int64_t ten = 1;
  for (std::size_t i = point + 1; i < text.size(); ++i) ten *= 10;
  return {std::stoll(text.substr(0, point) + text.substr(point + 1)), ten};
}

TEST_CASE("pulses per millimetre are the tabled fractions, kept and in error as tabled",
          "[motion][published]") {
  // reference/published/steps_per_mm.csv: independent derivation in whole numbers (C). The rotary
  // row has a factor pi and is no fraction; it stays out.
  int rows = 0;
  for (const testing::CsvRow& row : testing::published("steps_per_mm.csv")) {
    if (row.text("steps_per_mm_exact").find("pi") != std::string::npos) continue;
    CAPTURE(row.text("drive"));
    ++rows;
    const StepTrain train{
        .pulses_per_turn =
            std::stoll(row.text("full_steps_per_rev")) * std::stoll(row.text("microsteps")),
        .turns_per_pulley_turn = fraction_in(row.text("gear_ratio")),
        .millimetres_per_pulley_turn = fraction_in(row.text("travel_per_output_rev"))};
    const Fraction exact = pulses_per_millimetre_exactly(train);
    CHECK(print_fraction(exact) == row.text("steps_per_mm_exact"));
    CHECK_THAT(to_double(exact), WithinRel(row.number("steps_per_mm_20digits"), 1e-15));
    const Fraction kept = kept_at(exact, 3);
    CHECK(kept == fraction_in(row.text("stored_3dec_steps_per_mm")));
    CHECK_THAT(in_millimetres(travel_error(millimetres(1300), {.exact = exact, .kept = kept})),
               WithinAbs(row.number("error_over_1300mm_mm_3dec"), 0.51e-9));
    CHECK(Fraction(1000) / exact == fraction_in(row.text("um_per_pulse_exact")));
  }
  CHECK(rows == 7);
}

TEST_CASE("kept_at rounds half up and keeps what needs no rounding", "[motion][property]") {
  CHECK(kept_at({5, 2}, 0) == Fraction(3));
  CHECK(kept_at({1, 8}, 2) == Fraction(13, 100));
  CHECK(kept_at({2499, 1000}, 0) == Fraction(2));
  CHECK(kept_at({80, 1}, 3) == Fraction(80));
  CHECK(kept_at({1, 3000}, 3) == Fraction(0));
  CHECK(kept_at({0, 1}, 9) == Fraction(0));
  // Never more than half a unit of the last place away, and stable.
  const int num = GENERATE(take(15, random(1, 2'000'000)));
  const int den = GENERATE(take(5, random(1, 100'000)));
  const int decimals = GENERATE(0, 3, 6);
  CAPTURE(num, den, decimals);
  const Fraction value(num, den);
  const Fraction kept = kept_at(value, decimals);
  Fraction unit(1);
  for (int i = 0; i < decimals; ++i) unit /= 10;
  CHECK(abs(kept - value) * Fraction(2) <= unit);
  CHECK(kept_at(kept, decimals) == kept);
}

TEST_CASE("kept_at does not overflow where value and denominator are large", "[motion][property]") {
  // 99 999 999 and 7 parts of the prime 999 999 937; times 1e9 its numerator is 1e26.
  const Fraction value(99'999'992'700'000'070, 999'999'937);
  CHECK(kept_at(value, 9) == Fraction(99'999'999'000'000'007, 1'000'000'000));
  CHECK(kept_at({1, 999'999'937}, 9) == Fraction(1, 1'000'000'000));
}

TEST_CASE("travel_error is positive where too many pulses make the axis go too far",
          "[motion][property]") {
  const Length travel = millimetres(1000);
  CHECK_THAT(in_millimetres(travel_error(travel, {.exact = Fraction(80), .kept = Fraction(88)})),
             WithinRel(100.0, 1e-15));
  CHECK_THAT(in_millimetres(travel_error(travel, {.exact = Fraction(80), .kept = Fraction(72)})),
             WithinRel(-100.0, 1e-15));
  CHECK(travel_error(travel, {.exact = Fraction(80), .kept = Fraction(80)}) == metres(0));
  // No noise where the two are close: 1e-9 of 1e3 exactly.
  CHECK_THAT(
      in_metres(travel_error(metres(1), {.exact = Fraction(1000),
                                         .kept = Fraction(1'000'000'000'001, 1'000'000'000)})),
      WithinRel(1e-12, 1e-14));
}

TEST_CASE("pulses_per_millimetre_exactly refuses what is not above zero", "[motion][error]") {
  const StepTrain good{.pulses_per_turn = 3200, .millimetres_per_pulley_turn = Fraction(40)};
  CHECK(pulses_per_millimetre_exactly(good) == Fraction(80));
  StepTrain bad = good;
  bad.pulses_per_turn = 0;
  CHECK_THROWS_MATCHES(pulses_per_millimetre_exactly(bad), InvalidInput,
                       Message("pulses per turn must be from 1 to 1000000, got 0"));
  bad.pulses_per_turn = 1'000'001;
  CHECK_THROWS_AS(pulses_per_millimetre_exactly(bad), InvalidInput);
  bad = good;
  bad.turns_per_pulley_turn = Fraction(0);
  CHECK_THROWS_MATCHES(pulses_per_millimetre_exactly(bad), InvalidInput,
                       Message("motor turns per pulley turn must be > 0, got 0"));
  bad = good;
  bad.millimetres_per_pulley_turn = Fraction(-1, 2);
  CHECK_THROWS_MATCHES(pulses_per_millimetre_exactly(bad), InvalidInput,
                       Message("travel per pulley turn must be > 0, got -0.5 mm"));
}

TEST_CASE("kept_at and travel_error refuse what lies outside their range", "[motion][error]") {
  CHECK_THROWS_MATCHES(kept_at({1}, -1), InvalidInput,
                       Message("decimals must be from 0 to 9, got -1"));
  CHECK_THROWS_AS(kept_at({1}, 10), InvalidInput);
  CHECK_THROWS_MATCHES(kept_at({-1, 2}, 3), InvalidInput,
                       Message("value to keep must be from 0 to 1e8, got -0.5"));
  CHECK_THROWS_AS(kept_at({100'000'001}, 3), InvalidInput);
  CHECK_THROWS_MATCHES(travel_error(metres(1), {.exact = Fraction(0), .kept = Fraction(1)}),
                       InvalidInput, Message("exact pulses per mm must be > 0, got 0 1/mm"));
  CHECK_THROWS_MATCHES(travel_error(metres(1), {.exact = Fraction(1), .kept = Fraction(-1)}),
                       InvalidInput, Message("kept pulses per mm must be > 0, got -1 1/mm"));
}

TEST_CASE("pulses_per_millimetre_exactly says where a fraction is too long to be held",
          "[motion][error]") {
  // 1e6 pulses · 999 999 937 turns · 1e9/999 999 929: 1e24 over a prime.
  const StepTrain train{.pulses_per_turn = 1'000'000,
                        .turns_per_pulley_turn = Fraction(999'999'937),
                        .millimetres_per_pulley_turn = Fraction(999'999'929, 1'000'000'000)};
  CHECK_THROWS_AS(pulses_per_millimetre_exactly(train), OutsideValidity);
  const Fraction fine(1, 1'000'000'000'000'000'003);
  CHECK_THROWS_AS(kept_at(Fraction(1) - fine, 3), OutsideValidity);
  CHECK_THROWS_AS(travel_error(metres(1), {.exact = fine, .kept = Fraction(1, 1'000'000'007)}),
                  OutsideValidity);
}

}  // namespace
}  // namespace pitchline
