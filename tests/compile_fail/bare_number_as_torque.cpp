// expect-error: (could not convert|no viable conversion|no matching function|cannot convert)
#include "pitchline/units/make.hpp"

double worth(pitchline::Torque torque) { return pitchline::in_newton_metres(torque); }
double holding() {
#ifdef MUST_FAIL
  return worth(1.26);
#else
  return worth(pitchline::newton_metres(1.26));
#endif
}
