#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <string>
#include <string_view>

#include "pitchline/belt/mesh.hpp"
#include "pitchline/parts/belt.hpp"
#include "pitchline/units.hpp"

namespace pitchline::belt {

/// What a belt bears. Where no source gives it the value is unset, and `asks` says what to ask for.
struct Limit {
  Force value = unset<Force>();
  std::string source{};
  std::string asks{};
  [[nodiscard]] bool known() const { return !is_unset(value); }
};

/// Allowed over required; NaN where the limit is not known, infinite where nothing is required.
///
/// \throws InvalidInput  required force below zero, or never set
inline double margin(const Limit& limit, Force required) {
  require_not_negative_or_infinite("required force", required);
  if (!limit.known()) return std::numeric_limits<double>::quiet_NaN();
  if (!(required > newtons(0))) return std::numeric_limits<double>::infinity();
  return number(limit.value / required);
}

namespace detail {
inline void require_width(const parts::Belt& belt) { require_positive("belt width", belt.width); }
constexpr std::string_view in_words(parts::BeltEnds ends) {
  switch (ends) {
    case parts::BeltEnds::open:
      return "open-ended";
    case parts::BeltEnds::closed_loop:
      return "closed-loop";
    case parts::BeltEnds::welded:
      return "welded";
  }
  return "";
}
inline Limit unknown(std::string_view what, const parts::Belt& belt) {
  return {.asks = fmt::format("the {} of {} {}, {} wide, is not known: ask its maker", what,
                              in_words(belt.ends), belt.profile.name, print_plain(belt.width))};
}
inline Limit limit(const parts::Sourced<Force>& found, std::string_view what,
                   const parts::Belt& belt) {
  if (!found.known()) return unknown(what, belt);
  return {.value = found.value, .source = found.source};
}
}  // namespace detail

/// Largest tension that a strand may have.
///
/// Open-ended: the profile's table for open-ended stock. Welded: the share that a weld bears of
/// that. A moulded loop: the table for loops; where there is none, the table for open-ended stock,
/// and the source says so. Where neither is there, the figure for 25.4 mm, for that width and
/// wider; narrower belts bear less in proportion, and by how much its source does not say. A width
/// between two rows counts as the narrower.
///
/// \throws InvalidInput  width not above zero, or never set
inline Limit allowable_tension(const parts::Belt& belt) {
  constexpr std::string_view what = "allowable tension";
  detail::require_width(belt);
  const parts::BeltProfile& profile = belt.profile;
  const parts::Sourced<Force> open = parts::at_or_below(profile.open_ended_tension, belt.width);
  if (belt.ends == parts::BeltEnds::welded) {
    if (!open.known() || !profile.welded_share.known()) return detail::unknown(what, belt);
    return {.value = profile.welded_share.value * open.value,
            .source = profile.welded_share.source + "; " + open.source};
  }
  if (profile.closed_loop_tension.known() && belt.ends == parts::BeltEnds::closed_loop)
    return detail::limit(parts::at_or_below(profile.closed_loop_tension, belt.width), what, belt);
  if (profile.open_ended_tension.known()) {
    Limit result = detail::limit(open, what, belt);
    if (result.known() && belt.ends == parts::BeltEnds::closed_loop)
      result.source += "; printed for open-ended stock";
    return result;
  }
  if (!profile.closed_loop_tension.known() && belt.width >= inches(1) * (1 - 1e-9))
    return detail::limit({profile.tension_of_one_inch.value, profile.tension_of_one_inch.source},
                         what, belt);
  return detail::unknown(what, belt);
}

/// Load at which the belt breaks; a width between two rows counts as the narrower.
///
/// \throws InvalidInput  width not above zero, or never set
inline Limit breaking_load(const parts::Belt& belt) {
  detail::require_width(belt);
  return detail::limit(parts::at_or_below(belt.profile.breaking_load, belt.width), "breaking load",
                       belt);
}

/// Force that one tooth bears per width, at a speed of the pulley; unset above the listed speeds.
/// Between two listed speeds the figure of the faster one counts: the strength falls with the
/// speed.
///
/// \throws InvalidInput  speed below zero, or never set
///
/// Source: the profile's own.
inline Stiffness tooth_force_per_width(const parts::ToothStrength& strength, AngularSpeed speed) {
  require_not_negative("speed", speed, shown::revolutions_per_minute);
  for (const parts::ToothForce& row : strength.at_speed)
    if (speed <= row.speed * (1 + 1e-9)) return row.per_width;
  return unset<Stiffness>();
}

/// Force that the teeth in mesh bear together.
///
///     F = F_spec z b
///
///     F_spec  per tooth and width  N/m  > 0
///     z       teeth in mesh        –    ≥ 1
///     b       width                m    > 0
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: [Elatech] p. 52 to 55, [Optibelt manual] section 4.
inline Force tooth_force(Stiffness per_width, int teeth, Length width) {
  require_positive_or_infinite("tooth force per width", per_width, shown::newtons_per_millimetre);
  require_at_least("teeth in mesh", teeth, 1);
  require_positive("belt width", width);
  return static_cast<double>(teeth) * (per_width * width);
}

/// Width that the teeth in mesh need for a force: the inverse of `tooth_force`.
///
/// \throws InvalidInput  force below zero; otherwise as `tooth_force`
inline Length width_for_teeth(Force force, Stiffness per_width, int teeth) {
  require_not_negative_or_infinite("force", force);
  return force / tooth_force(per_width, teeth, metres(1)) * metres(1);
}

/// A pulley that is loaded at a speed.
struct LoadedPulley {
  int teeth_in_mesh = 0;
  AngularSpeed speed = unset<AngularSpeed>();
};

/// Largest pull between belt and pulley that its teeth bear.
///
/// Where the profile lists the strength of a tooth: `tooth_force` with the teeth in mesh, at most
/// as many as the maker counts (12, or 6 of a welded loop). For rubber belts, whose makers list
/// none: the allowable tension times `mesh_correction`, 0 with fewer than two teeth. Otherwise
/// unknown, and so above the listed speeds or where the count for the kind of ends is not known.
///
/// \throws InvalidInput  width not above zero; teeth in mesh below 1; speed below zero, or never
/// set
///
/// Source: the profile's own; [GT3 manual] p. 175 for the correction.
inline Limit allowable_pull(const parts::Belt& belt, const LoadedPulley& pulley) {
  detail::require_width(belt);
  require_at_least("teeth in mesh", pulley.teeth_in_mesh, 1);
  const parts::ToothStrength& strength = belt.profile.tooth_strength;
  const Stiffness per_width = tooth_force_per_width(strength, pulley.speed);
  if (strength.known()) {
    const int counted = belt.ends == parts::BeltEnds::welded ? strength.counted_at_most_welded
                                                             : strength.counted_at_most;
    if (is_unset(per_width) || counted < 1) {
      Limit result = detail::unknown("tooth strength", belt);
      if (is_unset(per_width))
        result.asks +=
            fmt::format("; its source ends at {}", print_plain(strength.at_speed.back().speed));
      return result;
    }
    const int teeth = std::min(pulley.teeth_in_mesh, counted);
    return {.value = tooth_force(per_width, teeth, belt.width),
            .source = fmt::format("{}; {} teeth counted", strength.source, teeth)};
  }
  if (belt.profile.construction != parts::Construction::rubber_glass)
    return detail::unknown("tooth strength", belt);
  Limit result = allowable_tension(belt);
  const MeshCorrection correction = mesh_correction(pulley.teeth_in_mesh);
  result.value *= correction.factor;
  if (result.known() && correction.factor < 1)
    result.source += fmt::format("; times {:.1f} for {} teeth in mesh, GT3 manual p. 175",
                                 correction.factor, pulley.teeth_in_mesh);
  return result;
}

/// Teeth of the belt that a clamp must hold: 7, or 12 with heavy cord.
///
/// Source: [Elatech] p. 52 (rule of the maker), for polyurethane belts. For rubber no rule was
/// read; the same number is used.
constexpr int clamp_teeth(parts::Construction construction) {
  return construction == parts::Construction::polyurethane_heavy_steel ? 12 : 7;
}

/// Length of a clamp that holds so many teeth.
///
/// \throws InvalidInput  pitch not above zero
inline Length clamp_length(const parts::BeltProfile& profile) {
  const BeltPitch p = parts::pitch(profile);
  require_positive("pitch", p);
  return p * teeth(clamp_teeth(profile.construction));
}

}  // namespace pitchline::belt
