// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/ratio.hpp"

pitchline::FrictionCoefficient rail_friction(pitchline::Efficiency screw_efficiency) {
#ifdef MUST_FAIL
  return screw_efficiency;
#else
  return pitchline::FrictionCoefficient(1.0 - screw_efficiency.value());
#endif
}
