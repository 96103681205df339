// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/make.hpp"

pitchline::Length belt_length(pitchline::Teeth teeth) {
#ifdef MUST_FAIL
  return teeth;
#else
  return teeth * pitchline::millimetres_per_tooth(2);
#endif
}
