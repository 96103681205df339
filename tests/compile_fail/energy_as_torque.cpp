// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/quantity.hpp"

pitchline::Torque moment(pitchline::Force force, pitchline::Length arm) {
#ifdef MUST_FAIL
  return force * arm;  // an energy: the angle is missing
#else
  return force * arm / pitchline::radian;
#endif
}
