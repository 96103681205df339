#pragma once

#include <fmt/format.h>

#include <cmath>
#include <cstdint>
#include <optional>
#include <string>

#include "pitchline/motion/steps_per_turn.hpp"

namespace pitchline::motion {

/// A figure of which a controller keeps some decimals, with what the rounding costs.
struct KeptFigure {
  PiFraction exact{};
  int decimals = 0;
  std::optional<Fraction> kept{};  ///< nothing where it rounds to zero
  double excess = std::nan("");    ///< share by which the axis goes too far; below zero, too short

  /// Nothing is lost. Never with π, which no decimal keeps.
  [[nodiscard]] bool loses_nothing() const {
    return kept && exact.pi_power == 0 && *kept == exact.factor;
  }
};

/// Pulses per millimetre or degree as a controller keeps them; at 0 decimals, the nearest whole
/// number.
///
///     e = kept/n − 1
///
///     n  pulses_per_travel, above zero
///     e  excess of the result
///
/// \throws InvalidInput  as `kept_at`; pulses per travel not above zero
///
/// Source: counting; checked against reference/published/steps_per_mm.csv.
inline KeptFigure kept_pulses(const PiFraction& pulses_per_travel, int decimals) {
  detail::require_valid("pulses per travel", pulses_per_travel, "");
  KeptFigure f{.exact = pulses_per_travel, .decimals = decimals};
  const Fraction kept = kept_at(pulses_per_travel, decimals);
  if (kept == Fraction(0)) return f;
  f.kept = kept;
  const long double exact = detail::wide(pulses_per_travel);
  f.excess = f.loses_nothing() ? 0.0 : static_cast<double>((detail::wide(kept) - exact) / exact);
  return f;
}

/// Travel of a pulse, in micrometres or degrees, as a controller keeps it that stores this in place
/// of pulses per travel.
///
///     e = s/kept − 1
///
///     s  travel_per_pulse, above zero
///     e  excess of the result
///
/// \throws InvalidInput  as `kept_at`; travel per pulse not above zero
///
/// Source: as `kept_pulses`.
inline KeptFigure kept_travel(const PiFraction& travel_per_pulse, int decimals) {
  detail::require_valid("travel per pulse", travel_per_pulse, "");
  KeptFigure f{.exact = travel_per_pulse, .decimals = decimals};
  const Fraction kept = kept_at(travel_per_pulse, decimals);
  if (kept == Fraction(0)) return f;
  f.kept = kept;
  const long double stored = detail::wide(kept);
  f.excess = f.loses_nothing()
                 ? 0.0
                 : static_cast<double>((detail::wide(travel_per_pulse) - stored) / stored);
  return f;
}

namespace detail {
inline double excess_of(const KeptFigure& figure) {
  if (figure.kept) return figure.excess;
  throw OutsideValidity(fmt::format("{} rounds to zero at {} decimals",
                                    print_pi_fraction(figure.exact), figure.decimals));
}
}  // namespace detail

/// How much too far an axis goes over a travel with a kept figure; below zero it falls short.
///
///     d = e · travel
///
///     e       excess of the figure
///     travel  m or rad, > 0
///
/// \throws InvalidInput     travel not above zero, or never set
/// \throws OutsideValidity  the figure rounds to zero, and nothing is kept
inline Length error_over(const KeptFigure& figure, Length travel) {
  require_positive("travel", travel);
  return detail::excess_of(figure) * travel;
}
inline Angle error_over(const KeptFigure& figure, Angle travel) {
  require_positive("travel", travel);
  return detail::excess_of(figure) * travel;
}

/// A decimal fraction with all its places, exactly: 1/80 at four is "0.0125". No locale.
///
/// \throws InvalidInput  decimals outside 0 to 12; a value below zero, one above 1e18 in units of
///                       the last place, or one with more decimals than that
inline std::string print_decimal(const Fraction& value, int decimals) {
  require_in_range("decimals", decimals, 0, 12);
  std::int64_t ten = 1;
  for (int i = 0; i < decimals; ++i) ten *= 10;
  if (value < Fraction(0) || ten % value.denominator() != 0 ||
      value.numerator() > 1'000'000'000'000'000'000 / (ten / value.denominator()))
    throw InvalidInput("value to print", fmt::format("a fraction of {} decimals", decimals),
                       to_double(value), "");
  std::string digits =
      fmt::format("{:0{}}", value.numerator() * (ten / value.denominator()), decimals + 1);
  if (decimals == 0) return digits;
  const auto whole = digits.size() - static_cast<std::size_t>(decimals);
  return fmt::format("{}.{}", digits.substr(0, whole), digits.substr(whole));
}

/// A figure as a fraction, where it is no whole number, and as a controller keeps it:
/// "200/3 = 66.667".
///
/// \throws InvalidInput  as `print_decimal`, of what is kept
inline std::string print_kept(const Fraction& exact, const Fraction& kept, int decimals) {
  const std::string decimal = print_decimal(kept, decimals);
  return exact.denominator() == 1 ? decimal
                                  : fmt::format("{} = {}", print_fraction(exact), decimal);
}

}  // namespace pitchline::motion
