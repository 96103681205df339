#include "pitchline/axis/belt_axis.hpp"

#include "pitchline/motion/start_acceleration.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using axis::axis_at_motor;
using axis::BeltAxis;
using axis::MovingPart;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::AxisAtMotor;
using testing::IsNear;
using testing::kite_loft_drive;

// The same drive on a pair of motors with 3 kg of beam and 0.9 kg that travels along it.
BeltAxis pair() {
  BeltAxis drive = kite_loft_drive();
  drive.motors = 2;
  drive.moving = {{.name = "beam", .mass = kilograms(3)},
                  {.name = "head", .mass = kilograms(0.9), .travels_along_beam = true}};
  return drive;
}

parts::BeltStage stage_15_to_52() {
  parts::BeltStage stage{.width = millimetres(6), .motor_teeth = 15, .driven_teeth = 52};
  stage.profile.name = "GT 2 mm";
  stage.profile.pitch_millimetres = Fraction(2);
  return stage;
}

TEST_CASE("step_train and motor_transmission agree on pulses per millimetre", "[axis][published]") {
  // reference/published/steps_per_mm.csv: 80 without and 832/3 with a stage of 52:15 (C).
  BeltAxis drive = kite_loft_drive();
  CHECK(print_fraction(motion::pulses_per_millimetre_exactly(axis::step_train(drive))) == "80");
  drive.stage = stage_15_to_52();
  const Fraction exact = motion::pulses_per_millimetre_exactly(axis::step_train(drive));
  CHECK(print_fraction(exact) == "832/3");
  const PulsesPerLength by_transmission =
      drive.driver.pulses_per_turn / revolution / axis::motor_transmission(drive);
  CHECK_THAT(in_pulses_per_millimetre(by_transmission), WithinRel(to_double(exact), 1e-14));
}

TEST_CASE("a single motor carries everything and a pair shares the beam but not the head",
          "[axis][property]") {
  BeltAxis drive = pair();
  CHECK_THAT(in_kilograms(axis::moving_mass(drive)), WithinRel(3.9, 1e-15));
  CHECK_THAT(in_kilograms(axis::mass_at_deciding_motor(drive)), WithinRel(1.5 + 0.9, 1e-15));
  drive.motors = 1;
  CHECK_THAT(in_kilograms(axis::mass_at_deciding_motor(drive)), WithinRel(3.9, 1e-15));

  // From the supports of a rigid beam: with the head at u of the length, one end carries
  // beam/2 + u head. Its largest over the travel is what the deciding motor has.
  double most = 0.0;
  for (int i = 0; i <= 100; ++i) most = std::max(most, 3.0 / 2.0 + i / 100.0 * 0.9);
  drive.motors = 2;
  CHECK_THAT(in_kilograms(axis::mass_at_deciding_motor(drive)), WithinRel(most, 1e-15));
}

TEST_CASE("axis_at_motor shares the drag of a pair and takes friction from the carried mass",
          "[axis][property]") {
  const AxisAtMotor one = axis_at_motor(kite_loft_drive());
  CHECK_THAT(in_newtons(one.friction), WithinRel(0.004 * 0.9 * 9.80665 + 4.0, 1e-14));
  CHECK(one.gravity == newtons(0));
  const AxisAtMotor half = axis_at_motor(pair());
  CHECK_THAT(in_newtons(half.friction), WithinRel(0.004 * 2.4 * 9.80665 + 2.0, 1e-14));
  // The belt, once round: 2 * 1.7 m * 9 mm * 1.4 kg/m2.
  CHECK_THAT(in_kilograms(one.mass), WithinRel(0.9 + 2 * 1.7 * 0.009 * 1.4, 1e-14));
  CHECK_THAT(in_kilograms(half.mass), WithinRel(2.4 + 2 * 1.7 * 0.009 * 1.4, 1e-14));
}

TEST_CASE("an upright axis carries its weight and a level one none", "[axis][property]") {
  BeltAxis drive = kite_loft_drive();
  drive.incline = degrees(90);
  const AxisAtMotor upright = axis_at_motor(drive);
  CHECK_THAT(in_newtons(upright.gravity), WithinRel(0.9 * 9.80665, 1e-14));
  CHECK_THAT(in_newtons(upright.friction), WithinAbs(4.0, 1e-12));
  drive.incline = degrees(30);  // sine 1/2
  const AxisAtMotor slope = axis_at_motor(drive);
  CHECK_THAT(in_newtons(slope.gravity), WithinRel(0.9 * 9.80665 / 2.0, 1e-14));
  CHECK_THAT(in_newtons(slope.friction),
             WithinRel(4.0 + 0.004 * 0.9 * 9.80665 * std::sqrt(0.75), 1e-14));
}

