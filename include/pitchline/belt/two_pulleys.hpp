#pragma once

#include <fmt/format.h>

#include <cmath>
#include <functional>
#include <numbers>

#include "pitchline/belt/pulley.hpp"

namespace pitchline::belt {

/// Two toothed pulleys with one closed belt round both, strands not crossed.
struct TwoPulleys {
  parts::BeltProfile profile{};
  int first_teeth = 0;
  int second_teeth = 0;
};

/// How far a belt lies on a pulley.
struct PulleyWrap {
  Angle angle = unset<Angle>();
  Teeth teeth_in_mesh = unset<Teeth>();  ///< exact
  int whole_teeth_in_mesh = 0;           ///< rounded down: a tooth half in mesh carries nothing
};

/// Both wraps of a pair.
struct PairWraps {
  PulleyWrap first{};
  PulleyWrap second{};
};

/// A closed belt of a whole number of teeth, and the centre distance at which it is taut.
struct WholeToothBelt {
  int teeth = 0;
  Length length = unset<Length>();
  Length centre_distance = unset<Length>();
};

namespace detail {

// Rounds down, but takes 9.999 999 999 9 teeth for the 10 that it is.
inline double whole_teeth_below(double exact) { return std::floor(exact + 1e-9); }

// A whole number of teeth as an integer. No belt has a billion; an integer holds two of them.
inline int counted_teeth(double whole) {
  if (!(whole >= 0.0 && whole <= 1e9))
    throw OutsideValidity(fmt::format("{:.4g} teeth are no belt: at most 1e9 are counted", whole));
  return static_cast<int>(whole);
}

inline PulleyWrap wrap_on(Length radius, Angle angle, const BeltPitch& pitch) {
  const Teeth in_mesh = radius * angle / radian / pitch;
  return {.angle = angle,
          .teeth_in_mesh = in_mesh,
          .whole_teeth_in_mesh = counted_teeth(whole_teeth_below(in_teeth(in_mesh)))};
}

// Length round two circles; plain metres. The circles must not overlap, which callers check.
inline double length_round(double first_radius, double second_radius, double centre_distance) {
  const double difference = first_radius - second_radius;
  const double lean = std::asin(difference / centre_distance);
  return 2.0 * std::sqrt((centre_distance - difference) * (centre_distance + difference)) +
         std::numbers::pi * (first_radius + second_radius) + 2.0 * difference * lean;
}

inline void require_apart(Length first_radius, Length second_radius, Length centre_distance) {
  require_positive("centre distance", centre_distance);
  if (!(centre_distance > first_radius + second_radius))
    throw OutsideValidity(fmt::format(
        "pulleys overlap: centre distance {:.6g} mm must be above the sum of the pitch radii, "
        "{:.6g} mm",
        in_millimetres(centre_distance), in_millimetres(first_radius + second_radius)));
}

// Solves f(x) = 0 for f below or at zero at `low` and above or at zero at `high`, to the last
// digits. An end where f is zero, or has the wrong sign by rounding alone, is the answer itself.
double root_between(const std::function<double(double)>& f, double low, double high);

}  // namespace detail

/// Belt length round two pulleys, exact.
///
///     L = 2 √(C² − (R1 − R2)²) + π (R1 + R2) + 2 (R1 − R2) asin((R1 − R2)/C)
///
///     C       centre_distance  m  > R1 + R2
///     R1, R2  pitch radii      m  from profile and teeth, p z/2π
///     L       result           m
///
/// Leaves out flanges and hubs, which may want more distance, and the stretch of the belt.
///
/// \throws InvalidInput     centre distance not above zero; pitch or teeth as `pitch_diameter`
/// \throws OutsideValidity  the pitch circles overlap
///
/// Source: [SDP handbook] eq. 22-1 to 22-5, written with asin; checked against centre distances
/// printed in [GT3 manual]. The approximations 22-9 and 22-12 of that book are not used.
inline Length belt_length(const TwoPulleys& pulleys, Length centre_distance) {
  const Length first = pitch_diameter(pulleys.profile, pulleys.first_teeth) / 2.0;
  const Length second = pitch_diameter(pulleys.profile, pulleys.second_teeth) / 2.0;
  detail::require_apart(first, second, centre_distance);
  return metres(
      detail::length_round(in_metres(first), in_metres(second), in_metres(centre_distance)));
}

/// Centre distance at which a belt of a given length is taut round two pulleys: the exact inverse
/// of `belt_length`.
///
/// The length grows steadily with the distance and is never below 2 C + π (R1 + R2); that brackets
/// the root, and it is found to the last digits.
///
/// \throws InvalidInput     length not above zero; pitch or teeth as `pitch_diameter`
/// \throws OutsideValidity  the belt is too short to go round the pulleys side by side
inline Length centre_distance(const TwoPulleys& pulleys, Length length) {
  const Length first = pitch_diameter(pulleys.profile, pulleys.first_teeth) / 2.0;
  const Length second = pitch_diameter(pulleys.profile, pulleys.second_teeth) / 2.0;
  require_positive("belt length", length);
  const double r1 = in_metres(first);
  const double r2 = in_metres(second);
  const double shortest = detail::length_round(r1, r2, r1 + r2);
  if (!(in_metres(length) > shortest))
    throw OutsideValidity(
        fmt::format("belt of {:.6g} mm is too short: round these pulleys, pitch circles touching, "
                    "it is {:.6g} mm",
                    in_millimetres(length), in_millimetres(metres(shortest))));
  const double most = 0.5 * (in_metres(length) - std::numbers::pi * (r1 + r2));
  return metres(detail::root_between(
      [&](double c) { return detail::length_round(r1, r2, c) - in_metres(length); }, r1 + r2,
      most));
}

/// Centre distance for a belt of a whole number of teeth.
///
/// \throws InvalidInput, OutsideValidity  as `centre_distance`
inline WholeToothBelt whole_tooth_belt(const TwoPulleys& pulleys, int belt_teeth) {
  require_at_least("belt teeth", belt_teeth, 1);
  const Length length = parts::pitch(pulleys.profile) * teeth(belt_teeth);
  return {
      .teeth = belt_teeth, .length = length, .centre_distance = centre_distance(pulleys, length)};
}

/// The belt of a whole number of teeth whose length is nearest to the exact one for a wanted centre
/// distance.
///
/// \throws InvalidInput, OutsideValidity  as `belt_length`; or no whole number of teeth fits, or
///                                        above 1e9 of them
inline WholeToothBelt nearest_whole_tooth_belt(const TwoPulleys& pulleys, Length wanted_distance) {
  const Teeth exact = belt_length(pulleys, wanted_distance) / parts::pitch(pulleys.profile);
  return whole_tooth_belt(pulleys, detail::counted_teeth(std::round(in_teeth(exact))));
}

/// Free length of each strand between the pulleys.
///
///     t = √(C² − (R1 − R2)²)
///
/// \throws InvalidInput, OutsideValidity  as `belt_length`
///
/// Source: [SDP handbook] eq. 10-3.
inline Length free_strand(const TwoPulleys& pulleys, Length centre_distance) {
  const Length first = pitch_diameter(pulleys.profile, pulleys.first_teeth) / 2.0;
  const Length second = pitch_diameter(pulleys.profile, pulleys.second_teeth) / 2.0;
  detail::require_apart(first, second, centre_distance);
  const Length difference = first - second;
  return square_root((centre_distance - difference) * (centre_distance + difference));
}

/// Wraps of the belt on both pulleys.
///
///     wrap1 = π + 2 asin((R1 − R2)/C)    wrap2 = 2π − wrap1    teeth in mesh = R wrap / p
///
///     C       centre_distance  m    > R1 + R2
///     R1, R2  pitch radii      m    from profile and teeth
///     wrap    result           rad  π on equal pulleys, more on the larger
///
/// \throws InvalidInput, OutsideValidity  as `belt_length`
///
/// Source: [SDP handbook] eq. 22-10. The printed approximation with 60 degrees for a radian, eq.
/// 24-8, is not used.
inline PairWraps pair_wraps(const TwoPulleys& pulleys, Length centre_distance) {
  const Length first = pitch_diameter(pulleys.profile, pulleys.first_teeth) / 2.0;
  const Length second = pitch_diameter(pulleys.profile, pulleys.second_teeth) / 2.0;
  detail::require_apart(first, second, centre_distance);
  const double lean = std::asin(number((first - second) / centre_distance));
  const BeltPitch p = parts::pitch(pulleys.profile);
  return {.first = detail::wrap_on(first, radians(std::numbers::pi + 2.0 * lean), p),
          .second = detail::wrap_on(second, radians(std::numbers::pi - 2.0 * lean), p)};
}

}  // namespace pitchline::belt
