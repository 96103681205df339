// expect-error: (too many arguments|invalid initialization of reference|no matching function)
#include "pitchline/belt/tension.hpp"

// Tension and pull are both forces: only their names tell them apart.
pitchline::Force most(pitchline::Force tension, pitchline::Force pull) {
#ifdef MUST_FAIL
  return pitchline::belt::largest_tension_of_pair(pull, tension);
#else
  return pitchline::belt::largest_tension_of_pair({.tension = tension, .pull = pull});
#endif
}
