// expect-error: (too many arguments|invalid initialization of reference|no matching function)
#include "pitchline/screw/ball_screw_life.hpp"

// Swapped, rating and load would give the inverse of the safety.
double safety(pitchline::Force rating, pitchline::Force load) {
#ifdef MUST_FAIL
  return pitchline::screw::static_safety(load, rating);
#else
  return pitchline::screw::static_safety({.rating = rating, .largest = load});
#endif
}
