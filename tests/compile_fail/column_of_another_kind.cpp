// expect-error: (conversion from|no viable conversion|could not convert)
#include "pitchline/units/column.hpp"
#include "pitchline/units/quantity.hpp"

pitchline::Column<pitchline::Force> forces(const pitchline::Column<pitchline::Mass>& masses) {
#ifdef MUST_FAIL
  return each(masses) * pitchline::Speed{};  // a momentum
#else
  return each(masses) * pitchline::standard_gravity;
#endif
}
