#pragma once

#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motor/unstable_bands.hpp"

namespace pitchline::check {

/// The motor's shaft as it swings on field and belt.
motor::SwingingShaft swinging_shaft(const AxisState& s);

/// Speeds up to the wanted one between which a swing of the motor may grow while it accelerates as
/// wanted.
std::vector<motor::UnstableBand> unstable_bands(const AxisState& s);

/// Whether there is any such band; the same question, sooner answered.
bool has_unstable_band(const AxisState& s);

/// Does the motor damp its own swing at every speed up to the wanted one? A voltage-limited motor
/// damps negatively and can lose step with torque to spare.
///
/// Below the speed at which the voltage begins to limit the current this trouble does not arise and
/// the row holds. Above it the row is `unsure` at best: the damping that is there is an assumption,
/// and a switching driver agrees with the linear model only roughly.
Finding stability_finding(const AxisState& s);

/// Does one microstep turn the rotor at all against the friction at rest?
Finding microstep_finding(const AxisState& s);

/// Rise of the winding at standstill with the full current on, against class B.
Finding heat_finding(const AxisState& s);

/// The figures of the motor that do not fit together; nothing where all do.
std::vector<Finding> figure_findings(const AxisState& s);

}  // namespace pitchline::check
