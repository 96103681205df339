// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/quantity.hpp"

pitchline::Force weight(pitchline::Mass mass) {
#ifdef MUST_FAIL
  return mass;
#else
  return mass * pitchline::standard_gravity;
#endif
}
