#pragma once

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <optional>

#include "pitchline/units.hpp"

namespace pitchline::screw {

/// Half of the angle between the flanks of a metric trapezoidal thread (30°) and of Acme (29°).
/// Source: [Thread standards].
inline constexpr Angle trapezoidal_half_angle = degrees(15);
inline constexpr Angle acme_half_angle = degrees(14.5);

/// A screw with sliding flanks on a plain or a rolling thrust bearing.
struct PowerScrew {
  Length mean_diameter = unset<Length>();    ///< d_m, at mid thread depth
  Length lead = unset<Length>();             ///< l, travel per turn: starts × pitch
  Angle flank_half_angle{};                  ///< α in the axial section, 0 for square threads
  FrictionCoefficient thread_friction;       ///< f; no default, so leaving it out fails
  Length collar_mean_diameter{};             ///< d_c, 0 where the thrust bearing rolls
  FrictionCoefficient collar_friction{0.0};  ///< f_c
};

/// In which section the flank is taken as inclined by the half angle. Exact: the angle of the
/// thread in its axial section is made one in the section normal to the thread. Textbook: the half
/// angle stands as it is, which is customary in books and in tables.
enum class FlankForm { exact, textbook };

/// Slope of the thread, l/(π d_m), which is tan λ.
///
/// \throws InvalidInput  mean diameter or lead not above zero, or never set
inline double lead_slope(const PowerScrew& screw) {
  require_positive("mean diameter", screw.mean_diameter);
  require_positive("lead", screw.lead);
  return number(screw.lead / (std::numbers::pi * screw.mean_diameter));
}

/// Lead angle λ at the mean diameter.
///
/// \throws InvalidInput  as `lead_slope`
inline Angle lead_angle(const PowerScrew& screw) { return radians(std::atan(lead_slope(screw))); }

namespace detail {
// By how much the flanks raise the normal force, and with it friction: 1/cos φ with φ the half
// angle (textbook) or its trace in the normal section, tan φ = cos λ tan α (exact).
inline double flank_factor(const PowerScrew& screw, FlankForm form) {
  require_in_range("flank half angle", screw.flank_half_angle, degrees(0), degrees(45));
  const double half = std::tan(in_radians(screw.flank_half_angle));
  const double tangent =
      form == FlankForm::textbook ? half : half / std::hypot(1.0, lead_slope(screw));
  return std::hypot(1.0, tangent);
}
// Torque of the collar over F d_m/2.
inline double collar_term(const PowerScrew& screw) {
  require_not_negative("collar mean diameter", screw.collar_mean_diameter);
  return screw.collar_friction.value() * number(screw.collar_mean_diameter / screw.mean_diameter);
}
// Torque of the thread over F d_m/2.
inline double raising_term(const PowerScrew& screw, FlankForm form) {
  const double slope = lead_slope(screw);
  const double friction = screw.thread_friction.value() * flank_factor(screw, form);
  if (!(friction * slope < 1.0))
    throw OutsideValidity(
        fmt::format("screw locks when it is to raise: friction over the cosine of the flank times "
                    "the slope of the lead is {:.4g}, and must be below 1",
                    friction * slope));
  return (slope + friction) / (1.0 - friction * slope);
}
inline double lowering_term(const PowerScrew& screw, FlankForm form) {
  const double slope = lead_slope(screw);
  const double friction = screw.thread_friction.value() * flank_factor(screw, form);
  return (friction - slope) / (1.0 + friction * slope);
}
inline void require_load(Force load) { require_not_negative("load", load); }
// Division by a radian: work per angle; without it this is an energy.
inline Torque at_mean_radius(const PowerScrew& screw, Force load, double term) {
  return load * screw.mean_diameter / 2.0 * term / radian;
}
}  // namespace detail

/// Torque on the screw that raises `load` at constant speed.
///
///     T_R = F d_m/2 · (l + π f d_m s)/(π d_m − f l s)  +  F f_c d_c/2
///     s = √(1 + tan²α cos²λ) exactly, 1/cos α in the textbook form;  tan λ = l/(π d_m)
///
///     F    load                  N    ≥ 0, along the screw
///     d_m  mean_diameter         m    > 0
///     l    lead                  m    > 0
///     α    flank_half_angle      rad  [0, 45°]
///     f    thread_friction       –    [0, 1)
///     d_c  collar_mean_diameter  m    ≥ 0
///     f_c  collar_friction       –    [0, 1)
///     T_R  result                N·m  ≥ 0, in the sense that raises the load
///
/// Valid for constant Coulomb friction and f l s < π d_m; at that limit the screw locks. Leaves out
/// inertia, and the wedging of a load beside the axis. Not for ball screws. The two forms differ by
/// 0.01 % on Acme 1½-4, more with a steep lead.
///
/// \throws InvalidInput     a number outside the table, or a field never set
/// \throws OutsideValidity  f l s ≥ π d_m
///
/// Source: [Shigley] eq. 8-1, 8-5, 8-6 for the textbook form, [Roton formulas] for the exact one.
inline Torque raising_torque(const PowerScrew& screw, Force load,
                             FlankForm form = FlankForm::exact) {
  detail::require_load(load);
  const double thread = detail::raising_term(screw, form);
  return detail::at_mean_radius(screw, load, thread + detail::collar_term(screw));
}

/// Torque on the screw that lowers `load` at constant speed; below zero where the load drives the
/// screw and must be held back by that much.
///
///     T_L = F d_m/2 · (π f d_m s − l)/(π d_m + f l s)  +  F f_c d_c/2
///
/// Symbols and ranges as for `raising_torque`; T_L counts in the sense that lowers. Uses running
/// friction: vibration, oil and wear lower it, so that a small torque above zero holds no load.
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Source: [Shigley] eq. 8-2 and 8-6 with the flank as in `raising_torque`; [Roton formulas].
inline Torque lowering_torque(const PowerScrew& screw, Force load,
                              FlankForm form = FlankForm::exact) {
  detail::require_load(load);
  const double thread = detail::lowering_term(screw, form);
  return detail::at_mean_radius(screw, load, thread + detail::collar_term(screw));
}

/// Work on the load over work at the screw while it raises, thread and collar.
///
///     e = F l/(2π T_R)
///
/// \throws InvalidInput     as `raising_torque`
/// \throws OutsideValidity  as `raising_torque`
///
/// Source: [Shigley] eq. 8-4. Some books leave the collar out: that is `thread_efficiency`.
inline Efficiency efficiency(const PowerScrew& screw, FlankForm form = FlankForm::exact) {
  const double thread = detail::raising_term(screw, form);
  return Efficiency(lead_slope(screw) / (thread + detail::collar_term(screw)));
}

/// As `efficiency`, of the thread alone.
inline Efficiency thread_efficiency(const PowerScrew& screw, FlankForm form = FlankForm::exact) {
  const double thread = detail::raising_term(screw, form);
  return Efficiency(lead_slope(screw) / thread);
}

/// Work at the screw over work of the load that drives it; nothing where it does not back-drive.
///
///     e_b = −2π T_L/(F l)
///
/// \throws InvalidInput  as `lowering_torque`
///
/// Source: [Roton formulas].
inline std::optional<Efficiency> back_driving_efficiency(const PowerScrew& screw,
                                                         FlankForm form = FlankForm::exact) {
  const double lowering = detail::lowering_term(screw, form) + detail::collar_term(screw);
  if (!(lowering < 0.0)) return std::nullopt;
  return Efficiency(-lowering / lead_slope(screw));
}

/// Thread friction above which the thread alone, without its collar, holds a load.
///
///     f = tan λ/s
///
/// Symbols as for `raising_torque`; in the textbook form this is tan λ cos α. May exceed 1.
///
/// \throws InvalidInput  mean diameter, lead or flank half angle outside their range, or never set
///
/// Source: [Shigley] p. 417, f > tan λ for square threads; the flank as in `lowering_torque`.
inline double self_locking_friction(const PowerScrew& screw, FlankForm form = FlankForm::exact) {
  return lead_slope(screw) / detail::flank_factor(screw, form);
}

/// Whether the thread alone holds a load: f > `self_locking_friction`. With the collar it is
/// `lowering_torque` above zero.
///
/// \throws InvalidInput  as `self_locking_friction`
inline bool is_self_locking(const PowerScrew& screw, FlankForm form = FlankForm::exact) {
  return screw.thread_friction.value() > self_locking_friction(screw, form);
}

/// A screw with rolling balls, by the efficiencies that its maker gives.
struct BallScrew {
  Length lead = unset<Length>();
  Efficiency efficiency;               ///< turning into straight motion
  Efficiency back_driving_efficiency;  ///< straight motion into turning
};

namespace detail {
inline Transmission transmission(const BallScrew& screw) {
  require_positive("lead", screw.lead);
  return screw.lead / revolution;
}
}  // namespace detail

/// Torque on a ball screw that moves a load against `load` at constant speed.
///
///     T = F l/(2π η)
///
///     F  load        N    ≥ 0
///     l  lead        m    > 0
///     η  efficiency  –    (0, 1]
///     T  result      N·m
///
/// Leaves out the drag of preload, seals and bearings.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: [Wentzell] 18.4.
inline Torque driving_torque(const BallScrew& screw, Force load) {
  detail::require_load(load);
  return load * detail::transmission(screw) / screw.efficiency.value();
}

/// Torque that holds a ball screw against the load that drives it: F l η_b/(2π).
///
/// \throws InvalidInput  load below zero, lead not above zero, or never set
///
/// Source: [Wentzell] 18.4 for the form; [Roton formulas].
inline Torque holding_back_torque(const BallScrew& screw, Force load) {
  detail::require_load(load);
  return load * detail::transmission(screw) * screw.back_driving_efficiency.value();
}

}  // namespace pitchline::screw
