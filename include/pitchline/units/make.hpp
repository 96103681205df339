#pragma once

#include "pitchline/units/quantity.hpp"
#include "pitchline/units/scale.hpp"

namespace pitchline {

// Each line makes a pair: `Length millimetres(double)` on the way in, `double
// in_millimetres(Length)` on the way out. One macro holds both, so that the two can never use
// different factors.
#define PITCHLINE_UNIT(Type, name, scale_)                                            \
  constexpr Type name(double x) { return Type::from_value((scale_).to_coherent(x)); } \
  constexpr double in_##name(const Type& x) { return (scale_).from_coherent(x.value()); }

PITCHLINE_UNIT(Length, metres, scale::one)
PITCHLINE_UNIT(Length, millimetres, scale::milli)
PITCHLINE_UNIT(Length, micrometres, scale::micro)
PITCHLINE_UNIT(Length, inches, scale::inch)
PITCHLINE_UNIT(Area, square_metres, scale::one)
PITCHLINE_UNIT(SecondMoment, metres_to_the_fourth, scale::one)
PITCHLINE_UNIT(SecondMoment, millimetres_to_the_fourth, (Scale{1, 1e12}))
PITCHLINE_UNIT(Mass, kilograms, scale::one)
PITCHLINE_UNIT(Mass, grams, scale::gram)
PITCHLINE_UNIT(Mass, pounds, scale::pound)
PITCHLINE_UNIT(Density, kilograms_per_cubic_metre, scale::one)
PITCHLINE_UNIT(Time, seconds, scale::one)
PITCHLINE_UNIT(Time, milliseconds, scale::milli)
PITCHLINE_UNIT(Frequency, hertz, scale::one)
PITCHLINE_UNIT(Speed, metres_per_second, scale::one)
PITCHLINE_UNIT(Speed, millimetres_per_second, scale::milli)
PITCHLINE_UNIT(Acceleration, metres_per_second_squared, scale::one)
PITCHLINE_UNIT(Acceleration, millimetres_per_second_squared, scale::milli)
PITCHLINE_UNIT(Jerk, metres_per_second_cubed, scale::one)
PITCHLINE_UNIT(Force, newtons, scale::one)
PITCHLINE_UNIT(Force, pounds_force, scale::pound_force)
PITCHLINE_UNIT(Energy, joules, scale::one)
PITCHLINE_UNIT(Power, watts, scale::one)
PITCHLINE_UNIT(Pressure, pascals, scale::one)
PITCHLINE_UNIT(Pressure, megapascals, scale::mega)
PITCHLINE_UNIT(PressureVelocity, megapascal_metres_per_second, scale::mega)
PITCHLINE_UNIT(WearFactor, cubic_millimetres_per_newton_metre, scale::nano)
PITCHLINE_UNIT(Stiffness, newtons_per_metre, scale::one)
PITCHLINE_UNIT(Stiffness, newtons_per_millimetre, scale::kilo)
PITCHLINE_UNIT(LinearDensity, kilograms_per_metre, scale::one)
PITCHLINE_UNIT(Angle, radians, scale::one)
PITCHLINE_UNIT(Angle, degrees, scale::degree)
PITCHLINE_UNIT(Angle, revolutions, scale::turn)
PITCHLINE_UNIT(AngularSpeed, radians_per_second, scale::one)
PITCHLINE_UNIT(AngularSpeed, revolutions_per_minute, scale::turn_per_minute)
PITCHLINE_UNIT(DiameterSpeed, millimetre_revolutions_per_minute,
               (Scale{scale::turn.numerator, 60e3}))
PITCHLINE_UNIT(AngularAcceleration, radians_per_second_squared, scale::one)
PITCHLINE_UNIT(Torque, newton_metres, scale::one)
PITCHLINE_UNIT(Inertia, kilogram_square_metres, scale::one)
PITCHLINE_UNIT(Inertia, gram_square_centimetres, (Scale{1, 1e7}))
PITCHLINE_UNIT(TorsionalStiffness, newton_metres_per_radian, scale::one)
PITCHLINE_UNIT(RotaryDrag, newton_metre_seconds_per_radian, scale::one)
PITCHLINE_UNIT(Transmission, metres_per_radian, scale::one)
PITCHLINE_UNIT(Current, amperes, scale::one)
PITCHLINE_UNIT(Voltage, volts, scale::one)
PITCHLINE_UNIT(Resistance, ohms, scale::one)
PITCHLINE_UNIT(Inductance, henries, scale::one)
PITCHLINE_UNIT(Inductance, millihenries, scale::milli)
PITCHLINE_UNIT(Capacitance, farads, scale::one)
PITCHLINE_UNIT(Capacitance, microfarads, scale::micro)
PITCHLINE_UNIT(TorqueConstant, newton_metres_per_ampere, scale::one)
PITCHLINE_UNIT(TemperatureRise, kelvins, scale::one)
PITCHLINE_UNIT(ThermalResistance, kelvins_per_watt, scale::one)
PITCHLINE_UNIT(FullSteps, full_steps, scale::one)
PITCHLINE_UNIT(Pulses, pulses, scale::one)
PITCHLINE_UNIT(Teeth, teeth, scale::one)
PITCHLINE_UNIT(FullStepsPerAngle, full_steps_per_radian, scale::one)
PITCHLINE_UNIT(FullStepsPerAngle, full_steps_per_revolution, (Scale{1, scale::turn.numerator}))
PITCHLINE_UNIT(PulsesPerAngle, pulses_per_revolution, (Scale{1, scale::turn.numerator}))
PITCHLINE_UNIT(PulsesPerFullStep, pulses_per_full_step, scale::one)
PITCHLINE_UNIT(PulsesPerLength, pulses_per_millimetre, scale::kilo)
PITCHLINE_UNIT(PulseRate, pulses_per_second, scale::one)
PITCHLINE_UNIT(FullStepRate, full_steps_per_second, scale::one)
PITCHLINE_UNIT(BeltPitch, metres_per_tooth, scale::one)
PITCHLINE_UNIT(BeltPitch, millimetres_per_tooth, scale::milli)

#undef PITCHLINE_UNIT

}  // namespace pitchline
