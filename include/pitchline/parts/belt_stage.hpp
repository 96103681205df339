#pragma once

#include "pitchline/parts/belt.hpp"
#include "pitchline/units.hpp"

namespace pitchline::parts {

/// A belt reduction between the motor and the shaft of the drive pulley.
struct BeltStage {
  BeltProfile profile{};
  Length width = unset<Length>();
  int motor_teeth = 0;
  int driven_teeth = 0;
  Length centre_distance = unset<Length>();  ///< of its two pulleys; its stretch needs it
  Length take_up = unset<Length>();  ///< how far that can be set, either way; unset: not given
};

/// Turns of the motor per turn of the driven shaft.
///
/// \throws InvalidInput  a tooth count not above zero
inline Fraction exact_ratio(const BeltStage& stage) {
  if (stage.motor_teeth <= 0) throw InvalidInput("motor teeth", "> 0", stage.motor_teeth, "");
  if (stage.driven_teeth <= 0) throw InvalidInput("driven teeth", "> 0", stage.driven_teeth, "");
  return {stage.driven_teeth, stage.motor_teeth};
}

}  // namespace pitchline::parts
