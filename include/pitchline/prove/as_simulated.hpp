#pragma once

#include <optional>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motor/loss_model.hpp"
#include "pitchline/simulate/axis.hpp"

namespace pitchline::prove {

using check::AxisState;

/// What a simulation of an axis takes as the file does not say it.
struct SimulationChoice {
  bool pulses = false;       ///< the field turns in microsteps, sent at the ticks of the controller
  bool switching = false;    ///< the driver switches, and is not averaged
  double place = 0.0;        ///< of what travels along a beam with two motors: 0 near, 1 far
  bool ideal_motor = false;  ///< without `SimulatedAxis::share`: as the linear winding makes it
  /// Nothing: those that the check counts, see `motor::PullOutCurve::losses`.
  std::optional<motor::LossModel> losses{};
};

namespace detail {

simulate::DriveLoss loss_of(const AxisState& s);

}  // namespace detail

/// An axis of a machine as the simulation moves it: the same parts, losses and friction that a
/// check counts, so that the two can differ in their mathematics only.
///
/// Winding hot, inductance as it acts, current and voltage with their shares, and the drag as a
/// torque against the turning, all as in `motor::LossModel`; viscous damping as
/// `motor::assumed_motor_damping`. The torque of the field is scaled so that the static pull-out is
/// the torque that a verdict rests on, published points included, at each speed up to twice the
/// wanted one: see `motor::VerdictMotor`. A beam that the file describes bends in its first mode
/// under the carriage, which with one motor stands in its middle. Where the file gives the supply a
/// capacitance the voltage follows it, and the share is a drop of the driver. Two motors on belts
/// are two, coupled by the beam; of motors on screws, and of a cross shaft, the deciding one stands
/// for all, as in the check. A drive counted as rigid that has losses gets a hundred times the
/// stiffness of the field.
///
/// \throws InvalidInput     a figure outside its range; a place outside [0, 1]
/// \throws OutsideValidity  a stiffness of the drive is not known
simulate::SimulatedAxis as_simulated(const AxisState& s, const SimulationChoice& choice = {});

}  // namespace pitchline::prove
