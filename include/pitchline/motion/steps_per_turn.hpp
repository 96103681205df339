#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <numbers>
#include <string>
#include <vector>

#include "pitchline/motion/steps_per_length.hpp"

namespace pitchline::motion {

/// A fraction times a power of π. Rims and rollers travel π times their diameter a turn, and stay
/// exact this way.
struct PiFraction {
  Fraction factor{0};
  int pi_power = 0;  ///< −1, 0 or 1
};

namespace detail {
// Of long double, so that nine decimals of a value near 1e8 are still right.
inline long double wide(const Fraction& f) {
  return static_cast<long double>(f.numerator()) / static_cast<long double>(f.denominator());
}
inline long double wide(const PiFraction& x) {
  const long double pi = std::numbers::pi_v<long double>;
  const long double factor = wide(x.factor);
  return x.pi_power == 0 ? factor : x.pi_power > 0 ? factor * pi : factor / pi;
}
inline void require_valid(const char* field, const PiFraction& x, const char* unit) {
  if (x.pi_power < -1 || x.pi_power > 1)
    throw InvalidInput(fmt::format("power of pi of {}", field), "-1, 0 or 1", x.pi_power, "");
  require_positive(field, x.factor, unit);
}
}  // namespace detail

/// The decimal value.
inline double decimal_value(const PiFraction& x) { return static_cast<double>(detail::wide(x)); }

/// "160/3", "125/24*pi", "192/pi" or "96/(5*pi)".
inline std::string print_pi_fraction(const PiFraction& x) {
  if (x.pi_power == 0) return print_fraction(x.factor);
  if (x.pi_power > 0) return print_fraction(x.factor) + "*pi";
  return x.factor.denominator() == 1
             ? fmt::format("{}/pi", x.factor.numerator())
             : fmt::format("{}/({}*pi)", x.factor.numerator(), x.factor.denominator());
}

/// Travel of a rim or a plain roller per turn, in millimetres: π times its diameter.
///
/// \throws InvalidInput  diameter not above zero
inline PiFraction rim_travel(const Fraction& diameter_millimetres) {
  const PiFraction travel{.factor = diameter_millimetres, .pi_power = 1};
  detail::require_valid("diameter", travel, "mm");
  return travel;
}

/// Any drive by the figures that are exact: pulley, screw, rim or roller.
struct TurningTrain {
  std::int64_t pulses_per_turn = 0;          ///< of the motor; any whole number
  Fraction turns_per_output_turn{1};         ///< of the motor per turn of what moves the load
  PiFraction millimetres_per_output_turn{};  ///< pitch times teeth, lead, or `rim_travel`
};

/// Pulses per millimetre of travel, exactly.
///
///     n = pulses per turn · motor turns per output turn / travel per output turn
///
/// \throws InvalidInput     any of the three not above zero, pulses_per_turn above 1 000 000, or a
///                          power of π outside −1 to 1
/// \throws OutsideValidity  numerator or denominator of n above 9.2e18
///
/// Source: counting; checked against reference/published/steps_per_mm.csv.
inline PiFraction pulses_per_millimetre_exactly(const TurningTrain& train) {
  detail::require_valid("travel per output turn", train.millimetres_per_output_turn, "mm");
  return {.factor = pulses_per_millimetre_exactly(
              StepTrain{.pulses_per_turn = train.pulses_per_turn,
                        .turns_per_pulley_turn = train.turns_per_output_turn,
                        .millimetres_per_pulley_turn = train.millimetres_per_output_turn.factor}),
          .pi_power = -train.millimetres_per_output_turn.pi_power};
}

/// Travel of one pulse in micrometres, exactly: 1000 over the pulses per millimetre.
///
/// \throws InvalidInput, OutsideValidity  as `pulses_per_millimetre_exactly`
inline PiFraction micrometres_per_pulse_exactly(const TurningTrain& train) {
  const PiFraction n = pulses_per_millimetre_exactly(train);
  return {.factor = exact_quotient(Fraction(1000), n.factor), .pi_power = -n.pi_power};
}

/// Pulses per degree of a rotary output, exactly: a fraction always.
///
/// \throws InvalidInput  pulses or turns not above zero, pulses above 1 000 000
inline Fraction pulses_per_degree_exactly(std::int64_t pulses_per_turn,
                                          const Fraction& turns_per_output_turn) {
  return pulses_per_millimetre_exactly(StepTrain{.pulses_per_turn = pulses_per_turn,
                                                 .turns_per_pulley_turn = turns_per_output_turn,
                                                 .millimetres_per_pulley_turn = Fraction(360)});
}

/// Exact pulses per millimetre as a quantity.
inline PulsesPerLength pulses_per_length(const PiFraction& pulses_per_mm) {
  return pulses_per_millimetre(decimal_value(pulses_per_mm));
}

/// Pulses a second at a speed: what controller and driver must keep up with.
///
/// \throws InvalidInput  pulses per mm not above zero; speed below zero or never set
inline PulseRate pulse_rate(const PiFraction& pulses_per_mm, Speed speed) {
  detail::require_valid("pulses per mm", pulses_per_mm, "1/mm");
  require_not_negative("speed", speed, shown::millimetres_per_second);
  return pulses_per_length(pulses_per_mm) * speed;
}

/// A value as a controller keeps it, rounded half up at so many decimals.
///
/// \throws InvalidInput  decimals outside 0 to 9; value below zero or above 1e8
inline Fraction kept_at(const PiFraction& value, int decimals) {
  if (value.pi_power == 0) return kept_at(value.factor, decimals);
  require_in_range("decimals", decimals, 0, 9);
  detail::require_valid("value to keep", value, "");
  const long double x = detail::wide(value);
  if (!(x <= 1e8L)) throw InvalidInput("value to keep", "from 0 to 1e8", decimal_value(value), "");
  std::int64_t ten = 1;
  for (int i = 0; i < decimals; ++i) ten *= 10;
  return {std::llround(x * static_cast<long double>(ten)), ten};
}

/// What a controller keeps and what that costs.
struct KeptValue {
  Fraction kept{0};
  Length error{};  ///< over the travel; above zero the axis goes too far
};

/// Pulses per millimetre kept at so many decimals; at 0 decimals, the nearest whole number.
///
///     e = travel · (kept/exact − 1)
///
/// \throws InvalidInput  as `pulses_per_millimetre_exactly` and `kept_at`; travel never set
inline KeptValue kept_pulses_per_millimetre(const TurningTrain& train, int decimals,
                                            Length travel) {
  const PiFraction exact = pulses_per_millimetre_exactly(train);
  require_given("travel", travel);
  const Fraction kept = kept_at(exact, decimals);
  const double excess =
      exact.pi_power == 0
          ? to_double(exact_difference(kept, exact.factor)) / to_double(exact.factor)
          : static_cast<double>(detail::wide(kept) / detail::wide(exact) - 1.0L);
  return {.kept = kept, .error = travel * excess};
}

/// Micrometres per pulse kept at so many decimals.
///
///     e = travel · (exact/kept − 1)
///
/// \throws InvalidInput     as `kept_pulses_per_millimetre`
/// \throws OutsideValidity  so few decimals leave nothing of it
inline KeptValue kept_micrometres_per_pulse(const TurningTrain& train, int decimals,
                                            Length travel) {
  const PiFraction exact = micrometres_per_pulse_exactly(train);
  require_given("travel", travel);
  const Fraction kept = kept_at(exact, decimals);
  if (kept == Fraction(0))
    throw OutsideValidity(fmt::format("{:.4g} um per pulse kept at {} decimals is nothing",
                                      decimal_value(exact), decimals));
  const double excess = exact.pi_power == 0
                            ? to_double(exact_difference(exact.factor, kept)) / to_double(kept)
                            : static_cast<double>(detail::wide(exact) / detail::wide(kept) - 1.0L);
  return {.kept = kept, .error = travel * excess};
}

/// A travel in whole pulses.
struct WholePulses {
  double exact = 0.0;
  std::int64_t rounded = 0;
  Length error{};  ///< of the place reached; above zero it is too far
};

/// Pulses for a travel, rounded to whole ones, half up: what is lost even with exact steps per mm.
///
/// \throws InvalidInput     travel below zero or above 1e6 mm; train as
///                          `pulses_per_millimetre_exactly`
/// \throws OutsideValidity  above 9.2e18 pulses, or as `pulses_per_millimetre_exactly`
inline WholePulses whole_pulses(const TurningTrain& train, const Fraction& travel_millimetres) {
  if (travel_millimetres < Fraction(0) || travel_millimetres > Fraction(1'000'000))
    throw InvalidInput("travel", "from 0 to 1000000", to_double(travel_millimetres), "mm");
  const PiFraction n = pulses_per_millimetre_exactly(train);
  const PiFraction exact{.factor = exact_product(travel_millimetres, n.factor),
                         .pi_power = n.pi_power};
  if (!(detail::wide(exact) < 9.2e18L))
    throw OutsideValidity(fmt::format("{:.4g} pulses cannot be counted", decimal_value(exact)));
  const std::int64_t rounded = std::llround(detail::wide(exact));
  const long double excess = (static_cast<long double>(rounded) - detail::wide(exact));
  return {.exact = decimal_value(exact),
          .rounded = rounded,
          .error = millimetres(static_cast<double>(excess / detail::wide(n)))};
}

/// Pulses per turn that the switches of drivers commonly offer, for motors of 200 full steps: the
/// powers of two and the round numbers. Common practice, no source.
inline constexpr std::array<std::int64_t, 18> customary_pulses_per_turn{
    200,  400,  800,   1000,  1600,  2000,  3200,  4000,  5000,
    6400, 8000, 10000, 12800, 20000, 25000, 25600, 40000, 51200};

/// What may be changed in search of steps per mm that a controller keeps exactly.
struct ExactSearch {
  std::int64_t pulses_per_turn = 0;                   ///< as it is now
  std::vector<std::int64_t> other_pulses_per_turn{};  ///< that the driver offers
  Fraction turns_per_output_turn{1};
  Fraction millimetres_per_tooth{0};  ///< pitch; or the lead of a screw, with one tooth
  int teeth = 0;                      ///< as it is now
  int least_teeth = 0;
  int most_teeth = 0;
  int decimals = 3;  ///< that the controller keeps
};

/// A choice with which nothing is lost.
struct ExactChoice {
  std::int64_t pulses_per_turn = 0;
  int teeth = 0;
  Fraction pulses_per_millimetre{0};
  int change_of_teeth = 0;        ///< from what it is now
  double change_of_pulses = 1.0;  ///< factor on pulses per turn, and on the pulse rate as well
  bool changes_nothing = false;   ///< it is exact already
};

/// Teeth and pulses per turn near the present ones whose pulses per mm the controller keeps
/// exactly: first what changes least; empty where there is none. A drive with π has none at all,
/// for no decimal keeps it.
///
/// A change of one of the two goes before a change of both, then fewer teeth of difference, then
/// the smaller factor on the pulses.
///
/// \throws InvalidInput     as `pulses_per_millimetre_exactly`, for every choice; decimals outside
///                          0 to 9; teeth not from least to most, least below 1, most above 1000
/// \throws OutsideValidity  as `pulses_per_millimetre_exactly`, for every choice
inline std::vector<ExactChoice> exact_choices(const ExactSearch& search) {
  require_at_least("least teeth", search.least_teeth, 1);
  if (search.most_teeth > 1000) throw InvalidInput("most teeth", "<= 1000", search.most_teeth, "");
  if (search.teeth < search.least_teeth || search.teeth > search.most_teeth)
    throw InvalidInput("teeth", "from least to most teeth", search.teeth, "");
  std::vector<std::int64_t> pulses{search.pulses_per_turn};
  for (const std::int64_t other : search.other_pulses_per_turn)
    if (std::find(pulses.begin(), pulses.end(), other) == pulses.end()) pulses.push_back(other);
  std::vector<ExactChoice> choices;
  for (const std::int64_t per_turn : pulses)
    for (int count = search.least_teeth; count <= search.most_teeth; ++count) {
      const Fraction exact = pulses_per_millimetre_exactly(
          StepTrain{.pulses_per_turn = per_turn,
                    .turns_per_pulley_turn = search.turns_per_output_turn,
                    .millimetres_per_pulley_turn =
                        exact_product(search.millimetres_per_tooth, Fraction(count))});
      if (kept_at(exact, search.decimals) != exact) continue;
      choices.push_back(
          {.pulses_per_turn = per_turn,
           .teeth = count,
           .pulses_per_millimetre = exact,
           .change_of_teeth = count - search.teeth,
           .change_of_pulses =
               static_cast<double>(per_turn) / static_cast<double>(search.pulses_per_turn),
           .changes_nothing = per_turn == search.pulses_per_turn && count == search.teeth});
    }
  const auto changes = [](const ExactChoice& c) {
    return (c.change_of_teeth != 0 ? 1 : 0) + (c.change_of_pulses != 1.0 ? 1 : 0);
  };
  const auto factor = [](const ExactChoice& c) {
    return c.change_of_pulses < 1.0 ? 1.0 / c.change_of_pulses : c.change_of_pulses;
  };
  std::stable_sort(choices.begin(), choices.end(), [&](const ExactChoice& a, const ExactChoice& b) {
    if (changes(a) != changes(b)) return changes(a) < changes(b);
    if (std::abs(a.change_of_teeth) != std::abs(b.change_of_teeth))
      return std::abs(a.change_of_teeth) < std::abs(b.change_of_teeth);
    return factor(a) < factor(b);
  });
  return choices;
}

}  // namespace pitchline::motion
