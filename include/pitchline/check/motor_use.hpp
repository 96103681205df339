#pragma once

#include "pitchline/machine/machine.hpp"
#include "pitchline/report/motor_use.hpp"

namespace pitchline::check {

using report::AxisLoad;
using report::MotorUse;

/// The deciding motor of an axis, as the machine uses it.
///
/// \throws InvalidInput  a field of the machine outside its range, or never set
MotorUse motor_use(const machine::Machine& machine, const machine::Axis& axis);

}  // namespace pitchline::check
