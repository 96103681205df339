#include "pitchline/motion/start_acceleration.hpp"

#include "pitchline/motor/loss_free_torque.hpp"
#include "support/axes.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::AxisAtMotor;
using motion::rigid_acceleration;
using motion::rigid_belt_acceleration;
using motion::soft_belt_acceleration;
using motion::soft_belt_peak_torque;
using testing::IsNear;

// The header knows Coulomb friction and no viscous drag. The table's B on the motor shaft is added
// here as a force at the load for one speed: B n^2 v/r^2, with n = 1 and efficiency 1 as in the
// table.
AxisAtMotor axis_of(const testing::CsvRow& drive, Speed speed) {
  const Transmission r = metres(drive.number("pulley_pitch_radius_m")) / radian;
  const RotaryDrag drag = newton_metre_seconds_per_radian(drive.number("viscous_motor_Nms"));
  return {.transmission = r,
          .mass = kilograms(drive.number("moved_mass_kg")),
          .motor_side_inertia = kilogram_square_metres(drive.number("J_motor_kgm2") +
                                                       drive.number("J_motor_side_kgm2")),
          .driven_side_inertia = kilogram_square_metres(drive.number("J_pulley_side_kgm2")),
          .friction = newtons(drive.number("coulomb_N")) + drag * (speed / r) / r,
          .efficiency = Efficiency(drive.number("efficiency"))};
}

TEST_CASE("rigid_acceleration at half the torque gives the table of acceleration against speed",
          "[motion][published]") {
  // reference/published/accel.csv, accel_vs_speed.csv: independent derivation (C), S = 2 on the
  // torque, efficiency 1, no gear.
  const auto drives = testing::published("accel.csv");
  for (const testing::CsvRow& row : testing::published("accel_vs_speed.csv")) {
    CAPTURE(row.text("case"), row.text("v_m_s"));
    const testing::CsvRow& drive = row.text("case") == "B1" ? drives.at(0) : drives.at(1);
    REQUIRE(drive.text("case") == row.text("case"));
    const Speed speed = metres_per_second(row.number("v_m_s"));
    const AxisAtMotor axis = axis_of(drive, speed);
    const motor::DrivenWinding winding =
        motor::driven_winding(testing::tabled_motor(drive.text("motor")),
                              amperes(drive.number("I_pk_A")), volts(drive.number("V_V")));
    const AngularSpeed turning = speed / axis.transmission;
    CHECK_THAT(in_radians_per_second(turning), WithinRel(row.number("omega_motor_rad_s"), 1e-9));
    const Torque torque = motor::loss_free_pull_out(winding, turning).torque;
    CHECK_THAT(in_newton_metres(torque), WithinRel(row.number("T_pullout_exact_V_Nm"), 1e-9));
    const double expected = row.number("a_m_s2");
    const double met =
        in_metres_per_second_squared(rigid_acceleration(axis, torque / drive.number("safety")));
    // Below zero the table goes on where the axis does not move: there the answer is 0.
    CHECK_THAT(met, WithinAbs(std::max(expected, 0.0), 1e-8));
    CHECK_THAT(in_newton_metres(motion::rigid_torque(axis, metres_per_second_squared(0))),
               WithinRel(row.number("T_const_Nm"), 1e-9));
    CHECK_THAT(
        in_kilograms(motion::accelerated_mass(axis)) * in_metres_per_radian(axis.transmission),
        WithinRel(row.number("T_per_accel_Nm_per_m_s2"), 1e-9));
  }
}

