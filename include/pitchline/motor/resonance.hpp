#pragma once

#include <cmath>
#include <numbers>
#include <optional>
#include <vector>

#include "pitchline/motor/microstep.hpp"

namespace pitchline::motor {

/// Stiffness of the spring that the field is to the rotor, about the lag that `load` makes. Nothing
/// where the load is above what the field holds; zero where it is all of it.
///
///     k = N_r √(T_h² − T²) = N_r T_h cos(N_r δ)
///
///     N_r  pole_pairs        –         > 0
///     T_h  torque_amplitude  N·m       > 0, at the current that is set
///     T    load              N·m       ≥ 0
///     k    result            N·m/rad
///
/// Valid for small swings while the driver forces its current (`saturation_speed`); larger swings
/// are softer. Leaves out the detent torque T_d, which adds up to ±4 T_d/T_h: at the 5 % of the
/// rated holding torque that is the most read from data sheets ([detent ratios]) and full current,
/// ±20 % of the stiffness and 11 % of the frequency.
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Source: derivative of the torque over the angle; [Jones] for load zero.
inline std::optional<TorsionalStiffness> field_stiffness(const RotorField& field,
                                                         Torque load = {}) {
  detail::require_valid(field);
  detail::require_load(load);
  if (load > field.torque_amplitude) return std::nullopt;
  const double sine = number(load / field.torque_amplitude);
  return field.pole_pairs * field.torque_amplitude * std::sqrt((1.0 - sine) * (1.0 + sine)) /
         radian;
}

/// Frequency at which an inertia swings on a torsional spring.
///
///     f = √(k/J) / 2π
///
///     k  stiffness  N·m/rad  > 0
///     J  inertia    kg·m²    > 0, rotor and everything that turns or moves with it, at the shaft
///     f  result     Hz
///
/// Leaves out damping and the belt; see `axis_modes`.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: [Jones]; checked against the example of [industrialmonitordirect].
inline Frequency natural_frequency(TorsionalStiffness stiffness, Inertia inertia) {
  require_positive_or_infinite("stiffness", stiffness);
  require_positive("inertia", inertia);
  return square_root(stiffness / inertia) / (2.0 * std::numbers::pi);
}

/// A motor and the mass that it moves through a belt.
struct SprungAxis {
  TorsionalStiffness field_stiffness = unset<TorsionalStiffness>();
  Inertia motor_side_inertia = unset<Inertia>();  ///< rotor, its pulley, coupling
  Mass mass = unset<Mass>();  ///< moved, with what turns behind the belt as J/t²
  Transmission transmission = unset<Transmission>();  ///< travel per angle of the motor
  Stiffness belt_stiffness = unlimited<Stiffness>();  ///< at the moved mass; unlimited: rigid
};

/// Frequencies at which such an axis swings, and the simpler figures that bound them.
struct AxisModes {
  Frequency first{};                  ///< motor and mass together
  std::optional<Frequency> second{};  ///< against each other; nothing without an elastic belt
  Frequency rigid{};                  ///< all inertia on the field alone; `first` is at most this
  Frequency in_series{};    ///< belt and field in series, no inertia at the motor; likewise
  Frequency rotor_alone{};  ///< motor side on the field alone; `second` is at least this
  Frequency mass_stands{};  ///< motor side on field and belt, the mass held still, as friction
                            ///< does to a small swing; `second` is at least this
};

/// Natural frequencies of the rotor in its field with a mass behind a belt.
///
///     a = (k + k_b t²)/J,  b = k_b/m,  c = k k_b/(J m)
///     ω² = (a + b ∓ √((a − b)² + 4 k_b² t²/(J m)))/2,  ω₁² ω₂² = c
///     in series  ω² = 1/((1/k_b + t²/k) m)
///
///     k    field_stiffness     N·m/rad  > 0, see `field_stiffness`
///     J    motor_side_inertia  kg·m²    > 0
///     m    mass                kg       > 0
///     t    transmission        m/rad    > 0
///     k_b  belt_stiffness      N/m      > 0, may be infinite
///
/// Leaves out damping, friction and the elasticity of the frame.
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Source: derived, two masses on two springs; the series form is its limit J → 0.
inline AxisModes axis_modes(const SprungAxis& axis) {
  const auto [k, J, m, t, k_b] = axis;
  require_positive("mass", m);
  require_positive("transmission", t);
  require_positive_or_infinite("belt stiffness", k_b);
  const Frequency rotor_alone = natural_frequency(k, J);
  const Frequency rigid = natural_frequency(k, J + m * t * t);
  const Stiffness field = k / (t * t);
  const double turn = 2.0 * std::numbers::pi;
  if (!is_finite(k_b))
    return {.first = rigid,
            .rigid = rigid,
            .in_series = square_root(field / m) / turn,
            .rotor_alone = rotor_alone,
            .mass_stands = unlimited<Frequency>()};

  const auto a = (k + k_b * t * t) / J;
  const auto b = k_b / m;
  const auto sum = a + b;
  const auto root = square_root((a - b) * (a - b) + 4.0 * (k_b * t * t / J) * b);
  // ω₁² through the product of the two: the difference sum − root would cancel.
  const auto high = (sum + root) / 2.0;
  const auto low = (k / J) * b / high;
  return {.first = square_root(low) / turn,
          .second = square_root(high) / turn,
          .rigid = rigid,
          .in_series = square_root(field * k_b / ((field + k_b) * m)) / turn,
          .rotor_alone = rotor_alone,
          .mass_stands = square_root(a) / turn};
}

/// What shakes the rotor at a step rate.
enum class Excitation {
  pulses,            ///< the jumps of the command themselves
  detent,            ///< detent torque and third harmonic, once a full step
  unequal_currents,  ///< the two phase currents of unequal size, once in two full steps
  current_offset,    ///< a constant error of a phase current, once in four full steps
};

/// A steady rate of steps at which something shakes the axis at one of its natural frequencies.
struct RateToAvoid {
  Excitation excitation = Excitation::pulses;
  double full_steps_per_swing = 0.0;  ///< full steps taken in one period of the natural frequency
  FullStepRate full_step_rate{};
  PulseRate pulse_rate{};
  AngularSpeed shaft_speed{};
  Speed travel_speed{};
  /// Amplitude of the shaking as an angle of the shaft, before the resonance enlarges it. Unset
  /// where it hangs on the motor or the driver and not on the step.
  Angle amplitude = unset<Angle>();
};

/// How the pulses of a driver become steps, and steps travel.
struct StepDrive {
  FullStepsPerAngle full_steps_per_angle = unset<FullStepsPerAngle>();
  PulsesPerFullStep microsteps = unset<PulsesPerFullStep>();
  Transmission transmission = unset<Transmission>();  ///< travel per angle of the motor
};

/// How many harmonics of the pulse rate are listed. Common practice, no source: the k-th shakes
/// with 1/k of the first.
inline constexpr int pulse_harmonics = 3;

/// Steady rates at which a natural frequency `f` is excited, slowest first.
///
///     pulses            f_s = f/(n k), k = 1, 2, 3    amplitude φ/(π n k)
///     detent            f_s = f                       T_d sin 4 N_r θ turns once a full step
///     unequal_currents  f_s = 2 f                     an electrical turn is four full steps
///     current_offset    f_s = 4 f
///
///     f    natural_frequency     Hz      > 0
///     n    microsteps            –       ≥ 1
///     φ    1/full_steps_per_angle  rad   > 0
///     t    transmission          m/rad   > 0
///     f_s  full_step_rate        step/s
///
/// Derived: a command in jumps of φ/n is a ramp and a sawtooth, whose k-th harmonic at the pulse
/// rate n f_s has the amplitude φ/(π n k). At full steps that is f, f/2, f/3; microsteps move these
/// rates down by n and shrink them by n, and leave the other three, which come from the motor and
/// the currents: with i_a too large by a share e the torque gains e/2 of a second harmonic of the
/// electrical angle, with an offset a first. Valid as `field_stiffness` is. How wide a band to
/// leave depends on damping and is not stated here.
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Source: derived; the detent term T_d sin 4 N_r θ from [MathWorks stepper].
inline std::vector<RateToAvoid> rates_to_avoid(const StepDrive& drive, Frequency f) {
  detail::require_valid(drive.full_steps_per_angle);
  detail::require_valid(drive.microsteps);
  require_positive("transmission", drive.transmission);
  require_positive("natural frequency", f);

  std::vector<RateToAvoid> rates;
  const auto add = [&](Excitation excitation, double steps_per_swing, Angle amplitude) {
    const FullStepRate rate = steps_per_swing * full_steps(1) * f;
    const AngularSpeed speed = rate / drive.full_steps_per_angle;
    rates.push_back({.excitation = excitation,
                     .full_steps_per_swing = steps_per_swing,
                     .full_step_rate = rate,
                     .pulse_rate = rate * drive.microsteps,
                     .shaft_speed = speed,
                     .travel_speed = speed * drive.transmission,
                     .amplitude = amplitude});
  };
  const double n = in_pulses_per_full_step(drive.microsteps);
  const Angle step = full_steps(1) / drive.full_steps_per_angle;
  for (int k = pulse_harmonics; k >= 1; --k)
    add(Excitation::pulses, 1.0 / (n * k), step / (std::numbers::pi * n * k));
  add(Excitation::detent, 1.0, unset<Angle>());
  add(Excitation::unequal_currents, 2.0, unset<Angle>());
  add(Excitation::current_offset, 4.0, unset<Angle>());
  return rates;
}

}  // namespace pitchline::motor
