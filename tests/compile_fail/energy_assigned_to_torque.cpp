// expect-error: is_implicitly_convertible
#include "pitchline/units/quantity.hpp"

void assign(pitchline::Torque& torque, pitchline::Energy work) {
#ifdef MUST_FAIL
  torque = work;
#else
  torque = work / pitchline::radian;
#endif
}
