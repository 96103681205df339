#pragma once

#include "pitchline/machine/machine.hpp"
#include "pitchline/report/machine_report.hpp"

namespace pitchline::prove {

/// Lets the simulation decide the torque margin of axes whose load sticks harder than it slides,
/// which a check leaves `unsure`: a slow load sticks again and again, so that a smaller
/// acceleration is not a safer one.
///
/// Each such axis is run at six accelerations from 0.03 of what its torque allows up to that, the
/// wanted one among them. If all complete, the row is what its margin says, with "simulated" in its
/// reason; if one loses steps, it fails and says at which. A row stays unsure where the wanted
/// acceleration is above the allowed one, where the stiffness is not known, and where the runs
/// would take more than ten seconds of motion: `pitchline-move` has the time for them.
///
/// \throws InvalidInput  as `check::state_of`; a report that is not of this machine
void arbitrate(report::Report& report, const machine::Machine& machine);

}  // namespace pitchline::prove
