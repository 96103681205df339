#pragma once

#include <string>
#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motor/bus_voltage.hpp"

namespace pitchline::check {

/// What an axis gives back to the supply in a hard stop.
struct AxisReturn {
  const AxisState* state = nullptr;
  motor::BrakingEnergy energy{};
  Energy bound{};  ///< without any loss
  /// The driver forces its current at the wanted speed, so that the copper loss is what it is
  /// counted as; else it is less and more comes back.
  bool current_forced = false;
};

/// Energy of a hard stop of an axis from its wanted speed at its wanted acceleration, down an
/// incline; with the lowering before it, of the stroke or where none is given of all the travel,
/// where that returns more.
///
/// All motors together. Each counts with the share of the deciding one, which is the larger.
///
/// \throws InvalidInput  as `motor::braking_energy`
AxisReturn returned_by(const AxisState& s);

/// Bus voltage after a hard stop of the axis that returns most, against the lowest voltage that a
/// driver of the machine stands.
///
/// The energy is that of `motor::braking_energy`, in which friction, drive and copper take their
/// part. Where the voltage limits the current, the copper takes less than that: the row then holds
/// only where the bound without losses stays below the limit, and is `unsure` else; likewise where
/// an emergency stop of all axes at once, each at its wanted speed, would pass it. Where anything
/// comes back and the capacitance or the voltage that a driver stands is not known, it is `unsure`
/// and says what is asked for; where nothing does, neither is.
///
/// \throws InvalidInput  no axis; capacitance or a driver's highest voltage not above zero, or as
///                       `returned_by`
Finding bus_voltage_finding(const machine::Machine& machine,
                            const std::vector<const AxisState*>& states);

}  // namespace pitchline::check
