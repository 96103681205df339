// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/ratio.hpp"

pitchline::TorqueMargin margin(pitchline::GearRatio ratio) {
#ifdef MUST_FAIL
  return ratio;
#else
  return pitchline::TorqueMargin(ratio.value());
#endif
}
