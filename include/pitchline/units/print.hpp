#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <string>
#include <string_view>

#include "pitchline/units/kind.hpp"
#include "pitchline/units/read.hpp"

namespace pitchline {

/// `value` with `digits` significant digits, rounded before the decimals are chosen, so 9.9996
/// gives "10.00" at four. Below 1e-4 and from 1e9 on in the form 1.234e-05. No locale.
inline std::string significant(double value, int digits = 4) {
  if (!std::isfinite(value)) return fmt::format("{}", value);
  if (value == 0.0) return "0";
  std::string rounded = fmt::format("{:.{}e}", value, digits - 1);
  const std::size_t mark = rounded.find('e');
  const char* exponent_text = rounded.c_str() + mark + (rounded[mark + 1] == '+' ? 2 : 1);
  int exponent = 0;
  std::from_chars(exponent_text, rounded.c_str() + rounded.size(), exponent);
  if (exponent < -4 || exponent >= 9) return rounded;
  double plain = 0.0;
  std::from_chars(rounded.data(), rounded.data() + rounded.size(), plain);
  return fmt::format("{:.{}f}", plain, std::max(0, digits - 1 - exponent));
}

/// The factor of a unit text such as "g*cm^2", from the same table that reads it.
inline double unit_in_coherent(std::string_view unit, const Kind& kind) {
  return read_coherent(fmt::format("1 {}", unit), kind);
}

/// Value and unit, as `read_coherent` reads it back: "600.0 mm/s". The unit is the kind's own
/// unless another of the same kind is named. Up to 14 digits, printing what was read from this text
/// gives this text again; further digits may show the rounding of the unit's factor.
///
/// \throws UnreadableQuantity  `unit` is not of this kind
inline std::string print_coherent(double coherent, const Kind& kind, int digits = 4,
                                  std::string_view unit = {}) {
  if (unit.empty()) unit = kind.unit;
  return fmt::format("{} {}", significant(coherent / unit_in_coherent(unit, kind), digits), unit);
}

namespace detail {
// A positive quantity in so many digits, the last of them by `towards`: floor or ceiling. What
// stands in these digits already must not change by rounding, hence the slip, against `towards`.
template <Printable Q>
std::string print_towards(const Q& quantity, int digits, double (*towards)(double), double slip) {
  const Kind& kind = *kind_of<Q>;
  const double value = quantity.value() / unit_in_coherent(kind.unit, kind);
  if (!(value > 0.0) || !std::isfinite(value))
    return print_coherent(quantity.value(), kind, digits);
  const double place = std::pow(10.0, digits - 1 - std::floor(std::log10(value)));
  return fmt::format("{} {}", significant(towards(value * place * (1.0 + slip)) / place, digits),
                     kind.unit);
}
}  // namespace detail

/// The largest figure of so many digits that is not above a positive quantity, printed: what may be
/// asked for at most must not grow by rounding.
template <Printable Q>
std::string print_down(const Q& quantity, int digits = 4) {
  return detail::print_towards(quantity, digits, std::floor, 1e-12);
}

/// The smallest figure of so many digits that is not below a positive quantity, printed: what must
/// be asked for at least.
template <Printable Q>
std::string print_up(const Q& quantity, int digits = 4) {
  return detail::print_towards(quantity, digits, std::ceil, -1e-12);
}

/// `print` without the zeros that say nothing: "9 mm" for a width that was given, not "9.000 mm".
template <Printable Q>
std::string print_plain(const Q& quantity, int digits = 4) {
  std::string text = print_coherent(quantity.value(), *kind_of<Q>, digits);
  const std::size_t blank = text.find(' ');
  std::string value = text.substr(0, blank);
  if (value.find('.') != std::string::npos && value.find('e') == std::string::npos) {
    value.erase(value.find_last_not_of('0') + 1);
    if (value.back() == '.') value.pop_back();
  }
  return value + text.substr(blank);
}

/// A quantity in engineering units, for example `print(metres(1.5))` gives "1500 mm".
template <Printable Q>
std::string print(const Q& quantity, int digits = 4, std::string_view unit = {}) {
  return print_coherent(quantity.value(), *kind_of<Q>, digits, unit);
}

}  // namespace pitchline

/// `fmt::format("{}", metres(1.5))` gives "1500 mm"; "{:6}" takes six significant digits.
template <class Unit>
requires pitchline::Printable<boost::units::quantity<Unit, double>>
struct fmt::formatter<boost::units::quantity<Unit, double>> {
  int digits = 4;
  constexpr auto parse(fmt::format_parse_context& context) {
    const auto* it = context.begin();
    if (it != context.end() && *it != '}') {
      digits = 0;
      while (it != context.end() && *it >= '0' && *it <= '9' && digits <= 17)
        digits = digits * 10 + (*it++ - '0');
      if (digits < 1 || digits > 17) throw fmt::format_error("digits must be 1 to 17");
    }
    return it;
  }
  template <class Context>
  auto format(const boost::units::quantity<Unit, double>& q, Context& context) const {
    return fmt::format_to(context.out(), "{}", pitchline::print(q, digits));
  }
};
