// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/ratio.hpp"

pitchline::Efficiency belt_efficiency() {
#ifdef MUST_FAIL
  return 0.95;
#else
  return pitchline::Efficiency(0.95);
#endif
}
