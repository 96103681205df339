// expect-error: conversion_factor
#include "pitchline/units/quantity.hpp"

// Boost.Units lets one say Torque(x) for any x and refuses it only inside; this is why no concept
// can make the claim.
pitchline::Torque made(pitchline::Energy work) {
#ifdef MUST_FAIL
  return pitchline::Torque(work);
#else
  return pitchline::Torque(work / pitchline::radian);
#endif
}
