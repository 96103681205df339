#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <initializer_list>
#include <vector>

#include "pitchline/units.hpp"

namespace pitchline::axis {

/// Where a screw stands under the bed, or where a load acts on it, seen from above.
struct ScrewPlace {
  Length x = unset<Length>();
  Length y = unset<Length>();
};

namespace detail {

// Plain metres from here on. Places are taken from their middle, so that a rigid bed on equal
// springs rises by the load over all springs and tilts by its moment over G = Σ p pᵀ.
struct Plan {
  std::vector<std::array<double, 2>> p{};
  std::array<double, 2> middle{};
  // G⁺, symmetric: of places on one line along that line alone, of a single one zero.
  double xx = 0.0;
  double xy = 0.0;
  double yy = 0.0;
  bool in_line = true;
};

inline void require_place(const ScrewPlace& place, const char* what) {
  if (!is_finite(place.x))
    throw InvalidInput(fmt::format("x of {}", what), "given and finite", in_millimetres(place.x),
                       "mm");
  if (!is_finite(place.y))
    throw InvalidInput(fmt::format("y of {}", what), "given and finite", in_millimetres(place.y),
                       "mm");
}

inline Plan plan_of(const std::vector<ScrewPlace>& places) {
  if (places.empty() || places.size() > 8)
    throw InvalidInput("number of screws", "from 1 to 8", static_cast<double>(places.size()), "");
  Plan plan;
  const auto n = static_cast<double>(places.size());
  for (const ScrewPlace& place : places) {
    require_place(place, "a screw");
    plan.p.push_back({in_metres(place.x), in_metres(place.y)});
    plan.middle[0] += plan.p.back()[0] / n;
    plan.middle[1] += plan.p.back()[1] / n;
  }
  double xx = 0.0;
  double xy = 0.0;
  double yy = 0.0;
  for (auto& p : plan.p) {
    p[0] -= plan.middle[0];
    p[1] -= plan.middle[1];
    xx += p[0] * p[0];
    xy += p[0] * p[1];
    yy += p[1] * p[1];
  }
  if (places.size() == 1) return plan;
  const double trace = xx + yy;
  for (std::size_t i = 0; i < plan.p.size(); ++i)
    for (std::size_t j = i + 1; j < plan.p.size(); ++j)
      if (!(std::hypot(plan.p[i][0] - plan.p[j][0], plan.p[i][1] - plan.p[j][1]) > 1e-6))
        throw InvalidInput(
            "distance of two screws", "> 0.001",
            1e3 * std::hypot(plan.p[i][0] - plan.p[j][0], plan.p[i][1] - plan.p[j][1]), "mm");
  const double determinant = xx * yy - xy * xy;
  // Below a thousandth of its length across, a row of screws holds no moment across it.
  plan.in_line = determinant < 1e-6 * trace * trace;
  if (plan.in_line) {
    // G⁺ = G/trace² of a matrix of rank one.
    plan.xx = xx / (trace * trace);
    plan.xy = xy / (trace * trace);
    plan.yy = yy / (trace * trace);
  } else {
    plan.xx = yy / determinant;
    plan.xy = -xy / determinant;
    plan.yy = xx / determinant;
  }
  return plan;
}

inline std::array<double, 2> tilt_by(const Plan& plan, const std::array<double, 2>& moment) {
  return {plan.xx * moment[0] + plan.xy * moment[1], plan.xy * moment[0] + plan.yy * moment[1]};
}

// How far place j rises where the bed is moved by one at place i alone: also the share of a load
// over j that nut i bears.
inline double bears(const Plan& plan, const std::array<double, 2>& at_i,
                    const std::array<double, 2>& at_j) {
  const auto tilt = tilt_by(plan, at_j);
  return 1.0 / static_cast<double>(plan.p.size()) + at_i[0] * tilt[0] + at_i[1] * tilt[1];
}

inline void require_nut(std::size_t nut, const Plan& plan) {
  if (nut >= plan.p.size())
    throw InvalidInput("place of the nut", "below the number of screws", static_cast<double>(nut),
                       "");
}

}  // namespace detail

/// Share of a load that each nut bears under a rigid bed, the screws being equally stiff.
///
///     s_i = 1/n + p_i · G⁺ q,   G = Σ p_i p_iᵀ
///
///     n    number of screws                         –  1 to 8
///     p_i  place of screw i from the middle of all  m
///     q    load_at, from the same middle            m
///     s_i  result                                   –  adds up to 1
///
/// Three screws that stand in no line share by statics alone, whatever their stiffness; of four a
/// rigid bed leaves one share open, which their equal stiffness settles, and `largest_share` says
/// how far a nut that stands high can take it. Of screws in one line, and of a single one, the
/// guides bear what the load does beside them. A share below zero means a nut that is pulled up:
/// the load stands outside.
///
/// \throws InvalidInput  no screw or more than 8; two of them in one place; a place never set
///
/// Derived: equal springs under a rigid plate, forces and moments in balance.
inline std::vector<double> screw_shares(const std::vector<ScrewPlace>& places,
                                        const ScrewPlace& load_at) {
  const detail::Plan plan = detail::plan_of(places);
  detail::require_place(load_at, "the load");
  const std::array<double, 2> q{in_metres(load_at.x) - plan.middle[0],
                                in_metres(load_at.y) - plan.middle[1]};
  std::vector<double> shares;
  shares.reserve(plan.p.size());
  for (const auto& p : plan.p) shares.push_back(detail::bears(plan, p, q));
  return shares;
}

/// Largest share of a load that any one nut can bear, however unevenly the nuts are set: no nut
/// pulled up, and no bed that bends.
///
/// \throws InvalidInput     as `screw_shares`
/// \throws OutsideValidity  the load stands outside of the screws: the bed tips
///
/// Derived: statics of the most that a nut may take. Its extremes stand on three nuts, so all
/// threes are tried; on two where the screws stand in one line.
inline double largest_share(const std::vector<ScrewPlace>& places, const ScrewPlace& load_at) {
  const detail::Plan plan = detail::plan_of(places);
  detail::require_place(load_at, "the load");
  if (plan.p.size() == 1) return 1.0;
  const std::array<double, 2> q{in_metres(load_at.x) - plan.middle[0],
                                in_metres(load_at.y) - plan.middle[1]};
  // Shares may fall short of zero by rounding.
  constexpr double nothing = -1e-9;
  double largest = 0.0;
  const auto take = [&](std::initializer_list<double> shares) {
    if (std::min(shares) >= nothing) largest = std::max(largest, std::max(shares));
  };
  const std::size_t n = plan.p.size();
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = i + 1; j < n; ++j) {
      const std::array<double, 2> side{plan.p[j][0] - plan.p[i][0], plan.p[j][1] - plan.p[i][1]};
      const std::array<double, 2> out{q[0] - plan.p[i][0], q[1] - plan.p[i][1]};
      if (plan.in_line) {
        const double along =
            (out[0] * side[0] + out[1] * side[1]) / (side[0] * side[0] + side[1] * side[1]);
        take({1.0 - along, along});
        continue;
      }
      for (std::size_t k = j + 1; k < n; ++k) {
        const std::array<double, 2> third{plan.p[k][0] - plan.p[i][0], plan.p[k][1] - plan.p[i][1]};
        const double area = side[0] * third[1] - side[1] * third[0];
        const double size = std::hypot(side[0], side[1]) * std::hypot(third[0], third[1]);
        if (std::abs(area) < 1e-6 * size) continue;
        const double at_j = (out[0] * third[1] - out[1] * third[0]) / area;
        const double at_k = (side[0] * out[1] - side[1] * out[0]) / area;
        take({1.0 - at_j - at_k, at_j, at_k});
      }
    }
  if (!(largest > 0.0))
    throw OutsideValidity(fmt::format(
        "the load at x {:.6g} mm, y {:.6g} mm stands outside of the screws: the bed tips",
        in_millimetres(load_at.x), in_millimetres(load_at.y)));
  return largest;
}

