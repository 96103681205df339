// expect-error: (has no non-static data member named 'thread'|does not refer to any field)
#include "pitchline/units/literals.hpp"

// Two lengths are told apart by the names of their fields alone, so a wrong name must not pass.
using namespace pitchline::literals;
struct Screw {
  pitchline::Length mean_diameter;
  pitchline::Length lead;
};
#ifdef MUST_FAIL
Screw screw{.mean_diameter = 10_mm, .thread = 2_mm};
#else
Screw screw{.mean_diameter = 10_mm, .lead = 2_mm};
#endif
