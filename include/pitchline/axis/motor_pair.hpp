#pragma once

#include <fmt/format.h>

#include "pitchline/axis/beam_load.hpp"

namespace pitchline::axis {

/// A beam across the machine with a motor and a belt of its own at each end.
struct MotorPair {
  Transmission transmission = unset<Transmission>();   ///< travel per angle of the motor
  FullSteps full_steps_per_turn = unset<FullSteps>();  ///< of either motor
  Length belt_distance = unset<Length>();              ///< between the two belts
};

/// The mass that each motor of a pair moves.
struct PairShares {
  Mass first{};
  Mass second{};
  [[nodiscard]] Mass larger() const { return first > second ? first : second; }
};

/// A rotor locks in again where the field has gone round once: 4 full steps on, whatever the number
/// of steps in a turn. Source: two phases of either sign make 4 full steps in one electrical turn.
inline constexpr FullSteps full_steps_per_electrical_turn = full_steps(4);

/// Largest skew for which angles count as small here: at 0.1 rad sine and angle differ by 0.17 %.
inline constexpr Angle largest_skew = radians(0.1);

namespace detail {
inline void require_valid(const MotorPair& pair) {
  require_positive("transmission", pair.transmission);
  if (!(pair.full_steps_per_turn >= full_steps(4) && is_finite(pair.full_steps_per_turn)))
    throw InvalidInput("full steps per turn", ">= 4", in_full_steps(pair.full_steps_per_turn), "");
  require_positive("belt distance", pair.belt_distance);
}
inline Angle skew_of(const MotorPair& pair, Length lag) {
  const Angle skew = radian * number(lag / pair.belt_distance);
  if (!(skew <= largest_skew))
    throw OutsideValidity(fmt::format(
        "the beam is out of square by {:.4g} mm over {:.4g} mm, more than the 0.1 rad for which "
        "this holds; its guides jam or leave their rails before",
        in_millimetres(lag), in_millimetres(pair.belt_distance)));
  return skew;
}
}  // namespace detail

/// What each motor moves with the carriage at a place along the beam.
///
///     m1 = B/2 + (1 − u) C      m2 = B/2 + u C
///
///     B       beam                       kg  ≥ 0
///     C       carriage                   kg  ≥ 0
///     u       place of the carriage      –   [0, 1], 0 over the first belt
///     m1, m2  result                     kg
///
/// Valid for a rigid beam that stays square, both ends with the same acceleration. Leaves out a
/// carriage that travels beyond the belts, and what crooked guides share out on their own.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: the forces of both belts and the inertia of beam and carriage balance about each belt.
inline PairShares load_shares(const BeamLoad& load, double place) {
  detail::require_valid(load);
  require_in_range("place of the carriage", place, 0.0, 1.0);
  return {.first = load.beam / 2.0 + (1.0 - place) * load.carriage,
          .second = load.beam / 2.0 + place * load.carriage};
}

/// The most that one motor must move over the whole travel of the carriage: B/2 + C, with the
/// carriage over its belt.
///
/// \throws InvalidInput  as `load_shares`
inline Mass deciding_share(const BeamLoad& load) { return load_shares(load, 0.0).first; }

/// Travel of one full step.
///
/// \throws InvalidInput  transmission or belt distance not above zero, full steps below 4, or never
///                       set
inline Length travel_per_full_step(const MotorPair& pair) {
  detail::require_valid(pair);
  return pair.transmission * revolution * number(full_steps(1) / pair.full_steps_per_turn);
}

/// How far a side is lost when its motor falls out of step once and locks in again: 4 full steps of
/// travel. A longer stall loses a whole multiple of it.
///
/// \throws InvalidInput  as `travel_per_full_step`
inline Length lost_per_stall(const MotorPair& pair) {
  return travel_per_full_step(pair) * number(full_steps_per_electrical_turn / full_steps(1));
}

/// How far from square a pair may start.
struct StartJump {
  Length each{};   ///< to either side, of one motor
  Length apart{};  ///< of the two sides against each other
  Angle skew{};    ///< of the beam, beside what it had before
};

/// How far the two sides may jump when the motors are energised, before anything is squared.
///
///     each = 2 s      apart = 4 s      skew = apart/b
///
///     s  travel_per_full_step  m
///     b  belt_distance         m  > 0
///
/// Holds for motors energised at rest, from any position and with any phase of the drivers. Comes
/// on top of what the beam was pushed out of square unpowered. A stiff beam whose guides resist, or
/// friction, makes it less, and each side may then stay behind its field by its load angle.
///
/// \throws InvalidInput     as `travel_per_full_step`
/// \throws OutsideValidity  a skew above 0.1 rad
///
/// Derived: a rotor comes to rest where its field holds it, once in 4 full steps, so the nearest
/// such place is no more than 2 full steps away, to either side. One motor may go 2 forward and the
/// other 2 back.
inline StartJump start_jump(const MotorPair& pair) {
  const Length apart = lost_per_stall(pair);
  return {.each = apart / 2.0, .apart = apart, .skew = detail::skew_of(pair, apart)};
}

/// Stiffness of a beam against skew that the blocks of its guides give.
struct GuideBlocks {
  Stiffness block_stiffness = unset<Stiffness>();  ///< of one block, across its rail
  Length spacing = unset<Length>();                ///< of the two blocks of a rail, along it
  int guiding_rails = 2;                           ///< 1 where the other end floats across
};

/// Torque that skews the beam, over the angle.
///
///     K = n k c²/2
///
///     n  guiding_rails    –     1 or 2, with two blocks each
///     k  block_stiffness  N/m   > 0
///     c  spacing          m     > 0
///     K  result           N·m/rad
///
/// Leaves out the play of the blocks and the bending of beam and rails, which make it softer.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: turned by φ, each block is pushed aside by φ c/2 and pushes back with k φ c/2 on an arm
/// of c/2.
inline TorsionalStiffness racking_stiffness(const GuideBlocks& guide) {
  require_positive("block stiffness", guide.block_stiffness);
  require_positive("block spacing", guide.spacing);
  if (guide.guiding_rails != 1 && guide.guiding_rails != 2)
    throw InvalidInput("guiding rails", "1 or 2", guide.guiding_rails, "");
  return static_cast<double>(guide.guiding_rails) * guide.block_stiffness * guide.spacing *
         guide.spacing / 2.0 / (radian * radian);
}

/// One motor of a pair stands, the other runs on.
struct OneSideStands {
  Torque pull_out_torque = unset<Torque>();  ///< of the running motor, at its speed
  Force friction = unset<Force>();           ///< of the running side
  Speed speed = unset<Speed>();              ///< of the running side
  Time until_noticed = unset<Time>();        ///< until the motors are stopped
  TorsionalStiffness racking_stiffness{};    ///< of the beam's guides; 0 where nothing resists
};

/// What that does to the beam.
struct Racking {
  Force force{};                      ///< the most that the running motor racks with
  Torque guide_moment{};              ///< of that force on the guides
  Length lag{};                       ///< of the standing side behind the running one
  Angle skew{};                       ///< of the beam
  bool running_motor_stalls = false;  ///< against the guides, before it is noticed
};

/// How far and how hard the running side racks the beam while the other side stands.
///
///     F = T/t − F_r      M = F b      s = min(v t_n, F b²/K)      skew = s/b
///
///     T    pull_out_torque    N·m      > 0
///     t    transmission       m/rad    > 0
///     F_r  friction           N        ≥ 0
///     b    belt_distance      m        > 0
///     v    speed              m/s      ≥ 0
///     t_n  until_noticed      s        ≥ 0
///     K    racking_stiffness  N·m/rad  ≥ 0; with 0 the second term of s is infinite
///     M    result             N·m
///
/// Statics and kinematics, for a standing side that is held fast, as by what stopped it. A side
/// that has merely fallen out of step has next to no torque against being dragged along, so the
/// skew is then less. Without loss in the drive, so the force is an upper bound; leaves out the
/// momentum of the beam, which racks it further in the first moment, and the give of the belts.
///
/// \throws InvalidInput     a number outside the table, or never set
/// \throws OutsideValidity  the running motor does not overcome its own friction, or a skew above
///                          0.1 rad
///
/// Derived: F at the running belt and −F at the standing one leave a couple F b to the guides; they
/// answer with K s/b, so that the running motor is stopped at K s/b = F b.
inline Racking racking(const MotorPair& pair, const OneSideStands& side) {
  detail::require_valid(pair);
  require_positive("pull-out torque", side.pull_out_torque);
  require_not_negative("friction", side.friction);
  require_not_negative("speed", side.speed, shown::millimetres_per_second);
  require_not_negative("time until noticed", side.until_noticed);
  require_not_negative_or_infinite("racking stiffness", side.racking_stiffness);
  const Force pull = side.pull_out_torque / pair.transmission;
  if (!(pull > side.friction))
    throw OutsideValidity(
        fmt::format("the running motor pulls with {:.4g} N at most and does not overcome its "
                    "friction of {:.4g} "
                    "N: both sides stand",
                    in_newtons(pull), in_newtons(side.friction)));
  const Force force = pull - side.friction;
  const Torque moment = force * pair.belt_distance / radian;
  const Length travelled = side.speed * side.until_noticed;
  // K s/b against F b, multiplied out so that K = 0 needs no case of its own.
  const bool stalls =
      side.racking_stiffness * (radian * number(travelled / pair.belt_distance)) > moment;
  const Length lag =
      stalls ? pair.belt_distance * number(moment / side.racking_stiffness / radian) : travelled;
  return {.force = force,
          .guide_moment = moment,
          .lag = lag,
          .skew = detail::skew_of(pair, lag),
          .running_motor_stalls = stalls};
}

}  // namespace pitchline::axis
