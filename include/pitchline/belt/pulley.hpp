#pragma once

#include <fmt/format.h>

#include <numbers>
#include <string>

#include "pitchline/parts/belt.hpp"
#include "pitchline/parts/material.hpp"
#include "pitchline/parts/solid_cylinder.hpp"

namespace pitchline::belt {

/// Pitch diameter of a toothed pulley: the belt's pitch line runs on it.
///
///     d = p z / π
///
///     p  pitch  m/tooth  > 0
///     z  teeth  –        ≥ 1
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: [SDP handbook] eq. 8-1. The T-series tables of that book print diameters a little larger
/// than this; the book says so itself.
inline Length pitch_diameter(const parts::BeltProfile& profile, int tooth_count) {
  const BeltPitch p = parts::pitch(profile);
  require_positive("pitch", p);
  require_at_least("teeth", tooth_count, 1);
  return p * teeth(tooth_count) / std::numbers::pi;
}

/// Travel of the belt per angle of the pulley.
///
/// \throws InvalidInput  as `pitch_diameter`
inline Transmission pulley_transmission(const parts::BeltProfile& profile, int tooth_count) {
  return pitch_diameter(profile, tooth_count) / (2.0 * radian);
}

/// Inertia assumed for a pulley whose own figure is not given: a solid aluminium cylinder of the
/// pitch diameter, twice as long as the belt is wide (teeth, flanges and hub).
///
/// Common practice, no source. A real pulley is hollow and hardly heavier.
///
/// \throws InvalidInput  as `pitch_diameter`; width not above zero
inline Inertia assumed_pulley_inertia(const parts::BeltProfile& profile, Length width,
                                      int tooth_count) {
  require_positive("belt width", width, shown::metres);
  return parts::inertia({.diameter = pitch_diameter(profile, tooth_count),
                         .length = 2.0 * width,
                         .density = parts::aluminium_density});
}

/// Diameter over the teeth of a toothed pulley; unset where the profile does not know u.
///
///     OD = d − 2 u
///
///     d  pitch diameter             m
///     u  pitch_line_differential    m  > 0, or unset
///
/// \throws InvalidInput    as `pitch_diameter`; u given and not above zero
/// \throws OutsideValidity  nothing is left of the pulley: d ≤ 2 u
///
/// Source: [SDP handbook] eq. 8-2; the rows of [GT3 manual] p. 134-137 and [Elatech 3M] agree. For
/// the T series that book prints diameters that are 0.085 to 0.17 mm larger.
inline Length outside_diameter(const parts::BeltProfile& profile, int tooth_count) {
  const Length d = pitch_diameter(profile, tooth_count);
  const Length u = profile.pitch_line_differential.value;
  if (is_unset(u)) return u;
  require_positive("pitch line differential", u);
  if (!(d > 2.0 * u))
    throw OutsideValidity(fmt::format("no pulley of {} teeth: pitch diameter {} must be above {}",
                                      tooth_count, d, 2.0 * u));
  return d - 2.0 * u;
}

/// Fewest teeth that a pulley may have, as far as the profile knows.
struct FewestTeeth {
  int teeth = 0;  ///< 0 where it is not known
  std::string source{};
  /// Faster than any speed that the source lists: `teeth` is then not known.
  bool beyond_listed_speed = false;
  [[nodiscard]] bool known() const { return teeth > 0; }
};

/// Fewest teeth of a pulley at its highest speed.
///
/// The row of the table with the lowest speed that is not exceeded; a faster pulley than any row
/// has no answer. Where the belt also bends backwards and the profile has a figure for that, the
/// larger of both.
///
/// \throws InvalidInput  speed below zero, or never set
///
/// Source: the profile's own, which the result names.
inline FewestTeeth fewest_teeth(const parts::BeltProfile& profile, AngularSpeed speed,
                                bool bends_backwards = false) {
  require_not_negative("speed", speed, shown::revolutions_per_minute);
  FewestTeeth result{.source = profile.smallest_pulley.source};
  for (const parts::PulleyLimit& limit : profile.smallest_pulley.limits) {
    if (!(speed <= limit.up_to * (1 + 1e-9))) continue;
    result.teeth = limit.teeth;
    break;
  }
  result.beyond_listed_speed = profile.smallest_pulley.known() && !result.known();
  const parts::SourcedCount& bent = profile.smallest_pulley_with_back_bend;
  if (bends_backwards && bent.known() && bent.value > result.teeth && !result.beyond_listed_speed) {
    result.teeth = bent.value;
    result.source = bent.source;
  }
  return result;
}

/// Smallest diameter over which the belt may bend backwards: the profile's own figure, else 1.3
/// times the pitch diameter of the smallest pulley at that speed. Unset where neither is known.
///
/// \throws InvalidInput  as `fewest_teeth`
///
/// Source: the profile; 1.3 from [GT3 manual] p. 177 and [SDP handbook] p. T-36 (rule of the
/// makers).
inline parts::Sourced<Length> smallest_back_bend(const parts::BeltProfile& profile,
                                                 AngularSpeed speed) {
  const FewestTeeth fewest = fewest_teeth(profile, speed);
  if (profile.smallest_back_idler.known()) return profile.smallest_back_idler;
  if (!fewest.known()) return {};
  return {1.3 * pitch_diameter(profile, fewest.teeth),
          "1.3 times the smallest pulley, GT3 manual p. 177; " + fewest.source};
}

/// How a bore sits on a shaft.
struct ShaftFit {
  bool fits = false;
  Length clearance = unset<Length>();  ///< of the diameters; below zero it does not go on
};

/// Diameters of a pulley and of the shaft that it is meant for.
struct PulleyOnShaft {
  Length bore = unset<Length>();
  Length shaft = unset<Length>();
};

/// Whether a pulley's bore fits a motor's shaft, set-screw or clamp hub.
///
/// Nominal diameters: a bore of 6.35 mm (1/4 in) on a shaft of 6 mm is refused, one of 5 mm on 5 mm
/// fits. Most clearance of a fit: 0.03 mm, H7 on h6 up to 18 mm (from memory of ISO 286, not read).
///
/// \throws InvalidInput  a diameter not above zero, or never set
inline ShaftFit shaft_fit(const PulleyOnShaft& diameters) {
  require_positive("bore", diameters.bore);
  require_positive("shaft", diameters.shaft);
  const Length rounding = millimetres(1e-6);
  const Length clearance = diameters.bore - diameters.shaft;
  return {.fits = clearance >= -rounding && clearance <= millimetres(0.03) + rounding,
          .clearance = clearance};
}

/// Largest bore that does not cut into the grooves of a pulley: OD − 2 h; unset where u or the
/// tooth height of the profile is unknown.
///
/// Nothing is left of the wall there, so a pulley needs less. See `wall_under_teeth`.
///
/// \throws InvalidInput, OutsideValidity  as `outside_diameter`
///
/// Source: geometry.
inline Length bore_at_grooves(const parts::BeltProfile& profile, int tooth_count) {
  return outside_diameter(profile, tooth_count) - 2.0 * profile.tooth_height.value;
}

/// Metal left between the bore and the grooves of a pulley; unset where u or the tooth height of
/// the profile is unknown, below zero where the bore cuts into the grooves.
///
///     w = (OD − 2 h − b) / 2
///
///     h  tooth height of the belt, for the depth of the groove
///     b  bore  m  > 0
///
/// A groove is a little deeper than the tooth of the belt is high, so the wall is thinner still.
///
/// \throws InvalidInput, OutsideValidity  as `outside_diameter`; bore not above zero
///
/// Source: geometry.
inline Length wall_under_teeth(const parts::BeltProfile& profile, int tooth_count, Length bore) {
  require_positive("bore", bore);
  return (bore_at_grooves(profile, tooth_count) - bore) / 2.0;
}

/// A pulley as turned: toothed part, flanges and hub on one bore.
struct PulleyBody {
  Length toothed_diameter = unset<Length>();  ///< outside diameter, for a cylinder without grooves
  Length toothed_length = unset<Length>();
  Length bore{};
  int flanges = 0;
  Length flange_diameter{};  ///< needed where there are flanges
  Length flange_thickness{};
  Length hub_diameter{};
  Length hub_length{};  ///< 0 without a hub
  Density density = unset<Density>();
};

/// Inertia of a pulley about its axis, from its geometry.
///
///     J = π ρ/32 [ l (d⁴ − b⁴) + n t (f⁴ − b⁴) + l_h (h⁴ − b⁴) ]
///
///     ρ         density                       kg/m³  > 0
///     d, l      toothed_diameter, _length     m      > 0
///     b         bore                          m      ≥ 0, below every diameter
///     n, f, t   flanges, flange_diameter, _thickness
///     h, l_h    hub_diameter, hub_length      m      ≥ 0
///     J         result                        kg·m²
///
/// The grooves count as full, so it is a little too large; screws are left out.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: rigid-body mechanics, as `parts::inertia`.
inline Inertia inertia(const PulleyBody& pulley) {
  const auto ring = [&](Length diameter, Length length, const char* name) {
    if (!(diameter > pulley.bore))
      throw InvalidInput(name, "> bore", in_millimetres(diameter), "mm");
    const Inertia full =
        parts::inertia({.diameter = diameter, .length = length, .density = pulley.density});
    if (!(pulley.bore > metres(0))) return full;
    return full -
           parts::inertia({.diameter = pulley.bore, .length = length, .density = pulley.density});
  };
  require_not_negative("bore", pulley.bore);
  require_at_least("flanges", pulley.flanges, 0);
  require_not_negative("hub length", pulley.hub_length);
  Inertia sum = ring(pulley.toothed_diameter, pulley.toothed_length, "toothed diameter");
  if (pulley.flanges > 0)
    sum += static_cast<double>(pulley.flanges) *
           ring(pulley.flange_diameter, pulley.flange_thickness, "flange diameter");
  if (pulley.hub_length > metres(0))
    sum += ring(pulley.hub_diameter, pulley.hub_length, "hub diameter");
  return sum;
}

}  // namespace pitchline::belt
