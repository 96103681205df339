#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <string_view>

#include "pitchline/belt/strands.hpp"
#include "pitchline/parts/belt.hpp"
#include "pitchline/units.hpp"

namespace pitchline::belt {

/// A carriage on a clamped loop and the largest force it puts on the belt, in either sense.
struct CarriageDrive {
  Length span = unset<Length>();  ///< centre of drive pulley to centre of idler
  Length travel = unset<Length>();
  Force force = unset<Force>();  ///< mass times acceleration, friction, gravity, together
};

namespace detail {
inline void require_valid(const CarriageDrive& drive) {
  require_positive("span", drive.span, shown::metres);
  if (!(drive.travel > metres(0) && drive.travel < drive.span))
    throw InvalidInput("travel", "> 0 and < span", in_metres(drive.travel), "m");
  require_not_negative("force", drive.force);
}
}  // namespace detail

/// Tension of each strand at rest that keeps both taut wherever the carriage is.
///
///     T0 = F (1 − x/(2 S)) + T_k,    x = (S − travel)/2
///
///     F    force   N  ≥ 0
///     S    span    m  > 0
///     travel       m  > 0, below the span, in the middle of it
///     T_k  kept    N  ≥ 0, what the slack strand shall keep
///
/// The belt's stiffness cancels. The short strand near the drive pulley is the one that decides: it
/// takes nearly all of the force. Never more than F + T_k, which is the maker's rule.
///
/// Leaves out the overshoot of a sudden start; put it into the force.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: `strand_state`; the near strand slackens at F k1/(k1 + k2) = F (1 − x/(2 S)).
inline Force slack_free_tension(const CarriageDrive& drive, Force kept = newtons(0)) {
  detail::require_valid(drive);
  require_not_negative("kept tension", kept);
  const Length nearest = (drive.span - drive.travel) / 2.0;
  return drive.force * (1.0 - number(nearest / (2.0 * drive.span))) + kept;
}

/// A carriage drive whose belt is tensioned.
struct TensionedDrive {
  Length span = unset<Length>();      ///< S, between the pulleys
  Length travel = unset<Length>();    ///< of the carriage, in the middle of the span
  Force pretension = unset<Force>();  ///< T0, of each strand at rest
};

/// Force at the carriage at which a strand goes slack, where over the travel that happens first:
/// the inverse of `slack_free_tension`.
///
///     F = T0 / (1 − x/(2 S)),    x = (S − travel)/2
///
///     T0  pretension  N  ≥ 0, of each strand at rest
///
/// \throws InvalidInput  span or travel as `slack_free_tension`; pretension below zero, or never
/// set
///
/// Derived: as `slack_free_tension`.
inline Force slackening_force(const TensionedDrive& drive) {
  detail::require_valid(
      CarriageDrive{.span = drive.span, .travel = drive.travel, .force = newtons(0)});
  require_not_negative("pretension", drive.pretension);
  const Length nearest = (drive.span - drive.travel) / 2.0;
  return drive.pretension / (1.0 - number(nearest / (2.0 * drive.span)));
}

/// Largest force in a strand over the travel and both senses of the force.
///
///     T0  pretension  N  ≥ 0
///
/// T0 + F (1 − x/(2 S)) while both strands are taut, and F where one has gone slack: [Elatech] p.
/// 55 takes T0 + F, which is never less.
///
/// \throws InvalidInput  as `slack_free_tension`; pretension below zero
///
/// Derived: `strand_state` at both ends of the travel, between which the tension only falls or
/// rises.
inline Force largest_strand_tension(const CarriageDrive& drive, Force pretension) {
  detail::require_valid(drive);
  // The shares do not depend on the stiffness, so any will do.
  const ClampedLoop loop{.tension_per_strain = newtons(1), .span = drive.span};
  Force largest{};
  for (const double side : {-1.0, 1.0}) {
    for (const double sense : {1.0, -1.0}) {
      const StrandState state =
          strand_state(loop, {.position = (drive.span + side * drive.travel) / 2.0,
                              .pretension = pretension,
                              .pull = sense * drive.force});
      largest = std::max({largest, state.near_tension, state.far_tension});
    }
  }
  return largest;
}

/// A maker's rule for the tension of each strand at rest, as a share of the effective pull.
/// Editions differ, so each names its own.
struct TensionRule {
  std::string_view edition;
  double share;             ///< of the effective pull, service factor included
  bool adds_speed_tension;  ///< + m S²
};

// The share follows from the printed factor: effective pull P = 2 Q/d, and HP/S = P/33 with S in
// 1000 ft/min and 33 000 ft·lbf/min in a horsepower.
/// 0.812 D Q/d + m S², for service factors of 1.3 and more.
inline constexpr TensionRule sdp_rule_10_1{"SDP handbook 2017, eq. 10-1", 0.812 / 2, true};
/// 1.05 D Q/d + m S², for service factors below 1.3.
inline constexpr TensionRule sdp_rule_10_2{"SDP handbook 2017, eq. 10-2", 1.05 / 2, true};
/// 20 HP/S + M S².
inline constexpr TensionRule gt3_rule_5{"GT3 manual 2014, Formula 5", 20.0 / 33, true};
/// 17.4 HP/S + m S².
inline constexpr TensionRule poly_chain_rule{"Poly Chain manual 17595, 2012", 17.4 / 33, true};
/// Pretension at least the peripheral force.
inline constexpr TensionRule elatech_linear_rule{"Elatech catalogue p. 55, linear drives", 1.0,
                                                 false};
/// Pretension at least half of the peripheral force.
inline constexpr TensionRule elatech_conveyor_rule{"Elatech catalogue p. 55, welded conveyors", 0.5,
                                                   false};
inline constexpr std::array tension_rules{sdp_rule_10_1,       sdp_rule_10_2,
                                          gt3_rule_5,          poly_chain_rule,
                                          elatech_linear_rule, elatech_conveyor_rule};

/// Which of both rules of [SDP handbook] p. T-29 holds for a service factor.
///
/// \throws InvalidInput  a factor below 1
inline const TensionRule& sdp_rule(double service_factor) {
  require_at_least("service factor", service_factor, 1);
  return service_factor >= 1.3 ? sdp_rule_10_1 : sdp_rule_10_2;
}

/// What two equal strands bear: the tension set, and what is pulled.
struct StrandPairLoad {
  Force tension = unset<Force>();  ///< T0, of each strand at rest
  Force pull = unset<Force>();     ///< F, difference of the strands
};

/// Largest force in a strand of a closed belt round two pulleys at fixed centres.
///
///     max(T0 + F/2, F)
///
///     T0  tension  N  ≥ 0, of each strand at rest
///     F   pull     N  ≥ 0, difference of the strands
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: two equal strands share the pull by half while both are taut; once one is slack, the
/// other carries all of it.
inline Force largest_tension_of_pair(const StrandPairLoad& load) {
  require_not_negative("tension", load.tension);
  require_not_negative("pull", load.pull);
  return std::max<Force>(load.tension + load.pull / 2.0, load.pull);
}

/// What a pulley must pull.
struct PulleyLoad {
  Torque torque = unset<Torque>();
  Length pitch_diameter = unset<Length>();
  double service_factor = 1.0;
  Force speed_tension{};  ///< see `speed_tension`
};

/// Pull of a belt on its pulley.
///
///     P = c 2 Q/d
///
///     Q  torque          N·m  ≥ 0
///     d  pitch_diameter  m    > 0
///     c  service_factor  –    ≥ 1
///
/// \throws InvalidInput  a number outside the table, or never set
inline Force effective_pull(const PulleyLoad& load) {
  require_not_negative("torque", load.torque);
  require_positive("pitch diameter", load.pitch_diameter);
  require_at_least("service factor", load.service_factor, 1);
  return load.service_factor * (load.torque / (load.pitch_diameter / (2.0 * radian)));
}

/// Tension of each strand at rest by a maker's rule.
///
///     T = share · P + T_v
///
///     P    effective_pull
///     T_v  speed_tension  N  ≥ 0, where the rule has it
///
/// A maker asks for the larger of this and the least tension of the width: `least_tension`.
///
/// \throws InvalidInput  as `effective_pull`; speed tension below zero
///
/// Source: the edition that the rule names.
inline Force rule_tension(const TensionRule& rule, const PulleyLoad& load) {
  require_not_negative("speed tension", load.speed_tension);
  const Force pull = rule.share * effective_pull(load);
  return rule.adds_speed_tension ? pull + load.speed_tension : pull;
}

/// The term m S² of the makers' rules; unset where the profile has no table for the width.
///
///     T_v = T_1000 (v / 1000 ft/min)²
///
///     v  speed  m/s  ≥ 0
///
/// Not belt mass times v²: about 0.8 of it.
///
/// \throws InvalidInput  speed below zero, or never set
///
/// Source: the profile's table. 1000 ft/min is 5.08 m/s, exact.
inline parts::Sourced<Force> speed_tension(const parts::Belt& belt, Speed speed) {
  require_not_negative("speed", speed);
  parts::Sourced<Force> found = parts::at_or_above(belt.profile.speed_tension, belt.width);
  const double ratio = number(speed / metres_per_second(5.08));
  found.value *= ratio * ratio;
  return found;
}

/// Least tension of a strand at rest that the maker allows for the width; unset where not known.
inline parts::Sourced<Force> least_tension(const parts::Belt& belt) {
  return parts::at_or_above(belt.profile.least_tension, belt.width);
}

/// General tension of a strand at rest to start with; unset where not known.
inline parts::Sourced<Force> start_tension(const parts::Belt& belt) {
  return parts::at_or_above(belt.profile.start_tension, belt.width);
}

/// A tension from a range.
struct TensionRange {
  Force low = unset<Force>();
  Force high = unset<Force>();
  std::string source{};
};

/// Tension of a strand at rest where the belt must hold a position: 1.5 to 2 times the general one;
/// unset where that is not known.
///
/// Source: [SDP handbook] table 10 p. T-30, registration drives.
inline TensionRange positioning_tension(const parts::Belt& belt) {
  const parts::Sourced<Force> start = start_tension(belt);
  return {.low = 1.5 * start.value,
          .high = 2.0 * start.value,
          .source = start.known() ? "1.5 to 2 times that of " + start.source : std::string()};
}

/// The strands on both sides of a pulley.
struct StrandsOnPulley {
  Force first_strand = unset<Force>();
  Force second_strand = unset<Force>();
  Angle wrap = unset<Angle>();
};

/// Force of a belt on the shaft of a pulley, from its two strands.
///
///     R = √(T1² + T2² − 2 T1 T2 cos φ)
///
///     T1, T2  strands  N    ≥ 0
///     φ       wrap     rad  in (0, 2π]
///
/// T1 + T2 at half a turn; 2 T0 sin(φ/2) at rest.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: the strands leave at an angle of π − φ to each other; law of cosines.
inline Force shaft_load(const StrandsOnPulley& pulley) {
  for (const Force& each : {pulley.first_strand, pulley.second_strand})
    require_not_negative("strand tension", each);
  if (!(pulley.wrap > radians(0) && pulley.wrap <= revolution * (1 + 1e-12)))
    throw InvalidInput("wrap", "> 0 and <= 360", in_degrees(pulley.wrap), "deg");
  // √((T1 − T2)² + 4 T1 T2 sin²(φ/2)) is the same without a difference of large numbers.
  const Force difference = pulley.first_strand - pulley.second_strand;
  const double sine = std::sin(in_radians(pulley.wrap) / 2);
  return square_root(difference * difference +
                     4.0 * sine * sine * (pulley.first_strand * pulley.second_strand));
}

/// Force of a belt at rest on the shaft of a pulley that it wraps by half a turn: twice its
/// tension.
///
/// \throws InvalidInput  tension below zero, or never set
inline Force shaft_load_at_rest(Force tension) {
  return shaft_load({.first_strand = tension, .second_strand = tension, .wrap = revolution / 2.0});
}

}  // namespace pitchline::belt
