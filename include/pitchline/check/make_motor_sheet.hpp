#pragma once

#include "pitchline/report/motor_sheet.hpp"

namespace pitchline::check {

using report::CurveRow;
using report::DutyRow;
using report::MicrostepSheet;
using report::MotorSheet;
using report::MotorUse;
using report::ResonanceSheet;
using report::StabilityCase;
using report::VoltageSheet;

/// A round step that divides `top` into 8 to 13 parts.
double round_step(double top);

/// Gathers all that the library says of a motor in one use.
///
/// Table and stability go up to `top_speed`; where none is given, to about four times the corner
/// speed, and beyond the wanted speed and the published points.
///
/// \throws InvalidInput  a field of `use` outside its range, or never set
MotorSheet motor_sheet(const MotorUse& use);

}  // namespace pitchline::check
