#include "pitchline/io/read_machine.hpp"

#include <random>
#include <string>

#include "pitchline/check/check_machine.hpp"
#include "support/catch.hpp"
#include "support/project_folder.hpp"

namespace pitchline {
namespace {

using namespace literals;
using Catch::Matchers::WithinRel;

std::string machine_text(const std::string& name) {
  return io::read_file(testing::reference_folder() + "/machines/" + name);
}

machine::Machine read(const std::string& text) {
  return io::read_machine(text, "loft.toml", io::standard_catalogue());
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

std::string error_of(const std::string& text) {
  try {
    read(text);
  } catch (const io::UnusableInput& e) {
    return e.what();
  }
  return "";
}

TEST_CASE("the demonstration machine reads as its file says", "[io]") {
  const machine::Machine m = read(machine_text("kite-loft.toml"));
  CHECK(m.name == "Kite loft");
  CHECK(m.torque_margin.value() == 1.1);
  CHECK(m.supply.voltage == 36_V);
  CHECK(m.controller.pulse_rate == pulses_per_second(200e3));
  REQUIRE(m.axes.size() == 2);
  const machine::Axis& y = m.axes[1];
  CHECK(y.name == "y");
  CHECK(machine::belt_drive(y).motors == 2);
  CHECK(machine::belt_drive(y).motor.name == "nema23 56mm 2.8A");
  CHECK(machine::belt_drive(y).belt.profile.pitch_millimetres == Fraction(3));
  CHECK(machine::belt_drive(y).belt.width == 15_mm);
  CHECK(y.want.speed == 300_mm_per_s);
}

TEST_CASE("an axis has a name that works everywhere", "[io][error]") {
  const std::string text = machine_text("too-weak.toml");
  const auto named = [&](const std::string& name) {
    std::string out = text;
    for (std::size_t at = 0; (at = out.find("[axis.y", at)) != std::string::npos; at += 7)
      out.replace(at + 6, 1, name);
    return error_of(out);
  };
  REQUIRE(named("x").empty());
  for (const char* good : {"rail_2", "Y-left", "axis"}) CHECK(named(good).empty());
  for (const char* bad : {R"("")", R"("=1+1,2")", R"("a b")", R"("a.b")", R"("\u001b[2J")", "2",
                          "-x", "_x", R"("\u00e9")"}) {
    CAPTURE(bad);
    CHECK_THAT(named(bad), Catch::Matchers::Contains("an axis cannot be named"));
    CHECK(named(bad).find('\x1b') == std::string::npos);
  }
}

TEST_CASE("a carried axis adds its whole moving mass as a load along the beam", "[io]") {
  const machine::Machine m = read(machine_text("kite-loft.toml"));
  const auto& moving = machine::belt_drive(m.axes[1]).moving;
  REQUIRE(moving.size() == 5);
  CHECK(moving.back().name == "axis x");
  CHECK(moving.back().travels_along_beam);
  CHECK_THAT(in_kilograms(moving.back().mass), WithinRel(0.55 + 0.60 + 0.25, 1e-12));
  CHECK_THAT(in_kilograms(axis::moving_mass(machine::belt_drive(m.axes[1]))),
             WithinRel(2.60 + 0.70 + 0.70 + 0.40 + 1.40, 1e-12));
}

TEST_CASE("an axis carried by a carried axis counts once at each level", "[io][property]") {
  std::string text = machine_text("kite-loft.toml");
  const std::string y = text.substr(text.find("[axis.y]"));
  std::string u = replaced(replaced(y, "[axis.y]", "[axis.u]"), "[\"x\"]", "[\"y\"]");
  const machine::Machine m = read(text + "\n" + u);
  const double own = in_kilograms(axis::moving_mass(machine::belt_drive(m.axes[1])));
  CHECK_THAT(in_kilograms(axis::moving_mass(machine::belt_drive(m.axes[2]))),
             WithinRel(own + 4.40, 1e-12));
}

TEST_CASE("microsteps and pulses per turn say the same", "[io][property]") {
  const std::string text = machine_text("kite-loft.toml");
  const machine::Machine a = read(text);
  const machine::Machine b = read(replaced(text, "pulses_per_turn = 3200", "microsteps = 16"));
  CHECK(machine::belt_drive(a.axes[0]).driver.pulses_per_turn ==
        machine::belt_drive(b.axes[0]).driver.pulses_per_turn);
}

TEST_CASE("a machine written in inches and pounds gives the same findings", "[io][property]") {
  const std::string metric = machine_text("kite-loft.toml");
  std::string inch = replaced(metric, "\"1500 mm\"", "\"7500/127 in\"");
  inch = replaced(inch, "\"350 mm/s\"", "\"1750/127 in/s\"");
  inch = replaced(inch, "\"4 N\"", "\"0.899235772398842 lbf\"");
  const report::Report a = check::check_machine(read(metric));
  const report::Report b = check::check_machine(read(inch));
  for (std::size_t i = 0; i < a.axes[0].findings.size(); ++i) {
    const report::Finding& f = a.axes[0].findings[i];
    CAPTURE(f.key);
    CHECK_THAT(b.axes[0].findings[i].value.coherent(), WithinRel(f.value.coherent(), 1e-9));
    CHECK(b.axes[0].findings[i].verdict == f.verdict);
  }
}

TEST_CASE("every default that was filled in is named", "[io]") {
  const machine::Machine m = read(machine_text("too-weak.toml"));
  const auto& assumed = m.axes[0].assumed;
  const std::vector<std::string> keys{"incline",
                                      "guide.breakaway",
                                      "motors",
                                      "driver.standstill",
                                      "drive.belt",
                                      "drive.tension",
                                      "drive.service_factor",
                                      "drive.span",
                                      "drive.efficiency",
                                      "drive.damping_ratio",
                                      "drive.stiffness_share",
                                      "drive.belt_drag",
                                      "drive.pulley_inertia",
                                      "move",
                                      "supply.simultaneity",
                                      "supply.resistance"};
  REQUIRE(assumed.size() == keys.size());
  for (std::size_t i = 0; i < keys.size(); ++i)
    CHECK(assumed[i].find("(" + keys[i] + ")") != std::string::npos);
}

TEST_CASE("what the file gives replaces what the catalogue knows", "[io]") {
  const std::string text = replaced(machine_text("kite-loft.toml"), "span = \"1660 mm\" }",
                                    "span = \"1660 mm\", tension_per_strain = \"40 kN\" }");
  const machine::Machine m = read(text);
  CHECK_THAT(in_newtons(parts::tension_per_strain(machine::belt_drive(m.axes[0]).belt)),
             WithinRel(40e3, 1e-12));
  CHECK(machine::belt_drive(m.axes[0]).belt.profile.stiffness_source ==
        "given in the machine file");
}

TEST_CASE("a motor may be given by the figures of its data sheet", "[io]") {
  const std::string table =
      "{ step_angle = \"0.9 deg\", holding_torque = \"0.4 N*m\", rated = \"one phase on\", "
      "current = \"1.5 A\", resistance = \"2 ohm\", inductance = \"4 mH\", rotor_inertia = \"60 "
      "g*cm^2\" }";
  const machine::Machine m =
      read(replaced(machine_text("kite-loft.toml"),
                    "{ like = \"nema17 48mm 2A\", shaft_load = \"100 N\" }", table));
  const parts::StepperMotor& motor = machine::belt_drive(m.axes[0]).motor;
  CHECK(motor.full_steps_per_turn == 400_full_steps);
  CHECK(motor.holding_rating == parts::HoldingRating::one_phase_on);
}

TEST_CASE("errors name file, line, column and remedy, all in one run", "[io][error]") {
  const std::string text = replaced(machine_text("kite-loft.toml"), "\"36 V\"", "\"36 A\"");
  const std::string met = error_of(replaced(text, "friction = 0.004", "fricton = 0.004"));
  CHECK(met.find("loft.toml:9:15: error: voltage: expected a voltage (like \"36 V\"), but \"36 A\" "
                 "is a current\n  9 | voltage = \"36 A\"\n    |               ^\n") !=
        std::string::npos);
  CHECK(met.find("error: unknown key \"fricton\" in axis.x.guide") != std::string::npos);
  CHECK(met.find("did you mean friction?") != std::string::npos);
  CHECK(met.find("axis.x.guide.friction is missing") != std::string::npos);
}

TEST_CASE("a column counts characters and not bytes", "[io][error]") {
  const std::string met = error_of("[machine]\nname = \"Gr\u00f6\u00dfe\"  \u00fc = 1\n");
  CHECK(met.find("loft.toml:2:17: error: not TOML") != std::string::npos);
}

TEST_CASE("files that could exhaust the parser are refused before it", "[io][error]") {
  CHECK(error_of(std::string(2U << 20U, '#')) ==
        "loft.toml: error: the file is larger than 1 MiB\n");
  std::string dotted = "a";
  for (int i = 0; i < 100'000; ++i) dotted += ".a";
  CHECK(error_of(dotted + " = 1").find("longer than 4096 bytes") != std::string::npos);
  std::string nested = "a = ";
  nested += std::string(3000, '[');
  CHECK(error_of(nested).find("not TOML") != std::string::npos);
}

TEST_CASE("a file with line ends of another system reads the same", "[io][property]") {
  const std::string unix_text = machine_text("kite-loft.toml");
  std::string text;
  for (const char c : unix_text) text += c == '\n' ? std::string("\r\n") : std::string(1, c);
  CHECK(read(text).axes.size() == 2);
}

TEST_CASE("a spoiled file is refused in words or read, never anything else", "[io][property]") {
  const auto* name = GENERATE("kite-loft.toml", "shaft-driven.toml", "lift-and-spool.toml");
  const std::string text = machine_text(name);
  std::mt19937 random(20240229);  // NOLINT(cert-msc51-cpp): the same spoiled files on every run
  std::size_t refused = 0;
  for (int trial = 0; trial < 400; ++trial) {
    std::string spoiled = text;
    for (int i = 0; i < 3; ++i) {
      const std::size_t at = random() % spoiled.size();
      switch (random() % 3) {
        case 0:
          spoiled[at] = static_cast<char>(random() % 256);
          break;
        case 1:
          spoiled.erase(at, random() % 8);
          break;
        default:
          spoiled.insert(at, spoiled.substr(random() % spoiled.size(), random() % 12));
      }
    }
    CAPTURE(name, trial, spoiled);
    try {
      const machine::Machine machine = read(spoiled);
      CHECK_NOTHROW(check::check_machine(machine));
    } catch (const io::UnusableInput& e) {
      ++refused;
      CHECK(std::string(e.what()).starts_with("loft.toml"));
    }
  }
  CHECK(refused > 100);
}

}  // namespace
}  // namespace pitchline
