// expect-error: (unable to find numeric literal operator|no matching literal operator)
#include "pitchline/units/literals.hpp"

using namespace pitchline::literals;
#ifdef MUST_FAIL
const pitchline::Teeth pulley = 19.5_teeth;
#else
const pitchline::Teeth pulley = 20_teeth;
#endif