/// Force that a nut bears beyond its share because it is set higher than the others.
///
///     ΔF = k h (1 − b),   b = 1/n + p · G⁺ p
///
///     h  higher     m    ≥ 0
///     k  stiffness  N/m  ≥ 0, of each screw with its nut
///
/// Nothing with up to three screws that stand in no line, and with two: the bed follows. A quarter
/// of k h at the corners of a rectangle.
///
/// \throws InvalidInput  as `screw_shares`; no such nut; height or stiffness below zero, or never
/// set
///
/// Derived: as `screw_shares`; b is the part of the height by which the bed follows.
inline Force unbalance(const std::vector<ScrewPlace>& places, std::size_t nut, Length higher,
                       Stiffness stiffness) {
  const detail::Plan plan = detail::plan_of(places);
  detail::require_nut(nut, plan);
  require_not_negative("height", higher);
  require_not_negative("stiffness", stiffness);
  const double follows = detail::bears(plan, plan.p[nut], plan.p[nut]);
  return std::max(0.0, 1.0 - follows) * (stiffness * higher);
}

/// How a rigid bed stands once one of its nuts is higher than the others.
struct Tilt {
  Angle angle{};        ///< of its steepest slope
  Length difference{};  ///< of the heights at the screws, most less least
};

/// Tilt of the bed by one nut that is set too high or runs ahead.
///
///     φ = h |G⁺ p|        difference = h (max b_j − min b_j),  b_j = 1/n + p_j · G⁺ p
///
///     h  higher  m  ≥ 0, small against the distance of the screws
///
/// For a tooth of mistiming h is `height_per_tooth`; for an error of lead it is that error over the
/// travel. A single screw tilts nothing.
///
/// \throws InvalidInput  as `screw_shares`; no such nut; height below zero, or never set
///
/// Derived: as `screw_shares`.
inline Tilt tilt(const std::vector<ScrewPlace>& places, std::size_t nut, Length higher) {
  const detail::Plan plan = detail::plan_of(places);
  detail::require_nut(nut, plan);
  require_not_negative("height", higher);
  const auto slope = detail::tilt_by(plan, plan.p[nut]);
  double least = 1.0;
  double most = 0.0;
  for (const auto& p : plan.p) {
    const double b = detail::bears(plan, p, plan.p[nut]);
    least = std::min(least, b);
    most = std::max(most, b);
  }
  return {.angle = radians(in_metres(higher) * std::hypot(slope[0], slope[1])),
          .difference = plan.p.size() == 1 ? Length{} : Length(higher * (most - least))};
}

