#pragma once

#include <cmath>
#include <optional>

#include "pitchline/axis/roller_grip.hpp"
#include "pitchline/axis/rotary_axis.hpp"

namespace pitchline::axis {

/// Angle that the workpiece turns by a pulse.
///
///     chuck: φ = 2π/(N i)      rollers: φ = 2π d/(N i D)
///
///     N  pulses per turn of the motor
///     i  motor turns per chuck or roller turn
///     D  workpiece diameter, d  roller diameter
///
/// \throws InvalidInput  as `pulses_per_degree`
///
/// Derived: the inverse of `pulses_per_degree`.
inline Angle angle_per_pulse(const RotaryAxis& axis, const Fraction& diameter_millimetres) {
  return degrees(1.0 / to_double(pulses_per_degree(axis, diameter_millimetres)));
}

/// Smallest workpiece that a pulse still turns by no more than `wanted`.
///
///     rollers: D = 2π d/(N i φ)      chuck: any where 2π/(N i) ≤ φ, else none
///
///     φ  wanted  rad  > 0; other symbols as for `angle_per_pulse`
///
/// The reverse of `largest_diameter`: rollers move every surface alike, so that thin work turns
/// further by a pulse, and the resolution sets a smallest diameter. A chuck turns all work alike:
/// 0, or nothing where it is too coarse for any.
///
/// \throws InvalidInput  wanted angle not above zero; otherwise as `pulses_per_degree`
///
/// Derived: `angle_per_pulse`, solved for D.
inline std::optional<Length> smallest_diameter(const RotaryAxis& axis, Angle wanted) {
  require_positive("angle per pulse", wanted);
  // Of a workpiece of 1 mm; on rollers it falls as the diameter grows.
  const double times = number(angle_per_pulse(axis, Fraction(1)) / wanted);
  if (on_rollers(axis)) return millimetres(times);
  // A share of 1e-12 is the rounding of what is wanted, no coarser chuck.
  if (!(times <= 1.0 + 1e-12)) return std::nullopt;
  return Length{};
}

/// Height of the top of a workpiece above the bed that carries the attachment: by so much a lift
/// must lower its bed, from where the bare bed is in focus, to bring the top there.
///
///     chuck:   H = h + D/2 + e
///     rollers: H = h + √((D + d)² − c²)/2 + D/2 + e
///
///     h  axle_height   m  ≥ 0, of the axis of chuck or rollers above the bed
///     D  diameter of the workpiece     m  > 0
///     d  diameter of the rollers       m
///     c  centre distance of both       m  > d, < D + d
///     e  eccentricity of the workpiece m  ≥ 0, all of it upwards
///     H  result        m
///
/// Leaves out what the jaws of the chuck stand out.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: the axis of a workpiece on rollers stands above theirs as the height of a triangle with
/// sides (D + d)/2 over a base c.
inline Length top_above_bed(const RotaryAxis& axis, Length axle_height) {
  detail::require_valid(axis);
  const Workpiece& work = axis.heaviest;
  detail::require_valid(work);
  require_not_negative("axle height", axle_height);
  Length centre = axle_height;
  if (const auto* rollers = std::get_if<Rollers>(&axis.hold)) {
    const double half = in_radians(contact_half_angle(*rollers, work.diameter));
    centre += (work.diameter + detail::diameter(*rollers)) / 2.0 * std::cos(half);
  }
  return centre + work.diameter / 2.0 + work.eccentricity;
}

}  // namespace pitchline::axis
