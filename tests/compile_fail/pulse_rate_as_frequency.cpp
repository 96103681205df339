// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/make.hpp"

pitchline::Frequency output_frequency(pitchline::PulseRate rate) {
#ifdef MUST_FAIL
  return rate;
#else
  return rate / pitchline::pulses(1);
#endif
}
