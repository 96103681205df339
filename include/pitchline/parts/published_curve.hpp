#pragma once

#include <string>
#include <vector>

#include "pitchline/units.hpp"

namespace pitchline::parts {

/// One point of a published pull-out curve.
struct CurvePoint {
  AngularSpeed speed = unset<AngularSpeed>();
  Torque torque = unset<Torque>();
};

/// Pull-out torque of one motor as somebody measured it, at one supply and one current.
///
/// One point calibrates the model for this motor; two or more are a measured curve.
struct PublishedCurve {
  std::vector<CurvePoint> points{};      ///< by ascending speed
  Voltage voltage = unset<Voltage>();    ///< of the supply
  Current amplitude = unset<Current>();  ///< peak of the sine; a sheet may print the RMS
  std::string source{};                  ///< where the points come from
};

/// Refuses a curve without points, out of order, or with a number that no curve has.
///
/// \throws InvalidInput  no point; voltage, amplitude, a speed or a torque not greater than zero or
///                       not finite; a speed not above the one before it
inline void require_valid(const PublishedCurve& curve) {
  if (curve.points.empty()) throw InvalidInput("points of a published curve", ">= 1", 0, "");
  require_positive("voltage of a published curve", curve.voltage);
  require_positive("current of a published curve", curve.amplitude);
  AngularSpeed last = radians_per_second(0);
  for (const CurvePoint& point : curve.points) {
    // A billionth more, so that chords and logarithms keep their digits.
    if (!(point.speed > last * (1 + 1e-9)) || !is_finite(point.speed))
      throw InvalidInput("speed of a published point", "> 0 and above the one before it",
                         in_radians_per_second(point.speed), "rad/s");
    require_positive("torque of a published point", point.torque);
    last = point.speed;
  }
}

}  // namespace pitchline::parts
