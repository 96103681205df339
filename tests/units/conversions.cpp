#include <concepts>
#include <type_traits>

#include "pitchline/units.hpp"
#include "support/catch.hpp"

// What must not compile and can be asked of the compiler without an error. The claims for which
// Boost.Units gives a wrong answer (assignment and explicit construction across kinds) are in
// tests/compile_fail.
namespace pitchline {
namespace {

template <class A, class B>
concept Addable = requires(A a, B b) {
  a + b;
};
template <class A, class B>
concept Subtractable = requires(A a, B b) {
  a - b;
};
template <class A, class B>
concept Ordered = requires(A a, B b) {
  a < b;
};
template <class A, class B>
concept Comparable = requires(A a, B b) {
  a == b;
};
template <class Q>
concept HasSine = requires(Q q) {
  sin(q);
};
template <class A, class B>
inline constexpr bool apart =
    !std::is_convertible_v<A, B> && !std::is_convertible_v<B, A> && !Addable<A, B> &&
    !Subtractable<A, B> && !Ordered<A, B> && !Comparable<A, B>;

TEST_CASE("kinds that are often mixed up neither convert nor add nor compare", "[units][error]") {
  STATIC_REQUIRE(apart<Torque, Energy>);
  STATIC_REQUIRE(apart<Mass, Force>);
  STATIC_REQUIRE(apart<Frequency, AngularSpeed>);
  STATIC_REQUIRE(apart<PulseRate, Frequency>);
  STATIC_REQUIRE(apart<PulseRate, FullStepRate>);
  STATIC_REQUIRE(apart<Teeth, Length>);
  STATIC_REQUIRE(apart<Pulses, FullSteps>);
  STATIC_REQUIRE(apart<Inertia, Mass>);
  STATIC_REQUIRE(apart<Speed, Acceleration>);
  STATIC_REQUIRE(apart<Acceleration, Jerk>);
  STATIC_REQUIRE(apart<Length, Transmission>);
  STATIC_REQUIRE(apart<BeltPitch, Length>);
  STATIC_REQUIRE(apart<Torque, TorsionalStiffness>);
  STATIC_REQUIRE(apart<Stiffness, LinearDensity>);
  STATIC_REQUIRE(apart<PulsesPerAngle, FullStepsPerAngle>);
  STATIC_REQUIRE(apart<PulsesPerLength, PulsesPerAngle>);
  STATIC_REQUIRE(apart<Angle, double>);
  STATIC_REQUIRE(apart<Length, double>);
}

TEST_CASE("like kinds do add and compare, so that the claims above say something",
          "[units][property]") {
  STATIC_REQUIRE(Addable<Torque, Torque>);
  STATIC_REQUIRE(Subtractable<Torque, Quotient<Energy, Angle>>);
  STATIC_REQUIRE(Ordered<Pulses, Pulses>);
  STATIC_REQUIRE(Comparable<PulseRate, Quotient<Pulses, Time>>);
  STATIC_REQUIRE(std::is_convertible_v<Product<Force, Transmission>, Torque>);
  STATIC_REQUIRE_FALSE(apart<Torque, Torque>);
}

TEST_CASE("only a ratio of like quantities becomes a plain number", "[units][error]") {
  STATIC_REQUIRE(std::is_convertible_v<Quotient<Length, Length>, double>);
  STATIC_REQUIRE_FALSE(std::is_convertible_v<Angle, double>);
  STATIC_REQUIRE_FALSE(std::is_convertible_v<Teeth, double>);
  STATIC_REQUIRE(HasSine<Angle>);
  STATIC_REQUIRE_FALSE(HasSine<Length>);
}

TEST_CASE("only a kind that has a name can be printed and read", "[units][error]") {
  STATIC_REQUIRE(Printable<Torque>);
  STATIC_REQUIRE(Printable<Quotient<Energy, Angle>>);
  STATIC_REQUIRE_FALSE(Printable<Product<Force, Force>>);
  STATIC_REQUIRE_FALSE(Printable<double>);
}

TEST_CASE("ratios convert neither into each other nor from a number", "[units][error]") {
  STATIC_REQUIRE_FALSE(std::is_convertible_v<Efficiency, FrictionCoefficient>);
  STATIC_REQUIRE_FALSE(std::is_constructible_v<FrictionCoefficient, Efficiency>);
  STATIC_REQUIRE_FALSE(std::is_constructible_v<GearRatio, TorqueMargin>);
  STATIC_REQUIRE_FALSE(std::is_assignable_v<Efficiency&, TorqueShare>);
  STATIC_REQUIRE_FALSE(std::is_assignable_v<Efficiency&, double>);
  STATIC_REQUIRE_FALSE(std::is_convertible_v<double, Efficiency>);
  STATIC_REQUIRE_FALSE(std::is_convertible_v<Efficiency, double>);
  STATIC_REQUIRE_FALSE(std::is_default_constructible_v<Efficiency>);
  STATIC_REQUIRE_FALSE(Comparable<Efficiency, TorqueShare>);
  STATIC_REQUIRE(std::is_constructible_v<Efficiency, double>);
}

}  // namespace
}  // namespace pitchline
