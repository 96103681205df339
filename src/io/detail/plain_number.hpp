#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

namespace pitchline::io::detail {

/// Digits of a figure that the file gives: all that anybody writes, and none that rounding adds.
inline constexpr int digits_as_given = 9;

/// A number to type in: no exponent, no zeros that say nothing, no locale; at most nine decimals.
inline std::string plain_number(double x, int digits = digits_as_given) {
  if (x == 0.0) return "0";
  const int exponent = static_cast<int>(std::floor(std::log10(std::abs(x))));
  std::string text = fmt::format("{:.{}f}", x, std::clamp(digits - 1 - exponent, 0, 9));
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return text == "-0" ? "0" : text;
}

}  // namespace pitchline::io::detail