TEST_CASE("rigid_acceleration gives the tabled start, optimum and end of two drives",
          "[motion][published]") {
  // reference/published/accel.csv, as above.
  for (const testing::CsvRow& drive : testing::published("accel.csv")) {
    CAPTURE(drive.text("case"));
    const motor::DrivenWinding winding =
        motor::driven_winding(testing::tabled_motor(drive.text("motor")),
                              amperes(drive.number("I_pk_A")), volts(drive.number("V_V")));
    const auto at = [&](double v) {
      const Speed speed = metres_per_second(v);
      const AxisAtMotor axis = axis_of(drive, speed);
      const Torque torque =
          motor::loss_free_pull_out(winding, speed / axis.transmission).torque / 2.0;
      return in_metres_per_second_squared(rigid_acceleration(axis, torque));
    };
    CHECK_THAT(at(0.0), WithinRel(drive.number("a_at_0_m_s2"), 1e-8));
    CHECK_THAT(at(drive.number("v_opt_m_s")), WithinRel(drive.number("a_opt_m_s2"), 1e-8));
    CHECK(at(drive.number("v_zero_accel_m_s") * (1 - 1e-6)) > 0.0);
    CHECK(at(drive.number("v_zero_accel_m_s") * (1 + 1e-6)) == 0.0);
  }
}

TEST_CASE("soft_belt_acceleration gives the tabled bounds of a starting step",
          "[motion][published]") {
  // reference/published/step_accel_bounds.csv: formula and integration of the equations of motion,
  // made independently (C). With unit transmission, mass and torque, friction is phi itself.
  const auto rows = testing::published("step_accel_bounds.csv");
  CHECK(rows.size() == 7);
  for (const testing::CsvRow& row : rows) {
    const double phi = row.number("friction_over_pullout");
    CAPTURE(phi);
    const AxisAtMotor axis{
        .transmission = metres_per_radian(1), .mass = kilograms(1), .friction = newtons(phi)};
    const Torque one = newton_metres(1);
    const double soft = in_metres_per_second_squared(soft_belt_acceleration(axis, one));
    CHECK_THAT(soft, WithinAbs(row.number("soft_formula_Ma_over_T"), 1e-12));
    CHECK_THAT(soft, WithinAbs(row.number("soft_simulated"), 1e-7));
    const double textbook = in_metres_per_second_squared(rigid_acceleration(axis, one));
    CHECK_THAT(textbook, WithinRel(1.0 - phi, 1e-12));
    CHECK_THAT(soft / textbook, WithinAbs(row.number("soft_ratio_to_algebra"), 1e-12));
    // What a belt stiffer than the motor's own magnetic spring stands lies between the two.
    CHECK(soft < row.number("rigid_equal_area_Ma_over_T"));
    CHECK(row.number("rigid_equal_area_Ma_over_T") < textbook);
  }
}

TEST_CASE("soft_belt_peak_torque is the peak of a load swinging on its belt",
          "[motion][property]") {
  // Against a direct integration: the drive end starts with constant acceleration, the load follows
  // on a spring as soon as the spring overcomes its friction. Mass 2 kg, friction 6 N.
  const double a = GENERATE(0.5, 3.0, 10.0);
  const double stiffness = GENERATE(1e3, 4e4);
  CAPTURE(a, stiffness);
  const double mass = 2.0;
  const double friction = 6.0;
  double stretch = 0.0;
  double lag = 0.0;  // speed of the drive end less that of the load
  double load_speed = 0.0;
  double peak = 0.0;
  const double period = 2.0 * std::numbers::pi * std::sqrt(mass / stiffness);
  const double end = std::sqrt(2.0 * friction / stiffness / a) + period;
  const double dt = end / 200'000;
  for (int i = 0; i < 200'000; ++i) {
    const double spring = stiffness * stretch;
    const bool stands = load_speed <= 0.0 && spring <= friction;
    const double load = stands ? 0.0 : (spring - friction) / mass;
    load_speed += load * dt;
    lag += (a - load) * dt;
    stretch += lag * dt;
    peak = std::max(peak, stiffness * stretch);
  }
  const AxisAtMotor axis{.transmission = metres_per_radian(0.01),
                         .mass = kilograms(mass),
                         .friction = newtons(friction)};
  const Torque expected = newtons(peak) * axis.transmission;
  const Torque met = soft_belt_peak_torque(axis, metres_per_second_squared(a));
  CHECK_THAT(number(met / expected), WithinRel(1.0, 1e-3));
}

