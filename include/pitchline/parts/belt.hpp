#pragma once

#include <fmt/format.h>

#include <limits>
#include <string>
#include <vector>

#include "pitchline/parts/notes.hpp"
#include "pitchline/units.hpp"
#include "pitchline/units/fraction.hpp"

namespace pitchline::parts {

/// A figure with where it comes from; unset where no source gives it.
template <class Q>
struct Sourced {
  Q value = unset<Q>();
  std::string source{};  ///< with its mark where it was not read in the source itself
  [[nodiscard]] bool known() const { return !is_unset(value); }
};

/// A whole number with where it comes from; 0 where no source gives it.
struct SourcedCount {
  int value = 0;
  std::string source{};
  [[nodiscard]] bool known() const { return value > 0; }
};

/// A share with where it comes from; 0 where no source gives it.
struct SourcedShare {
  double value = 0;
  std::string source{};
  [[nodiscard]] bool known() const { return value > 0; }
};

/// A figure of one width of belt.
template <class Q>
struct AtWidth {
  Length width = unset<Length>();
  Q value = unset<Q>();
};

/// A figure that a maker lists width by width; it need not grow in proportion.
template <class Q>
struct ByWidth {
  std::vector<AtWidth<Q>> rows{};  ///< by ascending width
  std::string source{};
  [[nodiscard]] bool known() const { return !rows.empty(); }
};

namespace detail {
// A millionth of a millimetre or so: the same width, written in another unit.
inline bool not_wider(const Length& a, const Length& b) { return a <= b * (1 + 1e-9); }

template <class Q>
Sourced<Q> found(const AtWidth<Q>& row, Length width, const std::string& source,
                 const char* direction) {
  if (not_wider(row.width, width) && not_wider(width, row.width)) return {row.value, source};
  return {row.value, fmt::format("{}; the figure of {}, the next {} that is listed", source,
                                 print_plain(row.width), direction)};
}
}  // namespace detail

/// The figure of a width, or of the next narrower one that is listed, which the source then says:
/// for what a belt can bear. Unset below the narrowest.
template <class Q>
Sourced<Q> at_or_below(const ByWidth<Q>& table, Length width) {
  for (auto row = table.rows.rbegin(); row != table.rows.rend(); ++row)
    if (detail::not_wider(row->width, width))
      return detail::found(*row, width, table.source, "narrower");
  return {};
}

/// The figure of a width, or of the next wider one that is listed, which the source then says: for
/// what a belt asks for. Unset above the widest.
template <class Q>
Sourced<Q> at_or_above(const ByWidth<Q>& table, Length width) {
  for (const AtWidth<Q>& row : table.rows)
    if (detail::not_wider(width, row.width))
      return detail::found(row, width, table.source, "wider");
  return {};
}

/// Fewest teeth of a pulley that turns no faster than `up_to`.
struct PulleyLimit {
  int teeth = 0;
  AngularSpeed up_to = unlimited<AngularSpeed>();
};

/// Fewest pulley teeth, by rising speed.
struct SmallestPulley {
  std::vector<PulleyLimit> limits{};
  std::string source{};
  [[nodiscard]] bool known() const { return !limits.empty(); }
};

/// Force that one tooth bears per width of belt, at one speed of the pulley.
struct ToothForce {
  AngularSpeed speed = unset<AngularSpeed>();
  Stiffness per_width = unset<Stiffness>();  ///< a force per length; makers print N per cm
};

/// Strength of the teeth, by rising speed, and how many teeth of a pulley may be counted.
struct ToothStrength {
  std::vector<ToothForce> at_speed{};
  int counted_at_most = 0;         ///< of an open-ended belt or a moulded loop; 0 not known
  int counted_at_most_welded = 0;  ///< of a loop that was welded from open stock; 0 not known
  std::string source{};
  [[nodiscard]] bool known() const { return !at_speed.empty(); }
};

/// Temperatures that a belt bears.
struct TemperatureRange {
  double lowest_celsius = std::numeric_limits<double>::quiet_NaN();
  double highest_celsius = std::numeric_limits<double>::quiet_NaN();
  std::string source{};
};

/// What a belt is made of.
enum class Construction {
  unknown,
  rubber_glass,             ///< rubber, glass cord
  polyurethane_steel,       ///< polyurethane, steel cord
  polyurethane_heavy_steel  ///< polyurethane, steel cord of double strength
};

/// A toothed-belt profile in one construction. What was not found in a source stays unset, and a
/// check that needs it says so.
struct BeltProfile {
  std::string name{};             ///< "GT 2 mm"
  Fraction pitch_millimetres{0};  ///< exact: 254/125 for MXL
  std::string source{};           ///< of the pitch
  /// Tension per strain and width (E·A/b): multiplied by the width it is a force per unit strain.
  /// Only where it grows in proportion to the width; otherwise see `tension_per_strain`.
  Stiffness stiffness_per_width = unset<Stiffness>();
  std::string stiffness_source{};
  /// Mass per area of belt, as mass per length and width.
  MassPerArea mass_per_width = unset<MassPerArea>();
  std::string mass_source{};

