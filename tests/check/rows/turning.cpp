#include "pitchline/check/rows/turning.hpp"

#include "pitchline/check/check_machine.hpp"
#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/steps.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using machine::Machine;
using report::Finding;
using report::Verdict;
using testing::kite_loft;

// A spar of the invented kite loft, 100 mm by 1 m, turned through a stage of 3 to 1.
Machine with_chuck() {
  Machine m = kite_loft();
  const axis::BeltAxis belt = machine::belt_drive(m.axes.front());
  m.axes.front().drive =
      axis::RotaryAxis{.motor = belt.motor,
                       .driver = belt.driver,
                       .hold = axis::Chuck{.motor_turns_per_chuck_turn = Fraction(3)},
                       .heaviest = {.diameter = millimetres(100),
                                    .length = metres(1),
                                    .density = kilograms_per_cubic_metre(400)},
                       .heaviest_diameter_millimetres = Fraction(100)};
  m.axes.front().want = {.speed = millimetres_per_second(100),
                         .acceleration = metres_per_second_squared(0.5)};
  return m;
}
Machine with_rollers(double grip) {
  Machine m = with_chuck();
  std::get<axis::RotaryAxis>(m.axes.front().drive).hold =
      axis::Rollers{.motor_turns_per_roller_turn = Fraction(1),
                    .diameter_millimetres = Fraction(40),
                    .centre_distance = millimetres(80),
                    .grip = FrictionCoefficient(grip)};
  return m;
}
Finding found(const Machine& m, const std::string& key) {
  return testing::row(check::check_machine(m), key);
}

TEST_CASE("pulses per degree of a chuck are exact and cost nothing where they end",
          "[check][property]") {
  // 3200 * 3 / 360 = 80/3.
  Machine m = with_chuck();
  Finding f = found(m, "steps_per_degree");
  CHECK_THAT(f.value_text, Contains("80/3 = 26.667"));
  // (26.667 - 80/3) / (80/3) = 1.25e-5 of pi * 100 mm.
  CHECK_THAT(std::fabs(0.0125e-3 * std::numbers::pi * 0.1), WithinRel(3.92699e-6, 1e-5));
  CHECK_THAT(f.details.front().value.coherent(), WithinRel(3.92699e-6, 1e-4));
  CHECK(f.verdict == Verdict::holds);
  std::get<axis::Chuck>(std::get<axis::RotaryAxis>(m.axes.front().drive).hold)
      .motor_turns_per_chuck_turn = Fraction(9, 2);
  f = found(m, "steps_per_degree");
  CHECK(f.value_text == "40.000");  // 3200 * 4.5 / 360
  m.controller.decimals = 0;
  CHECK(found(m, "steps_per_degree").verdict == Verdict::holds);
}

TEST_CASE("rounding pulses per degree fails where the surface is wanted finer",
          "[check][property]") {
  // No decimals: 27 in place of 80/3, 1.25 % of 314.159 mm = 3.927 mm.
  Machine m = with_chuck();
  m.controller.decimals = 0;
  const Finding f = found(m, "steps_per_degree");
  CHECK_THAT(f.details.front().value.coherent(), WithinRel(3.92699e-3, 1e-5));
  CHECK(f.verdict == Verdict::fails);
  CHECK_FALSE(f.remedy.empty());
}

TEST_CASE("a turning axis has rows of its own and none of a belt or of a travel",
          "[check][property]") {
  const report::Report report = check::check_machine(with_chuck());
  for (const Finding& f : report.axes.front().findings) {
    CHECK(f.key != "steps_per_mm");
    CHECK(f.key != "belt_tension");
    CHECK(f.key != "roller_grip");
  }
  bool guarded = false;
  for (const std::string& caution : report.cautions)
    guarded = guarded || caution.find("turns a workpiece") != std::string::npos;
  CHECK(guarded);
  CHECK(found(with_chuck(), "torque_margin").margin > 0.0);
}

TEST_CASE("the steps per mm of what turns are no fraction", "[check][error]") {
  for (const Machine& m : {with_chuck(), with_rollers(0.3)})
    CHECK_THROWS_AS(check::exact_steps_per_millimetre(check::state_of(m, m.axes.front())),
                    InvalidInput);
}

