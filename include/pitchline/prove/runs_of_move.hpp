#pragma once

#include <optional>
#include <vector>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::prove {

/// What the wanted move of an axis came to in time, over all runs.
struct RunsOfMove {
  int runs = 0;
  int lost = 0;                    ///< of them lost a step
  double stiffness_of_lost = 0.0;  ///< of the first of these, over the assumed one
  DampingRatio damping_of_lost{0.0};
  std::vector<Length> strokes{};
  Force belt_force{};  ///< largest
  Length error{};  ///< largest at the assumed stiffness, commanded less tool, rotor's lag included
};

/// Runs the wanted move with three stiffnesses of the drive over the band of the state, each with
/// three dampings of the load on it, with half of the assumed damping of the motor, and with the
/// torque that a verdict rests on less the torque margin that is wanted.
///
/// A move of any length is run over three strokes: the shortest that reaches the wanted speed, and
/// those that reach a half and a quarter of it. A single move goes there and, after a rest, back,
/// since the second starts with what friction holds in the drive. A rigid drive is run once a
/// stroke. Nothing where the stiffness is not known, or the runs would take more than `most` of
/// motion in all.
///
/// \param swings_of_motor  whether it is run over the whole travel as well, in which the swings of
///                         the motor have time to grow
/// \throws InvalidInput  as `simulate::command_of`
std::optional<RunsOfMove> runs_of_wanted_move(const check::AxisState& s, bool swings_of_motor,
                                              Time most);

}  // namespace pitchline::prove
