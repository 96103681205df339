// expect-error: (no match for 'operator\+'|invalid operands)
#include "pitchline/units/quantity.hpp"

auto sum(pitchline::Length line, pitchline::Mass mass, pitchline::LinearDensity cord) {
#ifdef MUST_FAIL
  return line + mass;
#else
  return line + mass / cord;
#endif
}