TEST_CASE("inertia_at_motor and axis_at_motor see the same inertia", "[axis][property]") {
  const bool with_stage = GENERATE(false, true);
  const bool two = GENERATE(false, true);
  CAPTURE(with_stage, two);
  BeltAxis drive = two ? pair() : kite_loft_drive();
  if (with_stage) drive.stage = stage_15_to_52();
  const axis::InertiaAtMotor parts = axis::inertia_at_motor(drive);
  const AxisAtMotor seen = axis_at_motor(drive);
  CHECK_THAT(number(parts.sum() / motion::total_inertia(seen)), WithinRel(1.0, 1e-12));
  CHECK(parts.rotor == drive.motor.rotor_inertia);
  if (!with_stage) {
    CHECK(parts.pulleys == 2.0 * drive.pulley_inertia);
    // 20 teeth of 2 mm: 40 mm a turn.
    CHECK_THAT(in_metres_per_radian(seen.transmission),
               WithinRel(0.04 / (2.0 * std::numbers::pi), 1e-14));
  }
}

TEST_CASE("a stage divides travel by its ratio and what lies behind it by the square",
          "[axis][property]") {
  BeltAxis drive = kite_loft_drive();
  const AxisAtMotor direct = axis_at_motor(drive);
  drive.stage = stage_15_to_52();
  const AxisAtMotor geared = axis_at_motor(drive);
  const double ratio = 52.0 / 15.0;
  CHECK_THAT(number(direct.transmission / geared.transmission), WithinRel(ratio, 1e-14));
  const Inertia on_motor =
      belt::assumed_pulley_inertia(drive.stage->profile, drive.stage->width, 15);
  const Inertia behind =
      belt::assumed_pulley_inertia(drive.stage->profile, drive.stage->width, 52) +
      2.0 * drive.pulley_inertia;
  CHECK_THAT(number(geared.motor_side_inertia / (drive.motor.rotor_inertia + on_motor)),
             WithinRel(1.0, 1e-14));
  CHECK_THAT(number(geared.driven_side_inertia * ratio * ratio / behind), WithinRel(1.0, 1e-14));
  CHECK(direct.driven_side_inertia == kilogram_square_metres(0));
}

TEST_CASE("twice the moving mass never raises the acceleration of an axis", "[axis][property]") {
  const double torque = GENERATE(0.02, 0.1, 0.3, 1.0);
  CAPTURE(torque);
  BeltAxis drive = kite_loft_drive();
  const AxisAtMotor light = axis_at_motor(drive);
  drive.moving.front().mass = 2.0 * drive.moving.front().mass;
  const AxisAtMotor heavy = axis_at_motor(drive);
  const Torque t = newton_metres(torque);
  CHECK(motion::rigid_acceleration(heavy, t) <= motion::rigid_acceleration(light, t));
  CHECK(motion::soft_belt_acceleration(heavy, t) <= motion::soft_belt_acceleration(light, t));
}

TEST_CASE("an axis given in inches and pounds is the same axis", "[axis][property]") {
  BeltAxis metric = kite_loft_drive();
  BeltAxis inch = kite_loft_drive();
  metric.belt.width = millimetres(9.525);
  inch.belt.width = inches(0.375);
  metric.span = millimetres(1701.8);
  inch.span = inches(67);
  metric.moving.front().mass = kilograms(2 * 0.45359237);
  inch.moving.front().mass = pounds(2);
  metric.guide.drag = newtons(4.4482216152605);
  inch.guide.drag = pounds_force(1);
  const AxisAtMotor a = axis_at_motor(metric);
  const AxisAtMotor b = axis_at_motor(inch);
  CHECK_THAT(number(b.mass / a.mass), WithinRel(1.0, 1e-14));
  CHECK_THAT(number(b.friction / a.friction), WithinRel(1.0, 1e-14));
  CHECK_THAT(number(axis::smallest_stiffness(inch) / axis::smallest_stiffness(metric)),
             WithinRel(1.0, 1e-14));
}

