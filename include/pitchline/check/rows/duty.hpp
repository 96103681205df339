#pragma once

#include <string>
#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motion/duty_of_moves.hpp"

namespace pitchline::check {

/// What an axis does over and over: its cycle or its raster, as one of its motors sees it.
struct Duty {
  std::string of{};  ///< "cycle" or "raster", also the head of its keys
  std::vector<motion::DutySegment> segments{};
  Time time{};             ///< of all of it, jerk times included
  Time period{};           ///< after which motion and rest come again
  Time moving{};           ///< of `time`
  AngularSpeed fastest{};  ///< of the motor
  Torque rms{};            ///< of the torque at the shaft
  Current running{};       ///< RMS
  Current at_rest{};       ///< RMS, as the driver is set for standstill
  Current rms_current{};   ///< over `time`
  Power mean_shaft{};      ///< of one motor, braking not credited
  Power peak_shaft{};      ///< of one motor
};

namespace detail {

// The setting at standstill means what the setting in motion means, RMS or peak.
Current rms_at_rest(const parts::Driver& driver);

// A rest that is longer than the motor takes to warm up cools nothing while it runs.
bool averages(const Duty& duty);

}  // namespace detail

/// The cycle and the raster that an axis does, as far as they are described.
///
/// Rigid torques: no swings, which the wanted move is judged with. The current changes to that at
/// rest without delay. A jerk time makes the moves longer and is left out of the torques.
///
/// \throws InvalidInput  a number of a move, of the raster or of the driver outside its range, or
///                       never set; the machine has no axis of the name that steps across
std::vector<Duty> duties_of(const AxisState& s);

/// Electrical power of all motors of an axis: shaft and copper. Leaves out iron and drivers.
struct DutyPower {
  Power mean_shaft{};
  Power mean_copper{};  ///< cold, as in `motor::copper_loss`
  Power peak{};         ///< shaft and copper at once

  [[nodiscard]] Power mean() const { return mean_shaft + mean_copper; }
};

DutyPower duty_power(const AxisState& s, const Duty& duty);

/// RMS torque of a duty against the dependable torque at its fastest speed.
///
/// A stepper is heated by the current that is set, not by this: what exceeds the limit here is
/// `unsure`. It fails where a stretch of the cycle asks for more than is dependable at its speed.
Finding duty_torque_finding(const AxisState& s, const Duty& duty);

/// Current that heats the motor over a duty against the rated current.
Finding duty_current_finding(const AxisState& s, const Duty& duty);

/// Rise of the winding over a duty against class B. As in `heat_finding`, a rise above it is
/// `unsure`: the thermal resistance is a ceiling.
Finding duty_heat_finding(const AxisState& s, const Duty& duty);

/// Time of a duty, with its power beside it. Nothing is asked of it, so it holds.
Finding duty_time_finding(const AxisState& s, const Duty& duty);

/// The rows of an axis that has a cycle or a raster; none where neither is described.
///
/// \throws InvalidInput  as `duties_of`
std::vector<Finding> duty_findings(const AxisState& s);

/// The axis that steps from line to line of the raster that `s` has.
///
/// \throws InvalidInput  the machine has no axis of that name
const machine::Axis& axis_across(const AxisState& s);

}  // namespace pitchline::check
