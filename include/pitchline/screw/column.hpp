#pragma once

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "pitchline/parts/material.hpp"
#include "pitchline/screw/end_fixity.hpp"
#include "pitchline/screw/steel.hpp"
#include "pitchline/units.hpp"

namespace pitchline::screw {

/// A straight bar of one section that is pushed along its axis.
struct Column {
  Length length = unset<Length>();              ///< between the ends that hold it
  Area area = unset<Area>();                    ///< of the section
  Length radius_of_gyration = unset<Length>();  ///< the least one, √(I/A); d/4 of a round bar
  EndFixity ends = EndFixity::supported_supported;
  Pressure elastic_modulus = parts::screw_rules_elastic_modulus;
  Pressure yield_strength = assumed_yield_strength;
};

/// The core of a screw under push.
struct ScrewCore {
  Length minor_diameter = unset<Length>();
  Length length = unset<Length>();  ///< under push, between the ends that hold it
  EndFixity ends = EndFixity::supported_supported;
};

/// The core of a screw as a column, a solid round bar.
///
/// The length that bends is that under push: from the nut to the bearing that takes the thrust,
/// with the nut as far away as it goes. A screw that hangs from its thrust bearing above the nut is
/// pulled, and cannot buckle.
///
/// \throws InvalidInput  minor diameter or length not above zero, or never set
///
/// Source: geometry, A = π d²/4 and √(I/A) = d/4. The thread counts for nothing.
inline Column core_column(const ScrewCore& core) {
  const auto [diameter, length, ends] = core;
  require_positive("minor diameter", diameter);
  require_positive("column length", length);
  return {.length = length,
          .area = std::numbers::pi / 4.0 * diameter * diameter,
          .radius_of_gyration = diameter / 4.0,
          .ends = ends};
}

namespace detail {
inline void require_valid(const Column& column) {
  require_fixity(column.ends);
  require_positive("column length", column.length);
  if (!(column.area > square_metres(0) && is_finite(column.area)))
    throw InvalidInput("column area", "> 0", 1e6 * in_square_metres(column.area), "mm^2");
  require_positive("radius of gyration", column.radius_of_gyration);
  require_positive("elastic modulus", column.elastic_modulus);
  require_positive("yield strength", column.yield_strength);
}
}  // namespace detail

/// Length over least radius of gyration, of the length as it is.
///
/// \throws InvalidInput  a field outside its range, or never set
inline double slenderness(const Column& column) {
  detail::require_valid(column);
  return number(column.length / column.radius_of_gyration);
}

/// Slenderness above which Euler's formula holds, and below which Johnson's does.
///
///     (ℓ/k)₁ = √(2 π² C E/S_y)
///
///     C    column_factor(ends)  –
///     E    elastic_modulus      Pa  > 0
///     S_y  yield_strength       Pa  > 0
///
/// There both give half the yield strength, with one slope.
///
/// \throws InvalidInput  a field outside its range, or never set
///
/// Source: [Shigley] 4-11 to 4-13.
inline double transition_slenderness(const Column& column) {
  detail::require_valid(column);
  return std::numbers::pi * std::sqrt(2.0 * column_factor(column.ends) *
                                      number(column.elastic_modulus / column.yield_strength));
}

/// Load at which a slender column buckles.
///
///     P = π² C E A/(ℓ/k)²
///
///     C    column_factor(ends)  –
///     E    elastic_modulus      Pa  > 0
///     A    area                 m²  > 0
///     ℓ    length               m   > 0
///     k    radius_of_gyration   m   > 0
///
/// Above `transition_slenderness` only: a shorter column fails below this, see `column_strength`.
/// Leaves out a load beside the axis and a bent screw.
///
/// \throws InvalidInput  a field outside its range, or never set
///
/// Source: [Shigley] 4-11 to 4-13; checked against [Gere], [Beer mechanics], [Wentzell],
/// [Levinson].
inline Force euler_load(const Column& column) {
  const double ratio = slenderness(column);
  return std::numbers::pi * std::numbers::pi * column_factor(column.ends) * column.elastic_modulus *
         column.area / (ratio * ratio);
}

/// Load at which a column of middling length fails.
///
///     P = A (S_y − (S_y ℓ/(2π k))²/(C E))
///
/// Symbols and what is left out as for `euler_load`, S_y being the yield strength. Up to
/// `transition_slenderness` only.
///
/// \throws InvalidInput     a field outside its range, or never set
/// \throws OutsideValidity  slenderness above the transition
///
/// Source: [Shigley] 4-11 to 4-13.
inline Force johnson_load(const Column& column) {
  const double ratio = slenderness(column);
  const double transition = transition_slenderness(column);
  if (!(ratio <= transition))
    throw OutsideValidity(fmt::format(
        "Johnson's formula holds up to a slenderness of {:.4g}, and this column has {:.4g}",
        transition, ratio));
  // S_y ℓ²/(4π² k² C E) is half of (ratio/transition)².
  const double share = 0.5 * (ratio / transition) * (ratio / transition);
  return column.area * column.yield_strength * (1.0 - share);
}

/// Which formula gives the strength of a column.
enum class ColumnRule { euler, johnson };

struct ColumnStrength {
  Force load{};  ///< at which it fails
  ColumnRule rule = ColumnRule::euler;
  double slenderness = 0.0;
  double transition = 0.0;  ///< slenderness at which the rule changes
};

/// Load at which a column fails: Euler's above the transition, Johnson's up to it.
///
/// \throws InvalidInput  a field outside its range, or never set
///
/// Source: [Shigley] 4-11 to 4-13.
inline ColumnStrength column_strength(const Column& column) {
  const double ratio = slenderness(column);
  const double transition = transition_slenderness(column);
  const bool slender = ratio > transition;
  return {.load = slender ? euler_load(column) : johnson_load(column),
          .rule = slender ? ColumnRule::euler : ColumnRule::johnson,
          .slenderness = ratio,
          .transition = transition};
}

/// Push or pull that the core bears without regard to buckling.
///
///     P = σ A
///
///     σ  allowed   Pa  > 0
///     A  area      m²  > 0
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: [THK screws] P2, 147 MPa; the maker's 116 d² is 115.45 d² rounded.
inline Force compression_limit(const Column& column, Pressure allowed = allowed_core_stress) {
  detail::require_valid(column);
  require_positive("allowed stress", allowed);
  return allowed * column.area;
}

/// Share of the column strength that makers of screws allow: a safety of 2. Source: [THK screws],
/// already inside its η2.
inline constexpr double allowed_share_of_column_strength = 0.5;

/// What bounds the push that is allowed.
enum class PushBound { euler, johnson, core_stress };

struct AllowedPush {
  Force load{};
  PushBound bound = PushBound::euler;
  ColumnStrength strength{};  ///< before the share
};

/// Largest push that is allowed: a share of the column strength, and no more than the core bears.
///
/// \throws InvalidInput  a field outside its range, or never set; share not above 0, or above 1
///
/// Source: [THK screws] P1, which is Euler's alone, and P2; with Johnson's for short screws.
inline AllowedPush allowed_push(const Column& column,
                                double share = allowed_share_of_column_strength) {
  if (!(share > 0.0 && share <= 1.0))
    throw InvalidInput("share of the column strength", "> 0 and <= 1", share, "");
  const ColumnStrength strength = column_strength(column);
  const Force by_column = share * strength.load;
  const Force by_stress = compression_limit(column);
  if (by_stress < by_column)
    return {.load = by_stress, .bound = PushBound::core_stress, .strength = strength};
  return {.load = by_column,
          .bound = strength.rule == ColumnRule::euler ? PushBound::euler : PushBound::johnson,
          .strength = strength};
}

}  // namespace pitchline::screw
