#pragma once

#include <cmath>
#include <cstdint>

#include "pitchline/units.hpp"
#include "pitchline/units/fraction.hpp"

namespace pitchline::motion {

/// The whole numbers from which steps per mm follow without rounding.
struct StepTrain {
  std::int64_t pulses_per_turn = 0;         ///< of the motor: full steps times microsteps
  Fraction turns_per_pulley_turn{1};        ///< of the motor per turn of the drive pulley
  Fraction millimetres_per_pulley_turn{0};  ///< pitch times teeth, or lead
};

/// Pulses per millimetre of travel, the trade's "steps per mm", exactly.
///
///     n = pulses per turn · motor turns per pulley turn / travel per pulley turn
///
/// \throws InvalidInput     any of the three not above zero, or pulses_per_turn above 1 000 000
/// \throws OutsideValidity  numerator or denominator of n above 9.2e18
///
/// Source: counting; checked against reference/published/steps_per_mm.csv.
inline Fraction pulses_per_millimetre_exactly(const StepTrain& train) {
  if (train.pulses_per_turn <= 0 || train.pulses_per_turn > 1'000'000)
    throw InvalidInput("pulses per turn", "from 1 to 1000000",
                       static_cast<double>(train.pulses_per_turn), "");
  require_positive("motor turns per pulley turn", train.turns_per_pulley_turn, "");
  require_positive("travel per pulley turn", train.millimetres_per_pulley_turn, "mm");
  return exact_quotient(exact_product(Fraction(train.pulses_per_turn), train.turns_per_pulley_turn),
                        train.millimetres_per_pulley_turn);
}

/// A value as a controller keeps it: rounded half up at so many decimals, still exact.
///
/// \throws InvalidInput     decimals outside 0 to 9; value below zero or above 1e8
/// \throws OutsideValidity  a denominator above 9.2e17 that the long division does not get through
inline Fraction kept_at(const Fraction& value, int decimals) {
  require_in_range("decimals", decimals, 0, 9);
  if (value < Fraction(0) || value > Fraction(100'000'000))
    throw InvalidInput("value to keep", "from 0 to 1e8", to_double(value), "");
  // Long division, digit by digit: the product of a fraction with 10^9 may not fit 64 bits.
  std::int64_t digits = value.numerator() / value.denominator();
  std::int64_t remainder = value.numerator() % value.denominator();
  std::int64_t ten = 1;
  for (int i = 0; i < decimals; ++i) {
    const std::int64_t shifted = exact_product(Fraction(remainder), Fraction(10)).numerator();
    digits = digits * 10 + shifted / value.denominator();
    remainder = shifted % value.denominator();
    ten *= 10;
  }
  if (remainder >= value.denominator() - remainder) ++digits;
  return {digits, ten};
}

/// Pulses per millimetre: what the drive needs, and what the controller keeps of it.
struct PulsesPerMillimetre {
  Fraction exact{};
  Fraction kept{};
};

/// How much too far an axis travels over `travel` when the controller keeps `kept` pulses per mm
/// instead of `exact`; negative where it falls short.
///
///     e = travel · (kept/exact − 1)
///
/// \throws InvalidInput     exact or kept not above zero
/// \throws OutsideValidity  so many digits that the difference is beyond 9.2e18
inline Length travel_error(Length travel, const PulsesPerMillimetre& pulses) {
  require_positive("exact pulses per mm", pulses.exact, "1/mm");
  require_positive("kept pulses per mm", pulses.kept, "1/mm");
  // The difference is taken as a fraction: of two close doubles only noise would be left.
  return travel *
         (to_double(exact_difference(pulses.kept, pulses.exact)) / to_double(pulses.exact));
}

}  // namespace pitchline::motion
