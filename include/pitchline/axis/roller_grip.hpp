#pragma once

#include <fmt/format.h>

#include <cmath>

#include "pitchline/axis/rotary_axis.hpp"

namespace pitchline::axis {

/// Half of the angle between the two contacts, seen from the axis of the workpiece.
///
///     sin β = c/(D + d)
///
///     c  centre_distance of the rollers  m  > d, < D + d
///     D  diameter of the workpiece       m  > 0
///     d  diameter of the rollers         m  > 0
///
/// \throws InvalidInput  a number outside the table, or never set
inline Angle contact_half_angle(const Rollers& rollers, Length workpiece_diameter) {
  detail::require_valid(rollers);
  require_positive("workpiece diameter", workpiece_diameter);
  const Length roller = detail::diameter(rollers);
  if (!(rollers.centre_distance > roller && rollers.centre_distance < workpiece_diameter + roller))
    throw InvalidInput("roller centre distance",
                       "> roller diameter and < roller and workpiece diameter together",
                       in_millimetres(rollers.centre_distance), "mm");
  return radians(std::asin(number(rollers.centre_distance / (workpiece_diameter + roller))));
}

/// Whether rollers turn a workpiece without slip.
struct RollerGrip {
  Force limit{};     ///< tangential force at the surface that friction transmits
  Force standing{};  ///< of it taken by unbalance
  Mass mass{};       ///< that it accelerates: workpiece, and a roller that is not driven
  /// Largest acceleration of the surface; below zero where it slips before it accelerates at all.
  [[nodiscard]] Acceleration largest_acceleration() const { return (limit - standing) / mass; }
};

/// Grip of the rollers on the heaviest workpiece.
///
///     two driven: S = μ W/((1 + μ²) cos β)     one driven: S = μ W/(2 cos β (1 + μ |cot 2β|))
///     without slip: S ≥ m_w g e/R + (J_w/R² + J_r/r²) a, the last term where a roller runs idle
///
///     μ    grip                 –   [0, 1), at its least
///     W    weight of the workpiece
///     β    contact_half_angle   rad
///     J_w  inertia, R radius of the workpiece; J_r, r of an idle roller
///     e    eccentricity         m   ≥ 0
///     S    result               N, the smaller of both senses of turning
///
/// Valid for a rigid round workpiece on level rollers and μ ≤ tan β; above that it climbs out over
/// a roller before it slips. Leaves out the drag of an idle roller's bearings, and helical creep.
///
/// \throws InvalidInput     as `axis_at_motor`, `contact_half_angle`; driven rollers not 1 or 2; an
///                          axis with a chuck
/// \throws OutsideValidity  μ above tan β
///
/// Derived: normal forces N and tangential ones F of both contacts balance the weight, (ΣN) cos β +
/// (F_R − F_L) sin β = W and (N_L − N_R) sin β + (F_L + F_R) cos β = 0; all driven contacts at μ N.
/// A contact is clear where N_L = 0, which at the slip of the other is μ = tan β.
inline RollerGrip roller_grip(const RotaryAxis& axis) {
  const auto* rollers = std::get_if<Rollers>(&axis.hold);
  if (!rollers) throw InvalidInput("rollers", "given to ask for their grip", 0, "");
  if (rollers->driven != 1 && rollers->driven != 2)
    throw InvalidInput("driven rollers", "1 or 2", rollers->driven, "");
  const motion::AxisAtMotor seen = axis_at_motor(axis);
  const double angle = in_radians(contact_half_angle(*rollers, axis.heaviest.diameter));
  const double mu = rollers->grip.value();
  if (!(mu <= std::tan(angle)))
    throw OutsideValidity(
        fmt::format("the workpiece climbs out over a roller: grip {:.4g} must be at most the "
                    "tangent of the contact half angle, {:.4g}",
                    mu, std::tan(angle)));
  const Force weight = mass(axis.heaviest) * standard_gravity;
  const double share = rollers->driven == 2
                           ? 1.0 / (1.0 + mu * mu)
                           : 0.5 / (1.0 + mu * std::abs(1.0 / std::tan(2.0 * angle)));
  const Length radius = detail::diameter(*rollers) / 2.0;
  const Mass idle = rollers->driven == 2
                        ? Mass{}
                        : Mass(rollers->inertia * (radian * radian) / (radius * radius));
  return {.limit = mu * share / std::cos(angle) * weight,
          .standing = seen.gravity,
          .mass = seen.mass + idle};
}

}  // namespace pitchline::axis
