#pragma once

#include <fmt/format.h>

#include <boost/rational.hpp>
#include <charconv>
#include <cstdint>
#include <limits>
#include <numeric>
#include <string>
#include <string_view>

#include "pitchline/units/error.hpp"
#include "pitchline/units/read.hpp"

namespace pitchline {

/// An exact ratio of whole numbers. Numerator and denominator must stay below 9.2e18, and its own
/// operators do not look whether they do: where a caller's numbers may lead further, take
/// `exact_product` and the others.
using Fraction = boost::rational<std::int64_t>;

/// The decimal value of a fraction.
inline double to_double(const Fraction& f) { return boost::rational_cast<double>(f); }

namespace detail {
// |x| without the overflow of the least number.
constexpr std::uint64_t size_of(std::int64_t x) {
  return x < 0 ? 0U - static_cast<std::uint64_t>(x) : static_cast<std::uint64_t>(x);
}
[[noreturn]] inline void refuse_beyond_whole_numbers(std::int64_t a, std::string_view with,
                                                     std::int64_t b) {
  throw OutsideValidity(fmt::format(
      "{} {} {} is beyond the whole numbers that are held exactly, 9.2e18", a, with, b));
}
inline std::int64_t whole_product(std::int64_t a, std::int64_t b) {
  constexpr auto most = static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max());
  if (a != 0 && size_of(b) > most / size_of(a)) refuse_beyond_whole_numbers(a, "times", b);
  return a * b;
}
inline std::int64_t whole_difference(std::int64_t a, std::int64_t b) {
  using Limits = std::numeric_limits<std::int64_t>;
  if (b < 0 ? a > Limits::max() + b : a < Limits::min() + b)
    refuse_beyond_whole_numbers(a, "less", b);
  return a - b;
}
}  // namespace detail

/// a b, exactly.
///
/// \throws OutsideValidity  numerator or denominator of the result above 9.2e18
inline Fraction exact_product(const Fraction& a, const Fraction& b) {
  // Divided first, so that only what the result really has must fit.
  const std::int64_t one = std::gcd(a.numerator(), b.denominator());
  const std::int64_t other = std::gcd(b.numerator(), a.denominator());
  return {detail::whole_product(a.numerator() / one, b.numerator() / other),
          detail::whole_product(a.denominator() / other, b.denominator() / one)};
}

/// a/b, exactly.
///
/// \throws InvalidInput     b is zero
/// \throws OutsideValidity  numerator or denominator of the result above 9.2e18
inline Fraction exact_quotient(const Fraction& a, const Fraction& b) {
  if (b == Fraction(0)) throw InvalidInput("divisor", "other than 0", 0.0, "");
  return exact_product(a, Fraction(b.denominator(), b.numerator()));
}

/// a − b, exactly.
///
/// \throws OutsideValidity  numerator or denominator on the way above 9.2e18
inline Fraction exact_difference(const Fraction& a, const Fraction& b) {
  const std::int64_t shared = std::gcd(a.denominator(), b.denominator());
  const std::int64_t left = b.denominator() / shared;
  const std::int64_t right = a.denominator() / shared;
  return {detail::whole_difference(detail::whole_product(a.numerator(), left),
                                   detail::whole_product(b.numerator(), right)),
          detail::whole_product(a.denominator(), left)};
}

/// Above zero; the unit is named at the call, as a fraction has none.
///
/// \throws InvalidInput  "<field> must be > 0, got <value> <unit>"
inline void require_positive(std::string_view field, const Fraction& x, std::string_view unit) {
  if (x <= Fraction(0)) throw InvalidInput(field, "> 0", to_double(x), unit);
}

/// "160/3", or "80" where the denominator is one.
inline std::string print_fraction(const Fraction& f) {
  return f.denominator() == 1 ? fmt::format("{}", f.numerator())
                              : fmt::format("{}/{}", f.numerator(), f.denominator());
}

/// A length in millimetres without rounding: "2.032 mm" is 254/125, "1/16 in" is 127/80. A double
/// would make 127/62.5 out of it only nearly, and steps per mm would no longer be exact.
///
/// Takes a decimal of at most 9 digits before and after the point and 16 in all, or a fraction a/b
/// of whole numbers below 1e9, in mm, cm, m, um or in.
///
/// \throws UnreadableQuantity  the text is no such length
inline Fraction exact_millimetres(std::string_view text) {
  read_coherent(text, *kind_of<Length>);  // all other errors are the ordinary ones
  const auto refuse = [&](std::string_view why) -> Fraction {
    throw UnreadableQuantity(fmt::format("\"{}\" cannot be held exactly: {}", text, why), 1);
  };
  std::size_t at = text.find_first_not_of(" \t");
  if (text[at] == '+' || text[at] == '-') {
    if (text[at] == '-') return refuse("it is negative");
    ++at;
  }
  const auto read_whole = [&](int& digits) {
    std::int64_t whole = 0;
    for (digits = 0; at < text.size() && text[at] >= '0' && text[at] <= '9'; ++at, ++digits) {
      if (digits == 9) {
        refuse("more than 9 digits");
      }
      whole = whole * 10 + (text[at] - '0');
    }
    return whole;
  };
  int whole_digits = 0;
  int digits = 0;
  Fraction value(read_whole(whole_digits));
  if (at < text.size() && text[at] == '.') {
    ++at;
    const std::int64_t decimals = read_whole(digits);
    // 1e16 · 127 for inches is the largest numerator that can follow; 1e18 · 127 would overflow.
    if (whole_digits + digits > 16) return refuse("more than 16 digits");
    std::int64_t ten = 1;
    for (int i = 0; i < digits; ++i) ten *= 10;
    value += Fraction(decimals, ten);
  } else if (at < text.size() && text[at] == '/') {
    ++at;
    const std::int64_t divisor = read_whole(digits);
    if (divisor == 0) return refuse("the divisor of a fraction is a whole number");  // "3/0.5 in"
    value /= Fraction(divisor);
  }
  const std::size_t unit_at = text.find_first_not_of(" \t", at);
  const std::string_view unit = text.substr(unit_at, text.find_last_not_of(" \t") + 1 - unit_at);
  if (unit == "mm") return value;
  if (unit == "cm") return value * Fraction(10);
  if (unit == "m") return value * Fraction(1000);
  if (unit == "um") return value / Fraction(1000);
  if (unit == "in") return value * Fraction(127, 5);
  return refuse("use mm, cm, m, um or in, and no exponent");
}

}  // namespace pitchline
