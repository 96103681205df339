#pragma once

#include "pitchline/units.hpp"

namespace pitchline::parts {

/// The direct-voltage supply that all drivers share.
struct Supply {
  Voltage voltage = unset<Voltage>();
  Power power = unset<Power>();  ///< continuous output
};

}  // namespace pitchline::parts
