// expect-error: (too many arguments|invalid initialization of reference|no matching function)
#include "pitchline/screw/square_thread.hpp"

// Diameter and pitch are both lengths: only their names tell them apart.
pitchline::screw::SquareDiameters of(pitchline::Length outer, pitchline::Length pitch) {
#ifdef MUST_FAIL
  return pitchline::screw::square_diameters(pitch, outer);
#else
  return pitchline::screw::square_diameters({.outer_diameter = outer, .pitch = pitch});
#endif
}
