#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include "pitchline/motion/steps_per_length.hpp"

namespace pitchline::motion {

/// What may be chosen to get the pulses per length that are wanted.
struct StepsWish {
  PulsesPerLength wanted = unset<PulsesPerLength>();
  std::vector<std::int64_t> pulses_per_turn{};  ///< that are to be had
  Fraction turns_per_output_turn{1};
  Fraction millimetres_per_tooth{0};  ///< pitch; or the lead of a screw, with one tooth
  int least_teeth = 1;
  int most_teeth = 1;
};

/// One choice.
struct StepsChoice {
  std::int64_t pulses_per_turn = 0;
  int teeth = 0;
  Fraction pulses_per_millimetre{0};
  double deviation = 0.0;  ///< share by which it is above what is wanted; 0 where it gives it
};

/// Tooth counts and pulses per turn by how near they come to the wanted pulses per length; of
/// equals first the fewest pulses per turn. A deviation below 1e-12 is the rounding of what was
/// wanted, and counts as none.
///
///     deviation = exact/wanted − 1
///
/// \throws InvalidInput     wanted not above zero; least teeth below 1, most below least or above
///                          1000; as `pulses_per_millimetre_exactly`, for every choice
/// \throws OutsideValidity  as `pulses_per_millimetre_exactly`, for every choice
inline std::vector<StepsChoice> choices_for(const StepsWish& wish) {
  const double wanted = in_pulses_per_millimetre(wish.wanted);
  if (!(wanted > 0.0 && std::isfinite(wanted)))
    throw InvalidInput("wanted pulses per mm", "> 0", wanted, "pulse/mm");
  require_at_least("least teeth", wish.least_teeth, 1);
  if (wish.most_teeth < wish.least_teeth || wish.most_teeth > 1000)
    throw InvalidInput("most teeth", ">= least teeth and <= 1000", wish.most_teeth, "");
  std::vector<StepsChoice> choices;
  for (const std::int64_t pulses : wish.pulses_per_turn)
    for (int count = wish.least_teeth; count <= wish.most_teeth; ++count) {
      const Fraction exact = pulses_per_millimetre_exactly(
          StepTrain{.pulses_per_turn = pulses,
                    .turns_per_pulley_turn = wish.turns_per_output_turn,
                    .millimetres_per_pulley_turn =
                        exact_product(wish.millimetres_per_tooth, Fraction(count))});
      const double deviation = to_double(exact) / wanted - 1.0;
      choices.push_back({.pulses_per_turn = pulses,
                         .teeth = count,
                         .pulses_per_millimetre = exact,
                         .deviation = std::abs(deviation) < 1e-12 ? 0.0 : deviation});
    }
  std::stable_sort(choices.begin(), choices.end(), [](const StepsChoice& a, const StepsChoice& b) {
    const double of_a = std::abs(a.deviation);
    const double of_b = std::abs(b.deviation);
    return of_a != of_b ? of_a < of_b : a.pulses_per_turn < b.pulses_per_turn;
  });
  return choices;
}

}  // namespace pitchline::motion
