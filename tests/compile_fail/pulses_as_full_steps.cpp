// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/make.hpp"

pitchline::FullSteps travelled(pitchline::Pulses sent) {
#ifdef MUST_FAIL
  return sent;
#else
  return sent / pitchline::pulses_per_full_step(16);
#endif
}
