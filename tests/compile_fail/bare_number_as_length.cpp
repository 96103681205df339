// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/make.hpp"

pitchline::Length span() {
#ifdef MUST_FAIL
  return 0.75;
#else
  return pitchline::metres(0.75);
#endif
}
