#pragma once

#include <fmt/format.h>

#include <boost/rational.hpp>
#include <charconv>
#include <cstdint>
#include <string>
#include <string_view>

#include "pitchline/units/error.hpp"
#include "pitchline/units/read.hpp"

namespace pitchline {

/// An exact ratio of whole numbers. Numerator and denominator must stay below 9.2e18; what this
/// library computes with it (teeth, steps, pitches in micrometres) stays below 1e15.
using Fraction = boost::rational<std::int64_t>;

/// The decimal value of a fraction.
inline double to_double(const Fraction& f) { return boost::rational_cast<double>(f); }

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
