#pragma once

#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <string_view>

#include "pitchline/motor/loss_free_torque.hpp"

namespace pitchline::motor {

/// The field that holds the rotor at rest: what it pulls with and how often a turn that repeats.
struct RotorField {
  Torque torque_amplitude = unset<Torque>();  ///< T_h, a quarter of an electrical turn away
  double pole_pairs = std::numeric_limits<double>::quiet_NaN();  ///< N_r, rotor teeth
};

namespace detail {
inline void require_valid(const RotorField& field) {
  require_positive("torque amplitude", field.torque_amplitude);
  require_positive("pole pairs", field.pole_pairs);
}
inline void require_load(Torque load) { require_not_negative("load", load); }
inline void require_valid(PulsesPerFullStep microsteps) {
  if (!(microsteps >= pulses_per_full_step(1)) || !is_finite(microsteps))
    throw InvalidInput("microsteps", ">= 1", in_pulses_per_full_step(microsteps), "pulse/step");
}
inline void require_valid(FullStepsPerAngle full_steps_per_angle) {
  require_positive("full steps per angle", full_steps_per_angle);
}

struct StepErrorMeaning {
  static constexpr std::string_view name = "step error share";
  static constexpr std::string_view rule = ">= 0 and < 1";
  static constexpr bool holds(double x) { return x >= 0 && x < 1; }
};
}  // namespace detail

/// Error of a step over one full step.
using StepErrorShare = Ratio<detail::StepErrorMeaning>;

/// Largest deviation of a full step that makers allow, either way, not adding up over steps: 5 %.
/// Source: [MinebeaMitsumi glossary], [Geckodrive] section 8; printed as "1.8° ±5 %" on
/// [17HS19-2004S1].
inline constexpr StepErrorShare usual_step_error{0.05};

/// The field of a driven winding at rest: K_t I, or K_t V/R where the supply is below R I.
///
/// \throws InvalidInput  as `loss_free_pull_out`
inline RotorField field_at_rest(const DrivenWinding& w) {
  return {.torque_amplitude = loss_free_pull_out(w, radians_per_second(0)).torque,
          .pole_pairs = w.pole_pairs};
}

/// How far a loaded rotor at rest stays behind its field, as an angle of the shaft. Nothing where
/// the load is above what the field holds. The lag does not add up over steps.
///
///     δ = asin(T/T_h) / N_r
///
///     T    load              N·m  ≥ 0
///     T_h  torque_amplitude  N·m  > 0
///     N_r  pole_pairs        –    > 0
///     δ    result            rad  from 0 to one full step
///
/// Valid for a sinusoidal torque over angle. Leaves out detent torque, friction and the error of
/// the step itself.
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Source: [Acarnley] ch. 3, introduction.
inline std::optional<Angle> static_lag(const RotorField& field, Torque load) {
  detail::require_valid(field);
  detail::require_load(load);
  if (load > field.torque_amplitude) return std::nullopt;
  return radians(std::asin(number(load / field.torque_amplitude))) / field.pole_pairs;
}

/// Torque of the field on a rotor that is `lag` of the shaft behind it; the inverse of `static_lag`
/// up to one full step. Symbols, validity and source as there; past one full step it falls again.
///
///     T = T_h sin(N_r δ)
///
/// \throws InvalidInput  lag not finite; a field of `field` outside its range or never set
inline Torque torque_at_lag(const RotorField& field, Angle lag) {
  detail::require_valid(field);
  if (!is_finite(lag)) throw InvalidInput("lag", "a finite angle", in_degrees(lag), "deg");
  return field.torque_amplitude * std::sin(field.pole_pairs * in_radians(lag));
}

/// Torque of the field on a rotor that is one microstep behind it. It is what is there to overcome
/// friction when one pulse comes; the stiffness of the field does not fall with finer microsteps.
///
///     T = T_h sin(90°/n)
///
///     T_h  torque_amplitude  N·m  > 0
///     n    microsteps        –    ≥ 1, pulses per full step
///     T    result            N·m  > 0
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Source: [Faulhaber microstepping]; its table in tests/motor.
inline Torque torque_of_one_microstep(const RotorField& field, PulsesPerFullStep microsteps) {
  detail::require_valid(field);
  detail::require_valid(microsteps);
  const double quarter = std::numbers::pi / 2.0;
  return field.torque_amplitude * std::sin(quarter / in_pulses_per_full_step(microsteps));
}

/// Finest whole number of microsteps of which a single one, from a rotor at ease, still overcomes
/// `friction`. Nothing where even a full step does not; without friction any number does, and the
/// result is infinite.
///
///     largest whole n with T_h sin(90°/n) ≥ T_f:  n = ⌊90° / asin(T_f/T_h)⌋
///
///     T_f  friction          N·m  ≥ 0, at the motor's shaft
///     T_h  torque_amplitude  N·m  > 0
///
/// Finer microsteps lose nothing while the motion keeps its sense: they add up until the rotor
/// follows. What friction costs is the position on reversal, up to 2 asin(T_f/T_h)/N_r of the
/// shaft, whatever the microsteps. Leaves out detent torque.
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Source: derived from `torque_of_one_microstep`.
inline std::optional<PulsesPerFullStep> finest_moving_microsteps(const RotorField& field,
                                                                 Torque friction) {
  detail::require_valid(field);
  require_not_negative("friction", friction);
  if (friction > field.torque_amplitude) return std::nullopt;
  const double lag = std::asin(number(friction / field.torque_amplitude));
  const auto moves = [&](double n) {
    return torque_of_one_microstep(field, pulses_per_full_step(n)) >= friction;
  };
  double n = std::floor(std::numbers::pi / 2.0 / lag);
  if (!std::isfinite(n)) return unlimited<PulsesPerFullStep>();
  // Rounding may put n one off where a whole number just does; beyond 2^53 it cannot be counted.
  if (moves(n + 1.0)) n += 1.0;
  while (n > 1.0 && !moves(n)) n -= 1.0;
  return pulses_per_full_step(n);
}

/// One pulse as an angle of the shaft.
///
///     φ = 1 / (n N)     n microsteps ≥ 1,  N full steps per angle > 0
///
/// \throws InvalidInput  a number outside its range
inline Angle microstep_angle(FullStepsPerAngle full_steps_per_angle, PulsesPerFullStep microsteps) {
  detail::require_valid(full_steps_per_angle);
  detail::require_valid(microsteps);
  return pulses(1) / (microsteps * full_steps_per_angle);
}

/// Error of a step as an angle of the shaft, either way, not adding up over steps.
///
///     ε = e / N     e share of a full step,  N full steps per angle > 0
///
/// \throws InvalidInput  full_steps_per_angle not above zero
///
/// Source: see `usual_step_error`. It is stated of full steps, not of what lies between.
inline Angle step_error(FullStepsPerAngle full_steps_per_angle,
                        StepErrorShare share = usual_step_error) {
  detail::require_valid(full_steps_per_angle);
  return share.value() * full_steps(1) / full_steps_per_angle;
}

/// An angle of the motor's shaft, and how far it moves what the motor drives.
struct Deviation {
  Angle at_shaft{};
  Length of_travel{};
};

/// `at_shaft` with the travel that belongs to it: for a lag, a microstep or an error of a step.
///
/// \throws InvalidInput  transmission not above zero
inline Deviation deviation(Angle at_shaft, Transmission transmission) {
  require_positive("transmission", transmission);
  return {.at_shaft = at_shaft, .of_travel = at_shaft * transmission};
}

}  // namespace pitchline::motor
