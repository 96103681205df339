#pragma once

#include <optional>
#include <vector>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// Electrical power of an axis while it accelerates at its wanted speed: shaft power and the copper
/// loss 2 I²R of each motor. Leaves out iron and driver losses.
struct AxisPower {
  Power shaft{};
  Power copper{};
};

AxisPower accelerating_power(const AxisState& s);

/// Power of all axes that accelerate at their wanted speeds at once: shaft powers times the
/// simultaneity of the supply, copper losses in full.
Power peak_power(const machine::Machine& machine, const std::vector<const AxisState*>& states);

/// Electrical power while every axis accelerates at once at its wanted speed, against the supply.
///
/// The shaft powers count with the simultaneity of the supply, the copper losses in full, since a
/// driver keeps its current up in every axis. Leaves out iron and driver losses, so a margin below
/// 1.5 is `unsure` at best.
Finding supply_finding(const machine::Machine& machine,
                       const std::vector<const AxisState*>& states);

/// Mean electrical power of all axes over what they do, against the supply; nothing where no axis
/// has a cycle or a raster.
///
/// An axis without one counts with the copper loss of its current at rest. Shaft powers count in
/// full: simultaneity is a matter of peaks. Where an axis has both, the larger counts. Leaves out
/// iron and driver losses, so a margin below 1.5 is `unsure` at best, as in `supply_finding`.
///
/// \throws InvalidInput  as `duties_of`
std::optional<Finding> supply_mean_finding(const machine::Machine& machine,
                                           const std::vector<const AxisState*>& states);

/// Supply voltage against what the driver of an axis stands; where that is not known, against the
/// trade's rule 32 V sqrt(L / 1 mH) for the motor, and then never a failure.
///
/// \throws InvalidInput  the highest voltage of the driver not above zero
Finding supply_voltage_finding(const AxisState& s);

/// Part of its voltage that a supply may lose on the way to the drivers. Common practice, no
/// source.
inline constexpr double sag_allowed = 0.1;

/// Voltage that is lost on the way to the drivers at the peak of `supply_finding`; nothing where
/// the supply has no resistance.
///
/// Above a tenth, which is no more than common practice, the row is `unsure`. It fails where no
/// voltage gives that power. What a lower voltage does to the torques is not followed.
///
/// \throws InvalidInput  a resistance below zero or not finite, or as `supply_finding`
std::optional<Finding> supply_sag_finding(const machine::Machine& machine,
                                          const std::vector<const AxisState*>& states);

/// The rows of the supply of all axes together: power at its peak and in the mean, sag, bus.
///
/// \throws InvalidInput  as the rows
std::vector<Finding> supply_findings(const machine::Machine& machine,
                                     const std::vector<const AxisState*>& states);

}  // namespace pitchline::check
