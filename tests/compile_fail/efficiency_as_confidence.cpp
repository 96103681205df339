// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/tune/estimate.hpp"

// Both are parts of one, and 0.95 is usual for both.
pitchline::tune::Confidence usual(pitchline::Efficiency belt_stage) {
#ifdef MUST_FAIL
  return belt_stage;
#else
  return pitchline::tune::Confidence(belt_stage.value());
#endif
}
