#include "pitchline/units/print.hpp"

#include <clocale>
#include <cstdint>
#include <limits>
#include <random>

#include "pitchline/units/make.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {

TEST_CASE("significant rounds before it chooses the decimals", "[units][property]") {
  CHECK(significant(9.9996) == "10.00");
  CHECK(significant(9.9994) == "9.999");
  CHECK(significant(999.96) == "1000");
  CHECK(significant(0.99999) == "1.000");
  CHECK(significant(26.177) == "26.18");
  CHECK(significant(-26.177) == "-26.18");
  CHECK(significant(1500) == "1500");
  CHECK(significant(123456) == "123500");
  CHECK(significant(0.00012345) == "0.0001234");  // the double lies below the middle
  CHECK(significant(5) == "5.000");
}

TEST_CASE("significant gives as many digits as it is asked for", "[units][property]") {
  CHECK(significant(26.177, 1) == "30");
  CHECK(significant(26.177, 2) == "26");
  CHECK(significant(26.177, 3) == "26.2");
  CHECK(significant(26.177, 6) == "26.1770");
  CHECK(significant(1.0 / 3.0, 14) == "0.33333333333333");
}

TEST_CASE("significant turns to powers of ten below 1e-4 and from 1e9 on", "[units][property]") {
  CHECK(significant(1e-4) == "0.0001000");
  CHECK(significant(9.9999e-5) == "0.0001000");  // by what it is rounded to
  CHECK(significant(9.999e-5) == "9.999e-05");
  CHECK(significant(1.234e-5) == "1.234e-05");
  CHECK(significant(1e-300) == "1.000e-300");
  CHECK(significant(999'900'000) == "999900000");
  CHECK(significant(999'960'000) == "1.000e+09");
  CHECK(significant(1e9) == "1.000e+09");
}

TEST_CASE("significant prints zero, infinity and NaN", "[units][property]") {
  CHECK(significant(0) == "0");
  CHECK(significant(-0.0) == "0");
  CHECK(significant(std::numeric_limits<double>::infinity()) == "inf");
  CHECK(significant(-std::numeric_limits<double>::infinity()) == "-inf");
  CHECK(significant(std::numeric_limits<double>::quiet_NaN()) == "nan");
}

