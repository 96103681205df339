#pragma once

#include "pitchline/units/make.hpp"

/// Literals for code and tests: `using namespace pitchline::literals;`, then `1.9_kg`, `36_V`.
/// Counts take whole numbers only: `20_teeth`, `200_full_steps`.
namespace pitchline::literals {

#define PITCHLINE_LITERAL(Type, maker, suffix)                                                \
  consteval Type operator""_##suffix(long double x) { return maker(static_cast<double>(x)); } \
  consteval Type operator""_##suffix(unsigned long long x) { return maker(static_cast<double>(x)); }

PITCHLINE_LITERAL(Length, metres, m)
PITCHLINE_LITERAL(Length, millimetres, mm)
PITCHLINE_LITERAL(Length, inches, in)
PITCHLINE_LITERAL(Mass, kilograms, kg)
PITCHLINE_LITERAL(Mass, grams, g)
PITCHLINE_LITERAL(Time, seconds, s)
PITCHLINE_LITERAL(Time, milliseconds, ms)
PITCHLINE_LITERAL(Frequency, hertz, Hz)
PITCHLINE_LITERAL(Speed, metres_per_second, m_per_s)
PITCHLINE_LITERAL(Speed, millimetres_per_second, mm_per_s)
PITCHLINE_LITERAL(Acceleration, metres_per_second_squared, m_per_s2)
PITCHLINE_LITERAL(Force, newtons, N)
PITCHLINE_LITERAL(Torque, newton_metres, Nm)
PITCHLINE_LITERAL(Angle, degrees, deg)
PITCHLINE_LITERAL(AngularSpeed, revolutions_per_minute, rpm)
PITCHLINE_LITERAL(Inertia, gram_square_centimetres, g_cm2)
PITCHLINE_LITERAL(Current, amperes, A)
PITCHLINE_LITERAL(Voltage, volts, V)
PITCHLINE_LITERAL(Resistance, ohms, ohm)
PITCHLINE_LITERAL(Inductance, millihenries, mH)
PITCHLINE_LITERAL(Power, watts, W)

#undef PITCHLINE_LITERAL

consteval Teeth operator""_teeth(unsigned long long x) { return teeth(static_cast<double>(x)); }
consteval Pulses operator""_pulses(unsigned long long x) { return pulses(static_cast<double>(x)); }
consteval FullSteps operator""_full_steps(unsigned long long x) {
  return full_steps(static_cast<double>(x));
}

}  // namespace pitchline::literals
