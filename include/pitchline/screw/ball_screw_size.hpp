#pragma once

#include <cmath>
#include <numbers>

#include "pitchline/units.hpp"

namespace pitchline::screw {

/// The size of a ball screw in the words of its standard.
struct BallScrewSize {
  Length nominal_diameter = unset<Length>();  ///< by which it is ordered
  Length lead = unset<Length>();              ///< travel per turn
  int starts = 1;                             ///< tracks side by side; pitch is lead over starts
  Length ball_circle_diameter = unset<Length>();  ///< of the centres of the balls
  Length ball_diameter = unset<Length>();
  Length core_diameter = unset<Length>();  ///< at the bottom of the track
};

/// Refuses a size whose figures cannot belong together.
///
///     nominal diameter  > 0, within 20 % of the ball circle diameter
///     starts            from 1 to 20
///     ball diameter     > 0, < lead/starts: tracks side by side do not overlap
///     core diameter     from D − 1.3 d to D − 0.7 d, D ball circle, d ball diameter: a ball lies
///                       half in the track, whose bottom may be deeper or shallower than the ball
///
/// \throws InvalidInput  a figure outside its range, or never set
///
/// Source: words of [ISO 3408], geometry; the shares 20 %, 0.7 and 1.3 are own bounds of plausible
/// sizes, from memory of makers' tables.
inline void require_valid(const BallScrewSize& size) {
  const auto require = [](bool holds, const char* field, const char* rule, Length value) {
    if (!holds) throw InvalidInput(field, rule, in_millimetres(value), "mm");
  };
  require(size.lead > metres(0) && is_finite(size.lead), "lead", "> 0", size.lead);
  require_in_range("starts", size.starts, 1, 20);
  require(size.ball_circle_diameter > metres(0) && is_finite(size.ball_circle_diameter),
          "ball circle diameter", "> 0", size.ball_circle_diameter);
  require(size.nominal_diameter >= 0.8 * size.ball_circle_diameter &&
              size.nominal_diameter <= 1.2 * size.ball_circle_diameter,
          "nominal diameter", "within 20 % of the ball circle diameter", size.nominal_diameter);
  require(size.ball_diameter > metres(0) &&
              size.ball_diameter < size.lead / static_cast<double>(size.starts),
          "ball diameter", "> 0 and < lead over starts", size.ball_diameter);
  require(size.core_diameter > metres(0) &&
              size.core_diameter >= size.ball_circle_diameter - 1.3 * size.ball_diameter &&
              size.core_diameter <= size.ball_circle_diameter - 0.7 * size.ball_diameter,
          "core diameter", "from 0.7 to 1.3 ball diameters below the ball circle",
          size.core_diameter);
}

/// Lead angle at the ball circle, atan(l/(π D)).
///
/// \throws InvalidInput  as `require_valid`
inline Angle lead_angle(const BallScrewSize& size) {
  require_valid(size);
  return radians(std::atan(number(size.lead / (std::numbers::pi * size.ball_circle_diameter))));
}

}  // namespace pitchline::screw