  Construction construction = Construction::unknown;
  Sourced<Length> pitch_line_differential{};  ///< u, from the pitch line to the tooth root
  Sourced<Length> tooth_height{};
  Sourced<Length> thickness{};          ///< teeth included
  ByWidth<Force> tension_per_strain{};  ///< E·A, tabulated
  std::vector<Length> widths{};         ///< in which it is made
  std::string widths_source{};

  SmallestPulley smallest_pulley{};
  SourcedCount smallest_pulley_with_back_bend{};  ///< teeth, where the belt also bends backwards
  SourcedCount smallest_inside_idler{};           ///< grooves
  Sourced<Length> smallest_flat_inside_idler{};   ///< diameter
  Sourced<Length> smallest_back_idler{};          ///< diameter, flat, on the back of the belt

  ByWidth<Force> open_ended_tension{};   ///< allowable, of open-ended stock that is clamped
  ByWidth<Force> closed_loop_tension{};  ///< allowable, of a loop moulded as one piece
  SourcedShare welded_share{};           ///< what a welded loop bears of `open_ended_tension`
  Sourced<Force> tension_of_one_inch{};  ///< allowable of a belt 25.4 mm wide
  ByWidth<Force> breaking_load{};
  Notes notes{};
  ToothStrength tooth_strength{};

  ByWidth<Force> start_tension{};  ///< general tension of a strand at rest, see belt/tension.hpp
  ByWidth<Force> least_tension{};  ///< of a strand at rest
  ByWidth<Force> speed_tension{};  ///< addition at 1000 ft/min; grows with the square of the speed

  TemperatureRange temperature{};
  Sourced<Speed> highest_speed{};  ///< of the belt
};

/// How a belt is bought: cut from stock, moulded as a loop, or a loop welded from stock.
enum class BeltEnds { open, closed_loop, welded };

/// A profile in the width that is bought.
struct Belt {
  BeltProfile profile{};
  Length width = unset<Length>();
  BeltEnds ends = BeltEnds::open;
};

/// Pitch as a quantity.
inline BeltPitch pitch(const BeltProfile& profile) {
  return millimetres_per_tooth(to_double(profile.pitch_millimetres));
}

/// Tension per unit strain of the whole belt, E·A, and where it comes from: what the profile has
/// per width, else the table, where a width between two rows counts as the narrower. Unset where
/// neither is known, and below the narrowest width of the table.
inline Sourced<Force> sourced_tension_per_strain(const Belt& belt) {
  const BeltProfile& profile = belt.profile;
  if (!is_unset(profile.stiffness_per_width))
    return {profile.stiffness_per_width * belt.width, profile.stiffness_source};
  return at_or_below(profile.tension_per_strain, belt.width);
}

/// Tension per unit strain of the whole belt, E·A; unset where the profile does not know it.
inline Force tension_per_strain(const Belt& belt) { return sourced_tension_per_strain(belt).value; }

/// Mass per length of the whole belt; unset where the profile does not know it.
inline LinearDensity mass_per_length(const Belt& belt) {
  return belt.profile.mass_per_width * belt.width;
}

}  // namespace pitchline::parts
