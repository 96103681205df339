#pragma once

#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <string_view>
#include <vector>

#include "pitchline/units.hpp"

namespace pitchline::screw {

/// How roughly a ball screw is loaded, and the factor by which its life counts the load for more.
struct LoadFactor {
  std::string_view in_words{};
  double least = 1.0;
  double most = 1.0;
};

/// Source: [THK screws] (Q); sizing takes the most.
inline constexpr LoadFactor smooth_load{"smooth, without impact", 1.0, 1.2};
inline constexpr LoadFactor normal_load{"normal", 1.2, 1.5};
inline constexpr LoadFactor impact_load{"with vibration or impact", 1.5, 2.0};

/// One part of the cycle of a ball screw.
struct LoadShare {
  Force load = unset<Force>();      ///< along the screw, without sign
  Length travel = unset<Length>();  ///< under that load, without sign
};

namespace detail {
inline void require_rating(std::string_view field, Force rating) {
  require_positive(field, rating);
}
inline void require_load_factor(double factor) {
  require_in_range("load factor", factor, 1.0, 10.0);
}
}  // namespace detail

/// Steady load under which balls live as long as under a cycle.
///
///     F_m = ∛(Σ F_i³ s_i/Σ s_i)
///
///     F_i  load    N  ≥ 0
///     s_i  travel  m  ≥ 0, their sum > 0
///
/// Valid for loads in one direction, or a nut without preload, each direction counted for itself.
///
/// \throws InvalidInput  a number outside the table, or never set; an empty cycle
///
/// Source: [THK screws], from the cubic law of life; turns are in proportion to travel.
inline Force mean_load(const std::vector<LoadShare>& cycle) {
  Length all{};
  Force largest{};
  for (const LoadShare& share : cycle) {
    require_not_negative("load", share.load);
    require_not_negative("travel", share.travel);
    all += share.travel;
    largest = share.load > largest ? share.load : largest;
  }
  require_positive("travel of the cycle", all);
  if (!(largest > newtons(0))) return {};
  double sum = 0.0;  // in shares of the largest, so that no cube runs over
  for (const LoadShare& share : cycle) {
    const double part = number(share.load / largest);
    sum += part * part * part * number(share.travel / all);
  }
  return largest * std::cbrt(sum);
}

/// What the life of a ball screw depends on.
struct LifeLoad {
  Force dynamic_rating = unset<Force>();
  Force mean_load = unset<Force>();
  double load_factor = std::numeric_limits<double>::quiet_NaN();
};

/// Angle that a ball screw turns before one in ten has failed.
///
///     L = (C/(f_w F_m))³ · 10⁶ revolutions
///
///     C    dynamic_rating  N  > 0, for 10⁶ revolutions
///     F_m  mean_load       N  > 0
///     f_w  load_factor     –  [1, 10], see `smooth_load` and the others
///     L    result          rad
///
/// Valid for a clean, greased, straight screw under at most half of C. Leaves out dirt, side load
/// and wear, which end more screws of home-built machines (common practice, no source).
///
/// \throws InvalidInput     a number outside the table, or never set
/// \throws OutsideValidity  F_m above half of C
///
/// Source: [THK screws]; the law is checked against the ball bearings of [Wentzell] 20.1, 20.2. The
/// bound of half of C is from memory of [ISO 281], where it is that of ball bearings.
inline Angle ball_screw_life(const LifeLoad& load) {
  detail::require_rating("dynamic rating", load.dynamic_rating);
  detail::require_rating("mean load", load.mean_load);
  detail::require_load_factor(load.load_factor);
  if (!(load.mean_load <= load.dynamic_rating / 2.0))
    throw OutsideValidity(
        fmt::format("the law of life holds up to half of the dynamic rating of {:.6g} N, and the "
                    "mean load is {:.6g} N",
                    in_newtons(load.dynamic_rating), in_newtons(load.mean_load)));
  const double ratio = number(load.dynamic_rating / (load.load_factor * load.mean_load));
  return ratio * ratio * ratio * 1e6 * revolution;
}

/// Dynamic rating that a life asks for: f_w F_m ∛(L/10⁶ revolutions).
///
/// \throws InvalidInput  load, life not above zero, load factor outside [1, 10], or never set
///
/// Source: as `ball_screw_life`.
inline Force needed_dynamic_rating(Angle life, Force mean_load, double load_factor) {
  detail::require_rating("mean load", mean_load);
  detail::require_load_factor(load_factor);
  require_positive("life", life, shown::revolutions);
  return load_factor * mean_load * std::cbrt(in_revolutions(life) / 1e6);
}

/// What the balls stand at rest, and the most that loads them.
struct StaticLoad {
  Force rating = unset<Force>();   ///< static rating of the maker
  Force largest = unset<Force>();  ///< load along the screw, without sign
};

/// Static rating over the largest load; at least 2 where calm and 5 with shock. Source:
/// [THK screws]; other makers have 1 to 1.3 and 2 to 3.
///
/// \throws InvalidInput  a force not above zero, or never set
inline double static_safety(const StaticLoad& load) {
  detail::require_rating("static rating", load.rating);
  detail::require_rating("largest load", load.largest);
  return number(load.rating / load.largest);
}
inline constexpr double calm_static_safety = 2.0;
inline constexpr double shock_static_safety = 5.0;

/// Load at which one side of a preloaded pair of nuts or tracks is free of load.
///
///     F = 2√2 F_pr
///
/// Beyond it the nut has play, and its stiffness falls.
///
/// \throws InvalidInput  preload not above zero, or never set
///
/// Source: [Steinmeyer], 2.83; derived: a contact gives way as F^⅔, so with the one side at zero
/// the other is pressed in twice as far, 2^{3/2}.
inline Force lift_off_load(Force preload) {
  detail::require_rating("preload", preload);
  return 2.0 * std::numbers::sqrt2 * preload;
}

/// Preload that lifts off at no less than a load: the load over 2√2. Makers: at most 5 % of the
/// dynamic rating in a single nut, 10 % in a double one ([HIWIN screws]).
///
/// \throws InvalidInput  load not above zero, or never set
inline Force needed_preload(Force largest_load) {
  detail::require_rating("largest load", largest_load);
  return largest_load / (2.0 * std::numbers::sqrt2);
}
inline constexpr double most_preload_of_single_nut = 0.05;
inline constexpr double most_preload_of_double_nut = 0.10;

/// Torque with which preload drags.
///
///     T_d = k F_pr l/2π
///
///     F_pr  preload  N  > 0
///     l     lead     m  > 0
///     k     factor   –  [0, 1]; 0.1 to 0.3, the most for sizing
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: [Denso RC8], [Oriental Motor], [HIWIN screws] for the form and k.
inline Torque preload_drag(Force preload, Length lead, double factor) {
  detail::require_rating("preload", preload);
  require_positive("lead", lead);
  require_in_range("drag factor", factor, 0.0, 1.0);
  return factor * preload * (lead / revolution);
}
inline constexpr double least_drag_factor = 0.1;
inline constexpr double most_drag_factor = 0.3;

/// The drag factor by the lead angle β: k = 0.05/√(tan β).
///
/// \throws InvalidInput  lead angle not above 0, or not below 90°
///
/// Source: form of the ISO and JIS standards, from memory.
inline double drag_factor(Angle lead_angle) {
  if (!(lead_angle > degrees(0) && lead_angle < degrees(90)))
    throw InvalidInput("lead angle", "> 0 and < 90", in_degrees(lead_angle), "deg");
  return 0.05 / std::sqrt(std::tan(in_radians(lead_angle)));
}

}  // namespace pitchline::screw
