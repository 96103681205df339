#pragma once

#include <optional>

#include "pitchline/motor/working_point.hpp"

namespace pitchline::motor {

/// How far the rotor stays behind the commanded field, as an electrical angle (90° is one full
/// step), while it turns at constant speed against `torque`: δ of `working_point`, and nothing
/// where that has none.
///
/// \throws InvalidInput  as `working_point`
inline std::optional<Angle> load_angle(const DrivenWinding& w, AngularSpeed speed, Torque torque) {
  const std::optional<WorkingPoint> point = working_point(w, speed, torque);
  if (!point) return std::nullopt;
  return point->load_angle;
}

/// An electrical angle as an angle of the shaft.
inline Angle shaft_angle(Angle electrical, double pole_pairs) { return electrical / pole_pairs; }

}  // namespace pitchline::motor