TEST_CASE("rollers hold what they grip and lose what they do not", "[check][property]") {
  // Half angle asin(80/140) = 34.85 deg; workpiece pi/4 0.01 * 400 = 3.1416 kg.
  const Finding holds = found(with_rollers(0.3), "roller_grip");
  CHECK(holds.verdict == Verdict::holds);
  Machine m = with_rollers(0.3);
  m.axes.front().want.acceleration = metres_per_second_squared(1.001 * holds.value.coherent());
  CHECK(found(m, "roller_grip").verdict == Verdict::fails);
  CHECK_FALSE(found(m, "roller_grip").remedy.empty());
  CHECK(found(with_rollers(0.1), "roller_grip").value.coherent() < holds.value.coherent());
}

TEST_CASE("a turn and a travel of the surface are judged where they are wanted", "[check]") {
  // Chuck: 360/(3200 * 3) = 0.0375 deg a pulse, pi 100/9600 = 0.032725 mm at the surface.
  Machine m = with_chuck();
  for (const Finding& f :
       check::judged_by(check::turning_rows(), check::state_of(m, m.axes.front()))) {
    CHECK(f.key != "angle_step");
    CHECK(f.key != "surface_step");
    CHECK(f.key != "headroom");
  }
  machine::TurnedWork& turned = m.axes.front().turned;
  turned.angle_step = degrees(0.03);
  turned.surface_step = millimetres(0.04);
  const check::AxisState s = check::state_of(m, m.axes.front());
  CHECK(check::judged_by(check::turning_rows(), s).size() == 3);
  const Finding angle = check::angle_step_finding(s);
  CHECK_THAT(angle.margin, WithinRel(0.03 / 0.0375, 1e-9));
  CHECK(angle.verdict == Verdict::fails);
  CHECK_FALSE(angle.remedy.empty());
  const Finding surface = check::surface_step_finding(s);
  CHECK_THAT(surface.value.coherent(), WithinRel(std::numbers::pi * 0.1 / 9600, 1e-9));
  CHECK(surface.verdict == Verdict::holds);
  // The largest that keeps it: 0.04 mm * 9600/pi.
  CHECK_THAT(surface.details.front().value.coherent(),
             WithinRel(0.04e-3 * 9600 / std::numbers::pi, 1e-9));
  CHECK_THAT(surface.reason, Contains("96/pi pulses a mm"));  // 3200 * 3/100
}

TEST_CASE("rollers turn thin work further, and the row says how thin it may be", "[check]") {
  // 360 * 40/(3200 * D): 0.045 deg of 100 mm; 0.05 deg down to 90 mm.
  Machine m = with_rollers(0.3);
  m.axes.front().turned.angle_step = degrees(0.05);
  m.axes.front().turned.surface_step = millimetres(0.05);
  const check::AxisState s = check::state_of(m, m.axes.front());
  const Finding angle = check::angle_step_finding(s);
  CHECK(angle.verdict != Verdict::fails);
  CHECK_THAT(angle.details.front().value.coherent(), WithinRel(0.09, 1e-9));
  CHECK_THAT(check::surface_step_finding(s).reason, Contains("80/pi pulses a mm"));
}

TEST_CASE("a lift must have the travel that turned work asks of it", "[check]") {
  // Axle at 60 mm and work of 100 mm: 110 mm.
  Machine m = with_chuck();
  m.axes.front().name = "a";
  m.axes.front().turned.axle_height = millimetres(60);
  const auto row = [&] { return check::headroom_finding(check::state_of(m, m.axes.front())); };
  CHECK_THAT(row().value.coherent(), WithinRel(0.110, 1e-9));
  CHECK(row().verdict == Verdict::unsure);
  machine::Axis lift = kite_loft().axes.front();
  lift.name = "z";
  axis::BeltAxis& drive = machine::belt_drive(lift);
  drive.incline = degrees(90);
  drive.travel = millimetres(130);
  drive.moving.push_back(
      {.name = "axis a", .mass = kilograms(3), .travels_along_beam = true, .carried_axis = "a"});
  m.axes.push_back(lift);
  CHECK_THAT(row().margin, WithinRel(130.0 / 110, 1e-9));
  machine::belt_drive(m.axes.back()).travel = millimetres(100);
  CHECK(row().verdict == Verdict::fails);
  CHECK_THAT(row().remedy, Contains("more travel of the lift"));
}

}  // namespace
}  // namespace pitchline
