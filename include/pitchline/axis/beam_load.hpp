#pragma once

#include "pitchline/units.hpp"

namespace pitchline::axis {

/// What a beam on two belts carries.
struct BeamLoad {
  Mass beam = unset<Mass>();      ///< with all that is fixed to it, its middle in the middle
  Mass carriage = unset<Mass>();  ///< what travels along the beam
};

namespace detail {
inline void require_valid(const BeamLoad& load) {
  require_not_negative("beam mass", load.beam);
  require_not_negative("carriage mass", load.carriage);
}
}  // namespace detail

}  // namespace pitchline::axis