TEST_CASE("smallest_stiffness is that of the far end of the travel or unknown",
          "[axis][property]") {
  BeltAxis drive = kite_loft_drive();
  // E*A = 3115 N/mm * 9 mm = 28 035 N; x = (1700 + 1500)/2 = 1600 mm, the other strand 1800 mm.
  const double expected = 28'035.0 * (1.0 / 1.6 + 1.0 / 1.8);
  CHECK_THAT(in_newtons_per_metre(axis::smallest_stiffness(drive)), WithinRel(expected, 1e-13));
  drive.belt.profile.stiffness_per_width = unset<Stiffness>();
  CHECK(is_unset(axis::smallest_stiffness(drive)));
}

TEST_CASE("a belt whose mass is unknown counts as none", "[axis][property]") {
  BeltAxis drive = kite_loft_drive();
  CHECK(axis::belt_mass(drive) > kilograms(0));
  drive.belt.profile.mass_per_width = {};
  CHECK(axis::belt_mass(drive) == kilograms(0));
  drive.belt.profile = {.name = "unknown", .pitch_millimetres = Fraction(2)};
  CHECK(axis::belt_mass(drive) == kilograms(0));
}

TEST_CASE("a belt axis with a field outside its range is refused by name", "[axis][error]") {
  const auto refuses = [](auto spoil, const char* text) {
    BeltAxis bad = kite_loft_drive();
    spoil(bad);
    CHECK_THROWS_MATCHES(axis_at_motor(bad), InvalidInput, Message(text));
  };
  refuses([](auto& x) { x.motors = 0; }, "motors must be 1 or 2, got 0");
  refuses([](auto& x) { x.motors = 3; }, "motors must be 1 or 2, got 3");
  refuses([](auto& x) { x.incline = degrees(-1); }, "incline must be from 0 to 90, got -1 deg");
  refuses([](auto& x) { x.incline = degrees(91); }, "incline must be from 0 to 90, got 91 deg");
  refuses([](auto& x) { x.incline = unset<Angle>(); }, "incline must be from 0 to 90, got nan deg");
  refuses([](auto& x) { x.span = unset<Length>(); }, "span must be > 0, got nan mm");
  refuses([](auto& x) { x.pulley_inertia = unset<Inertia>(); },
          "pulley inertia must be >= 0, got nan kg*m^2");
  refuses([](auto& x) { x.guide.drag = newtons(-1); }, "drag must be >= 0, got -1 N");
  refuses([](auto& x) { x.moving.push_back({.name = "lamp", .mass = unset<Mass>()}); },
          "mass of lamp must be >= 0, got nan kg");
  refuses([](auto& x) { x.moving.push_back({.name = "lamp", .mass = kilograms(-0.1)}); },
          "mass of lamp must be >= 0, got -0.1 kg");
  refuses([](auto& x) { x.pulley_teeth = 0; }, "teeth must be >= 1, got 0");
  refuses([](auto& x) { x.belt.profile.pitch_millimetres = Fraction(0); },
          "pitch must be > 0, got 0 mm/tooth");
  refuses(
      [](auto& x) {
        x.stage = stage_15_to_52();
        x.stage->motor_teeth = 0;
      },
      "motor teeth must be > 0, got 0");
  refuses(
      [](auto& x) {
        x.stage = stage_15_to_52();
        x.stage->driven_teeth = -2;
      },
      "driven teeth must be > 0, got -2");
}

TEST_CASE("the readings of a belt axis refuse what they cannot use", "[axis][error]") {
  BeltAxis bad = kite_loft_drive();
  bad.driver.pulses_per_turn = pulses(3200.5);
  CHECK_THROWS_MATCHES(
      axis::step_train(bad), InvalidInput,
      Message("pulses per turn must be a whole number from 1 to 1000000, got 3200.5"));
  bad.driver.pulses_per_turn = unset<Pulses>();
  CHECK_THROWS_AS(axis::step_train(bad), InvalidInput);
  bad = kite_loft_drive();
  bad.travel = metres(1.8);
  CHECK_THROWS_MATCHES(axis::smallest_stiffness(bad), InvalidInput,
                       Message("travel must be > 0 and <= span, got 1.8 m"));
  bad.moving = {{.name = "lamp"}};
  CHECK_THROWS_AS(axis::inertia_at_motor(bad), InvalidInput);
  bad.pulley_teeth = 0;
  CHECK_THROWS_AS(axis::motor_transmission(bad), InvalidInput);
}

