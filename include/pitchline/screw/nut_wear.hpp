#pragma once

#include <array>
#include <cmath>
#include <numbers>
#include <string_view>

#include "pitchline/screw/nut_friction.hpp"
#include "pitchline/screw/thread_load.hpp"
#include "pitchline/units.hpp"

namespace pitchline::screw {

/// Depth that a sliding face wears.
///
///     h = K P V t
///
///     K    wear_factor        m²/N    ≥ 0, worn volume per load and way slid
///     P V  pressure_velocity  Pa·m/s  ≥ 0
///     t    time               s       ≥ 0, of sliding
///     h    result             m
///
/// Valid below the limit of pressure times speed of the material, once it has run in. Leaves out
/// dirt and a lack of oil, which wear many times faster.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: [Wentzell] 19.2.
inline Length worn_depth(const WearFactor& wear_factor, const PressureVelocity& pressure_velocity,
                         Time time) {
  require_not_negative("wear factor", wear_factor);
  require_not_negative("pressure times speed", pressure_velocity);
  require_not_negative("time", time);
  return wear_factor * pressure_velocity * time;
}

/// How fast a nut wears on a steel screw, from least to most.
struct NutWear {
  NutMaterial nut = NutMaterial::bronze;
  Lubrication lubrication = Lubrication::dry;
  WearFactor least{};
  WearFactor most{};
};

/// All from memory, with no text found: orders of size only. [Wentzell] 19.2 has 2.4e-7 mm³/(N·m)
/// for a filled plastic in a sleeve bearing, which lies inside the row. Wear of one pair differs
/// tenfold and more with roughness, dirt and oil, and the ranges are as wide as that.
inline constexpr std::array nut_wears{
    NutWear{NutMaterial::bronze, Lubrication::oiled, cubic_millimetres_per_newton_metre(1e-8),
            cubic_millimetres_per_newton_metre(1e-6)},
    NutWear{NutMaterial::bronze, Lubrication::dry, cubic_millimetres_per_newton_metre(1e-6),
            cubic_millimetres_per_newton_metre(1e-4)},
    NutWear{NutMaterial::brass, Lubrication::oiled, cubic_millimetres_per_newton_metre(3e-8),
            cubic_millimetres_per_newton_metre(3e-6)},
    NutWear{NutMaterial::brass, Lubrication::dry, cubic_millimetres_per_newton_metre(3e-6),
            cubic_millimetres_per_newton_metre(3e-4)},
    NutWear{NutMaterial::cast_iron, Lubrication::oiled, cubic_millimetres_per_newton_metre(1e-8),
            cubic_millimetres_per_newton_metre(1e-6)},
    NutWear{NutMaterial::acetal, Lubrication::dry, cubic_millimetres_per_newton_metre(5e-7),
            cubic_millimetres_per_newton_metre(1e-5)},
    NutWear{NutMaterial::acetal, Lubrication::oiled, cubic_millimetres_per_newton_metre(1e-7),
            cubic_millimetres_per_newton_metre(3e-6)},
    NutWear{NutMaterial::filled_plastic, Lubrication::dry, cubic_millimetres_per_newton_metre(1e-7),
            cubic_millimetres_per_newton_metre(3e-6)},
};

/// The row of a pair; nothing where the table has none: then no life is to be stated.
inline const NutWear* nut_wear(NutMaterial nut, Lubrication lubrication) {
  for (const NutWear& row : nut_wears)
    if (row.nut == nut && row.lubrication == lubrication) return &row;
  return nullptr;
}

/// Share of the pitch that the nut may gain in play before it is replaced. Common practice of screw
/// jacks, no source.
inline constexpr double worn_share_of_pitch = 0.25;

/// A nut that wears under a steady load.
struct WearingNut {
  EngagedThread thread{};
  Length lead = unset<Length>();
  Angle flank_half_angle = unset<Angle>();
  Force load = unset<Force>();
  NutWear wear{};
  Length allowed_play =
      unset<Length>();  ///< to be gained along the axis; see `worn_share_of_pitch`
};

/// Travel until a nut is worn, from shortest to longest: the ends of an estimate, no promise.
struct NutLife {
  Length shortest{};
  Length longest{};
};

/// Travel of a nut until its play along the axis has grown by what is allowed.
///
///     s = c cos φ/(K p) · sin λ
///
///     c  allowed_play      m     > 0; c cos φ is the depth worn off the flank
///     φ  flank_half_angle  rad   [0, 45°]
///     K  wear              m²/N  least > 0, most ≥ least
///     p  bearing_pressure  Pa    of load > 0; a slanted flank is as much wider as it is pressed
///                                harder, so it is the same
///     λ  lead angle              at the mean diameter; lead > 0; the flank slides s/sin λ
///     s  result            m     up or down under that load; shortest with most, longest with
///                                least
///
/// Valid for wear spread evenly over the threads, as it becomes with time. Leaves out the wear of
/// the screw, and all that `worn_depth` leaves out.
///
/// \throws InvalidInput  a number outside the table, or never set; as `bearing_pressure`
///
/// Derived: [Wentzell] 19.2 with the way slid, V t, in place of the time: no speed is needed.
inline NutLife nut_life(const WearingNut& nut) {
  require_positive("load", nut.load);
  const Pressure pressure = bearing_pressure(nut.thread, nut.load);
  require_positive("lead", nut.lead);
  require_in_range("flank half angle", nut.flank_half_angle, degrees(0), degrees(45));
  require_positive("allowed play", nut.allowed_play);
  const auto& wear = nut.wear;
  require_positive("least wear factor", wear.least);
  if (!(wear.most >= wear.least && is_finite(wear.most)))
    throw InvalidInput("most wear factor", ">= least wear factor",
                       in_cubic_millimetres_per_newton_metre(wear.most), "mm^3/(N*m)");
  const double slope = number(nut.lead / (std::numbers::pi * nut.thread.mean_diameter));
  const double sine = slope / std::hypot(1.0, slope);
  const Length depth = nut.allowed_play * std::cos(in_radians(nut.flank_half_angle));
  return {.shortest = depth / (wear.most * pressure) * sine,
          .longest = depth / (wear.least * pressure) * sine};
}

}  // namespace pitchline::screw
