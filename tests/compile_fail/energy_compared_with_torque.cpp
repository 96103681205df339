// expect-error: (no match for 'operator>'|invalid operands)
#include "pitchline/units/quantity.hpp"

bool holds(pitchline::Torque torque, pitchline::Energy work, pitchline::Angle angle) {
#ifdef MUST_FAIL
  return torque > work;
#else
  return torque > work / angle;
#endif
}
