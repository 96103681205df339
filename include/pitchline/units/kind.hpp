#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "pitchline/units/quantity.hpp"

namespace pitchline {

/// Powers of m, kg, s, A, K, rad, full step, pulse and tooth, in this order.
struct Exponents {
  std::array<std::int8_t, 9> power{};
  constexpr bool operator==(const Exponents&) const = default;
};
inline constexpr std::size_t radian_power = 5;

namespace detail {

// Which place of `Exponents` a Boost.Units base dimension fills.
template <class Tag>
inline constexpr int place_of = -1;
template <>
inline constexpr int place_of<boost::units::length_base_dimension> = 0;
template <>
inline constexpr int place_of<boost::units::mass_base_dimension> = 1;
template <>
inline constexpr int place_of<boost::units::time_base_dimension> = 2;
template <>
inline constexpr int place_of<boost::units::current_base_dimension> = 3;
template <>
inline constexpr int place_of<boost::units::temperature_base_dimension> = 4;
template <>
inline constexpr int place_of<boost::units::plane_angle_base_dimension> = 5;
template <>
inline constexpr int place_of<FullStepDimension> = 6;
template <>
inline constexpr int place_of<PulseDimension> = 7;
template <>
inline constexpr int place_of<ToothDimension> = 8;

template <class List>
struct ExponentsOf;
template <>
struct ExponentsOf<boost::units::dimensionless_type> {
  static constexpr Exponents value{};
};
template <class Tag, class Power, class Next>
struct ExponentsOf<boost::units::list<boost::units::dim<Tag, Power>, Next>> {
  static constexpr Exponents value = [] {
    Exponents e = ExponentsOf<Next>::value;
    static_assert(place_of<Tag> >= 0 && Power::denominator() == 1);
    e.power[static_cast<std::size_t>(place_of<Tag>)] = static_cast<std::int8_t>(Power::numerator());
    return e;
  }();
};

}  // namespace detail

/// The exponents of a quantity type.
template <class Q>
inline constexpr Exponents exponents_of =
    detail::ExponentsOf<typename Q::unit_type::dimension_type>::value;

/// What is said of one kind of quantity in words: for messages, printing and reading.
struct Kind {
  std::string_view name;     ///< with article, "a torque"
  std::string_view example;  ///< how one is written, "0.5 N*m"
  std::string_view unit;     ///< the unit it is printed in
  std::string_view si_unit;  ///< the coherent unit, as JSON names it
  Exponents exponents;
  /// Powers of the radian that people leave out when they write the unit: −1 for N·m, −2 for kg·m².
  std::int8_t silent_radians = 0;
};

/// The kind of a quantity type; only what is listed here can be read from text or printed.
template <class Q>
inline constexpr const Kind* kind_of = nullptr;

namespace detail {
struct Kinds {
#define PITCHLINE_KIND(Type, name, example, unit, si_unit, silent) \
  static constexpr Kind Type##_{name, example, unit, si_unit, exponents_of<Type>, silent};
  PITCHLINE_KIND(Length, "a length", "1500 mm", "mm", "m", 0)
  PITCHLINE_KIND(Area, "an area", "183 mm^2", "mm^2", "m^2", 0)
  PITCHLINE_KIND(SecondMoment, "a second moment of area", "20e4 mm^4", "mm^4", "m^4", 0)
  PITCHLINE_KIND(Mass, "a mass", "1.9 kg", "kg", "kg", 0)
  PITCHLINE_KIND(Density, "a density", "7850 kg/m^3", "kg/m^3", "kg/m^3", 0)
  PITCHLINE_KIND(Time, "a time", "0.2 s", "s", "s", 0)
  PITCHLINE_KIND(Frequency, "a frequency", "42 Hz", "Hz", "Hz", 0)
  PITCHLINE_KIND(Speed, "a speed", "600 mm/s", "mm/s", "m/s", 0)
  PITCHLINE_KIND(Acceleration, "an acceleration", "5 m/s^2", "m/s^2", "m/s^2", 0)
  PITCHLINE_KIND(Jerk, "a jerk", "50 m/s^3", "m/s^3", "m/s^3", 0)
  PITCHLINE_KIND(Force, "a force", "4 N", "N", "N", 0)
  PITCHLINE_KIND(Energy, "an energy", "2 J", "J", "J", 0)
  PITCHLINE_KIND(Power, "a power", "350 W", "W", "W", 0)
  PITCHLINE_KIND(Pressure, "a pressure", "5 MPa", "MPa", "Pa", 0)
  PITCHLINE_KIND(PressureVelocity, "a pressure times speed", "0.1 MPa*m/s", "MPa*m/s", "Pa*m/s", 0)
  PITCHLINE_KIND(Stiffness, "a stiffness", "40 N/mm", "N/mm", "N/m", 0)
  PITCHLINE_KIND(LinearDensity, "a mass per length", "0.013 kg/m", "kg/m", "kg/m", 0)
  PITCHLINE_KIND(MassPerArea, "a mass per area", "1.4 kg/m^2", "kg/m^2", "kg/m^2", 0)
  PITCHLINE_KIND(Angle, "an angle", "1.8 deg", "deg", "rad", 0)
  PITCHLINE_KIND(AngularSpeed, "an angular speed", "600 rpm", "rpm", "rad/s", 0)
  PITCHLINE_KIND(DiameterSpeed, "a diameter times speed", "70000 mm*rpm", "mm*rpm", "m*rad/s", 0)
  PITCHLINE_KIND(AngularAcceleration, "an angular acceleration", "200 rad/s^2", "rad/s^2",
                 "rad/s^2", 0)
  PITCHLINE_KIND(Torque, "a torque", "0.5 N*m", "N*m", "N*m", -1)
  PITCHLINE_KIND(Inertia, "an inertia", "82 g*cm^2", "g*cm^2", "kg*m^2", -2)
  PITCHLINE_KIND(TorsionalStiffness, "a torsional stiffness", "900 N*m/rad", "N*m/rad", "N*m/rad",
                 -1)
  PITCHLINE_KIND(RotaryDrag, "a rotary drag", "1e-4 N*m*s/rad", "N*m*s/rad", "N*m*s/rad", -1)
  PITCHLINE_KIND(Transmission, "a travel per angle", "40 mm/rev", "mm/rev", "m/rad", 0)
  PITCHLINE_KIND(Current, "a current", "2 A", "A", "A", 0)
  PITCHLINE_KIND(Voltage, "a voltage", "36 V", "V", "V", 0)
  PITCHLINE_KIND(Resistance, "a resistance", "1.6 ohm", "ohm", "ohm", 0)
  PITCHLINE_KIND(Inductance, "an inductance", "3 mH", "mH", "H", 0)
  PITCHLINE_KIND(Capacitance, "a capacitance", "4700 uF", "uF", "F", 0)
  PITCHLINE_KIND(TorqueConstant, "a torque constant", "0.21 N*m/A", "N*m/A", "N*m/A", -1)
  PITCHLINE_KIND(TemperatureRise, "a temperature rise", "80 K", "K", "K", 0)
  PITCHLINE_KIND(ThermalResistance, "a thermal resistance", "4 K/W", "K/W", "K/W", 0)
  PITCHLINE_KIND(FullSteps, "a number of full steps", "200 step", "step", "step", 0)
  PITCHLINE_KIND(Pulses, "a number of pulses", "3200 pulse", "pulse", "pulse", 0)
  PITCHLINE_KIND(Teeth, "a number of teeth", "20 tooth", "tooth", "tooth", 0)
  PITCHLINE_KIND(FullStepsPerAngle, "full steps per angle", "200 step/rev", "step/rev", "step/rad",
                 0)
  PITCHLINE_KIND(PulsesPerAngle, "pulses per angle", "3200 pulse/rev", "pulse/rev", "pulse/rad", 0)
  PITCHLINE_KIND(PulsesPerFullStep, "pulses per full step", "16 pulse/step", "pulse/step",
                 "pulse/step", 0)
  PITCHLINE_KIND(PulsesPerLength, "pulses per length", "80 pulse/mm", "pulse/mm", "pulse/m", 0)
  PITCHLINE_KIND(PulseRate, "a pulse rate", "200 kHz", "kpulse/s", "pulse/s", 0)
  PITCHLINE_KIND(FullStepRate, "a full-step rate", "3000 step/s", "step/s", "step/s", 0)
  PITCHLINE_KIND(BeltPitch, "a belt pitch", "2 mm/tooth", "mm/tooth", "m/tooth", 0)
#undef PITCHLINE_KIND
};
}  // namespace detail

#define PITCHLINE_KIND_OF(Type) \
  template <>                   \
  inline constexpr const Kind* kind_of<Type> = &detail::Kinds::Type##_;
PITCHLINE_KIND_OF(Length)
PITCHLINE_KIND_OF(Area)
PITCHLINE_KIND_OF(SecondMoment)
PITCHLINE_KIND_OF(Mass)
PITCHLINE_KIND_OF(Density)
PITCHLINE_KIND_OF(Time)
PITCHLINE_KIND_OF(Frequency)
PITCHLINE_KIND_OF(Speed)
PITCHLINE_KIND_OF(Acceleration)
PITCHLINE_KIND_OF(Jerk)
PITCHLINE_KIND_OF(Force)
PITCHLINE_KIND_OF(Energy)
PITCHLINE_KIND_OF(Power)
PITCHLINE_KIND_OF(Pressure)
PITCHLINE_KIND_OF(PressureVelocity)
PITCHLINE_KIND_OF(Stiffness)
PITCHLINE_KIND_OF(LinearDensity)
PITCHLINE_KIND_OF(MassPerArea)
PITCHLINE_KIND_OF(Angle)
PITCHLINE_KIND_OF(AngularSpeed)
PITCHLINE_KIND_OF(DiameterSpeed)
PITCHLINE_KIND_OF(AngularAcceleration)
PITCHLINE_KIND_OF(Torque)
PITCHLINE_KIND_OF(Inertia)
PITCHLINE_KIND_OF(TorsionalStiffness)
PITCHLINE_KIND_OF(RotaryDrag)
PITCHLINE_KIND_OF(Transmission)
PITCHLINE_KIND_OF(Current)
PITCHLINE_KIND_OF(Voltage)
PITCHLINE_KIND_OF(Resistance)
PITCHLINE_KIND_OF(Inductance)
PITCHLINE_KIND_OF(Capacitance)
PITCHLINE_KIND_OF(TorqueConstant)
PITCHLINE_KIND_OF(TemperatureRise)
PITCHLINE_KIND_OF(ThermalResistance)
PITCHLINE_KIND_OF(FullSteps)
PITCHLINE_KIND_OF(Pulses)
PITCHLINE_KIND_OF(Teeth)
PITCHLINE_KIND_OF(FullStepsPerAngle)
PITCHLINE_KIND_OF(PulsesPerAngle)
PITCHLINE_KIND_OF(PulsesPerFullStep)
PITCHLINE_KIND_OF(PulsesPerLength)
PITCHLINE_KIND_OF(PulseRate)
PITCHLINE_KIND_OF(FullStepRate)
PITCHLINE_KIND_OF(BeltPitch)
#undef PITCHLINE_KIND_OF

/// Every kind, in the order in which a message names them.
inline constexpr std::array all_kinds{
    kind_of<Length>,
    kind_of<Area>,
    kind_of<SecondMoment>,
    kind_of<Mass>,
    kind_of<Density>,
    kind_of<Time>,
    kind_of<Frequency>,
    kind_of<Speed>,
    kind_of<Acceleration>,
    kind_of<Jerk>,
    kind_of<Force>,
    kind_of<Torque>,
    kind_of<Energy>,
    kind_of<Power>,
    kind_of<Pressure>,
    kind_of<PressureVelocity>,
    kind_of<Stiffness>,
    kind_of<LinearDensity>,
    kind_of<MassPerArea>,
    kind_of<Angle>,
    kind_of<AngularSpeed>,
    kind_of<DiameterSpeed>,
    kind_of<AngularAcceleration>,
    kind_of<Inertia>,
    kind_of<TorsionalStiffness>,
    kind_of<RotaryDrag>,
    kind_of<Transmission>,
    kind_of<Current>,
    kind_of<Voltage>,
    kind_of<Resistance>,
    kind_of<Inductance>,
    kind_of<Capacitance>,
    kind_of<TorqueConstant>,
    kind_of<TemperatureRise>,
    kind_of<ThermalResistance>,
    kind_of<FullSteps>,
    kind_of<Pulses>,
    kind_of<Teeth>,
    kind_of<FullStepsPerAngle>,
    kind_of<PulsesPerAngle>,
    kind_of<PulsesPerFullStep>,
    kind_of<PulsesPerLength>,
    kind_of<PulseRate>,
    kind_of<FullStepRate>,
    kind_of<BeltPitch>,
};

/// A quantity type that can be read from text and printed.
template <class Q>
concept Printable = kind_of<Q>
!= nullptr;

}  // namespace pitchline
