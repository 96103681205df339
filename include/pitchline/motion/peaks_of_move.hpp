#pragma once

#include "pitchline/motion/move_demand.hpp"
#include "pitchline/motion/move_profile.hpp"

namespace pitchline::motion {

/// What a move from rest to rest over its stroke really reaches: less than the wanted speed where
/// the stroke is short, less than the wanted acceleration where the jerk time outlasts the ramp.
///
/// \throws InvalidInput  a number of the move outside its range, or never set; a move without
/// stroke
inline MovePeaks peaks_of(const RunningMove& move) {
  return peaks({.trapezoid = fastest_trapezoid(move.stroke, {.speed = move.speed,
                                                             .acceleration = move.acceleration,
                                                             .deceleration = move.acceleration}),
                .up_jerk_time = move.jerk_time,
                .down_jerk_time = move.jerk_time});
}

}  // namespace pitchline::motion