/// Tilt by the nut that matters most.
///
/// \throws InvalidInput  as `tilt`
inline Tilt worst_tilt(const std::vector<ScrewPlace>& places, Length higher) {
  Tilt worst;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const Tilt each = tilt(places, i, higher);
    if (each.angle > worst.angle) worst = each;
  }
  return worst;
}

/// Height by which a screw is off that was belted a tooth wrong: l/z.
///
///     l  lead          m  > 0
///     z  pulley_teeth  –  ≥ 1, of the screw's pulley
///
/// \throws InvalidInput  a number outside the table, or never set
inline Length height_per_tooth(Length lead, int pulley_teeth) {
  require_positive("lead", lead);
  require_at_least("pulley teeth", pulley_teeth, 1);
  return lead / static_cast<double>(pulley_teeth);
}

/// Most by which two screws with a motor each may stand apart after power was lost and came back:
/// four full steps.
///
///     h = 4 l/(N i)
///
///     l  lead                 m  > 0
///     N  full_steps_per_turn  –  > 0
///     i  motor_turns          –  > 0, of the motor per turn of the screw
///
/// A driver that wakes up pulls its motor to the nearest place that belongs to its own first
/// current, at most two full steps away, since that place comes again every four; two motors may go
/// opposite ways. Leaves out that the bed itself turns its screws while power is off.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: the field of a two-phase motor repeats every four full steps.
inline Length level_lost_without_power(Length lead, FullSteps full_steps_per_turn,
                                       double motor_turns) {
  require_positive("lead", lead);
  if (!(in_full_steps(full_steps_per_turn) > 0))
    throw InvalidInput("full steps per turn", "> 0", in_full_steps(full_steps_per_turn), "");
  require_positive("motor turns", motor_turns);
  return 4.0 * lead / (in_full_steps(full_steps_per_turn) * motor_turns);
}

}  // namespace pitchline::axis