TEST_CASE("print uses the engineering unit of the kind", "[units][property]") {
  CHECK(print(metres(1.5)) == "1500 mm");
  CHECK(print(millimetres_per_second(600)) == "600.0 mm/s");
  CHECK(print(newton_metres(1.26)) == "1.260 N*m");
  CHECK(print(gram_square_centimetres(82)) == "82.00 g*cm^2");
  CHECK(print(revolutions_per_minute(2000)) == "2000 rpm");
  CHECK(print(degrees(1.8)) == "1.800 deg");
  CHECK(print(pulses_per_second(200'000)) == "200.0 kpulse/s");
  CHECK(print(pulses_per_millimetre(80)) == "80.00 pulse/mm");
  CHECK(print(millimetres_per_tooth(2) * teeth(20) / revolution) == "40.00 mm/rev");
  CHECK(print(metres(1.5), 2) == "1500 mm");
  CHECK(print(unset<Length>()) == "nan mm");
}

TEST_CASE("print_plain leaves out the zeros that say nothing", "[units][property]") {
  CHECK(print_plain(millimetres(9)) == "9 mm");
  CHECK(print_plain(millimetres(2.5)) == "2.5 mm");
  CHECK(print_plain(millimetres(2.032)) == "2.032 mm");
  CHECK(print_plain(millimetres(1500)) == "1500 mm");
  CHECK(print_plain(millimetres(10)) == "10 mm");
  CHECK(print_plain(metres(0)) == "0 mm");
  CHECK(print_plain(millimetres(1e-5)) == "1.000e-05 mm");
  CHECK(print_plain(unset<Length>()) == "nan mm");
}

TEST_CASE("print takes another unit of the same kind", "[units][property]") {
  CHECK(print(inches(0.75), 4, "in") == "0.7500 in");
  CHECK(print(newton_metres(1.26), 3, "N*cm") == "126 N*cm");
  CHECK(print(pulses_per_second(200'000), 4, "kHz") == "200.0 kHz");
}

TEST_CASE("print refuses a unit of another kind", "[units][error]") {
  CHECK_THROWS_AS(print(metres(1.5), 4, "kg"), UnreadableQuantity);
  CHECK_THROWS_AS(print(metres(1.5), 4, "furlong"), UnreadableQuantity);
  CHECK_THROWS_AS(print(newton_metres(1.5), 4, "J"), UnreadableQuantity);
}

TEST_CASE("a quantity can be formatted with a number of digits", "[units][property]") {
  CHECK(fmt::format("{}", metres(1.5)) == "1500 mm");
  CHECK(fmt::format("{:2}", newton_metres(1.26)) == "1.3 N*m");
  CHECK(fmt::format("{:6}", newton_metres(1.26)) == "1.26000 N*m");
  CHECK(fmt::format("{:17}|", metres(0.5)) == "500.00000000000000 mm|");
}

TEST_CASE("a format that is no number of digits is refused", "[units][error]") {
  const auto* format = GENERATE("{:0}", "{:18}", "{:x}", "{:4x}", "{:.4}", "{:99999999999999}");
  CAPTURE(format);
  CHECK_THROWS_AS(fmt::format(fmt::runtime(format), metres(1.5)), fmt::format_error);
}

TEST_CASE("print, read, print gives the same text for every kind", "[units][property]") {
  std::mt19937_64 random(20);  // the standard fixes its numbers, so every machine tries the same
  const auto draw = [&] { return static_cast<double>(random() >> 11) * 0x1p-53; };  // [0, 1)
  for (const Kind* kind : all_kinds) {
    const double unit = unit_in_coherent(kind->unit, *kind);
    for (int i = 0; i < 300; ++i) {
      const double sign = i % 5 == 0 ? -1.0 : 1.0;
      const double value = sign * unit * (1.0 + 9.0 * draw()) * std::pow(10.0, 24.0 * draw() - 12);
      const int digits = 1 + i % 14;
      const std::string text = print_coherent(value, *kind, digits);
      const double read = read_coherent(text, *kind);
      const std::string again = print_coherent(read, *kind, digits);
      // Half a unit of the last of n digits is at most 5 · 10⁻ⁿ of the number.
      const bool near = std::abs(read - value) <= 5.001 * std::pow(10.0, -digits) * std::abs(value);
      if (again == text && near) continue;
      CAPTURE(kind->name, value, digits);
      CHECK(again == text);
      CHECK(near);
    }
    for (const double plain : {0.0, unit, -unit, 9.9996 * unit, 1e-4 * unit, 9.9999e-5 * unit}) {
      const std::string text = print_coherent(plain, *kind);
      CAPTURE(kind->name, plain);
      CHECK(print_coherent(read_coherent(text, *kind), *kind) == text);
    }
  }
}

TEST_CASE("print, read, print gives the same text in every unit of the table",
          "[units][property]") {
  for (const UnitSymbol& unit : unit_symbols) {
    const Kind* kind = nullptr;
    for (const Kind* candidate : all_kinds) {
      if (candidate->exponents == unit.exponents) kind = candidate;
    }
    CAPTURE(unit.symbol);
    REQUIRE(kind != nullptr);
    for (int n = 1; n < 1000; n += 37) {
      const std::string text = fmt::format("{} {}", significant(n / 7.0, 14), unit.symbol);
      CHECK(print_coherent(read_coherent(text, *kind), *kind, 14, unit.symbol) == text);
    }
  }
}

TEST_CASE("neither printing nor reading looks at the locale", "[units][property]") {
  // A locale with a decimal comma; where none is installed the test still holds, but shows less.
  for (const char* name : {"de_DE.UTF-8", "fr_FR.UTF-8", "C.UTF-8"}) {
    if (std::setlocale(LC_ALL, name) != nullptr) break;
  }
  const std::string text = print(newton_metres(1.26));
  const Torque read = read_quantity<Torque>("1.26 N*m");
  std::setlocale(LC_ALL, "C");
  CHECK(text == "1.260 N*m");
  CHECK(read == newton_metres(1.26));
}

TEST_CASE("print_up never prints less than there is and keeps what fits", "[units][property]") {
  CHECK(print_up(metres_per_second_squared(2.3771)) == "2.378 m/s^2");
  CHECK(print_up(metres_per_second_squared(2.377)) == "2.377 m/s^2");
  CHECK(print_up(metres_per_second_squared(9.9991)) == "10.00 m/s^2");
  CHECK(print_up(Acceleration{}) == "0 m/s^2");
  CHECK(print_up(unset<Acceleration>()) == print(unset<Acceleration>()));
}

TEST_CASE("print_down never prints more than there is and keeps what fits", "[units][property]") {
  CHECK(print_down(metres_per_second_squared(2.3779)) == "2.377 m/s^2");
  CHECK(print_down(metres_per_second_squared(2.377)) == "2.377 m/s^2");
  CHECK(print_down(metres_per_second_squared(9.9999)) == "9.999 m/s^2");
  CHECK(print_down(metres_per_second_squared(0.0123456)) == "0.01234 m/s^2");
  CHECK(print_down(millimetres_per_second(1234.9)) == "1234 mm/s");
  CHECK(print_down(Acceleration{}) == "0 m/s^2");
  CHECK(print_down(unset<Acceleration>()) == print(unset<Acceleration>()));
  const double x = GENERATE(take(200, random(1e-3, 1e6)));
  CAPTURE(x);
  const std::string text = print_down(newtons(x));
  CHECK(read_quantity<Force>(text) <= newtons(x * (1 + 1e-12)));
  CHECK(read_quantity<Force>(text) > newtons(x * (1 - 1.001e-3)));
}

}  // namespace
}  // namespace pitchline
