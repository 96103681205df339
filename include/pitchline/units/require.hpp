#pragma once

#include <fmt/format.h>

#include <cmath>
#include <concepts>
#include <string>
#include <string_view>
#include <type_traits>

#include "pitchline/units/error.hpp"
#include "pitchline/units/make.hpp"

// The checks at the head of a formula, one line for one row of its table. NaN, which is a field
// that was never set, fails each of them. The field is named as the documentation names it, never
// put together at the call: the name would be built on every good call too.

namespace pitchline {

/// In what a message prints a kind of quantity.
template <class Q>
struct ShownIn {
  double (*value)(const Q&);
  std::string_view unit;
};

/// The unit of messages, where a call names no other: that of data sheets and drawings.
template <class Q>
inline constexpr ShownIn<Q> shown_in = {};

#define PITCHLINE_SHOWN_IN(Type, name, unit) \
  template <>                                \
  inline constexpr ShownIn<Type> shown_in<Type>{in_##name, unit};
PITCHLINE_SHOWN_IN(Length, millimetres, "mm")
PITCHLINE_SHOWN_IN(SecondMoment, millimetres_to_the_fourth, "mm^4")
PITCHLINE_SHOWN_IN(Mass, kilograms, "kg")
PITCHLINE_SHOWN_IN(Density, kilograms_per_cubic_metre, "kg/m^3")
PITCHLINE_SHOWN_IN(Time, seconds, "s")
PITCHLINE_SHOWN_IN(Frequency, hertz, "Hz")
PITCHLINE_SHOWN_IN(Speed, metres_per_second, "m/s")
PITCHLINE_SHOWN_IN(Acceleration, metres_per_second_squared, "m/s^2")
PITCHLINE_SHOWN_IN(Jerk, metres_per_second_cubed, "m/s^3")
PITCHLINE_SHOWN_IN(Force, newtons, "N")
PITCHLINE_SHOWN_IN(Energy, joules, "J")
PITCHLINE_SHOWN_IN(Power, watts, "W")
PITCHLINE_SHOWN_IN(Pressure, megapascals, "MPa")
PITCHLINE_SHOWN_IN(PressureVelocity, megapascal_metres_per_second, "MPa*m/s")
PITCHLINE_SHOWN_IN(WearFactor, cubic_millimetres_per_newton_metre, "mm^3/(N*m)")
PITCHLINE_SHOWN_IN(Stiffness, newtons_per_metre, "N/m")
PITCHLINE_SHOWN_IN(LinearDensity, kilograms_per_metre, "kg/m")
PITCHLINE_SHOWN_IN(Angle, degrees, "deg")
PITCHLINE_SHOWN_IN(AngularSpeed, radians_per_second, "rad/s")
PITCHLINE_SHOWN_IN(Torque, newton_metres, "N*m")
PITCHLINE_SHOWN_IN(Inertia, kilogram_square_metres, "kg*m^2")
PITCHLINE_SHOWN_IN(TorsionalStiffness, newton_metres_per_radian, "N*m/rad")
PITCHLINE_SHOWN_IN(RotaryDrag, newton_metre_seconds_per_radian, "N*m*s/rad")
PITCHLINE_SHOWN_IN(Transmission, metres_per_radian, "m/rad")
PITCHLINE_SHOWN_IN(Current, amperes, "A")
PITCHLINE_SHOWN_IN(Voltage, volts, "V")
PITCHLINE_SHOWN_IN(Resistance, ohms, "ohm")
PITCHLINE_SHOWN_IN(Inductance, henries, "H")
PITCHLINE_SHOWN_IN(Capacitance, microfarads, "uF")
PITCHLINE_SHOWN_IN(TorqueConstant, newton_metres_per_ampere, "N*m/A")
PITCHLINE_SHOWN_IN(TemperatureRise, kelvins, "K")
PITCHLINE_SHOWN_IN(ThermalResistance, kelvins_per_watt, "K/W")
PITCHLINE_SHOWN_IN(FullStepsPerAngle, full_steps_per_revolution, "step/rev")
PITCHLINE_SHOWN_IN(PulsesPerFullStep, pulses_per_full_step, "pulse/step")
PITCHLINE_SHOWN_IN(PulsesPerLength, pulses_per_millimetre, "pulse/mm")
PITCHLINE_SHOWN_IN(BeltPitch, millimetres_per_tooth, "mm/tooth")
#undef PITCHLINE_SHOWN_IN

/// Other units for a message, where the range is better told in them.
namespace shown {
inline constexpr ShownIn<Length> metres{in_metres, "m"};
inline constexpr ShownIn<Length> inches{in_inches, "in"};
inline constexpr ShownIn<Speed> millimetres_per_second{in_millimetres_per_second, "mm/s"};
inline constexpr ShownIn<Stiffness> newtons_per_millimetre{in_newtons_per_millimetre, "N/mm"};
inline constexpr ShownIn<Angle> revolutions{in_revolutions, "rev"};
inline constexpr ShownIn<Capacitance> farads{in_farads, "F"};
inline constexpr ShownIn<AngularSpeed> revolutions_per_minute{in_revolutions_per_minute, "rpm"};
}  // namespace shown

namespace detail {
// Out of the way of the checks, which are inlined where a formula is called a million times.
template <class Q>
[[noreturn]] void refuse(std::string_view field, std::string_view rule, const Q& x,
                         const ShownIn<Q>& in) {
  throw InvalidInput(field, rule, in.value(x), in.unit);
}
[[noreturn]] inline void refuse(std::string_view field, std::string_view rule, double x) {
  throw InvalidInput(field, rule, x, "");
}
inline std::string range_rule(double least, double most) {
  return fmt::format("from {:.10g} to {:.10g}", least, most);
}
template <class Unit>
using Plain = boost::units::quantity<Unit, double>;
template <class Unit>
using Shown = std::type_identity_t<ShownIn<Plain<Unit>>>;
}  // namespace detail

/// Above zero and finite.
///
/// \throws InvalidInput  "<field> must be > 0, got <value> <unit>"
template <class Unit>
void require_positive(std::string_view field, const boost::units::quantity<Unit, double>& x,
                      const detail::Shown<Unit>& in = shown_in<detail::Plain<Unit>>) {
  if (!(x > detail::Plain<Unit>{} && is_finite(x))) detail::refuse(field, "> 0", x, in);
}
inline void require_positive(std::string_view field, double x) {
  if (!(x > 0.0 && std::isfinite(x))) detail::refuse(field, "> 0", x);
}

/// Above zero; infinite as well, for what may be rigid or without limit.
///
/// \throws InvalidInput  "<field> must be > 0, got <value> <unit>"
template <class Unit>
void require_positive_or_infinite(std::string_view field,
                                  const boost::units::quantity<Unit, double>& x,
                                  const detail::Shown<Unit>& in = shown_in<detail::Plain<Unit>>) {
  if (!(x > detail::Plain<Unit>{})) detail::refuse(field, "> 0", x, in);
}
inline void require_positive_or_infinite(std::string_view field, double x) {
  if (!(x > 0.0)) detail::refuse(field, "> 0", x);
}

/// Zero or above, and finite.
///
/// \throws InvalidInput  "<field> must be >= 0, got <value> <unit>"
template <class Unit>
void require_not_negative(std::string_view field, const boost::units::quantity<Unit, double>& x,
                          const detail::Shown<Unit>& in = shown_in<detail::Plain<Unit>>) {
  if (!(x >= detail::Plain<Unit>{} && is_finite(x))) detail::refuse(field, ">= 0", x, in);
}
inline void require_not_negative(std::string_view field, double x) {
  if (!(x >= 0.0 && std::isfinite(x))) detail::refuse(field, ">= 0", x);
}

/// Zero or above; infinite as well.
///
/// \throws InvalidInput  "<field> must be >= 0, got <value> <unit>"
template <class Unit>
void require_not_negative_or_infinite(
    std::string_view field, const boost::units::quantity<Unit, double>& x,
    const detail::Shown<Unit>& in = shown_in<detail::Plain<Unit>>) {
  if (!(x >= detail::Plain<Unit>{})) detail::refuse(field, ">= 0", x, in);
}
inline void require_not_negative_or_infinite(std::string_view field, double x) {
  if (!(x >= 0.0)) detail::refuse(field, ">= 0", x);
}

/// Neither NaN nor infinite; of either sign.
///
/// \throws InvalidInput  "<field> must be finite, got <value> <unit>"
template <class Unit>
void require_finite(std::string_view field, const boost::units::quantity<Unit, double>& x,
                    const detail::Shown<Unit>& in = shown_in<detail::Plain<Unit>>) {
  if (!is_finite(x)) detail::refuse(field, "finite", x, in);
}
inline void require_finite(std::string_view field, double x) {
  if (!std::isfinite(x)) detail::refuse(field, "finite", x);
}

/// As `require_finite`, where leaving it out is the likely mistake.
///
/// \throws InvalidInput  "<field> must be given and finite, got <value> <unit>"
template <class Unit>
void require_given(std::string_view field, const boost::units::quantity<Unit, double>& x,
                   const detail::Shown<Unit>& in = shown_in<detail::Plain<Unit>>) {
  if (!is_finite(x)) detail::refuse(field, "given and finite", x, in);
}

/// Both ends included.
///
/// \throws InvalidInput  "<field> must be from <least> to <most>, got <value> <unit>"
template <class Unit>
void require_in_range(std::string_view field, const boost::units::quantity<Unit, double>& x,
                      const std::type_identity_t<detail::Plain<Unit>>& least,
                      const std::type_identity_t<detail::Plain<Unit>>& most,
                      const detail::Shown<Unit>& in = shown_in<detail::Plain<Unit>>) {
  if (!(x >= least && x <= most))
    detail::refuse(field, detail::range_rule(in.value(least), in.value(most)), x, in);
}
inline void require_in_range(std::string_view field, double x, double least, double most) {
  if (!(x >= least && x <= most)) detail::refuse(field, detail::range_rule(least, most), x);
}

/// A count, or a factor with a least value.
///
/// \throws InvalidInput  "<field> must be >= <least>, got <value>"
template <std::integral Count>
void require_at_least(std::string_view field, Count x, std::type_identity_t<Count> least) {
  if (x < least) detail::refuse(field, fmt::format(">= {}", least), static_cast<double>(x));
}
inline void require_at_least(std::string_view field, double x, double least) {
  if (!(x >= least)) detail::refuse(field, fmt::format(">= {:.10g}", least), x);
}

}  // namespace pitchline
