// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/units/quantity.hpp"

pitchline::Mass felt_mass(pitchline::Inertia rotor, pitchline::Transmission travel) {
#ifdef MUST_FAIL
  return rotor;
#else
  return rotor / (travel * travel);
#endif
}
