// expect-error: (could not convert|no viable conversion|cannot convert)
#include "pitchline/belt/plucked_span.hpp"

// A profile has its mass per length and width; a strand of one width has it per length.
pitchline::belt::PluckedSpan span(const pitchline::parts::Belt& belt, pitchline::Length free) {
#ifdef MUST_FAIL
  return {.free_length = free, .mass_per_length = belt.profile.mass_per_width};
#else
  return {.free_length = free, .mass_per_length = pitchline::parts::mass_per_length(belt)};
#endif
}
