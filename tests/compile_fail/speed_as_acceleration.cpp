// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/quantity.hpp"

pitchline::Acceleration ramp(pitchline::Speed speed, pitchline::Time time) {
#ifdef MUST_FAIL
  return speed;
#else
  return speed / time;
#endif
}
