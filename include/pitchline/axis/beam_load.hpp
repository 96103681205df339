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
  if (!(load.beam >= kilograms(0) && is_finite(load.beam)))
    throw InvalidInput("beam mass", ">= 0", in_kilograms(load.beam), "kg");
  if (!(load.carriage >= kilograms(0) && is_finite(load.carriage)))
    throw InvalidInput("carriage mass", ">= 0", in_kilograms(load.carriage), "kg");
}
}  // namespace detail

}  // namespace pitchline::axis
