#pragma once

#include "pitchline/units.hpp"

namespace pitchline::parts {

/// The direct-voltage supply that all drivers share.
struct Supply {
  Voltage voltage = unset<Voltage>();
  Power power = unset<Power>();  ///< continuous output
  /// Part of the sum of all shaft powers that is drawn at once.
  Simultaneity simultaneity{1.0};
  Resistance resistance{};                         ///< between it and the drivers: what sags
  Capacitance capacitance = unset<Capacitance>();  ///< across the bus; unset: not known
};

}  // namespace pitchline::parts
