// expect-error: (could not convert|no matching constructor)
#include "pitchline/units/ratio.hpp"

struct Rail {
  pitchline::FrictionCoefficient friction;
};
#ifdef MUST_FAIL
Rail rail{};  // a friction left out is no friction of zero
#else
Rail rail{.friction = pitchline::FrictionCoefficient(0.0)};
#endif
