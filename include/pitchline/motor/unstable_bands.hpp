#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <concepts>
#include <functional>
#include <numbers>
#include <optional>
#include <vector>

#include "pitchline/motor/stability.hpp"
#include "pitchline/parts/stepper_motor.hpp"

namespace pitchline::motor {

using pitchline::DampingRatio;

/// Viscous drag assumed of a motor of which nothing else is known: bearings and iron.
///
///     B = T_h / (4500 rad/s)
///
/// Common practice, no source. Lies at or below what was assumed for the simulated motors of
/// [midband]: 1e-4, 5e-4 and 3e-3 N·m·s/rad at 0.45, 1.9 and 8.5 N·m.
///
/// \throws InvalidInput  see `parts::require_valid`
inline RotaryDrag assumed_motor_damping(const parts::StepperMotor& motor) {
  parts::require_valid(motor);
  return motor.holding_torque / radians_per_second(4500);
}

/// A belt between the motor and its load, as the swinging rotor feels it.
struct BeltAtMotor {
  Stiffness stiffness = unset<Stiffness>();  ///< k, between drive pulley and load
  DampingRatio damping_ratio;                ///< ζ, of the load on the belt at its own frequency
  Transmission transmission = unset<Transmission>();  ///< r, travel of the load per motor angle
};

/// Damping that the belt gives to a rotor which swings so fast that the load stands still.
///
///     B = c r²,  c = 2 ζ k/(2π f)
///
///     k  stiffness      N/m        ≥ 0
///     ζ  damping_ratio  –          [0, 1)
///     r  transmission   m/rad      > 0
///     f  oscillation    Hz         > 0
///     B  result         N·m·s/rad  ≥ 0
///
/// Structural damping: a belt loses a fixed share of its energy in a swing, however fast it is, so
/// its c falls as 1/f. A viscous c taken at the frequency of the load (some 20 to 60 Hz) would be
/// several times too good at the 70 to 400 Hz of the rotor.
///
/// \throws InvalidInput  a number outside the table
///
/// Source: common practice, no source (the loss of rubber and cord hardly depends on frequency).
inline RotaryDrag belt_damping_at_motor(const BeltAtMotor& belt, Frequency oscillation) {
  require_not_negative_or_infinite("stiffness", belt.stiffness);
  require_positive("transmission", belt.transmission);
  require_positive_or_infinite("oscillation", oscillation);
  const auto c =
      2.0 * belt.damping_ratio.value() * belt.stiffness / (2.0 * std::numbers::pi * oscillation);
  return c * belt.transmission * belt.transmission;
}

/// What swings with the rotor and what damps it.
struct SwingingShaft {
  Inertia inertia = unset<Inertia>();  ///< rotor and what sits on its shaft; see `unstable_bands`
  RotaryDrag viscous_damping = unset<RotaryDrag>();  ///< of the motor and of a damper
  std::optional<BeltAtMotor> belt{};                 ///< none: the load is left out altogether
};

/// Damping that is there for a swing which, without the spring of the belt, has this frequency.
///
/// The spring makes the swing faster and so the belt's share smaller: it is taken at √(f² + f_b²),
/// (2π f_b)² = k r²/J.
///
/// \throws InvalidInput  inertia not above zero; viscous_damping below zero; as
///                       `belt_damping_at_motor`
inline RotaryDrag damping_present(const SwingingShaft& shaft, Frequency oscillation) {
  require_positive("inertia", shaft.inertia);
  require_not_negative_or_infinite("viscous damping", shaft.viscous_damping);
  // A belt without stiffness has no force to lose energy with, however slow the swing.
  if (!shaft.belt || shaft.belt->stiffness == newtons_per_metre(0)) return shaft.viscous_damping;
  const Transmission r = shaft.belt->transmission;
  const auto squared = oscillation * oscillation + shaft.belt->stiffness * r * r / shaft.inertia /
                                                       (4.0 * std::numbers::pi * std::numbers::pi);
  // A belt that is not valid makes this NaN, and is then refused by its own name.
  return shaft.viscous_damping + belt_damping_at_motor(*shaft.belt, square_root(squared));
}

/// Speeds at which a small swing grows.
struct UnstableBand {
  AngularSpeed from{};
  AngularSpeed to{};
  AngularSpeed worst{};     ///< where most is missing
  RotaryDrag needed{};      ///< there
  RotaryDrag missing{};     ///< there: needed less what is present
  Frequency oscillation{};  ///< there
  Frequency growth{};       ///< there: logarithm of the amplitude per second; see `fill_growth`
  bool worst_near_saturation = false;  ///< the figures at `worst` are overstated
  bool all_near_saturation = false;    ///< and so is the whole band
  bool open = false;  ///< it ends only with the range, or where the motor has too little torque
};

namespace detail {
// Damping that a shaft lacks at a speed; nothing where it has enough, or no such torque.
inline RotaryDrag missing_damping(const DrivenWinding& w, const SwingingShaft& shaft,
                                  AngularSpeed speed, Torque torque) {
  const RotaryDrag enough{};
  if (forces_current(w, speed, torque)) return enough;
  const std::optional<CriticalDamping> need =
      critical_damping(w, ShaftState{.inertia = shaft.inertia, .speed = speed, .torque = torque});
  if (!need || need->damping == enough) return enough;
  return std::max(enough, RotaryDrag(need->damping - damping_present(shaft, need->oscillation)));
}
// Speeds that are looked at up to the top.
inline constexpr int speeds_searched = 256;
}  // namespace detail

/// Whether `unstable_bands` finds any; looked for from the top down, where bands begin as a rule.
///
/// \throws InvalidInput  as `unstable_bands`
template <std::invocable<AngularSpeed> TorqueAt>
bool has_unstable_band(const DrivenWinding& w, const SwingingShaft& shaft, AngularSpeed top,
                       TorqueAt&& torque_at) {
  if (!(top > radians_per_second(0)) || !is_finite(top))
    throw InvalidInput("top speed", "> 0", in_radians_per_second(top), "rad/s");
  damping_present(shaft, hertz(1));  // refuses a bad shaft even where no speed needs damping
  for (int i = detail::speeds_searched; i >= 0; --i) {
    const AngularSpeed speed =
        static_cast<double>(i) * (top / static_cast<double>(detail::speeds_searched));
    if (detail::missing_damping(w, shaft, speed, torque_at(speed)) > RotaryDrag{}) return true;
  }
  return false;
}

/// Speeds up to `top` at which the shaft has less damping than `critical_damping` asks for, lowest
/// first.
///
/// `torque_at` gives the torque that the motor makes at a speed; speeds where it is more than the
/// motor has belong to no band. The searched speeds are whole multiples of top/256, the ends are
/// then found by bisection: a band narrower than that may be missed.
///
/// The inertia on a belt axis is that of rotor and motor pulley alone. At the 70 to 400 Hz of this
/// swing the load, whose own frequency on the belt is 20 to 60 Hz, hardly moves: it brings no
/// inertia, and the belt is a spring and a damper to a wall. Against a model with the load as two
/// more states this asks for no more than 1 % of the need too little where the belt has a damping
/// ratio of 0.02 or more. A belt that damps nothing lets rotor and load swing together as well, and
/// then up to twice as much may be needed close above `saturation_speed`. A load without a spring
/// counts in full.
///
/// What damps, and what does not (tests/motor/unstable_bands.cpp):
///
///   - A damper on the shaft, and a belt that loses energy, count as they are.
///   - Inertia on the shaft slows the growth in proportion and so helps to pass through; the need
///     itself hardly changes.
///   - Torque: less of it needs less. Dry friction is torque here, no damping.
///   - Current: less of it starts the band a little later, but needs more within the band, at the
///     same speed and torque; more current, as far as the motor stands it, needs less.
///   - Voltage: more of it starts the band later.
///
/// A verdict on it is "unsure", never "fails" and never a promise: a switching driver agrees only
/// roughly, in both directions.
///
/// \throws InvalidInput  top not above zero; as `critical_damping` and `damping_present`
///
/// Source: derived; reference/sources.md, [midband].
inline std::vector<UnstableBand> unstable_bands(
    const DrivenWinding& w, const SwingingShaft& shaft, AngularSpeed top,
    const std::function<Torque(AngularSpeed)>& torque_at) {
  require_positive("top speed", top);
  damping_present(shaft, hertz(1));  // refuses a bad shaft even where no speed needs damping

  const RotaryDrag enough{};
  const auto state_at = [&](AngularSpeed speed) {
    return ShaftState{.inertia = shaft.inertia, .speed = speed, .torque = torque_at(speed)};
  };
  const auto missing_at = [&](AngularSpeed speed) {
    return detail::missing_damping(w, shaft, speed, torque_at(speed));
  };
  constexpr int steps = detail::speeds_searched;
  const AngularSpeed step = top / static_cast<double>(steps);
  const auto speed_of = [&](int i) { return static_cast<double>(i) * step; };
  // The unstable end of an interval that has one end in a band.
  const auto edge = [&](AngularSpeed outside, AngularSpeed inside) {
    for (int i = 0; i < 50; ++i) {
      const AngularSpeed middle = (outside + inside) / 2.0;
      (missing_at(middle) > enough ? inside : outside) = middle;
    }
    return inside;
  };

  std::vector<UnstableBand> bands;
  bool within = false;
  for (int i = 0; i <= steps; ++i) {
    const AngularSpeed speed = speed_of(i);
    const RotaryDrag missing = missing_at(speed);
    const bool unstable = missing > enough;
    if (unstable && !within) {
      const AngularSpeed from = i == 0 ? speed : edge(speed_of(i - 1), speed);
      bands.push_back({.from = from, .worst = from, .missing = missing_at(from)});
    }
    if (unstable) {
      bands.back().to = speed;
      if (missing > bands.back().missing) {
        bands.back().worst = speed;
        bands.back().missing = missing;
      }
    }
    if (!unstable && within) bands.back().to = edge(speed, bands.back().to);
    within = unstable;
  }

  for (UnstableBand& band : bands) {
    // The worst speed lies within a step of the worst one searched. Golden section.
    const double golden = (std::sqrt(5.0) - 1.0) / 2.0;
    AngularSpeed low = std::max(band.from, AngularSpeed(band.worst - step));
    AngularSpeed high = std::min(band.to, AngularSpeed(band.worst + step));
    for (int i = 0; i < 40; ++i) {
      const AngularSpeed lower = high - golden * (high - low);
      const AngularSpeed upper = low + golden * (high - low);
      if (missing_at(lower) < missing_at(upper))
        low = lower;
      else
        high = upper;
    }
    for (const AngularSpeed& candidate : {AngularSpeed((low + high) / 2.0), band.to}) {
      if (missing_at(candidate) > band.missing) {
        band.worst = candidate;
        band.missing = missing_at(candidate);
      }
    }
    const ShaftState worst = state_at(band.worst);
    const std::optional<CriticalDamping> need = critical_damping(w, worst);
    band.needed = need->damping;
    band.oscillation = need->oscillation;
    band.worst_near_saturation = near_saturation(w, worst.speed, worst.torque);
    band.all_near_saturation = near_saturation(w, band.to, torque_at(band.to));
    const AngularSpeed past = band.to * (1.0 + 1e-9);
    band.open = past > top || !critical_damping(w, state_at(past));
  }
  return bands;
}

}  // namespace pitchline::motor
