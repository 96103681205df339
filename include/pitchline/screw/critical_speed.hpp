#pragma once

#include <array>
#include <cmath>
#include <string_view>

#include "pitchline/parts/material.hpp"
#include "pitchline/screw/end_fixity.hpp"
#include "pitchline/units.hpp"

namespace pitchline::screw {

/// A length of screw that turns between two supports.
struct WhirlingScrew {
  Length minor_diameter = unset<Length>();      ///< of the core: the thread stiffens nothing
  Length unsupported_length = unset<Length>();  ///< between bearings, or bearing and nut
  EndFixity ends = EndFixity::supported_supported;
  Pressure elastic_modulus = parts::screw_rules_elastic_modulus;
  Density density = parts::steel_density;
};

/// Largest share of the critical speed at which a screw is run. Source: [THK screws], factor 0.8.
inline constexpr double allowed_share_of_critical_speed = 0.8;

namespace detail {
inline void require_length(std::string_view field, Length length) {
  require_positive(field, length);
}
inline void require_share(double share) {
  if (!(share > 0.0 && share <= 1.0))
    throw InvalidInput("share of the critical speed", "> 0 and <= 1", share, "");
}
// Speed of sound along a bar, √(E/ρ).
inline Speed bar_wave_speed(const Pressure& modulus, const Density& density) {
  require_positive("elastic modulus", modulus);
  require_positive("density", density);
  return square_root(modulus / density);
}
}  // namespace detail

/// Speed at which a screw first whirls: its lowest frequency of swinging sideways.
///
///     ω = λ²/ℓ² √(E I/(ρ A)) = λ² d/(4 ℓ²) √(E/ρ)
///
///     λ  whirling_root(ends)  –
///     d  minor_diameter       m      > 0
///     ℓ  unsupported_length   m      > 0
///     E  elastic_modulus      Pa     > 0
///     ρ  density              kg/m³  > 0
///     ω  result               rad/s
///
/// Valid for a slender straight screw of one diameter. Leaves out the weight of the thread outside
/// the core (the screw is heavier and no stiffer: some percent lower), play of bearings, push in
/// the screw (lower) and pull (higher).
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Source: [THK screws] N1 without its factor 0.8; checked against [MISUMI screws].
inline AngularSpeed critical_speed(const WhirlingScrew& screw) {
  const double root = whirling_root(screw.ends);
  detail::require_length("minor diameter", screw.minor_diameter);
  detail::require_length("unsupported length", screw.unsupported_length);
  const Speed wave = detail::bar_wave_speed(screw.elastic_modulus, screw.density);
  const Length span = screw.unsupported_length;
  return root * root / 4.0 * wave * screw.minor_diameter / (span * span) * radian;
}

/// Fastest speed at which the screw is run: a share of `critical_speed`.
///
/// \throws InvalidInput  as `critical_speed`; share not above 0, or above 1
///
/// Source: [THK screws], [Bimeccanica]: at most 80 %.
inline AngularSpeed allowed_speed(const WhirlingScrew& screw,
                                  double share = allowed_share_of_critical_speed) {
  detail::require_share(share);
  return share * critical_speed(screw);
}

/// Longest unsupported length at which a speed is allowed; `unsupported_length` of the screw is not
/// looked at.
///
///     ℓ = λ/2 √(share · d √(E/ρ)/ω)
///
/// \throws InvalidInput  as `allowed_speed`; speed not above zero, or never set
///
/// Source: `critical_speed`, solved for ℓ.
inline Length longest_unsupported_length(const WhirlingScrew& screw, AngularSpeed speed,
                                         double share = allowed_share_of_critical_speed) {
  const double root = whirling_root(screw.ends);
  detail::require_length("minor diameter", screw.minor_diameter);
  detail::require_share(share);
  require_positive("speed", speed, shown::revolutions_per_minute);
  const Speed wave = detail::bar_wave_speed(screw.elastic_modulus, screw.density);
  return root / 2.0 * square_root(Area(share * screw.minor_diameter * wave / (speed / radian)));
}

/// How a ball screw is made, as far as it limits the speed of its balls.
enum class BallScrewMake { rolled, rolled_large_lead, precision, caged_balls };

/// Largest product of ball circle diameter and speed.
struct DiameterSpeedLimit {
  BallScrewMake make = BallScrewMake::rolled;
  std::string_view in_words{};
  DiameterSpeed limit{};
};

/// Source: [THK screws] (Q). Caged: 130 000 to 160 000, the lower stands. Its own series go up to
/// 210 000; [Roton formulas] has 3000 rpm·in, 76 200 mm·rpm, for its screws.
inline constexpr std::array diameter_speed_limits{
    DiameterSpeedLimit{BallScrewMake::rolled, "rolled", millimetre_revolutions_per_minute(50'000)},
    DiameterSpeedLimit{BallScrewMake::rolled_large_lead, "rolled, large lead",
                       millimetre_revolutions_per_minute(70'000)},
    DiameterSpeedLimit{BallScrewMake::precision, "precision",
                       millimetre_revolutions_per_minute(70'000)},
    DiameterSpeedLimit{BallScrewMake::caged_balls, "precision, caged balls",
                       millimetre_revolutions_per_minute(130'000)}};

/// Product of ball circle diameter and speed, which limits a ball screw beside its whirling.
///
///     DN = d n
///
///     d  ball_circle_diameter  m      > 0
///     n  speed                 rad/s  ≥ 0
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: [THK screws].
inline DiameterSpeed diameter_speed(Length ball_circle_diameter, AngularSpeed speed) {
  detail::require_length("ball circle diameter", ball_circle_diameter);
  require_not_negative("speed", speed, shown::revolutions_per_minute);
  return ball_circle_diameter * speed;
}

/// The row of a make in `diameter_speed_limits`.
///
/// \throws InvalidInput  a make that is not in the table
inline const DiameterSpeedLimit& diameter_speed_limit(BallScrewMake make) {
  for (const DiameterSpeedLimit& row : diameter_speed_limits)
    if (row.make == make) return row;
  throw InvalidInput("ball screw make", "one of the table", static_cast<int>(make), "");
}

}  // namespace pitchline::screw
