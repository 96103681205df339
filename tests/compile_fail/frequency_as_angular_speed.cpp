// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/quantity.hpp"

pitchline::AngularSpeed shaft_speed(pitchline::Frequency turns_per_time) {
#ifdef MUST_FAIL
  return turns_per_time;
#else
  return turns_per_time * pitchline::revolution;
#endif
}
