#pragma once

#include <optional>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// Torque with which the load of an axis at rest tries to turn its motor back.
///
/// Of a belt and of a screw whose efficiency alone is given, gravity in full: friction would help
/// and is not counted. Of a screw whose friction is given, what is left at the least friction;
/// below zero where the thread locks even then.
///
/// \throws InvalidInput  a field outside its range, or never set
Torque turning_back_torque(const AxisState& s);

/// Does the motor hold its load at standstill, with the current that the driver leaves it? Nothing
/// for an axis on which gravity does not pull.
///
/// Only while power is on: what happens without it is in the cautions.
///
/// \throws InvalidInput  a field outside its range, or never set
std::optional<Finding> holding_finding(const AxisState& s);

}  // namespace pitchline::check