TEST_CASE("soft_belt_peak_torque and soft_belt_acceleration invert each other",
          "[motion][property]") {
  const double a = GENERATE(take(20, random(0.01, 40.0)));
  const double f = GENERATE(0.0, 3.0, 30.0);
  CAPTURE(a, f);
  AxisAtMotor axis = testing::inclined_axis();
  axis.friction = newtons(f);
  const Acceleration wanted = metres_per_second_squared(a);
  const Torque peak = soft_belt_peak_torque(axis, wanted);
  CHECK_THAT(number(soft_belt_acceleration(axis, peak) / wanted), WithinRel(1.0, 1e-10));
}

TEST_CASE("soft_belt_peak_torque without friction is twice the rigid torque",
          "[motion][property]") {
  AxisAtMotor axis = testing::inclined_axis();
  axis.friction = newtons(0);
  axis.gravity = newtons(0);
  const Acceleration a = metres_per_second_squared(7);
  CHECK_THAT(number(soft_belt_peak_torque(axis, a) / motion::rigid_torque(axis, a)),
             WithinRel(2.0, 1e-12));
}

TEST_CASE("soft_belt_peak_torque at no acceleration is the torque of constant speed",
          "[motion][property]") {
  const AxisAtMotor axis = testing::inclined_axis();
  const Acceleration none = metres_per_second_squared(0);
  CHECK_THAT(number(soft_belt_peak_torque(axis, none) / motion::rigid_torque(axis, none)),
             WithinRel(1.0, 1e-12));
}

TEST_CASE("rigid_acceleration inverts rigid_torque", "[motion][property]") {
  const double a = GENERATE(take(30, random(0.01, 60.0)));
  const double efficiency = GENERATE(0.5, 0.9, 1.0);
  CAPTURE(a, efficiency);
  AxisAtMotor axis = testing::inclined_axis();
  axis.efficiency = Efficiency(efficiency);
  const Acceleration wanted = metres_per_second_squared(a);
  const Acceleration met = rigid_acceleration(axis, motion::rigid_torque(axis, wanted));
  CHECK_THAT(number(met / wanted), WithinRel(1.0, 1e-11));
}

TEST_CASE("more mass, more friction or less efficiency never raises the acceleration",
          "[motion][property]") {
  const double torque = GENERATE(take(20, random(0.0, 0.5)));
  CAPTURE(torque);
  const Torque t = newton_metres(torque);
  const AxisAtMotor axis = testing::inclined_axis();
  AxisAtMotor heavy = axis;
  heavy.mass = 2.0 * axis.mass;
  AxisAtMotor rough = axis;
  rough.friction = 2.0 * axis.friction;
  AxisAtMotor lossy = axis;
  lossy.efficiency = Efficiency(0.45);
  AxisAtMotor rotor = axis;
  rotor.motor_side_inertia = 2.0 * axis.motor_side_inertia;
  for (const AxisAtMotor& worse : {heavy, rough, lossy, rotor}) {
    CHECK(rigid_acceleration(worse, t) <= rigid_acceleration(axis, t));
    CHECK(soft_belt_acceleration(worse, t) <= soft_belt_acceleration(axis, t));
  }
  CHECK(soft_belt_acceleration(axis, t) <= rigid_acceleration(axis, t));
}

TEST_CASE("an axis whose torque does not overcome friction and gravity does not accelerate",
          "[motion][property]") {
  const AxisAtMotor axis = testing::inclined_axis();
  const Torque just = motion::rigid_torque(axis, metres_per_second_squared(0));
  CHECK(rigid_acceleration(axis, 0.99 * just) == metres_per_second_squared(0));
  CHECK(soft_belt_acceleration(axis, 0.99 * just) == metres_per_second_squared(0));
  CHECK(rigid_acceleration(axis, newton_metres(0)) == metres_per_second_squared(0));
  CHECK(rigid_acceleration(axis, 1.01 * just) > metres_per_second_squared(0));
  CHECK(soft_belt_acceleration(axis, 1.01 * just) > metres_per_second_squared(0));
}

