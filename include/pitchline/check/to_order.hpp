#pragma once

#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/report/machine_report.hpp"

namespace pitchline::check {

/// The belts to order for an axis beside motor and driver; none for an axis without a belt.
///
/// \throws InvalidInput  as `belt::order_length`
std::vector<report::BeltToOrder> to_order(const AxisState& s);

/// What is to be set on an axis, and typed into its driver and controller.
///
/// The tension of the strands is that which `belt_tension_finding` recommends; none where the file
/// says what is set.
///
/// \throws InvalidInput  as `exact_steps_per_millimetre` or `motion::kept_at`
report::ToSet to_set(const AxisState& s);

}  // namespace pitchline::check
