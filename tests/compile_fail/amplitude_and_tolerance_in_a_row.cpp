// expect-error: (too many arguments|invalid initialization of reference|no matching function)
#include "pitchline/motion/residual_vibration.hpp"

// Amplitude and tolerance are both lengths: only their names tell them apart.
pitchline::Time wait(const pitchline::motion::ElasticMode& mode, pitchline::Length amplitude,
                     pitchline::Length tolerance) {
#ifdef MUST_FAIL
  return pitchline::motion::settling_time(mode, tolerance, amplitude);
#else
  return pitchline::motion::settling_time(mode, {.amplitude = amplitude, .tolerance = tolerance});
#endif
}
