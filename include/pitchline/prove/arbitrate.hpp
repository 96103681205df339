#pragma once

#include "pitchline/check/check_machine.hpp"
#include "pitchline/machine/machine.hpp"
#include "pitchline/report/machine_report.hpp"

namespace pitchline::prove {

/// Lets the simulation decide rows of the wanted move that the algebra leaves failed or unsure
/// because it counts every swing at its worst: torque margin and acceleration, belt, teeth, shaft,
/// corner error, and the swings of the motor.
///
/// Where all runs complete, those rows are judged anew with the forces of the runs, a tenth added
/// for what lies between them, and say "simulated"; the wanted acceleration is then allowed for
/// each of them. Where one loses a step, the row of the torque margin fails and says at which
/// stiffness. Rows that hold are left alone. Takes no more than some tenth of a second a machine:
/// longer moves stay as they are, `pitchline-move` has the time for them.
///
/// \throws InvalidInput  as `check::state_of`; a report that is not of this machine
void arbitrate(report::Report& report, const machine::Machine& machine);

/// What is said of a machine: its check, with what the simulation decides of it.
///
/// \throws InvalidInput  as `check::check_machine`
report::Report checked(const machine::Machine& machine, const check::Effort& effort = {});

}  // namespace pitchline::prove
