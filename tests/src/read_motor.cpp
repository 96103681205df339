#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "pitchline/io/catalogue.hpp"
#include "pitchline/io/diagnostic.hpp"
#include "pitchline/motor/pull_out_curve.hpp"
#include "pitchline/parts/plausibility.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::WithinRel;

const std::string figures =
    "[motor.m]\nstep_angle = \"1.8 deg\"\nholding_torque = \"3 N*m\"\nrated = \"two phases on\"\n"
    "current = \"2.12 A\"\nresistance = \"2.8 ohm\"\ninductance = \"12.8 mH\"\nrotor_inertia = "
    "\"800 g*cm^2\"\n";

parts::StepperMotor read(const std::string& more) {
  io::Catalogue catalogue;
  io::read_catalogue(figures + more, "own.toml", catalogue);
  return catalogue.motors.at("m");
}

std::string error_of(const std::string& more) {
  try {
    read(more);
  } catch (const io::UnusableInput& e) {
    return e.what();
  }
  return "";
}

TEST_CASE("a motor's leads turn the figures of one connection into those of another", "[io]") {
  // [23-305-DS8A]: series 2.12 A, 2.8 ohm, 12.8 mH; parallel printed 4.2 A, 0.7 ohm, 3.2 mH.
  const parts::StepperMotor motor =
      read("leads = 8\nfigures_for = \"series\"\nconnected = \"parallel\"\n");
  CHECK_THAT(in_amperes(motor.rated_current), WithinRel(4.24, 1e-12));
  CHECK_THAT(in_ohms(motor.resistance), WithinRel(0.7, 1e-12));
  CHECK_THAT(in_millihenries(motor.inductance), WithinRel(3.2, 1e-12));
  CHECK_THAT(in_newton_metres(motor.holding_torque), WithinRel(3.0, 1e-12));
}

TEST_CASE("a published curve is read with its current as an amplitude", "[io]") {
  const parts::StepperMotor motor = read(
      "detent_torque = \"0.1 N*m\"\nframe = 24\npublished = [{ voltage = \"36 V\", current = \"2 "
      "A\", "
      "current_is = \"rms\", source = \"own bench\", points = [[\"300 rpm\", \"1.2 N*m\"], [\"600 "
      "rpm\", \"0.7 N*m\"]] }]\n");
  CHECK(motor.frame == 24);
  CHECK(in_newton_metres(motor.detent_torque) == 0.1);
  REQUIRE(motor.curves.size() == 1);
  CHECK_THAT(in_amperes(motor.curves[0].amplitude), WithinRel(2 * std::numbers::sqrt2, 1e-12));
  REQUIRE(motor.curves[0].points.size() == 2);
  CHECK_THAT(in_revolutions_per_minute(motor.curves[0].points[1].speed), WithinRel(600.0, 1e-12));
  const motor::PullOutCurve curve(motor, {volts(36), amperes(2 * std::numbers::sqrt2)});
  CHECK(curve.for_verdict(revolutions_per_minute(300)).basis == motor::Basis::measured);
}

TEST_CASE("what is wrong with a published curve is said with its place", "[io][error]") {
  const std::string head =
      "published = [{ voltage = \"36 V\", current = \"2 A\", current_is = \"peak\", "
      "source = \"own bench\", points = ";
  CHECK(error_of(head + "[[\"300 rpm\", \"1.2 N\"]] }]\n").find("own.toml:9:") == 0);
  CHECK(error_of(head + "[[\"300 rpm\", \"1.2 N\"]] }]\n").find("is a force") != std::string::npos);
  CHECK(error_of(head + "[[\"300 rpm\"]] }]\n").find("a point must be a pair") !=
        std::string::npos);
  CHECK(error_of(head + "[[\"300 rpm\", \"1 N*m\"], [\"200 rpm\", \"1 N*m\"]] }]\n")
            .find("must go by rising speed") != std::string::npos);
  CHECK(error_of(head + "[[\"0 rpm\", \"1 N*m\"]] }]\n").find("must be > 0") != std::string::npos);
  CHECK(error_of(head + "[] }]\n").find("must be a list of pairs") != std::string::npos);
  CHECK(error_of("published = 3\n").find("must be a list of tables") != std::string::npos);
  CHECK(error_of("published = [3]\n").find("must hold tables") != std::string::npos);
}

TEST_CASE("leads that cannot be connected so are refused", "[io][error]") {
  CHECK(error_of("leads = 8\n").find("figures_for is missing") != std::string::npos);
  CHECK(error_of("leads = 5\nfigures_for = \"series\"\nconnected = \"series\"\n") != "");
  CHECK(error_of("leads = 6\nfigures_for = \"series\"\nconnected = \"parallel\"\n")
            .find("own.toml:9:") == 0);
}

TEST_CASE("a motor of the catalogue whose figures look wrong says so beside them", "[io]") {
  for (const auto* shelf :
       {&io::standard_catalogue().motors, &io::standard_catalogue().motors_in_part})
    for (const auto& [name, motor] : *shelf) {
      CAPTURE(name);
      for (const parts::Question& question : parts::questions(motor)) {
        CAPTURE(question.text);
        CHECK_FALSE(motor.notes.doubt.empty());
      }
      CHECK(motor.frame > 0);
    }
}

TEST_CASE("a motor may be another one with some figures changed", "[io]") {
  const std::string like = "[motor.m]\nlike = \"nema17 48mm 2A\"\n";
  const auto read_like = [&](const std::string& more) {
    io::Catalogue catalogue = io::standard_catalogue();
    io::read_catalogue(like + more, "own.toml", catalogue);
    return catalogue.motors.at("m");
  };
  const parts::StepperMotor& usual = io::standard_catalogue().motors.at("nema17 48mm 2A");
  const parts::StepperMotor priced = read_like("price = 12.5\ncurrency = \"EUR\"\n");
  CHECK(priced.name == "m");
  CHECK(priced.inductance == usual.inductance);
  CHECK(priced.curves.size() == 1);
  CHECK(priced.source == usual.source);
  REQUIRE(priced.notes.price);
  CHECK(priced.notes.price->amount.value() == 12.5);
  CHECK(priced.notes.price->currency == "EUR");
  // What was published of another winding says nothing of this one.
  const parts::StepperMotor rewound = read_like("inductance = \"5 mH\"\n");
  CHECK(rewound.inductance == millihenries(5));
  CHECK(rewound.resistance == usual.resistance);
  CHECK(rewound.curves.empty());
  CHECK(rewound.source == usual.source + "; changed: inductance");
}

TEST_CASE("a motor that lacks a figure is kept apart until somebody gives it", "[io]") {
  io::Catalogue catalogue = io::standard_catalogue();
  const std::string name = "nema17 48mm 0.55Nm 2.5A";
  CHECK_FALSE(catalogue.motors.contains(name));
  CHECK(catalogue.motors_in_part.at(name).lacks == std::vector<std::string>{"rotor_inertia"});
  io::read_catalogue("[motor.a]\nlike = \"" + name + "\"\n[motor.b]\nlike = \"" + name +
                         "\"\nrotor_inertia = \"75 g*cm^2\"\n",
                     "own.toml", catalogue);
  CHECK_FALSE(catalogue.motors.contains("a"));
  CHECK(catalogue.motors_in_part.contains("a"));
  CHECK(catalogue.motors.at("b").rotor_inertia == gram_square_centimetres(75));
  CHECK_NOTHROW(parts::require_valid(catalogue.motors.at("b")));
  CHECK(error_of("lacks = [\"current\"]\n").find("unknown figure that a motor may lack") !=
        std::string::npos);
}

}  // namespace
}  // namespace pitchline
