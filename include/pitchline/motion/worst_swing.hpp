#pragma once

#include <algorithm>
#include <numbers>

#include "pitchline/motion/move_demand.hpp"

namespace pitchline::motion {

/// Amplitude with which a load swings in one phase of a move, every corner of the moves so far at
/// its worst: what `move_demand` adds to the torque, as a length.
///
///     A = (P − (G + F)/η)/(M ω²)
///
///     P  force of `move_demand`, its largest in `phase`    N
///     M  accelerated_mass      kg
///     G, F, η  gravity, friction, efficiency               N, N, –
///     ω  2π natural_frequency  rad/s  > 0
///     A  result                m, 0 where the move has no such phase
///
/// Of `phase` running or stopped, in which nothing else accelerates the load. Unlike
/// `residual_amplitude` it counts the winding up before a start against friction, and on no swings
/// that cancel.
///
/// \throws InvalidInput  as `move_demand`; a phase in which the load accelerates
///
/// Source: derived, see `move_demand`; ω² is what a stretch pulls on the mass with.
inline Length worst_swing(const AxisAtMotor& axis, const ElasticMode& mode, const RunningMove& move,
                          MovePhase phase) {
  if (phase != MovePhase::running && phase != MovePhase::stopped)
    throw InvalidInput("phase", "running or stopped", static_cast<double>(phase), "");
  const Force steady = constant_speed_force(axis) / axis.efficiency.value();
  Force most{};
  for (const MomentaryDemand& moment : move_demand(axis, mode, move))
    if (moment.phase == phase) most = std::max(most, Force(moment.force - steady));
  return detail::static_stretch(mode, most / accelerated_mass(axis));
}

}  // namespace pitchline::motion
