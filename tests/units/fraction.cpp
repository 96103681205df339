#include "pitchline/units/fraction.hpp"

#include "support/catch.hpp"

namespace pitchline {
namespace {
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;

TEST_CASE("exact_millimetres holds decimals and fractions exactly", "[units][published]") {
  // [SP 811] Appendix B: 1 in = 25.4 mm exactly, so 1/16 in = 127/80 mm and 0.08 in = 2.032 mm.
  CHECK(exact_millimetres("1/16 in") == Fraction(127, 80));
  CHECK(exact_millimetres("0.08 in") == Fraction(254, 125));
  CHECK(exact_millimetres("2.032 mm") == Fraction(254, 125));
  CHECK(exact_millimetres("3/4 in") == Fraction(381, 20));
  CHECK(exact_millimetres("8 mm") == Fraction(8));
  CHECK(exact_millimetres("+8mm") == Fraction(8));
  CHECK(exact_millimetres("  0.1 cm  ") == Fraction(1));
  CHECK(exact_millimetres("1.5 m") == Fraction(1500));
  CHECK(exact_millimetres("5 um") == Fraction(1, 200));
  CHECK(exact_millimetres(".5 mm") == Fraction(1, 2));
  CHECK(exact_millimetres("5. mm") == Fraction(5));
  CHECK(exact_millimetres("0 mm") == Fraction(0));
}

TEST_CASE("exact_millimetres agrees with the rounded reading", "[units][property]") {
  const auto* text = GENERATE("1/16 in", "0.123456789 mm", "999999999.999999 m",
                              "999999999/999999998 in", "9999999.999999999 in", "7.62 um");
  CAPTURE(text);
  CHECK_THAT(to_double(exact_millimetres(text)),
             WithinRel(read_coherent(text, *kind_of<Length>) * 1000, 1e-15));
}

TEST_CASE("exact_millimetres refuses what it cannot hold", "[units][error]") {
  CHECK_THROWS_MATCHES(exact_millimetres("-1 mm"), UnreadableQuantity,
                       Message("\"-1 mm\" cannot be held exactly: it is negative"));
  CHECK_THROWS_MATCHES(exact_millimetres("0.1234567890 mm"), UnreadableQuantity,
                       Message("\"0.1234567890 mm\" cannot be held exactly: more than 9 digits"));
  CHECK_THROWS_MATCHES(exact_millimetres("1234567890 mm"), UnreadableQuantity,
                       Message("\"1234567890 mm\" cannot be held exactly: more than 9 digits"));
  CHECK_THROWS_MATCHES(
      exact_millimetres("1e3 mm"), UnreadableQuantity,
      Message("\"1e3 mm\" cannot be held exactly: use mm, cm, m, um or in, and no exponent"));
  CHECK_THROWS_MATCHES(
      exact_millimetres("1 ft"), UnreadableQuantity,
      Message("\"1 ft\" cannot be held exactly: use mm, cm, m, um or in, and no exponent"));
  CHECK_THROWS_MATCHES(
      exact_millimetres("1.5/2 in"), UnreadableQuantity,
      Message("\"1.5/2 in\" cannot be held exactly: use mm, cm, m, um or in, and no exponent"));
}

TEST_CASE("exact_millimetres refuses a number whose inches would overflow", "[units][error]") {
  // (10¹⁸ − 1) · 127 is above 2⁶³.
  CHECK_THROWS_MATCHES(
      exact_millimetres("999999999.999999999 in"), UnreadableQuantity,
      Message("\"999999999.999999999 in\" cannot be held exactly: more than 16 digits"));
}

TEST_CASE("exact_millimetres refuses a decimal divisor that starts with zero", "[units][error]") {
  CHECK_THROWS_MATCHES(
      exact_millimetres("3/0.5 in"), UnreadableQuantity,
      Message("\"3/0.5 in\" cannot be held exactly: the divisor of a fraction is a whole number"));
}

TEST_CASE("exact_millimetres gives the ordinary errors of a length first", "[units][error]") {
  CHECK_THROWS_MATCHES(exact_millimetres("3/0 in"), UnreadableQuantity,
                       Message("division by zero"));
  CHECK_THROWS_MATCHES(exact_millimetres("8"), UnreadableQuantity,
                       Message("missing unit: a length is written like \"1500 mm\""));
  CHECK_THROWS_MATCHES(exact_millimetres("8 kg"), UnreadableQuantity,
                       Message("expected a length (like \"1500 mm\"), but \"8 kg\" is a mass"));
}

TEST_CASE("print_fraction leaves out a denominator of one", "[units][property]") {
  CHECK(print_fraction(Fraction(160, 2)) == "80");
  CHECK(print_fraction(Fraction(320, 6)) == "160/3");
  CHECK(to_double(Fraction(1, 4)) == 0.25);
}

TEST_CASE("exact arithmetic agrees with small fractions and is exact near the end",
          "[units][property]") {
  CHECK(exact_product(Fraction(4, 3), Fraction(-9, 8)) == Fraction(-3, 2));
  CHECK(exact_quotient(Fraction(4, 3), Fraction(-8, 9)) == Fraction(-3, 2));
  CHECK(exact_difference(Fraction(1, 6), Fraction(1, 10)) == Fraction(1, 15));
  CHECK(exact_product(Fraction(0), Fraction(5)) == Fraction(0));
  // 2^62 · 3/2^61 = 6, though 3 · 2^62 does not fit.
  constexpr std::int64_t big = std::int64_t{1} << 62;
  CHECK(exact_product(Fraction(big), Fraction(3, big / 2)) == Fraction(6));
  CHECK(exact_difference(Fraction(big), Fraction(-(big - 1))).numerator() ==
        std::numeric_limits<std::int64_t>::max());
}

TEST_CASE("exact arithmetic refuses what 64 bits do not hold", "[units][error]") {
  constexpr std::int64_t big = std::int64_t{1} << 62;
  CHECK_THROWS_MATCHES(exact_product(Fraction(big), Fraction(2)), OutsideValidity,
                       Message("4611686018427387904 times 2 is beyond the whole numbers that are "
                               "held exactly, 9.2e18"));
  CHECK_THROWS_AS(exact_product(Fraction(1, big), Fraction(1, 3)), OutsideValidity);
  CHECK_THROWS_AS(exact_quotient(Fraction(big), Fraction(1, 2)), OutsideValidity);
  CHECK_THROWS_AS(exact_difference(Fraction(big), Fraction(-big)), OutsideValidity);
  CHECK_THROWS_AS(exact_difference(Fraction(1, big), Fraction(1, 3)), OutsideValidity);
  CHECK_THROWS_MATCHES(exact_quotient(Fraction(1), Fraction(0)), InvalidInput,
                       Message("divisor must be other than 0, got 0"));
}

}  // namespace
}  // namespace pitchline