TEST_CASE("a stage makes the axis softer, by its two strands at the square of its leverage",
          "[axis][property]") {
  axis::BeltAxis drive = testing::kite_loft_drive();
  const double belt = in_newtons_per_metre(axis::smallest_stiffness(drive));
  drive.stage = stage_15_to_52();
  drive.stage->profile.stiffness_per_width = newtons_per_millimetre(3115);
  CHECK(is_unset(axis::smallest_stiffness(drive)));  // without the centre distance it is not known
  drive.stage->centre_distance = millimetres(90);
  // A force at the load is a torque at the drive pulley, and pulls the stage's belt with the drive
  // pulley's radius over that of the driven one; both strands stretch. Seen from the load twice.
  const double leverage = 20.0 / 52.0;
  const double stage = 2 * 3115e3 * 6e-3 / 90e-3 / (leverage * leverage);
  CHECK_THAT(in_newtons_per_metre(axis::smallest_stiffness(drive)),
             Catch::Matchers::WithinRel(1.0 / (1.0 / belt + 1.0 / stage), 1e-12));
  drive.stage->profile.stiffness_per_width = unset<Stiffness>();
  CHECK(is_unset(axis::smallest_stiffness(drive)));
}

// 3 kg of beam and 0.9 kg of head on one motor, with a steel shaft of 12 mm by 1 m to the far belt.
BeltAxis shaft_driven() {
  BeltAxis drive = pair();
  drive.motors = 1;
  drive.belt_distance = metres(1.1);
  drive.cross_shaft = axis::ShaftToFarBelt{.shaft = {.diameter = millimetres(12),
                                                     .length = metres(1),
                                                     .shear_modulus = parts::steel_shear_modulus},
                                           .density = kilograms_per_cubic_metre(7850)};
  return drive;
}

TEST_CASE("a cross shaft brings its own inertia, a second pair of pulleys and a second belt",
          "[axis][property]") {
  const BeltAxis drive = shaft_driven();
  BeltAxis without = drive;
  without.cross_shaft.reset();
  // pi/32 rho L d^4 = 0.0981748 * 7850 * 1 * 0.012^4 = 1.59807e-5 kg m^2; pulleys 2 * 2e-7 more.
  const double more = 1.59807e-5 + 4e-7;
  CHECK_THAT(in_kilogram_square_metres(axis_at_motor(drive).motor_side_inertia -
                                       axis_at_motor(without).motor_side_inertia),
             WithinRel(more, 1e-5));
  // 1.4 g/(m mm) * 9 mm * 2 * 1.7 m for the one belt; the motor moves all of both.
  CHECK_THAT(in_kilograms(axis_at_motor(drive).mass), WithinRel(3.9 + 2 * 0.04284, 1e-12));
  CHECK_THAT(in_kilograms(axis_at_motor(without).mass), WithinRel(3.9 + 0.04284, 1e-12));
}

TEST_CASE("a cross shaft makes the gantry as soft as its far side is for its share of the mass",
          "[axis][property]") {
  const BeltAxis drive = shaft_driven();
  BeltAxis without = drive;
  without.cross_shaft.reset();
  const double belt = in_newtons_per_metre(axis::smallest_stiffness(without));
  // G pi d^4/32 / L = 79.3e9 * 2.03575e-9 = 161.435 N m/rad; over t^2 with t = 40 mm/turn.
  const double t = 0.04 / (2.0 * std::numbers::pi);
  const double shaft = 161.435 / (t * t);
  const double far = 1.0 / (1.0 / belt + 1.0 / shaft);
  // Far side 3/2 + 0.9 = 2.4 kg of 3.9.
  CHECK_THAT(in_newtons_per_metre(axis::smallest_stiffness(drive)),
             WithinRel(far * 3.9 / 2.4, 1e-5));
}

TEST_CASE("a cross shaft goes with one motor and a known distance of the belts", "[axis][error]") {
  BeltAxis bad = shaft_driven();
  bad.motors = 2;
  CHECK_THROWS_MATCHES(axis_at_motor(bad), InvalidInput,
                       Message("motors with a cross shaft must be 1, got 2"));
  bad = shaft_driven();
  bad.cross_shaft->shaft.diameter = unset<Length>();
  CHECK_THROWS_AS(axis_at_motor(bad), InvalidInput);
  bad = shaft_driven();
  bad.moving.clear();
  CHECK_THROWS_MATCHES(axis_at_motor(bad), InvalidInput,
                       Message("moving mass with a cross shaft must be > 0, got 0 kg"));
}

}  // namespace
}  // namespace pitchline
