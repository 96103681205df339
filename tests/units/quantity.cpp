#include "pitchline/units/quantity.hpp"

#include "pitchline/units/make.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {
using Catch::Matchers::WithinRel;

TEST_CASE("a torque is an energy per angle", "[units][property]") {
  STATIC_REQUIRE(std::is_same_v<Quotient<Energy, Angle>, Torque>);
  STATIC_REQUIRE(std::is_same_v<Product<Torque, AngularSpeed>, Power>);
  STATIC_REQUIRE_FALSE(std::is_same_v<Torque, Energy>);
  // One newton metre over a whole turn does 2π joules of work.
  CHECK_THAT(in_joules(newton_metres(1) * revolution), WithinRel(2 * std::numbers::pi, 1e-15));
  // P = T ω: 0.5 N·m at 600 rpm, that is 20 π rad/s, are 10 π W.
  CHECK_THAT(in_watts(newton_metres(0.5) * revolutions_per_minute(600)),
             WithinRel(10 * std::numbers::pi, 1e-15));
}

TEST_CASE("a transmission carries force, speed and mass across without a cast",
          "[units][property]") {
  STATIC_REQUIRE(std::is_same_v<Product<Force, Transmission>, Torque>);
  STATIC_REQUIRE(std::is_same_v<Product<AngularSpeed, Transmission>, Speed>);
  STATIC_REQUIRE(std::is_same_v<Product<AngularAcceleration, Transmission>, Acceleration>);
  STATIC_REQUIRE(std::is_same_v<Product<Mass, Product<Transmission, Transmission>>, Inertia>);
  STATIC_REQUIRE(std::is_same_v<Quotient<Product<BeltPitch, Teeth>, Angle>, Transmission>);
  STATIC_REQUIRE_FALSE(std::is_same_v<Transmission, Length>);

  // 20 teeth of 2 mm: 40 mm a turn, so 10 turns a second are 400 mm/s.
  const Transmission pulley = millimetres_per_tooth(2) * teeth(20) / revolution;
  CHECK_THAT(in_millimetres_per_second(pulley * revolutions_per_minute(600)),
             WithinRel(400.0, 1e-15));
  // No loss: the power of the force at the belt is the power of the torque at the shaft.
  const Force pull = newtons(31);
  const AngularSpeed shaft = radians_per_second(47);
  CHECK_THAT(in_watts(pull * pulley * shaft), WithinRel(in_watts(pull * (pulley * shaft)), 1e-14));
  // The energy of the moving mass is the energy of the inertia it is seen as.
  const Mass carriage = kilograms(1.9);
  const Speed speed = pulley * shaft;
  CHECK_THAT(in_joules(0.5 * (carriage * pulley * pulley) * shaft * shaft),
             WithinRel(in_joules(0.5 * carriage * speed * speed), 1e-14));
}

TEST_CASE("the constant of a motor is one for torque and for voltage", "[units][property]") {
  STATIC_REQUIRE(
      std::is_same_v<Quotient<Product<Voltage, Time>, Angle>, TorqueConstant>);  // V·s/rad
  STATIC_REQUIRE(std::is_same_v<Product<TorqueConstant, AngularSpeed>, Voltage>);
  STATIC_REQUIRE(std::is_same_v<Product<Voltage, Current>, Power>);
  STATIC_REQUIRE(std::is_same_v<Product<Resistance, Current>, Voltage>);
  STATIC_REQUIRE(std::is_same_v<Quotient<Product<Inductance, Current>, Time>, Voltage>);
}

TEST_CASE("counts are kinds of their own", "[units][property]") {
  STATIC_REQUIRE_FALSE(std::is_same_v<FullSteps, Pulses>);
  STATIC_REQUIRE_FALSE(std::is_same_v<FullSteps, Teeth>);
  STATIC_REQUIRE_FALSE(std::is_same_v<PulseRate, Frequency>);
  STATIC_REQUIRE(std::is_same_v<Product<FullStepsPerAngle, PulsesPerFullStep>, PulsesPerAngle>);
  STATIC_REQUIRE(std::is_same_v<Quotient<PulsesPerAngle, Transmission>, PulsesPerLength>);
  STATIC_REQUIRE(std::is_same_v<Product<PulsesPerLength, Speed>, PulseRate>);

  // 200 full steps of 16 pulses a turn, 40 mm a turn: 80 pulses a millimetre.
  const PulsesPerAngle drive = full_steps_per_revolution(200) * pulses_per_full_step(16);
  const Transmission pulley = millimetres_per_tooth(2) * teeth(20) / revolution;
  CHECK_THAT(in_pulses_per_revolution(drive), WithinRel(3200.0, 1e-15));
  CHECK_THAT(in_pulses_per_millimetre(drive / pulley), WithinRel(80.0, 1e-15));
  CHECK_THAT(in_pulses_per_second(drive / pulley * millimetres_per_second(600)),
             WithinRel(48'000.0, 1e-15));
}

TEST_CASE("a turn a second is an angular speed and no frequency", "[units][property]") {
  STATIC_REQUIRE_FALSE(std::is_same_v<AngularSpeed, Frequency>);
  CHECK_THAT(in_revolutions_per_minute(hertz(10) * revolution), WithinRel(600.0, 1e-15));
  CHECK_THAT(in_hertz(revolutions_per_minute(600) / revolution), WithinRel(10.0, 1e-15));
}

TEST_CASE("a mass weighs what standard gravity makes it weigh", "[units][published]") {
  // [SI brochure 2019]: the kilogram-force is 9.806 65 N.
  CHECK(in_newtons(kilograms(1) * standard_gravity) == 9.80665);
}

TEST_CASE("a quantity that was never set equals nothing and passes no check", "[units][property]") {
  const auto lead = unset<Length>();
  CHECK(is_unset(lead));
  CHECK_FALSE(lead == lead);
  CHECK_FALSE(lead > metres(0));
  CHECK_FALSE(lead <= metres(0));
  CHECK_FALSE(is_finite(lead));
  CHECK(is_unset(lead * newtons(1)));
  CHECK_FALSE(is_unset(Length{}));
  CHECK(Length{} == metres(0));
}

TEST_CASE("an unlimited quantity is above every number and is not finite", "[units][property]") {
  const auto speed_limit = unlimited<Speed>();
  CHECK(speed_limit > metres_per_second(1e300));
  CHECK_FALSE(is_unset(speed_limit));
  CHECK_FALSE(is_finite(speed_limit));
  CHECK(is_finite(metres_per_second(1e300)));
}

TEST_CASE("number takes the plain number out of a ratio of like quantities", "[units][property]") {
  STATIC_REQUIRE(number(metres(3) / metres(2)) == 1.5);
  CHECK_THAT(number(inches(1) / millimetres(1)), WithinRel(25.4, 1e-15));
}

TEST_CASE("the square root of a quantity carries half its dimension", "[units][property]") {
  // Mass on a spring: ω² = k/m in 1/s², here 40 N/mm and 0.4 kg make 1e5 1/s².
  const auto rate = square_root(newtons_per_millimetre(40) / kilograms(0.4));
  STATIC_REQUIRE(std::is_same_v<std::decay_t<decltype(rate)>, Frequency>);
  CHECK_THAT(in_hertz(rate), WithinRel(std::sqrt(1e5), 1e-15));
  CHECK(in_metres(square_root(metres(3) * metres(3))) == 3);
}

}  // namespace
}  // namespace pitchline
