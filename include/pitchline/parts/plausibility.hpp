#pragma once

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/parts/stepper_motor.hpp"
#include "pitchline/units.hpp"

namespace pitchline::parts {

/// The figures of a motor that are compared with each other.
enum class Figure { holding_torque, rated_current, resistance, inductance, rotor_inertia, detent };

/// A doubt about a motor's figures. It is for the reader to settle, and never an error.
struct Question {
  Figure figure;       ///< which figure looks wrong
  std::string text{};  ///< what is odd about it, with the numbers, and what to look for
};

constexpr std::string_view name(Figure figure) {
  switch (figure) {
    case Figure::holding_torque:
      return "holding torque";
    case Figure::rated_current:
      return "rated current";
    case Figure::resistance:
      return "resistance";
    case Figure::inductance:
      return "inductance";
    case Figure::rotor_inertia:
      return "rotor inertia";
    case Figure::detent:
      return "detent torque";
  }
  return "";
}

/// The slips that are made with a figure.
constexpr std::string_view what_to_look_for(Figure figure) {
  switch (figure) {
    case Figure::holding_torque:
      return "look for N*cm or kg*cm taken for N*m, one phase on taken for two (0.71 times), or "
             "another connection of the winding";
    case Figure::rated_current:
      return "look for a peak value taken for RMS (1.41 times) or the current of another "
             "connection "
             "of the winding";
    case Figure::resistance:
      return "look for the resistance of another connection of the winding (2 or 4 times), or of "
             "two phases together";
    case Figure::inductance:
      return "look for H taken for mH, or the inductance of another connection of the winding (4 "
             "times)";
    case Figure::rotor_inertia:
      return "look for the unit: 1 g*cm^2 is 1e-7 kg*m^2; weight units (gf*cm*s^2) are 980.7 times "
             "as much";
    case Figure::detent:
      return "look for N*cm or mN*m taken for N*m";
  }
  return "";
}

namespace detail {

inline constexpr std::size_t related_figures = 5;  // all but the detent torque

// A relation between figures that bodies and windings of hybrid steppers keep: a product of powers
// of the figures. T, J and √T for the size; unchanged by rewinding.
struct Relation {
  std::string_view name;
  std::string_view unit;
  double factor;
  std::array<double, related_figures> exponents;  // T N·m, I A, R ohm, L H, J kg·m²
  double usual;                                   // geometric mean of the listed motors
  double spread;                                  // standard deviation of its logarithm
  double low, high;  // lowest and highest listed motor, each opened by a tenth
};

// From 29 listed windings of NEMA 17 to 34, 0.14 to 9 N·m: tests/motor/plausibility.cpp lists them
// with their sources.
inline constexpr std::array<Relation, 4> relations{{
    {"copper loss over the root of the holding torque",
     "W/(N*m)^0.5",
     2.0,
     {-0.5, 2, 1, 0, 0},
     13.5,
     0.33,
     4.2,
     23.0},
    {"L I^2 over the holding torque", "mJ/(N*m)", 1e3, {-1, 2, 0, 1, 0}, 18.7, 0.24, 10.0, 31.0},
    {"time constant L/R over the root of the holding torque",
     "ms/(N*m)^0.5",
     1e3,
     {-0.5, 0, -1, 1, 0},
     2.76,
     0.29,
     1.4,
     6.8},
    {"holding torque over the rotor inertia to the power 3/4",
     "N*m/(kg*m^2)^0.75",
     1.0,
     {1, 0, 0, 0, -0.75},
     2830.0,
     0.31,
     1130.0,
     4240.0},
}};
// The one listed 0.9° motor stands at 34.8 mJ/(N·m): finer teeth carry less flux.
inline constexpr double most_energy_of_fine_steps = 38.0;

// What a frame sheds and holds. NEMA 17 and 23: the listed motors opened by a quarter (19.8 W and
// 31 W; 0.14 to 0.9 N·m, 0.6 to 3 N·m). NEMA 24 and 34: from memory, wider than those listed (25.2
// W and 32.4 W; 2.15 to 3 N·m, 4.4 to 9 N·m).
struct FrameLimits {
  int frame;
  Power most_loss;
  Torque least_torque, most_torque;
};
// Frame 11: the listed motors opened by a quarter (8.3 W, 0.06 to 0.12 N·m).
inline constexpr std::array<FrameLimits, 5> frames{{
    {11, watts(10.4), newton_metres(0.045), newton_metres(0.15)},
    {17, watts(25), newton_metres(0.11), newton_metres(1.2)},
    {23, watts(39), newton_metres(0.45), newton_metres(3.8)},
    {24, watts(42), newton_metres(0.6), newton_metres(5.0)},
    {34, watts(60), newton_metres(2.0), newton_metres(16.0)},
}};

// Rotor inertia per length of body in g·cm²/mm, of one frame. The listed motors opened by a fifth,
// above for frame 34 by a tenth: 0.20 to 0.35, 1.04 to 1.71, 2.9 to 7.1, 6.1 to 9.8, 15.4 to 25.6.
struct InertiaOfFrame {
  int frame;
  double low, high;
};
inline constexpr std::array<InertiaOfFrame, 5> inertia_of_frames{
    {{11, 0.16, 0.42}, {17, 0.83, 2.05}, {23, 2.3, 8.5}, {24, 4.9, 11.8}, {34, 12.3, 28.0}}};

// What the length of the body says of the rotor in it.
inline void question_rotor(const StepperMotor& motor, std::vector<Question>& result) {
  if (is_unset(motor.length) || is_unset(motor.rotor_inertia)) return;
  const double per_length =
      in_gram_square_centimetres(motor.rotor_inertia) / in_millimetres(motor.length);
  for (const InertiaOfFrame& usual : inertia_of_frames) {
    if (usual.frame != motor.frame || (per_length >= usual.low && per_length <= usual.high))
      continue;
    result.push_back(
        {Figure::rotor_inertia,
         fmt::format("rotor inertia is {:.3g} g*cm^2 a mm of body, NEMA {} motors have {:.3g} to "
                     "{:.3g}: look for the rotor of another length; {}",
                     per_length, usual.frame, usual.low, usual.high,
                     what_to_look_for(Figure::rotor_inertia))});
  }
}

}  // namespace detail

/// What looks wrong in a motor's figures, compared with each other and with the motors of the
/// trade. Empty where nothing does. Figures that are not given are not questioned.
///
/// Four relations that rewinding leaves alone: copper loss and time constant against the size,
/// stored energy against the torque, torque against the rotor. Where any is out of family, the one
/// figure that would set all of them right best is named, with the factor. Then the copper loss and
/// torque of the frame and its inertia a length, if known, and a detent torque above 12 % of the
/// holding torque that is also above 0.0275 N·m (a short NEMA 17 has 0.022 N·m of 0.14).
///
/// \throws InvalidInput  a figure that is given and not greater than zero or not finite; detent
///                       torque below zero
///
/// Source: bands fitted to the listed motors; the 12 % twice what six sheets print, 3.3 to 5.1 %
/// (common practice, no source). See tests/motor/plausibility.cpp.
inline std::vector<Question> questions(const StepperMotor& motor) {
  using detail::related_figures;
  const std::array<double, related_figures> figures{
      in_newton_metres(motor.holding_torque), in_amperes(motor.rated_current),
      in_ohms(motor.resistance), in_henries(motor.inductance),
      in_kilogram_square_metres(motor.rotor_inertia)};
  constexpr std::array<std::string_view, related_figures> units{"N*m", "A", "ohm", "H", "kg*m^2"};
  const auto figure = [](std::size_t i) { return static_cast<Figure>(i); };
  for (std::size_t i = 0; i < related_figures; ++i)
    if (!std::isnan(figures[i]) && !(figures[i] > 0 && std::isfinite(figures[i])))
      throw InvalidInput(name(figure(i)), "> 0", figures[i], units[i]);
  if (!is_unset(motor.detent_torque)) require_not_negative("detent torque", motor.detent_torque);

  std::vector<Question> result;
  // Each deviation ln(value/usual)/spread is taken as made by one figure alone that is e^s times
  // too large: e_k = s a_k. Least squares for s, figure by figure; the best is named.
  std::string odd;
  std::array<double, related_figures> ea{};
  std::array<double, related_figures> aa{};
  for (const detail::Relation& relation : detail::relations) {
    double value = relation.factor;
    for (std::size_t i = 0; i < related_figures; ++i)
      if (relation.exponents[i] != 0) value *= std::pow(figures[i], relation.exponents[i]);
    if (std::isnan(value)) continue;
    const bool fine_steps = motor.full_steps_per_turn > full_steps(200);
    const bool is_energy = &relation == &detail::relations[1];
    const double high = is_energy && fine_steps ? detail::most_energy_of_fine_steps : relation.high;
    if (!(value >= relation.low && value <= high))
      odd += fmt::format("{}{} is {:.3g} {}, usual is {:.3g} to {:.3g}", odd.empty() ? "" : "; ",
                         relation.name, value, relation.unit, relation.low, high);
    const double deviation = std::log(value / relation.usual) / relation.spread;
    for (std::size_t i = 0; i < related_figures; ++i) {
      const double slope = relation.exponents[i] / relation.spread;
      ea[i] += deviation * slope;
      aa[i] += slope * slope;
    }
  }
  if (!odd.empty()) {
    std::size_t best = 0;
    const auto explained = [&](std::size_t i) { return aa[i] > 0 ? ea[i] * ea[i] / aa[i] : 0.0; };
    for (std::size_t i = 1; i < related_figures; ++i)
      if (explained(i) > explained(best)) best = i;
    const double factor = std::exp(ea[best] / aa[best]);
    result.push_back({figure(best),
                      fmt::format("{}: the {} looks {:.2g} times too {}; {}", odd,
                                  name(figure(best)), factor > 1 ? factor : 1 / factor,
                                  factor > 1 ? "large" : "small", what_to_look_for(figure(best)))});
  }

  for (const detail::FrameLimits& limits : detail::frames) {
    if (limits.frame != motor.frame) continue;
    const Power loss = 2.0 * (motor.rated_current * motor.rated_current * motor.resistance);
    if (loss > limits.most_loss)
      result.push_back({Figure::rated_current,
                        fmt::format("copper loss 2 I^2 R is {:.3g} W, a NEMA {} frame sheds about "
                                    "{:.3g} W: check the rated current and the resistance; {}",
                                    in_watts(loss), limits.frame, in_watts(limits.most_loss),
                                    what_to_look_for(Figure::rated_current))});
    if (motor.holding_torque < limits.least_torque || motor.holding_torque > limits.most_torque)
      result.push_back(
          {Figure::holding_torque,
           fmt::format("holding torque is {:.3g} N*m, NEMA {} motors have {:.3g} to {:.3g} N*m; {}",
                       in_newton_metres(motor.holding_torque), limits.frame,
                       in_newton_metres(limits.least_torque), in_newton_metres(limits.most_torque),
                       what_to_look_for(Figure::holding_torque))});
  }

  detail::question_rotor(motor, result);

  constexpr double most_detent = 0.12;
  const Torque short_motor = newton_metres(0.0275);  // 0.022 N·m opened by a quarter
  if (motor.detent_torque > most_detent * motor.holding_torque && motor.detent_torque > short_motor)
    result.push_back({Figure::detent,
                      fmt::format("detent torque is {:.3g} of the holding torque, usual is 0.03 to "
                                  "0.06; {}",
                                  number(motor.detent_torque / motor.holding_torque),
                                  what_to_look_for(Figure::detent))});
  return result;
}

}  // namespace pitchline::parts
