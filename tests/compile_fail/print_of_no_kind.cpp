// expect-error: no matching function for call to
#include "pitchline/units/print.hpp"

std::string text(pitchline::Force force) {
#ifdef MUST_FAIL
  return pitchline::print(force * force);  // there is no name for a square of a force
#else
  return pitchline::print(force);
#endif
}
