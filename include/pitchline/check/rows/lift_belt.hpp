#pragma once

#include <vector>

#include "pitchline/axis/tying_belt.hpp"
#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// What the belt that ties the screws pulls at the peak of the wanted move.
struct LiftBeltState {
  belt::SolvedLoop solved{};
  std::vector<Force> pulls{};         ///< at the pulley of each screw
  Force pull = unset<Force>();        ///< of the motor's pulley, all of them
  Force slack_free = unset<Force>();  ///< tension at rest that keeps every span tight
  Force tension = unset<Force>();     ///< at rest: as given, else the least that is enough
  Force largest = unset<Force>();     ///< of any span, in both senses of turning
};

/// Works out the pulls in the tying belt. The torque at the peak of the move counts in full, with
/// what the rotor itself takes of it, and is shared as the load is.
///
/// \throws InvalidInput     as `peak_torque` and `axis::screw_shares`
/// \throws OutsideValidity  the layout of the belt cannot be built
LiftBeltState lift_belt_state(const AxisState& s);

/// Largest tension of the tying belt against what it may carry, with the tension to set.
///
/// \throws InvalidInput     as `lift_belt_state`
/// \throws OutsideValidity  as `lift_belt_state`
Finding lift_belt_tension_finding(const AxisState& s);

/// Pull on the teeth of the motor's pulley, against what those in mesh bear.
///
/// \throws InvalidInput     as `lift_belt_state`
/// \throws OutsideValidity  as `lift_belt_state`
Finding lift_belt_mesh_finding(const AxisState& s);

/// Whether a belt of a whole number of teeth fits the layout, by the pulley that can be set.
///
/// \throws OutsideValidity  the layout of the belt cannot be built
Finding lift_belt_length_finding(const AxisState& s);

/// By how much the heights of the screws differ at worst while the lift works, against the level
/// that is wanted; with what a tooth of mistiming and a difference of leads tilt.
///
/// \throws InvalidInput     as `lift_belt_state` and `axis::screw_stiffness`
/// \throws OutsideValidity  as `lift_belt_state`
Finding level_finding(const AxisState& s);

}  // namespace pitchline::check
