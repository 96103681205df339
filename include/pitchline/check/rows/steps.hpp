#pragma once

#include <optional>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motion/steps_per_length.hpp"

namespace pitchline::check {

/// Largest error over the travel that rounding of steps per mm may make where the file asks for no
/// position error. Common practice, no source: a tenth of what a hand-built axis repeats to.
inline const Length rounding_allowed = millimetres(0.05);

/// Steps per mm of a belt or screw axis, exactly.
///
/// \throws InvalidInput  the axis turns; as `axis::step_train`
Fraction exact_steps_per_millimetre(const AxisState& s);

/// The teeth and pulses per turn nearest to the present ones that the controller keeps exactly;
/// nothing where none of the customary settings does.
std::optional<motion::ExactChoice> nearest_exact_choice(const AxisState& s);

/// Steps per mm, exact and as the controller keeps them, with what the rounding costs.
Finding steps_per_mm_finding(const AxisState& s);

/// Pulses a second at the wanted speed, against what the controller gives.
Finding pulse_rate_finding(const AxisState& s);

/// The driver's current setting against the motor's rating.
Finding current_finding(const AxisState& s);

}  // namespace pitchline::check
