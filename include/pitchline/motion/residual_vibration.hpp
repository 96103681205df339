#pragma once

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "pitchline/motion/detail/step_answer.hpp"

namespace pitchline::motion {

/// Amplitude with which a load still swings at a time after the last of some steps of acceleration;
/// the stretch swings about that of the acceleration which then goes on, zero after a whole move.
///
///     x'' + 2 ζ ω x' + ω² x = −a(t),   p = −ζω + iω_d,  ω_d = ω √(1 − ζ²)
///     A = 1/(ω² √(1 − ζ²)) |Σ a_k e^{p(t − t_k − r_k)} (e^{p r_k} − 1)/(p r_k)|
///
///     ω    2π natural_frequency  rad/s  > 0
///     ζ    damping_ratio         –      [0, 1)
///     a_k  step                  m/s²
///     t_k  at                    s      ≥ 0
///     r_k  jerk_time             s      ≥ 0; at 0 the last factor is 1
///     t    at                    s      no earlier than the end of the last step, but for rounding
///     x    stretch: load less drive     m
///     A    result                m, envelope of x from there on, falling as e^{−ζωt}
///
/// Valid for a drive that follows its command, a load at rest before, one mode and viscous damping.
/// Leaves out Coulomb friction, which ends small swings, and a motor that yields: take the coupled
/// frequency of belt and magnetic spring (`axis_modes`).
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived, superposed step answers; checked against integrated equations of motion in
/// reference/published/vibration.csv and [residual vibration].
inline Length residual_amplitude(const ElasticMode& mode,
                                 const std::vector<AccelerationStep>& steps, Time at) {
  const detail::StepAnswer answer(mode, steps);
  if (!(at >= seconds(answer.end() * (1.0 - detail::time_rounding))) || !is_finite(at))
    throw InvalidInput(
        "time of the residual",
        fmt::format("no earlier than the last step's end at {:.10g} s", answer.end()),
        in_seconds(at), "s");
  return metres(answer.envelope(in_seconds(at)));
}

/// The same at the end of a move.
///
/// \throws InvalidInput  as above, or the profile as in `acceleration_steps`
inline Length residual_amplitude(const ElasticMode& mode, const MoveProfile& profile) {
  const detail::StepAnswer answer(mode, acceleration_steps(profile));
  return metres(answer.envelope(answer.end()));
}

/// Largest stretch between load and drive during a move, in either sense.
///
/// Symbols and validity as in `residual_amplitude`. Between two breaks of the acceleration x is a
/// straight line and one decaying cosine: its turning points are closed where the acceleration
/// stands, and bracketed between two zeros of x'' where it changes.
///
/// \throws InvalidInput     as `residual_amplitude`
/// \throws OutsideValidity  a change of acceleration lasts more than 1e5 half swings
///
/// Source: derived; compared with integrated equations of motion.
inline Length peak_during_move(const ElasticMode& mode, const MoveProfile& profile) {
  return metres(detail::StepAnswer(mode, acceleration_steps(profile)).peak());
}

/// The most that one ramp of speed can leave, whatever its duration and jerk time: two steps whose
/// swings add.
///
///     A = 2 a/(ω² √(1 − ζ²))
///
///     a  acceleration  m/s²  ≥ 0
///
/// Reached without damping by a ramp of half a period. Other symbols as in `residual_amplitude`.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived, no term of the sum in `residual_amplitude` is larger than its step.
inline Length worst_residual_of_one_ramp(const ElasticMode& mode, Acceleration acceleration) {
  detail::require_acceleration(acceleration);
  return 2.0 * detail::static_stretch(mode, acceleration) / detail::damping_root(mode);
}

/// The most that a whole move can leave, whatever its times: 4 a/(ω² √(1 − ζ²)), twice one ramp;
/// a the larger of acceleration and deceleration.
///
/// \throws InvalidInput  as `worst_residual_of_one_ramp`
inline Length worst_residual(const ElasticMode& mode, Acceleration acceleration) {
  return 2.0 * worst_residual_of_one_ramp(mode, acceleration);
}

/// A swing and what is small enough of it.
struct DyingSwing {
  Length amplitude = unset<Length>();
  Length tolerance = unset<Length>();
};

/// Time in which a swing decays to a tolerance.
///
///     t = ln(A/δ)/(ζ ω)
///
///     A  amplitude  m  ≥ 0
///     δ  tolerance  m  > 0
///     t  result     s, 0 where A ≤ δ; infinite (`unlimited<Time>()`) where A > δ and ζ = 0
///
/// Of the envelope; a swing may pass inside the tolerance sooner.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived from A e^{−ζωt}.
inline Time settling_time(const ElasticMode& mode, const DyingSwing& swing) {
  detail::require_valid(mode);
  require_not_negative("amplitude", swing.amplitude, shown::metres);
  require_positive("tolerance", swing.tolerance, shown::metres);
  if (swing.amplitude <= swing.tolerance) return {};
  const double zeta = mode.damping_ratio.value();
  if (zeta == 0.0) return unlimited<Time>();
  return std::log(number(swing.amplitude / swing.tolerance)) /
         (zeta * 2.0 * std::numbers::pi * mode.natural_frequency);
}

/// Duration of the shortest ramp of speed whose two swings cancel but for the damping: 1/f_d, one
/// damped period. A jerk time of that length cancels as well.
///
/// \throws InvalidInput  natural_frequency not above zero, or never set
inline Time shortest_tuned_ramp(const ElasticMode& mode) { return 1.0 / damped_frequency(mode); }

/// What one ramp of n damped periods leaves at its end. More periods leave more, as the first swing
/// has decayed further when the second should cancel it.
///
///     A = a/(ω² √(1 − ζ²)) (1 − e^{−2πnζ/√(1 − ζ²)})
///
///     a  acceleration  m/s²  ≥ 0
///     n  periods       –     ≥ 1
///     A  result        m, 0 where ζ = 0
///
/// For a ramp without a jerk time. Other symbols as in `residual_amplitude`.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived from `residual_amplitude`.
inline Length residual_of_tuned_ramp(const ElasticMode& mode, Acceleration acceleration,
                                     int periods = 1) {
  detail::require_acceleration(acceleration);
  require_at_least("periods", periods, 1);
  const Length stretch = detail::static_stretch(mode, acceleration);
  const double root = detail::damping_root(mode);
  const double decay = 2.0 * std::numbers::pi * periods * mode.damping_ratio.value() / root;
  return stretch / root * -std::expm1(-decay);
}

}  // namespace pitchline::motion
