#pragma once

#include <boost/units/physical_dimensions.hpp>
#include <cmath>
#include <numbers>

#include "pitchline/units/system.hpp"

namespace pitchline {

using Length = Quantity<boost::units::length_dimension>;
using Area = Quantity<boost::units::area_dimension>;
using SecondMoment = Product<Area, Area>;  ///< of a section, against bending or twist
using Mass = Quantity<boost::units::mass_dimension>;
using Density = Quantity<boost::units::mass_density_dimension>;
using Time = Quantity<boost::units::time_dimension>;
using Frequency = Quantity<boost::units::frequency_dimension>;
using Speed = Quantity<boost::units::velocity_dimension>;
using Acceleration = Quantity<boost::units::acceleration_dimension>;
using Jerk = Quotient<Acceleration, Time>;
using Force = Quantity<boost::units::force_dimension>;
using Energy = Quantity<boost::units::energy_dimension>;
using Power = Quantity<boost::units::power_dimension>;
using Pressure = Quantity<boost::units::pressure_dimension>;
using PressureVelocity = Product<Pressure, Speed>;  ///< of sliding faces: the trade's "PV"
using WearFactor = Quotient<Area, Force>;           ///< worn volume per load and way slid
using Stiffness = Quotient<Force, Length>;
using LinearDensity = Quotient<Mass, Length>;
using MassPerArea = Quotient<LinearDensity, Length>;  ///< a belt's mass per length and width

using Angle = Quantity<boost::units::plane_angle_dimension>;
using AngularSpeed = Quantity<boost::units::angular_velocity_dimension>;
using DiameterSpeed = Product<Length, AngularSpeed>;  ///< diameter times speed: the trade's "DN"
using AngularAcceleration = Quantity<boost::units::angular_acceleration_dimension>;
using Torque = Quantity<boost::units::torque_dimension>;              ///< energy per angle
using Inertia = Quantity<boost::units::moment_of_inertia_dimension>;  ///< kg·m²/rad²
using TorsionalStiffness = Quotient<Torque, Angle>;
using RotaryDrag = Quotient<Torque, AngularSpeed>;  ///< viscous drag about an axis

/// Length per angle: a pulley, rack, screw or roller. Force times it is a torque, an angular speed
/// times it is a speed, a mass times its square is an inertia, all without a cast. A lever arm or a
/// radius is a plain length and does not pass for it; divide by one radian where that is meant.
using Transmission = Quotient<Length, Angle>;

using Current = Quantity<boost::units::current_dimension>;
using Voltage = Quantity<boost::units::electric_potential_dimension>;
using Resistance = Quantity<boost::units::resistance_dimension>;
using Inductance = Quantity<boost::units::inductance_dimension>;
using Capacitance = Quantity<boost::units::capacitance_dimension>;
using TorqueConstant = Quotient<Torque, Current>;  ///< N·m/A, the same as V·s/rad
using TemperatureRise = Quantity<boost::units::temperature_dimension>;
using ThermalResistance = Quotient<TemperatureRise, Power>;

using FullSteps = Quantity<detail::FullStepDimension::dimension_type>;
using Pulses = Quantity<detail::PulseDimension::dimension_type>;
using Teeth = Quantity<detail::ToothDimension::dimension_type>;
using FullStepsPerAngle = Quotient<FullSteps, Angle>;
using PulsesPerAngle = Quotient<Pulses, Angle>;
using PulsesPerFullStep = Quotient<Pulses, FullSteps>;  ///< microsteps
using PulsesPerLength = Quotient<Pulses, Length>;       ///< the trade's "steps per mm"
using FullStepRate = Quotient<FullSteps, Time>;
using PulseRate = Quotient<Pulses, Time>;
using BeltPitch = Quotient<Length, Teeth>;

inline constexpr Angle radian = Angle::from_value(1.0);
/// One turn, 2π rad. A revolution is an angle, no count: 2000 rpm and 33.3 Hz are different things.
inline constexpr Angle revolution = Angle::from_value(2.0 * std::numbers::pi);
/// Standard acceleration of free fall, exact: 9.806 65 m/s². Source: [SI brochure 2019], [SP 811].
inline constexpr Acceleration standard_gravity = Acceleration::from_value(9.80665);

/// The plain number behind a ratio of like quantities.
template <class Dimensionless>
constexpr double number(const Dimensionless& ratio) {
  return static_cast<double>(ratio);
}

/// Square root of a quantity, for example of stiffness over mass. Not constexpr under Clang.
template <class Unit>
auto square_root(const boost::units::quantity<Unit, double>& q) {
  return boost::units::sqrt(q);
}

/// True for a number that is neither NaN nor infinite.
template <class Unit>
bool is_finite(const boost::units::quantity<Unit, double>& q) {
  return std::isfinite(q.value());
}

}  // namespace pitchline
