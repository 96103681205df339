// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/quantity.hpp"

pitchline::Transmission travel_per_angle(pitchline::Length pulley_radius) {
#ifdef MUST_FAIL
  return pulley_radius;
#else
  return pulley_radius / pitchline::radian;
#endif
}
