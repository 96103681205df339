#pragma once

#include "pitchline/axis/beam_load.hpp"
#include "pitchline/belt/strands.hpp"
#include "pitchline/structure/torsion.hpp"
#include "pitchline/units.hpp"
#include "pitchline/units/fraction.hpp"

namespace pitchline::axis {

/// What carries the turning of the near pulley to the far one, as it is bought.
struct ShaftToFarBelt {
  structure::RoundShaft shaft{};  ///< its length is that between the hubs
  Density density = unset<Density>();
  int couplings = 0;                                                        ///< in line with it
  TorsionalStiffness coupling_stiffness = unlimited<TorsionalStiffness>();  ///< of each
  Inertia coupling_inertia{};                                               ///< of each
};

/// A gantry driven on one side: the motor turns the pulley of the near belt, and a shaft across the
/// machine takes the turning on to an equal pulley of the far belt.
struct CrossShaft {
  structure::RoundShaft shaft{};
  int couplings = 0;  ///< in line with the shaft between the two pulleys
  TorsionalStiffness coupling_stiffness = unlimited<TorsionalStiffness>();  ///< of each
  Inertia coupling_inertia{};                                               ///< of each
  Inertia far_pulley_inertia{};  ///< drive pulley and idler of the far belt
  Density density = unset<Density>();
  Transmission transmission = unset<Transmission>();  ///< travel per angle of the shaft
  Length belt_distance = unset<Length>();             ///< between the two belts, across the travel
};

/// The cross shaft of a gantry from what it is built of.
inline CrossShaft cross_shaft(const ShaftToFarBelt& parts, Transmission transmission,
                              Length belt_distance, Inertia far_pulley_inertia) {
  return {.shaft = parts.shaft,
          .couplings = parts.couplings,
          .coupling_stiffness = parts.coupling_stiffness,
          .coupling_inertia = parts.coupling_inertia,
          .far_pulley_inertia = far_pulley_inertia,
          .density = parts.density,
          .transmission = transmission,
          .belt_distance = belt_distance};
}

namespace detail {
inline void require_valid(const CrossShaft& cross) {
  require_at_least("couplings", cross.couplings, 0);
  require_positive_or_infinite("coupling stiffness", cross.coupling_stiffness);
  require_positive("transmission", cross.transmission);
}
inline void require_belt_distance(Length distance) { require_positive("belt distance", distance); }
}  // namespace detail

/// The share of a beam that the far belt moves when the carriage stands at its far end, which is
/// the deciding case: half of the beam and the whole carriage.
///
/// \throws InvalidInput  a mass below zero, or never set
///
/// Derived: a rigid beam on two supports in straight motion, the load over one of them.
inline Mass far_side_mass(const BeamLoad& load) {
  detail::require_valid(load);
  return load.beam / 2.0 + load.carriage;
}

/// Torsional stiffness between the two pulleys: the shaft and its couplings, one behind the other.
///
///     1/k = 1/k_shaft + n/k_c
///
///     k_shaft  structure::torsional_stiffness
///     n        couplings           –        ≥ 0
///     k_c      coupling_stiffness  N·m/rad  > 0, infinite where not given
///
/// Leaves out hubs that slip and backlash of couplings: those are lost outright.
///
/// \throws InvalidInput  a number outside the table, or never set
inline TorsionalStiffness stiffness_between_pulleys(const CrossShaft& cross) {
  detail::require_valid(cross);
  const TorsionalStiffness shaft = structure::torsional_stiffness(cross.shaft);
  if (cross.couplings == 0) return shaft;
  return structure::in_series(shaft,
                              cross.coupling_stiffness / static_cast<double>(cross.couplings));
}

/// Stiffness of the shaft as the far belt feels it, the near pulley held.
///
///     k_F = k/t²
///
///     k    stiffness_between_pulleys  N·m/rad
///     t    transmission               m/rad    > 0, the pitch radius of the pulley
///     k_F  result                     N/m
///
/// \throws InvalidInput  as `stiffness_between_pulleys`
///
/// Derived: a force F on the far belt is a torque F t in the shaft, which winds up by F t/k; the
/// belt comes short by t of that.
inline Stiffness shaft_stiffness_at_belt(const CrossShaft& cross) {
  return stiffness_between_pulleys(cross) / (cross.transmission * cross.transmission);
}

/// Stiffness between the near pulley and the far end of the beam: the shaft, and the far belt
/// behind it at its smallest over the travel.
///
/// \throws InvalidInput  as `shaft_stiffness_at_belt`; belt stiffness not above zero, or never set
inline Stiffness far_side_stiffness(const CrossShaft& cross, Stiffness far_belt) {
  return belt::in_series(shaft_stiffness_at_belt(cross), far_belt);
}

/// How far the far end of the beam stays behind.
struct FarSideLag {
  Torque shaft_torque{};
  Angle wind_up{};  ///< of shaft and couplings
  Length by_shaft{};
  Length by_belt{};
  Angle skew{};  ///< of the beam
  [[nodiscard]] Length sum() const { return by_shaft + by_belt; }
};

/// Lost position of the far end under its share of the force.
///
///     θ = F t/k      s = θ t + F/k_belt      skew = s/b
///
///     F       force                      N        ≥ 0, friction and inertia of the far share
///     t       transmission               m/rad    > 0
///     k       stiffness_between_pulleys  N·m/rad
///     k_belt  far_belt                   N/m      > 0, at its smallest over the travel
///     b       belt_distance              m        > 0
///     skew    result                     rad
///
/// The give of the near belt is not subtracted: it lessens the skew while the carriage stands at
/// the far end. With the carriage at the near end the near belt gives way instead, by less than
/// this. Leaves out what the guides of the beam take of the skew, so the true one is smaller.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: Hooke's law; the beam turns as a rigid body about its near end.
inline FarSideLag far_side_lag(const CrossShaft& cross, Stiffness far_belt, Force force) {
  const TorsionalStiffness stiffness = stiffness_between_pulleys(cross);
  detail::require_belt_distance(cross.belt_distance);
  require_positive_or_infinite("far belt stiffness", far_belt);
  require_not_negative("force", force);
  const Torque torque = force * cross.transmission;
  const Angle wind_up = torque / stiffness;
  const Length by_shaft = wind_up * cross.transmission;
  const Length by_belt = force / far_belt;
  return {.shaft_torque = torque,
          .wind_up = wind_up,
          .by_shaft = by_shaft,
          .by_belt = by_belt,
          .skew = radian * number((by_shaft + by_belt) / cross.belt_distance)};
}

/// Natural frequency of the far side's share on shaft and far belt, the near pulley held.
///
///     f = √(k/m)/2π
///
///     k  far_side_stiffness  N/m
///     m  far_side_mass       kg   > 0
///
/// A lower bound for a rigid beam on two equal belts: it swings on both of them at this frequency
/// or above. Leaves out the guides, which raise it, and the inertia of shaft and far pulley, which
/// lowers it by little where it is small against m t².
///
/// \throws InvalidInput  as `far_side_stiffness`, `far_side_mass`; both masses zero
///
/// Derived: the mass matrix of the beam ends, with rows B/3, B/6 and B/6, B/3 + C for a beam B and
/// a carriage C, has no eigenvalue above its largest row sum B/2 + C, and the near belt is no
/// softer than shaft and far belt together.
inline Frequency far_side_frequency(const CrossShaft& cross, Stiffness far_belt,
                                    const BeamLoad& load) {
  return belt::natural_frequency(far_side_stiffness(cross, far_belt), far_side_mass(load));
}

/// Inertia of the shaft with its couplings and the far pulleys, seen at the motor.
///
///     J = (J_shaft + n J_c + J_far)/i²
///
///     J_shaft  structure::own_inertia
///     n, J_c   couplings, coupling_inertia  –, kg·m²  ≥ 0
///     J_far    far_pulley_inertia           kg·m²     ≥ 0
///     i        motor turns per shaft turn   –         > 0
///
/// \throws InvalidInput  a number outside the table, or never set
inline Inertia inertia_at_motor(const CrossShaft& cross,
                                const Fraction& motor_turns_per_shaft_turn = Fraction(1)) {
  detail::require_valid(cross);
  require_positive("motor turns per shaft turn", motor_turns_per_shaft_turn, "");
  require_not_negative("coupling inertia", cross.coupling_inertia);
  require_not_negative("far pulley inertia", cross.far_pulley_inertia);
  const double ratio = to_double(motor_turns_per_shaft_turn);
  return (structure::own_inertia(cross.shaft, cross.density) +
          static_cast<double>(cross.couplings) * cross.coupling_inertia +
          cross.far_pulley_inertia) /
         (ratio * ratio);
}

}  // namespace pitchline::axis
