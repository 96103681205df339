#pragma once

#include <algorithm>
#include <numbers>
#include <optional>
#include <string>

#include "pitchline/parts/belt.hpp"
#include "pitchline/units.hpp"

namespace pitchline::belt {

/// A belt that runs from the carriage round a drive pulley at one end and an idler at the other and
/// back to the carriage: the usual run of a gantry axis.
struct ClampedLoop {
  Force tension_per_strain = unset<Force>();  ///< E·A of the whole belt
  Length span = unset<Length>();              ///< centre of drive pulley to centre of idler
  std::string source{};                       ///< of `tension_per_strain`, with its mark
};

/// The loop that a belt makes over a span; `tension_per_strain` is unset where the profile does not
/// know it, and its source says where it was inferred.
inline ClampedLoop clamped_loop(const parts::Belt& belt, Length span) {
  const parts::Sourced<Force> found = parts::sourced_tension_per_strain(belt);
  return {.tension_per_strain = found.value, .span = span, .source = found.source};
}

namespace detail {
inline void require_valid(const ClampedLoop& loop) {
  require_positive_or_infinite("tension per strain", loop.tension_per_strain);
  require_positive("span", loop.span, shown::metres);
}
}  // namespace detail

/// Stiffness of the belt between drive pulley and carriage while both strands are taut.
///
///     k = E·A (1/x + 1/(2 S − x))
///
///     E·A  tension_per_strain  N  > 0
///     S    span                m  > 0
///     x    from the drive pulley to the carriage  m  in (0, S]
///     k    result              N/m; smallest at x = S, where it is 2 E·A/S
///
/// Leaves out the teeth and the belt on the pulleys.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: two springs side by side, [Elatech] p. 55 and [Wang 2018] for the form; its smallest
/// value is the customary 4 E·A/(L1 + L2) with L1 + L2 = 2 S.
inline Stiffness strand_stiffness(const ClampedLoop& loop, Length x) {
  detail::require_valid(loop);
  if (!(x > metres(0) && x <= loop.span))
    throw InvalidInput("carriage position", "> 0 and <= span", in_metres(x), "m");
  return loop.tension_per_strain / x + loop.tension_per_strain / (2.0 * loop.span - x);
}

/// Stiffness where the carriage is farthest from the drive pulley: the smallest over the travel.
///
/// \throws InvalidInput  as `strand_stiffness`; travel not above zero or longer than the span
inline Stiffness smallest_strand_stiffness(const ClampedLoop& loop, Length travel) {
  detail::require_valid(loop);
  if (!(travel > metres(0) && travel <= loop.span))
    throw InvalidInput("travel", "> 0 and <= span", in_metres(travel), "m");
  return strand_stiffness(loop, (loop.span + travel) / 2.0);
}

/// Natural frequency of a load on a belt, the drive pulley held.
///
///     f = √(k/m) / 2π
///
///     k  stiffness  N/m  > 0
///     m  mass       kg   > 0
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: one mass on one spring; checked against the worked figures of [Elatech] AT5 and HTD 5M.
inline Frequency natural_frequency(Stiffness stiffness, Mass mass) {
  require_positive_or_infinite("stiffness", stiffness);
  require_positive("mass", mass);
  return square_root(stiffness / mass) / (2.0 * std::numbers::pi);
}

/// Which strand hangs loose. Near: from the drive pulley straight to the carriage. Far: round the
/// idler.
enum class Slack { none, near_strand, far_strand };

/// Both strands under a pull of the carriage.
struct StrandState {
  Force near_tension{};
  Force far_tension{};
  Length stretch{};       ///< how far the carriage gives way, > 0 away from the drive pulley
  Stiffness stiffness{};  ///< against a little more of the same pull
  Slack slack = Slack::none;
};

/// Where and how hard the carriage pulls on its loop.
struct CarriagePull {
  Length position = unset<Length>();  ///< from the drive pulley to the carriage
  Force pretension = unset<Force>();  ///< of each strand at rest
  Force pull = unset<Force>();        ///< on the belt, > 0 away from the drive pulley
};

/// Tensions and stretch of a clamped loop, the drive pulley held.
///
///     taut:   T1 = T0 + F k1/(k1 + k2),  T2 = T0 − F k2/(k1 + k2),  δ = F/(k1 + k2)
///     far strand slack, F > T0 (k1 + k2)/k2:    T1 = F,   T2 = 0,  δ = (F − T0)/k1
///     near strand slack, −F > T0 (k1 + k2)/k1:  T1 = 0,  T2 = −F,  δ = (F + T0)/k2
///
///     k1, k2  stiffness of the near and the far strand, E·A/x and E·A/(2 S − x)
///     T0  pretension  N  ≥ 0, infinite where no strand goes slack
///     F   pull        N  any
///     x   position    m  in (0, S]
///
/// Leaves out the teeth, the belt on the pulleys, and the weight and inertia of the belt.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: T1 − T2 = F on the carriage; each strand lengthens by δ or −δ from T0, and none pushes.
/// Once a strand is slack, T1 = T0 + k1 δ alone holds, hence δ; both forms agree where it slackens.
inline StrandState strand_state(const ClampedLoop& loop, const CarriagePull& at) {
  const Stiffness both = strand_stiffness(loop, at.position);
  require_not_negative_or_infinite("pretension", at.pretension);
  require_finite("pull", at.pull);
  const Stiffness near = loop.tension_per_strain / at.position;
  const Stiffness far = loop.tension_per_strain / (2.0 * loop.span - at.position);
  const Force near_tension = at.pretension + at.pull * number(near / both);
  const Force far_tension = at.pretension - at.pull * number(far / both);
  if (far_tension < newtons(0))
    return {.near_tension = at.pull,
            .stretch = (at.pull - at.pretension) / near,
            .stiffness = near,
            .slack = Slack::far_strand};
  if (near_tension < newtons(0))
    return {.far_tension = -at.pull,
            .stretch = (at.pull + at.pretension) / far,
            .stiffness = far,
            .slack = Slack::near_strand};
  return {.near_tension = near_tension,
          .far_tension = far_tension,
          .stretch = at.pull / both,
          .stiffness = both};
}

/// The belt of a reduction stage between the motor and the shaft of the drive pulley.
struct StageBelt {
  Force tension_per_strain = unset<Force>();  ///< E·A of the stage's belt
  Length strand = unset<Length>();            ///< free length of each of its two strands
  Length driven_diameter = unset<Length>();   ///< pitch diameter of its large pulley
  Length drive_diameter = unset<Length>();    ///< pitch diameter of the axis' drive pulley
  bool one_strand_slack = false;              ///< then only one of them carries
};

/// Stiffness of a reduction stage as the load feels it, the motor held.
///
///     k = n E·A/t · (D/d)²
///
///     n    strands that carry: 2, or 1 where one is slack
///     E·A  tension_per_strain  N  > 0
///     t    strand              m  > 0
///     D    driven_diameter     m  > 0
///     d    drive_diameter      m  > 0
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: a force F at the load is a torque F d/2 on the shaft, hence F d/D in the stage's belt,
/// which gives way by F d/D ÷ k_s; the load moves d/D of that.
inline Stiffness stage_stiffness_at_load(const StageBelt& stage) {
  require_positive_or_infinite("tension per strain of the stage", stage.tension_per_strain);
  require_positive("strand of the stage", stage.strand, shown::metres);
  require_positive("driven diameter", stage.driven_diameter, shown::metres);
  require_positive("drive diameter", stage.drive_diameter, shown::metres);
  const double strands = stage.one_strand_slack ? 1.0 : 2.0;
  const double ratio = number(stage.driven_diameter / stage.drive_diameter);
  return strands * ratio * ratio * (stage.tension_per_strain / stage.strand);
}

/// Stiffness of two springs one behind the other.
///
/// \throws InvalidInput  a stiffness not above zero, or never set
inline Stiffness in_series(Stiffness first, Stiffness second) {
  for (const Stiffness& each : {first, second}) require_positive_or_infinite("stiffness", each);
  return first / (1.0 + number(first / second));
}

/// All the belts between the motor and the load of an axis.
struct BeltRun {
  ClampedLoop loop{};
  Length travel = unset<Length>();
  Force pretension = unlimited<Force>();  ///< of each strand at rest; unlimited: never slack
  std::optional<StageBelt> stage{};
};

/// Stiffness between motor and load at its smallest over the travel, all strands taut.
///
/// \throws InvalidInput  as `smallest_strand_stiffness`, `stage_stiffness_at_load`
inline Stiffness smallest_run_stiffness(const BeltRun& run) {
  const Stiffness loop = smallest_strand_stiffness(run.loop, run.travel);
  return run.stage ? in_series(loop, stage_stiffness_at_load(*run.stage)) : loop;
}

/// Natural frequency of a load on all its belts, at its lowest over the travel, the motor held.
///
/// \throws InvalidInput  as `smallest_run_stiffness`; mass not above zero
inline Frequency lowest_natural_frequency(const BeltRun& run, Mass mass) {
  return natural_frequency(smallest_run_stiffness(run), mass);
}

/// How far a load gives way, by belt.
struct Stretch {
  Length loop{};
  Length stage{};
  Length position{};  ///< of the carriage where it is largest
  Slack slack = Slack::none;
  std::string source{};  ///< of the belt's stiffness: says where it was inferred
  [[nodiscard]] Length sum() const { return loop + stage; }
};

/// Largest stretch over the travel and both senses of a force at the load, the motor held.
///
///     force  N  ≥ 0
///
/// Both ends of the travel are tried. Away from the drive pulley the stretch grows with the
/// distance throughout. Towards it, it grows while both strands are taut and falls where the near
/// one is slack, which is on the near side: so it is largest at one of the ends.
///
/// \throws InvalidInput  as `strand_state`, `stage_stiffness_at_load`; travel not above zero or not
///                       below the span; force below zero
inline Stretch largest_stretch(const BeltRun& run, Force force) {
  const ClampedLoop& loop = run.loop;
  detail::require_valid(loop);
  if (!(run.travel > metres(0) && run.travel < loop.span))
    throw InvalidInput("travel", "> 0 and < span", in_metres(run.travel), "m");
  require_not_negative_or_infinite("force", force);
  Stretch worst{.position = (loop.span + run.travel) / 2.0, .source = loop.source};
  for (const Length& position : {(loop.span + run.travel) / 2.0, (loop.span - run.travel) / 2.0}) {
    for (const double sense : {1.0, -1.0}) {
      const StrandState state = strand_state(
          loop, {.position = position, .pretension = run.pretension, .pull = sense * force});
      if (sense * state.stretch > worst.loop) {
        worst.loop = sense * state.stretch;
        worst.position = position;
        worst.slack = state.slack;
      }
    }
  }
  if (run.stage) worst.stage = force / stage_stiffness_at_load(*run.stage);
  return worst;
}

/// What an axis does to its belts.
struct BeltLoad {
  Mass mass = unset<Mass>();
  Acceleration acceleration = unset<Acceleration>();
  Force standing_force{};  ///< friction, gravity, drag: present at rest and at constant speed
};

/// Position error by stretch, at rest and while accelerating.
struct StretchError {
  Stretch standing{};
  Stretch accelerating{};
};

/// Stretch under the standing force alone, and with that of the acceleration on top.
///
///     standing: F_s    accelerating: F_s + m a
///
/// Leaves out the overshoot of a sudden start, which doubles the second term at most (step of
/// acceleration on an undamped spring).
///
/// \throws InvalidInput  as `largest_stretch`; mass not above zero, acceleration or standing force
///                       below zero, or never set
///
/// Source: Hooke's law on `strand_state`.
inline StretchError stretch_error(const BeltRun& run, const BeltLoad& load) {
  require_positive("mass", load.mass);
  require_not_negative("acceleration", load.acceleration);
  require_not_negative("standing force", load.standing_force);
  return {
      .standing = largest_stretch(run, load.standing_force),
      .accelerating = largest_stretch(run, load.standing_force + load.mass * load.acceleration)};
}

}  // namespace pitchline::belt
