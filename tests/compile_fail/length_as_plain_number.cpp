// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/make.hpp"

double metres_of_line(pitchline::Length line) {
#ifdef MUST_FAIL
  return line;
#else
  return pitchline::in_metres(line);
#endif
}
