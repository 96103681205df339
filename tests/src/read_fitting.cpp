#include <string>

#include "pitchline/check/check_machine.hpp"
#include "pitchline/io/read_loops.hpp"
#include "pitchline/io/read_machine.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"

// How the belts of an axis are fitted: tension, bore, service factor, stage and the motor's shaft.

namespace pitchline {
namespace {

using namespace literals;
using Catch::Matchers::Contains;

std::string text_with(const std::string& motor, const std::string& drive) {
  return R"([machine]
name          = "Kite loft"
torque_margin = 1.1
[supply]
voltage = "36 V"
power   = "400 W"
[controller]
pulse_rate = "200 kHz"
decimals   = 3
[axis.x]
travel      = "1500 mm"
moving_mass = "1.4 kg"
guide       = { kind = "profile rail", friction = 0.004 }
motor       = )" +
         motor + R"(
driver      = { current = "1.7 A", current_is = "rms", pulses_per_turn = 3200 }
drive       = { kind = "belt", profile = "GT 2 mm", width = "9 mm", pulley_teeth = 20)" +
         drive + R"( }
want        = { speed = "350 mm/s", acceleration = "3 m/s^2" }
)";
}
const std::string plain = "\"nema17 48mm 2A\"";

machine::Machine read(const std::string& text) {
  return io::read_machine(text, "loft.toml", io::standard_catalogue());
}
std::string error_of(const std::string& text) {
  try {
    read(text);
  } catch (const io::UnusableInput& e) {
    return e.what();
  }
  return "";
}

TEST_CASE("what the file says of the fitting of a belt is read", "[io]") {
  const machine::Machine m =
      read(text_with(plain, ", tension = \"60 N\", service_factor = 1.5, bore = \"5 mm\""));
  const machine::BeltFitting& fitting = m.axes[0].fitting;
  CHECK(fitting.tension == 60_N);
  REQUIRE(fitting.service_factor.has_value());
  CHECK(fitting.service_factor->value() == 1.5);
  CHECK(fitting.bore == 5_mm);
  CHECK(m.listed_loops.empty());  // asked of stages alone, and long to read

  const machine::Machine silent = read(text_with(plain, ""));
  CHECK(is_unset(silent.axes[0].fitting.tension));
  CHECK_FALSE(silent.axes[0].fitting.service_factor.has_value());
  CHECK(is_unset(silent.axes[0].fitting.bore));
  CHECK(is_unset(machine::belt_drive(silent.axes[0]).motor.shaft_load));
}

TEST_CASE("a motor like one of the catalogue adds what its sheet says of the shaft", "[io]") {
  const machine::Machine m =
      read(text_with("{ like = \"nema17 48mm 2A\", shaft = \"5 mm\", shaft_load = \"28 N\" }", ""));
  const parts::StepperMotor& motor = machine::belt_drive(m.axes[0]).motor;
  CHECK(motor.name == "nema17 48mm 2A");
  CHECK(motor.shaft_diameter == 5_mm);
  CHECK(motor.shaft_load == 28_N);
  CHECK(motor.curves.size() == 1);
  // A motor by its own figures has the same keys.
  const std::string figures =
      "{ step_angle = \"1.8 deg\", holding_torque = \"0.4 N*m\", rated = \"two phases on\", "
      "current = \"1.5 A\", resistance = \"2 ohm\", inductance = \"4 mH\", rotor_inertia = \"60 "
      "g*cm^2\", shaft = \"1/4 in\", shaft_load = \"60 N\" }";
  CHECK(machine::belt_drive(read(text_with(figures, "")).axes[0]).motor.shaft_load == 60_N);
}

TEST_CASE("errors of the fitting name line, column and remedy", "[io][error]") {
  const std::string met =
      error_of(text_with("{ like = \"nema17 48m 2A\", shaft = \"-5 mm\", torque = \"1 N*m\" }",
                         ", tension = \"60 mm\", service_factor = 0.9, bore = \"0 mm\""));
  CHECK_THAT(met, Contains("loft.toml:14:24: error: unknown motor \"nema17 48m 2A\"") &&
                      Contains("did you mean \"nema17 48mm 2A\"?"));
  CHECK_THAT(met, Contains("loft.toml:14:49: error: shaft must be > 0 and at most 100 mm"));
  CHECK_THAT(met, Contains("unknown key \"torque\" in axis.x.motor"));
  CHECK_THAT(met, Contains("loft.toml:16:") && Contains("tension: expected a force"));
  CHECK_THAT(met, Contains("service_factor: service factor must be >= 1 and <= 10, got 0.9"));
  CHECK_THAT(met, Contains("bore must be > 0 and at most 100 mm, got \"0 mm\""));
}

TEST_CASE("a stage reads its take-up and refuses pulleys that overlap", "[io][error]") {
  const std::string stage =
      ", stage = { profile = \"GT 2 mm\", width = \"6 mm\", motor_teeth = 20, driven_teeth = 60, "
      "centre_distance = \"90 mm\", take_up = \"3 mm\" }";
  const machine::Machine m = read(text_with(plain, stage));
  CHECK(m.listed_loops.size() == io::standard_loops().size());
  REQUIRE(machine::belt_drive(m.axes[0]).stage.has_value());
  CHECK(machine::belt_drive(m.axes[0]).stage->take_up == 3_mm);
  // The nearest belt of the list, 132 teeth, is taut 1.1 mm farther.
  CHECK(testing::row(check::check_machine(m), "stage_belt_order").verdict ==
        report::Verdict::holds);

  std::string overlapping = stage;
  overlapping.replace(overlapping.find("90 mm"), 5, "20 mm");
  CHECK_THAT(
      error_of(text_with(plain, overlapping)),
      Contains("loft.toml:16:") && Contains("error: pulleys overlap: centre distance 20 mm"));
  std::string negative = stage;
  negative.replace(negative.find("3 mm"), 4, "-3 mm");
  CHECK_THAT(error_of(text_with(plain, negative)), Contains("take_up must be > 0"));
}

}  // namespace
}  // namespace pitchline
