#pragma once

#include <boost/units/base_dimension.hpp>
#include <boost/units/base_unit.hpp>
#include <boost/units/base_units/angle/radian.hpp>
#include <boost/units/base_units/si/ampere.hpp>
#include <boost/units/base_units/si/kelvin.hpp>
#include <boost/units/base_units/si/kilogram.hpp>
#include <boost/units/base_units/si/meter.hpp>
#include <boost/units/base_units/si/second.hpp>
#include <boost/units/cmath.hpp>
#include <boost/units/make_system.hpp>
#include <boost/units/operators.hpp>
#include <boost/units/quantity.hpp>
#include <boost/units/unit.hpp>

#include <limits>

namespace pitchline {

/// What the library counts. Each is a dimension of its own, so that 20 teeth are no length, and
/// 200 full steps are not 3200 pulses.
///
/// The numbers 7001 to 7099 are taken by this library in Boost.Units' register of base dimensions;
/// user code that adds its own must stay outside them.
namespace detail {
struct FullStepDimension : boost::units::base_dimension<FullStepDimension, 7001> {};
struct PulseDimension : boost::units::base_dimension<PulseDimension, 7002> {};
struct ToothDimension : boost::units::base_dimension<ToothDimension, 7003> {};

struct FullStepUnit
    : boost::units::base_unit<FullStepUnit, FullStepDimension::dimension_type, 7011> {};
struct PulseUnit : boost::units::base_unit<PulseUnit, PulseDimension::dimension_type, 7012> {};
struct ToothUnit : boost::units::base_unit<ToothUnit, ToothDimension::dimension_type, 7013> {};

// One homogeneous system: a unit that mixes systems never collapses to a plain one, and costs a
// fifth more compile time. The radian is a base unit, so a torque (energy per angle) is no energy.
using System = boost::units::make_system<
    boost::units::si::meter_base_unit, boost::units::si::kilogram_base_unit,
    boost::units::si::second_base_unit, boost::units::si::ampere_base_unit,
    boost::units::si::kelvin_base_unit, boost::units::angle::radian_base_unit, FullStepUnit,
    PulseUnit, ToothUnit>::type;
}  // namespace detail

/// A number of dimension `Dimension` held in m, kg, s, A, K, rad, full step, pulse and tooth.
///
/// A default-made quantity is zero. `Length a = 0;` compiles, because Boost.Units takes a literal 0
/// for a null pointer constant; any other bare number does not.
template <class Dimension>
using Quantity = boost::units::quantity<boost::units::unit<Dimension, detail::System>, double>;

/// The type of a product or quotient of two quantities.
template <class A, class B>
using Product = typename boost::units::multiply_typeof_helper<A, B>::type;
template <class A, class B>
using Quotient = typename boost::units::divide_typeof_helper<A, B>::type;

/// A quantity that was never given: NaN, so that each range check refuses it by name.
template <class Q>
constexpr Q unset() {
  return Q::from_value(std::numeric_limits<double>::quiet_NaN());
}

/// True where `q` was never given.
template <class Q>
constexpr bool is_unset(const Q& q) {
  return !(q == q);  // NOLINT(misc-redundant-expression): true of NaN alone, and constexpr
}

/// A limit that does not limit.
template <class Q>
constexpr Q unlimited() {
  return Q::from_value(std::numeric_limits<double>::infinity());
}

}  // namespace pitchline