TEST_CASE("rigid_belt_acceleration gives the integrated step bounds", "[motion][published]") {
  // reference/published/step_accel_bounds.csv, as above: closed form to its 8 digits, integration
  // to 7. T/t is 100 N and M is 1 kg, so the ratio of the table is a hundredth of the result.
  for (const testing::CsvRow& row : testing::published("step_accel_bounds.csv")) {
    const double phi = row.number("friction_over_pullout");
    CAPTURE(phi);
    const AxisAtMotor axis{.transmission = metres(0.01) / radian,
                           .mass = kilograms(1),
                           .friction = newtons(100.0 * phi)};
    const double met =
        in_metres_per_second_squared(rigid_belt_acceleration(axis, newton_metres(1))) / 100.0;
    CHECK_THAT(met, WithinAbs(row.number("rigid_equal_area_Ma_over_T"), 1e-8));
    CHECK_THAT(met, WithinAbs(row.number("rigid_simulated"), 2e-7));
  }
}

TEST_CASE(
    "a rigid drive survives a harder start than a soft one and a softer one than algebra says",
    "[motion][property]") {
  const double torque = GENERATE(take(20, random(0.0, 0.5)));
  CAPTURE(torque);
  const AxisAtMotor axis = testing::inclined_axis();
  const Torque t = newton_metres(torque);
  CHECK(soft_belt_acceleration(axis, t) <= rigid_belt_acceleration(axis, t));
  CHECK(rigid_belt_acceleration(axis, t) <= rigid_acceleration(axis, t));
}

TEST_CASE("the start accelerations refuse what their tables exclude", "[motion][error]") {
  const AxisAtMotor good = testing::inclined_axis();
  AxisAtMotor bad = good;
  bad.mass = unset<Mass>();
  const Torque one = newton_metres(1);
  const char* mass = "mass must be >= 0, got nan kg";
  CHECK_THROWS_MATCHES(motion::accelerated_mass(bad), InvalidInput, Message(mass));
  CHECK_THROWS_MATCHES(rigid_acceleration(bad, one), InvalidInput, Message(mass));
  CHECK_THROWS_MATCHES(soft_belt_acceleration(bad, one), InvalidInput, Message(mass));
  CHECK_THROWS_MATCHES(rigid_belt_acceleration(bad, one), InvalidInput, Message(mass));
  CHECK_THROWS_MATCHES(soft_belt_peak_torque(bad, metres_per_second_squared(1)), InvalidInput,
                       Message(mass));
  const char* torque = "torque must be >= 0, got nan N*m";
  CHECK_THROWS_MATCHES(rigid_acceleration(good, unset<Torque>()), InvalidInput, Message(torque));
  CHECK_THROWS_MATCHES(soft_belt_acceleration(good, unset<Torque>()), InvalidInput,
                       Message(torque));
  CHECK_THROWS_MATCHES(rigid_belt_acceleration(good, newton_metres(-1)), InvalidInput,
                       Message("torque must be >= 0, got -1 N*m"));
  CHECK_THROWS_MATCHES(soft_belt_peak_torque(good, metres_per_second_squared(-1)), InvalidInput,
                       Message("acceleration must be >= 0, got -1 m/s^2"));
  CHECK_THROWS_AS(soft_belt_peak_torque(good, unlimited<Acceleration>()), InvalidInput);
}

TEST_CASE("nothing that moves has no acceleration", "[motion][error]") {
  const AxisAtMotor nothing{.transmission = metres_per_radian(0.006), .mass = kilograms(0)};
  const Torque one = newton_metres(1);
  const char* text = "accelerated mass must be > 0, got 0 kg";
  CHECK_THROWS_MATCHES(rigid_acceleration(nothing, one), InvalidInput, Message(text));
  CHECK_THROWS_MATCHES(soft_belt_acceleration(nothing, one), InvalidInput, Message(text));
  CHECK_THROWS_MATCHES(rigid_belt_acceleration(nothing, one), InvalidInput, Message(text));
}

}  // namespace
}  // namespace pitchline
