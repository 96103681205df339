#pragma once

#include <numbers>

#include "pitchline/units.hpp"

namespace pitchline::structure {

using pitchline::SecondMoment;

/// A solid or hollow round shaft of one diameter.
struct RoundShaft {
  Length diameter = unset<Length>();           ///< outside
  Length bore{};                               ///< 0 where it is solid
  Length length = unset<Length>();             ///< that is twisted: between the hubs
  Pressure shear_modulus = unset<Pressure>();  ///< for example `parts::steel_shear_modulus`
};

namespace detail {
inline void require_section(Length diameter, Length bore) {
  require_positive("shaft diameter", diameter);
  if (!(bore >= metres(0) && bore < diameter))
    throw InvalidInput("shaft bore", ">= 0 and < shaft diameter", in_millimetres(bore), "mm");
}
inline void require_valid(const RoundShaft& shaft) {
  require_section(shaft.diameter, shaft.bore);
  require_positive("shaft length", shaft.length);
  require_positive("shear modulus", shaft.shear_modulus);
}
inline void require_stiffness(const TorsionalStiffness& stiffness) {
  require_positive_or_infinite("torsional stiffness", stiffness);
}
inline void require_inertia(const char* field, Inertia inertia) {
  require_not_negative(field, inertia);
}
}  // namespace detail

/// Section of a round shaft.
struct RoundSection {
  Length diameter = unset<Length>();
  Length bore{};  ///< 0: solid
};

/// Polar second moment of a round section.
///
///     J = π (D⁴ − d⁴)/32
///
///     D  diameter  m   > 0
///     d  bore      m   [0, D)
///     J  result    m⁴
///
/// Not the torsion constant of any other section: a slit tube or a square has a far smaller one.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: statics; checked against [Wentzell] 3.4 and [Boresi] 6.1.
inline SecondMoment polar_second_moment(const RoundSection& section) {
  detail::require_section(section.diameter, section.bore);
  // (D² − d²)(D² + d²): of a thin tube, D⁴ − d⁴ would leave few digits.
  const Area difference = (section.diameter - section.bore) * (section.diameter + section.bore);
  const Area sum = section.diameter * section.diameter + section.bore * section.bore;
  return std::numbers::pi / 32.0 * difference * sum;
}

/// Torque per angle of wind-up.
///
///     k = G J/L
///
///     G  shear_modulus        Pa       > 0
///     J  polar_second_moment  m⁴
///     L  length               m        > 0
///     k  result               N·m/rad
///
/// Valid in the elastic range. Leaves out what hubs, clamps and keyways give way.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: as `polar_second_moment`.
inline TorsionalStiffness torsional_stiffness(const RoundShaft& shaft) {
  detail::require_valid(shaft);
  return shaft.shear_modulus *
         polar_second_moment({.diameter = shaft.diameter, .bore = shaft.bore}) / shaft.length /
         (radian * radian);
}

/// Angle by which one end of the shaft turns ahead of the other, T/k; it has the sign of `torque`.
///
/// \throws InvalidInput  as `torsional_stiffness`; torque not finite
inline Angle wind_up(const RoundShaft& shaft, Torque torque) {
  require_finite("torque", torque);
  return torque / torsional_stiffness(shaft);
}

/// Largest shear stress in the shaft: at its outer surface.
///
///     τ = T D/(2 J)
///
///     T  torque               N·m  any; the stress has its sign
///     D  diameter             m    > 0
///     J  polar_second_moment  m⁴
///     τ  result               Pa
///
/// Valid in the elastic range. Leaves out the peaks at keyways, steps and cross holes.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: as `polar_second_moment`.
inline Pressure shear_stress(const RoundShaft& shaft, Torque torque) {
  detail::require_valid(shaft);
  require_finite("torque", torque);
  return torque * radian * shaft.diameter / 2.0 /
         polar_second_moment({.diameter = shaft.diameter, .bore = shaft.bore});
}

/// Inertia of the shaft itself about its axis: ρ L J.
///
/// \throws InvalidInput  as `torsional_stiffness`; density not above zero
///
/// Derived: each layer of radius r and area dA adds ρ L r² dA.
inline Inertia own_inertia(const RoundShaft& shaft, const Density& density) {
  detail::require_valid(shaft);
  require_positive("density", density);
  return density * shaft.length *
         polar_second_moment({.diameter = shaft.diameter, .bore = shaft.bore}) / (radian * radian);
}

/// Two springs in torsion one behind the other: a shaft and its couplings. One that is infinite
/// leaves the other.
///
///     1/k = 1/k1 + 1/k2
///
/// \throws InvalidInput  a stiffness not above zero, or never set
inline TorsionalStiffness in_series(const TorsionalStiffness& first,
                                    const TorsionalStiffness& second) {
  detail::require_stiffness(first);
  detail::require_stiffness(second);
  if (!is_finite(first)) return second;
  return first / (1.0 + number(first / second));
}

/// What swings in torsion.
struct TorsionalOscillator {
  TorsionalStiffness stiffness = unset<TorsionalStiffness>();
  Inertia first{};   ///< disc at the one end
  Inertia second{};  ///< disc at the other end; left out of account where that end is held
  Inertia shaft{};   ///< of the shaft itself, see `own_inertia`
};

/// Lowest natural frequency of a disc on a shaft whose other end is held.
///
///     f = √(k/(J1 + J_s/3)) / 2π
///
///     k    stiffness  N·m/rad  > 0
///     J1   first      kg·m²    ≥ 0
///     J_s  shaft      kg·m²    ≥ 0; J1 + J_s > 0
///
/// The third is Rayleigh's, for a twist that grows evenly along the shaft. It gives too high a
/// frequency: by 10.3 % for the bare shaft, 0.66 % for J1 = J_s, 0.1 % for J1 = 3 J_s.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: kinetic over potential energy of θ = θ1 x/L; the exact frequency is β √(k/J_s) with
/// β tan β = J_s/J1 (the wave equation of the shaft), which the tests solve for these figures.
inline Frequency held_end_frequency(const TorsionalOscillator& o) {
  detail::require_stiffness(o.stiffness);
  detail::require_inertia("first inertia", o.first);
  detail::require_inertia("shaft inertia", o.shaft);
  const Inertia swinging = o.first + o.shaft / 3.0;
  require_positive("first inertia plus shaft inertia", swinging);
  return square_root(o.stiffness / swinging) / (2.0 * std::numbers::pi);
}

/// Lowest natural frequency of two discs that swing against each other, both ends free to turn.
///
///     f = √(k (J1 + J2 + J_s)/((J1 + J_s/3)(J2 + J_s/3) − J_s²/36)) / 2π
///
///     k       stiffness      N·m/rad  > 0
///     J1, J2  first, second  kg·m²    ≥ 0
///     J_s     shaft          kg·m²    ≥ 0; J1 + J_s > 0 and J2 + J_s > 0
///
/// Without the shaft's own inertia this is the exact √(k (1/J1 + 1/J2)). With it, it is Rayleigh's
/// figure for an even twist, too high: by 10.3 % for the bare shaft, 0.21 % for J1 = J2 = J_s.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: energies of θ = θ1 + (θ2 − θ1) x/L with the turning momentum zero.
inline Frequency free_ends_frequency(const TorsionalOscillator& o) {
  detail::require_stiffness(o.stiffness);
  detail::require_inertia("first inertia", o.first);
  detail::require_inertia("second inertia", o.second);
  detail::require_inertia("shaft inertia", o.shaft);
  // Some inertia at each end: a disc of its own, or the shaft.
  const Inertia least = (o.first < o.second ? o.first : o.second) + o.shaft;
  require_positive("inertia at each end", least);
  // The product written out, so that no difference of near numbers is taken: J_s²/9 − J_s²/36.
  const auto product =
      o.first * o.second + (o.first + o.second) * o.shaft / 3.0 + o.shaft * o.shaft / 12.0;
  const Inertia sum = o.first + o.second + o.shaft;
  return square_root(o.stiffness * (sum / product)) / (2.0 * std::numbers::pi);
}

}  // namespace pitchline::structure
