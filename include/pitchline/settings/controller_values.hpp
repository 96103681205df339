#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "pitchline/machine/machine.hpp"
#include "pitchline/motion/steps_per_length.hpp"
#include "pitchline/motion/steps_per_turn.hpp"
#include "pitchline/report/controller_values.hpp"
#include "pitchline/report/machine_report.hpp"

namespace pitchline::settings {

using report::AxisReport;
using report::AxisValues;
using report::ControllerValues;
using report::Finding;
using report::OverrunAt;
using report::Report;
using report::TurningValues;

namespace detail {

// The reciprocal of pulses per travel, in parts of so many to its unit.
motion::PiFraction per_pulse(const motion::PiFraction& pulses, std::int64_t parts);

std::vector<std::string> failing(const std::vector<Finding>& findings);

}  // namespace detail

/// Overruns beside a line at the quarters of the wanted speed, and at the speed of the raster where
/// one is described; empty for a turning axis.
///
///     d = v²/(2 a) + v t_j/2 + v t_s       as `motion::overrun_for`
///
/// The settling time t_s is that of `raster_run` with the raster worked at each speed.
///
/// \throws InvalidInput  as `state_of` and `raster_run`; a raster across an axis that is not there
std::vector<OverrunAt> overruns(const machine::Machine& machine, const machine::Axis& axis);

/// What a controller asks for about one axis, without what the check says of it.
///
///     jerk = acceleration / jerk time       each change of acceleration is spread evenly over it
///
/// Speed and acceleration are those wanted of it. Every move is ramped from rest, as the check
/// reckons it: the speed below which no ramp is used is zero, and none above it is judged.
///
/// \throws InvalidInput  a field outside its range, or never set; decimals outside 0 to 9; a figure
///                       that a controller cannot keep, as `motion::kept_at`
AxisValues axis_values(const machine::Machine& machine, const machine::Axis& axis);

/// What a controller asks for about a machine, with the rows of its check that fail.
///
/// \throws InvalidInput  as `axis_values`; an axis that the report does not have
ControllerValues controller_values(const machine::Machine& machine, const Report& report);

}  // namespace pitchline::settings
