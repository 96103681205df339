#include <algorithm>
#include <string>

#include "pitchline/check/check_machine.hpp"
#include "pitchline/prove/arbitrate.hpp"
#include "support/machine_text.hpp"
#include "support/project_folder.hpp"

// The drives that an axis may have, beside a plain belt: a screw, a chuck, rollers, and a belt on
// either side of a gantry.

namespace pitchline {
namespace {

using namespace literals;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using testing::check_slip;
using testing::error_of;
using testing::names;
using testing::read;
using testing::replaced;

const std::string machine_head = R"([machine]
name          = "Kite loft"
torque_margin = 1.1
[supply]
voltage = "36 V"
power   = "400 W"
[controller]
pulse_rate = "200 kHz"
decimals   = 3
)";

const std::string straight_axis = R"(travel      = "100 mm"
moving_mass = "4 kg"
guide       = { kind = "round shaft", friction = 0.01, drag = "6 N", breakaway = "2 N" }
motor       = "nema23 56mm 2.8A"
driver      = { current = "2 A", current_is = "rms", pulses_per_turn = 1600 }
want        = { speed = "8 mm/s", acceleration = "0.1 m/s^2" }
)";

const std::string turning_axis = R"(motor  = "nema17 48mm 2A"
driver = { current = "1.7 A", current_is = "rms", pulses_per_turn = 3200 }
want   = { speed = "50 mm/s", acceleration = "0.2 m/s^2" }
)";

const std::string screw_text = machine_head + "[axis.z]\nincline = \"90 deg\"\nmotors = 2\n" +
                               straight_axis + R"([axis.z.drive]
kind = "screw"
lead = "8 mm"
starts = 4
thread = "trapezoidal"
outer_diameter = "8 mm"
bearing_distance = "200 mm"
ends = "both ends held"
friction = { least = 0.10, most = 0.20, collar_diameter = "20 mm", collar = 0.15 }
screws_per_motor = 2
stage = { motor_teeth = 20, driven_teeth = 30, efficiency = 0.9 }
screw_pulley_inertia = "35 g*cm^2"
motor_pulley_inertia = "20 g*cm^2"
nut_stiffness = "2 kN/mm"
)";

const std::string chuck_text = machine_head + "[axis.a]\n" + turning_axis + R"([axis.a.drive]
kind = "chuck"
workpiece = { diameter = "2 in", bore = "20 mm", length = "300 mm", density = "900 kg/m^3", eccentricity = "1 mm" }
stage = { motor_teeth = 20, driven_teeth = 60 }
chuck_inertia = "900 g*cm^2"
chuck_drag = "0.05 N*m"
motor_pulley_inertia = "8 g*cm^2"
efficiency = 0.9
)";

const std::string rollers_text = machine_head + "[axis.a]\n" + turning_axis + R"([axis.a.drive]
kind = "rollers"
workpiece = { diameter = "60 mm", length = "300 mm", density = "700 kg/m^3" }
stage = { motor_teeth = 20, driven_teeth = 40 }
roller_diameter = "19.05 mm"
centre_distance = "45 mm"
driven = 2
grip = 0.3
roller_inertia = "12 g*cm^2"
roller_drag = "0.4 N"
)";

const std::string gantry_text = machine_head + "[axis.y]\n" + straight_axis + R"([axis.y.drive]
kind = "belt"
profile = "GT 3 mm"
width = "9 mm"
pulley_teeth = 20
belt_distance = "980 mm"
cross_shaft = { diameter = "16 mm", bore = "12 mm", length = "940 mm", material = "aluminium", couplings = 2, coupling_stiffness = "500 N*m/rad", coupling_inertia = "60 g*cm^2" }
)";

TEST_CASE("the keys of a screw reach their fields", "[io]") {
  const machine::Machine m = read(screw_text);
  const auto& drive = std::get<axis::ScrewAxis>(m.axes.at(0).drive);
  CHECK(drive.travel == 100_mm);
  CHECK(drive.incline == 90_deg);
  CHECK(drive.motors == 2);
  CHECK(drive.guide.drag == 6_N);
  CHECK(drive.guide.breakaway == 2_N);
  CHECK(drive.guide.friction.value() == 0.01);
  CHECK(axis::moving_mass(drive) == 4_kg);
  CHECK(drive.motor.name == "nema23 56mm 2.8A");
  CHECK(drive.driver.current == 2_A);
  CHECK(drive.screw.lead_millimetres == Fraction(8));
  CHECK(drive.screw.starts == 4);
  CHECK(drive.screw.outer_diameter == 8_mm);
  CHECK(drive.screw.bearing_distance == 200_mm);
  CHECK(drive.screw.ends == axis::ScrewEnds::both_ends_held);
  CHECK(drive.screws_per_motor == 2);
  CHECK(drive.motor_turns_per_screw_turn == Fraction(3, 2));
  CHECK(drive.stage_efficiency.value() == 0.9);
  CHECK_THAT(in_kilogram_square_metres(drive.screw_pulley_inertia), WithinRel(35e-7, 1e-12));
  CHECK_THAT(in_kilogram_square_metres(drive.motor_pulley_inertia), WithinRel(20e-7, 1e-12));
  CHECK_THAT(in_newtons_per_metre(drive.nut_stiffness), WithinRel(2e6, 1e-12));
  const auto& loss = std::get<axis::ThreadFriction>(drive.loss);
  CHECK(loss.least.value() == 0.10);
  CHECK(loss.most.value() == 0.20);
  CHECK(loss.flank_half_angle == screw::trapezoidal_half_angle);
  CHECK(loss.collar_mean_diameter == 20_mm);
  CHECK(loss.collar_friction.value() == 0.15);
}

TEST_CASE("a trapezoidal screw takes the diameters that the file leaves out", "[io]") {
  // Tr 8x8(P2): 7 and 5.5 mm, computed from the relations of the standard.
  const auto by_thread = std::get<axis::ScrewAxis>(read(screw_text).axes.at(0).drive);
  CHECK_THAT(in_millimetres(by_thread.screw.mean_diameter), WithinRel(7.0, 1e-12));
  CHECK_THAT(in_millimetres(by_thread.screw.minor_diameter), WithinRel(5.5, 1e-12));
  const machine::Machine m = read(replaced(screw_text, "thread = \"trapezoidal\"",
                                           "thread = \"trapezoidal\"\nminor_diameter = \"5 mm\""));
  const auto& given = std::get<axis::ScrewAxis>(m.axes.at(0).drive);
  CHECK_THAT(in_millimetres(given.screw.mean_diameter), WithinRel(7.0, 1e-12));
  CHECK(given.screw.minor_diameter == 5_mm);
}

TEST_CASE("a screw may state its efficiency, and its diameters without a thread", "[io]") {
  std::string text = replaced(screw_text, "thread = \"trapezoidal\"",
                              "mean_diameter = \"7.5 mm\"\nminor_diameter = \"7 mm\"");
  text = replaced(text,
                  "friction = { least = 0.10, most = 0.20, collar_diameter = \"20 mm\", collar = "
                  "0.15 }",
                  "efficiency = 0.87");
  const machine::Machine m = read(replaced(text, "lead = \"8 mm\"", "lead = \"1/4 in\""));
  const auto& drive = std::get<axis::ScrewAxis>(m.axes.at(0).drive);
  CHECK(drive.screw.lead_millimetres == Fraction(127, 20));
  CHECK(drive.screw.mean_diameter == 7.5_mm);
  CHECK(drive.screw.minor_diameter == 7_mm);
  CHECK(std::get<Efficiency>(drive.loss).value() == 0.87);
}

TEST_CASE("a screw names what it assumes", "[io]") {
  const machine::Axis full = read(screw_text).axes.at(0);
  CHECK(full.assumed.size() == 7);
  for (const char* key :
       {"move", "driver.standstill", "drive.density", "supply.simultaneity", "supply.resistance"}) {
    CAPTURE(key);
    CHECK(names(full, key));
  }
  CHECK(std::count(full.assumed.begin(), full.assumed.end(),
                   "damping ratio 0.030 of the load on its screw") == 1);
  const machine::Axis bare =
      read(machine_head + "[axis.z]\n" + straight_axis +
           "drive = { kind = \"screw\", lead = \"2 mm\", thread = \"trapezoidal\", outer_diameter "
           "= \"10 mm\", bearing_distance = \"200 mm\", friction = { least = 0.1, most = 0.2 }, "
           "stage = { motor_teeth = 20, driven_teeth = 40 } }")
          .axes.at(0);
  for (const char* key :
       {"drive.ends", "drive.friction.collar_diameter", "drive.stage.efficiency",
        "drive.screw_pulley_inertia", "drive.motor_pulley_inertia", "drive.nut_stiffness"}) {
    CAPTURE(key);
    CHECK(names(bare, key));
    CHECK_FALSE(names(full, key));
  }
  const auto& drive = std::get<axis::ScrewAxis>(bare.drive);
  CHECK(drive.screw.starts == 1);
  CHECK(drive.screw.ends == axis::ScrewEnds::one_end_held);
  CHECK(drive.motors == 1);
  CHECK(drive.screws_per_motor == 1);
  CHECK(drive.stage_efficiency.value() == 0.98);
  CHECK_FALSE(is_finite(drive.nut_stiffness));
  CHECK(std::get<axis::ThreadFriction>(drive.loss).collar_mean_diameter == 0_mm);
}

TEST_CASE("errors of a screw name line and column", "[io][error]") {
  const std::string friction =
      "friction = { least = 0.10, most = 0.20, collar_diameter = \"20 mm\", collar = 0.15 }";
  const std::string head = "[axis.z.drive]";
  for (const testing::Slip& slip : std::vector<testing::Slip>{
           {"\"screw\"", "\"scew\"", "\"scew\"", "unknown kind \"scew\""},
           {"kind = \"screw\"", "", head, "axis.z.drive.kind is missing"},
           {"lead = \"8 mm\"", "lead = \"0 mm\"", "\"0 mm\"",
            "lead must be > 0 and at most 1000 mm, got \"0 mm\""},
           {"lead = \"8 mm\"", "lead = \"2 m\"", "\"2 m\"",
            "lead must be > 0 and at most 1000 mm, got \"2 m\""},
           {"lead = \"8 mm\"", "lead = \"0.000004 mm\"", "\"0.0",
            "lead makes pulses that cannot be counted exactly"},
           {"lead = \"8 mm\"\n", "", head, "axis.z.drive.lead is missing"},
           {"starts = 4", "starts = 0", "0", "starts must be from 1 to 20, got 0"},
           {"starts = 4", "starts = 3", "\"trapezoidal\"",
            "no metric trapezoidal thread has a pitch of 2.66667 mm"},
           {"\"trapezoidal\"", "\"acme\"", "\"acme\"", "unknown thread \"acme\""},
           {"thread = \"trapezoidal\"\n", "", head, "axis.z.drive.mean_diameter is missing"},
           {"thread = \"trapezoidal\"\n", "", head, "axis.z.drive.minor_diameter is missing"},
           {"thread = \"trapezoidal\"\n", "", "{ least",
            "axis.z.drive.friction.thread_angle is missing"},
           {"outer_diameter = \"8 mm\"", "outer_diameter = \"8 mm\"\nmean_diameter = \"9 mm\"",
            "\"9 mm\"", "mean_diameter must be at most outer_diameter of 8 mm, got 9 mm"},
           {"outer_diameter = \"8 mm\"", "outer_diameter = \"8 mm\"\nminor_diameter = \"7.5 mm\"",
            "\"7.5 mm\"", "minor_diameter must be at most mean_diameter of 7 mm, got 7.5 mm"},
           {"outer_diameter = \"8 mm\"", "outer_diameter = \"8 m\"", "\"8 m\"",
            "outer_diameter must be > 0 and at most 200 mm, got \"8 m\""},
           {"\"200 mm\"", "\"90 mm\"", "\"90 mm\"",
            "bearing_distance must be at least the travel of 100 mm, got \"90 mm\""},
           {"bearing_distance = \"200 mm\"\n", "", head,
            "axis.z.drive.bearing_distance is missing"},
           {"\"both ends held\"", "\"both held\"", "\"both held\"", "unknown ends \"both held\""},
           {"least = 0.10", "least = 0.3", "0.3", "least must be at most the most of 0.2, got 0.3"},
           {"least = 0.10", "least = 1.3", "1.3",
            "least: friction coefficient must be >= 0 and < 1, got 1.3"},
           {"least = 0.10", "thread_angle = \"91 deg\", least = 0.10", "\"91 deg\"",
            "thread_angle must be from 0 deg to 90 deg, got"},
           {"collar_diameter = \"20 mm\", ", "", "{ least",
            "axis.z.drive.friction.collar_diameter is missing"},
           {", collar = 0.15", "", "{ least", "axis.z.drive.friction.collar is missing"},
           {friction, friction + "\nefficiency = 0.9", "{ least",
            "efficiency and friction are both given"},
           {friction + "\n", "", head, "axis.z.drive.efficiency is missing"},
           {friction, "efficiency = 90", "90", "efficiency: efficiency must be > 0 and <= 1"},
           {"screws_per_motor = 2", "screws_per_motor = 9", "9",
            "screws_per_motor must be from 1 to 8, got 9"},
           {"motor_teeth = 20", "motor_teeth = 5", "5", "motor_teeth must be from 6 to 500, got 5"},
           {"efficiency = 0.9 }", "efficiency = 1.9 }", "1.9",
            "efficiency: efficiency must be > 0 and <= 1"},
           {"motor_teeth = 20", "width = \"9 mm\", motor_teeth = 20", "width",
            "unknown key \"width\" in axis.z.drive.stage"},
           {"\"35 g*cm^2\"", "\"-35 g*cm^2\"", "\"-35", "screw_pulley_inertia must be >= 0"},
           {"\"20 g*cm^2\"", "\"20 kg*m^2\"", "\"20 kg", "motor_pulley_inertia must be >= 0"},
           {"\"2 kN/mm\"", "\"0 N/mm\"", "\"0 N", "nut_stiffness must be > 0"},
           {"motors = 2", "motors = 5", "5", "motors must be from 1 to 4, got 5"},
           {"starts = 4", "starts = 4\npulley_teeth = 20", "pulley_teeth",
            "unknown key \"pulley_teeth\" in axis.z.drive"}}) {
    check_slip(screw_text, slip);
  }
}

TEST_CASE("a screw that its friction locks is an error at that friction", "[io][error]") {
  // Lead 40 mm on 7 mm: slope 1.82, and friction over the cosine of the flank times it above one.
  const std::string steep = replaced(replaced(screw_text, "lead = \"8 mm\"", "lead = \"40 mm\""),
                                     "starts = 4", "starts = 20");
  check_slip(steep, {"most = 0.20", "most = 0.80", "0.80", "screw locks"});
}

TEST_CASE("the keys of a chuck reach their fields", "[io]") {
  const machine::Machine m = read(chuck_text);
  const auto& drive = std::get<axis::RotaryAxis>(m.axes.at(0).drive);
  CHECK(drive.heaviest_diameter_millimetres == Fraction(254, 5));
  CHECK_THAT(in_millimetres(drive.heaviest.diameter), WithinRel(50.8, 1e-12));
  CHECK(drive.heaviest.bore == 20_mm);
  CHECK(drive.heaviest.length == 300_mm);
  CHECK(drive.heaviest.density == kilograms_per_cubic_metre(900));
  CHECK(drive.heaviest.eccentricity == 1_mm);
  const auto& chuck = std::get<axis::Chuck>(drive.hold);
  CHECK(chuck.motor_turns_per_chuck_turn == Fraction(3));
  CHECK_THAT(in_kilogram_square_metres(chuck.inertia), WithinRel(900e-7, 1e-12));
  CHECK(chuck.drag == newton_metres(0.05));
  CHECK_THAT(in_kilogram_square_metres(drive.motor_pulley_inertia), WithinRel(8e-7, 1e-12));
  CHECK(drive.efficiency.value() == 0.9);
  CHECK(drive.motor.name == "nema17 48mm 2A");
  CHECK(m.axes.at(0).want.speed == 50_mm_per_s);
  // The move, what the driver does at rest, and the supply's share and resistance.
  CHECK(m.axes.at(0).assumed.size() == 4);
}

TEST_CASE("the keys of driven rollers reach their fields", "[io]") {
  const machine::Machine m = read(rollers_text);
  const auto& drive = std::get<axis::RotaryAxis>(m.axes.at(0).drive);
  CHECK(drive.heaviest_diameter_millimetres == Fraction(60));
  const auto& rollers = std::get<axis::Rollers>(drive.hold);
  CHECK(rollers.motor_turns_per_roller_turn == Fraction(2));
  CHECK(rollers.diameter_millimetres == Fraction(381, 20));
  CHECK(rollers.centre_distance == 45_mm);
  CHECK(rollers.driven == 2);
  CHECK(rollers.grip.value() == 0.3);
  CHECK_THAT(in_kilogram_square_metres(rollers.inertia), WithinRel(12e-7, 1e-12));
  CHECK(rollers.drag == 0.4_N);
}

TEST_CASE("a turning attachment names what it assumes", "[io]") {
  const std::string work =
      "workpiece = { diameter = \"60 mm\", length = \"300 mm\", density = \"700 kg/m^3\" }";
  const std::string head = machine_head + "[axis.a]\n" + turning_axis;
  const machine::Axis chuck = read(head + "drive = { kind = \"chuck\", " + work + " }").axes.at(0);
  for (const char* key :
       {"drive.workpiece.bore", "drive.workpiece.eccentricity", "drive.chuck_inertia",
        "drive.chuck_drag", "drive.motor_pulley_inertia", "drive.efficiency"}) {
    CAPTURE(key);
    CHECK(names(chuck, key));
  }
  CHECK(std::get<axis::RotaryAxis>(chuck.drive).efficiency.value() == 1.0);
  const machine::Axis rollers =
      read(head + "drive = { kind = \"rollers\", " + work +
           ", roller_diameter = \"20 mm\", centre_distance = \"45 mm\", grip = 0.3, stage = { "
           "motor_teeth = 20, driven_teeth = 40 } }")
          .axes.at(0);
  for (const char* key : {"drive.driven", "drive.roller_inertia", "drive.roller_drag"}) {
    CAPTURE(key);
    CHECK(names(rollers, key));
  }
  const auto& drive = std::get<axis::RotaryAxis>(rollers.drive);
  CHECK(drive.efficiency.value() == 0.98);
  CHECK(std::get<axis::Rollers>(drive.hold).driven == 1);
}

TEST_CASE("errors of a turning attachment name line and column", "[io][error]") {
  const std::string turning = "motor  = \"nema17 48mm 2A\"";
  for (const testing::Slip& slip : std::vector<testing::Slip>{
           {turning, turning + "\ntravel = \"300 mm\"", "\"300", "travel is not used with a chuck"},
           {turning, turning + "\nmoving_mass = \"3 kg\"", "\"3 kg",
            "moving_mass is not used with a chuck"},
           {turning, turning + "\nguide = { kind = \"plain\" }", "{ kind",
            "guide is not used with a chuck"},
           {turning, turning + "\ncarries = [\"x\"]", "[\"x\"]",
            "carries is not used with a chuck"},
           {turning, turning + "\nincline = \"9 deg\"", "\"9", "incline is not used with a chuck"},
           {turning, turning + "\nmotors = 2", "2\n", "motors is not used with a chuck"},
           {turning, turning + "\nraster = { line = \"9 mm\" }", "{ line",
            "raster is not used with a chuck"},
           {"\"chuck\"", "\"chuk\"", "\"chuk\"", "unknown kind \"chuk\""},
           {"diameter = \"2 in\"", "diameter = \"0 in\"", "\"0 in\"", "diameter must be > 0"},
           {"diameter = \"2 in\"", "diameter = \"3 m\"", "\"3 m\"",
            "diameter must be > 0 and at most 2000 mm, got \"3 m\""},
           {"diameter = \"2 in\", ", "", "{ bore", "axis.a.drive.workpiece.diameter is missing"},
           {"bore = \"20 mm\"", "bore = \"51 mm\"", "\"51",
            "bore must be below the diameter of 50.8 mm, got 51 mm"},
           {", length = \"300 mm\"", "", "{ diameter", "axis.a.drive.workpiece.length is missing"},
           {", density = \"900 kg/m^3\"", "", "{ diameter",
            "axis.a.drive.workpiece.density is missing"},
           {"\"900 kg/m^3\"", "\"900 g/mm^3\"", "\"900 g/mm", "density"},
           {"eccentricity = \"1 mm\"", "eccentricity = \"26 mm\"", "\"26",
            "eccentricity must be below the radius of 25.4 mm, got 26 mm"},
           {"driven_teeth = 60", "driven_teeth = 6.5", "6.5",
            "driven_teeth must be a whole number"},
           {"\"900 g*cm^2\"", "\"900 g\"", "\"900 g\"", "chuck_inertia: expected an inertia"},
           {"\"0.05 N*m\"", "\"-1 N*m\"", "\"-1", "chuck_drag must be >= 0"},
           {"efficiency = 0.9", "efficiency = 0", "0", "efficiency: efficiency must be > 0"},
           {"efficiency = 0.9", "efficiency = 0.9\nroller_drag = \"1 N\"", "roller_drag",
            "unknown key \"roller_drag\" in axis.a.drive"}}) {
    // Dimension errors point into the text, at its unit.
    if (slip.message == "density" || slip.message.find("expected") != std::string::npos) {
      CHECK_THAT(error_of(replaced(chuck_text, slip.from, slip.to)), Contains(slip.message));
      continue;
    }
    check_slip(chuck_text, slip);
  }
  for (const testing::Slip& slip : std::vector<testing::Slip>{
           {"[axis.a]", "[axis.a]\ntravel = \"300 mm\"", "\"300",
            "travel is not used with rollers"},
           {"roller_diameter = \"19.05 mm\"\n", "", "[axis.a.drive]",
            "axis.a.drive.roller_diameter is missing"},
           {"\"45 mm\"", "\"19 mm\"", "\"19",
            "roller centre distance must be > roller diameter and < roller and workpiece"},
           {"\"45 mm\"", "\"80 mm\"", "\"80", "roller centre distance must be > roller diameter"},
           {"driven = 2", "driven = 3", "3", "driven must be from 1 to 2, got 3"},
           {"grip = 0.3\n", "", "[axis.a.drive]", "axis.a.drive.grip is missing"},
           {"grip = 0.3", "grip = 0.9", "0.9", "the workpiece climbs out over a roller"},
           {"\"0.4 N\"", "\"-0.4 N\"", "\"-0.4", "roller_drag must be >= 0"},
           {"\"12 g*cm^2\"", "\"-12 g*cm^2\"", "\"-12", "roller_inertia must be >= 0"},
           {"workpiece = { diameter = \"60 mm\", length = \"300 mm\", density = \"700 kg/m^3\" }\n",
            "", "[axis.a.drive]", "axis.a.drive.workpiece is missing"}}) {
    check_slip(rollers_text, slip);
  }
  check_slip(replaced(rollers_text, "60 mm", "60.000000001 mm"),
             {"\"19.05 mm\"", "\"19.050000001 mm\"", "\"19.05",
              "roller_diameter makes pulses that cannot be counted exactly"});
}

TEST_CASE("the keys of a gantry with a cross shaft reach their fields", "[io]") {
  const machine::Axis axis = read(gantry_text).axes.at(0);
  const axis::BeltAxis& drive = machine::belt_drive(axis);
  CHECK(drive.belt_distance == 980_mm);
  REQUIRE(drive.cross_shaft);
  CHECK(drive.cross_shaft->shaft.diameter == 16_mm);
  CHECK(drive.cross_shaft->shaft.bore == 12_mm);
  CHECK(drive.cross_shaft->shaft.length == 940_mm);
  CHECK(drive.cross_shaft->shaft.shear_modulus == parts::aluminium_shear_modulus);
  CHECK(drive.cross_shaft->density == kilograms_per_cubic_metre(2700));
  CHECK(drive.cross_shaft->couplings == 2);
  CHECK(drive.cross_shaft->coupling_stiffness == newton_metres_per_radian(500));
  CHECK_THAT(in_kilogram_square_metres(drive.cross_shaft->coupling_inertia),
             WithinRel(60e-7, 1e-12));
  CHECK_FALSE(names(axis, "drive.cross_shaft.coupling_stiffness"));

  const machine::Axis bare =
      read(replaced(gantry_text,
                    "couplings = 2, coupling_stiffness = \"500 N*m/rad\", coupling_inertia = "
                    "\"60 g*cm^2\"",
                    "couplings = 1"))
          .axes.at(0);
  CHECK(names(bare, "drive.cross_shaft.coupling_stiffness"));
  CHECK(names(bare, "drive.cross_shaft.coupling_inertia"));
  const machine::Axis steel = read(replaced(gantry_text, "aluminium", "steel")).axes.at(0);
  const auto& shaft = machine::belt_drive(steel).cross_shaft;
  CHECK(shaft->shaft.shear_modulus == parts::steel_shear_modulus);
  CHECK(shaft->density == parts::steel_density);
}

TEST_CASE("two motors may state the distance of their belts", "[io]") {
  std::string text = gantry_text.substr(0, gantry_text.find("cross_shaft"));
  text = replaced(text, "[axis.y]", "[axis.y]\nmotors = 2");
  const machine::Machine m = read(text);
  CHECK(machine::belt_drive(m.axes[0]).belt_distance == 980_mm);
  CHECK_FALSE(machine::belt_drive(m.axes[0]).cross_shaft);
}

TEST_CASE("errors of a gantry name line and column", "[io][error]") {
  for (const testing::Slip& slip : std::vector<testing::Slip>{
           {"[axis.y]", "[axis.y]\nmotors = 2", "{ diameter",
            "cross_shaft is for a gantry with one motor, and the axis has two"},
           {"[axis.y]", "[axis.y]\nmotors = 3", "3", "motors must be from 1 to 2, got 3"},
           {"belt_distance = \"980 mm\"\n", "", "[axis.y.drive]",
            "axis.y.drive.belt_distance is missing"},
           {"\"980 mm\"", "\"-980 mm\"", "\"-980", "belt_distance must be > 0"},
           {"diameter = \"16 mm\"", "diameter = \"16 m\"", "\"16 m\"",
            "diameter must be > 0 and at most 100 mm"},
           {"diameter = \"16 mm\", ", "", "{ bore", "axis.y.drive.cross_shaft.diameter is missing"},
           {"\"12 mm\"", "\"16 mm\"", "\"16 mm\"",
            "bore must be below the diameter of 16 mm, got 16 mm"},
           {"length = \"940 mm\", ", "", "{ diameter",
            "axis.y.drive.cross_shaft.length is missing"},
           {"\"aluminium\"", "\"aluminum\"", "\"aluminum\"", "unknown material \"aluminum\""},
           {"material = \"aluminium\", ", "", "{ diameter",
            "axis.y.drive.cross_shaft.material is missing"},
           {"couplings = 2", "couplings = -1", "-1", "couplings must be from 0 to 8, got -1"},
           {"couplings = 2, ", "", "{ diameter", "axis.y.drive.cross_shaft.couplings is missing"},
           {"\"500 N*m/rad\"", "\"0 N*m/rad\"", "\"0 N", "coupling_stiffness must be > 0"},
           {"\"60 g*cm^2\"", "\"-60 g*cm^2\"", "\"-60", "coupling_inertia must be >= 0"},
           {"couplings = 2", "couplings = 2, colour = 1", "colour",
            "unknown key \"colour\" in axis.y.drive.cross_shaft"}}) {
    check_slip(gantry_text, slip);
  }
  const std::string one_belt = gantry_text.substr(0, gantry_text.find("cross_shaft"));
  check_slip(one_belt, {"\"980 mm\"", "\"970 mm\"", "\"970 mm\"",
                        "belt_distance is given, and the axis has one belt"});
}

TEST_CASE("errors that the kind of a drive hides are found by its other keys", "[io][error]") {
  const std::string met = error_of(
      replaced(replaced(chuck_text, "kind = \"chuck\"\n", ""), "\"0.05 N*m\"", "\"-1 N*m\""));
  CHECK_THAT(met, Contains("axis.a.drive.kind is missing") && Contains("chuck_drag must be >= 0"));
  CHECK_THAT(met, !Contains("unknown key") && !Contains("travel"));
  const std::string rollers = error_of(replaced(rollers_text, "\"rollers\"", "\"roller\""));
  CHECK_THAT(rollers, Contains("did you mean \"rollers\"?") && !Contains("unknown key"));
  const std::string screw = error_of(replaced(screw_text, "\"screw\"", "\"thread\""));
  CHECK_THAT(screw, Contains("unknown kind \"thread\"") && !Contains("unknown key"));
}

TEST_CASE("an axis carries a screw or a turning attachment with its whole mass", "[io]") {
  const std::string chuck_axis = chuck_text.substr(machine_head.size());
  const std::string screw_axis = screw_text.substr(machine_head.size());
  const machine::Machine m = read(
      machine_head + replaced(screw_axis, "motors = 2", "motors = 2\ncarries = [\"a\"]") +
      chuck_axis +
      replaced(gantry_text.substr(machine_head.size()), "[axis.y]", "[axis.y]\ncarries = [\"z\"]"));
  // A tube of 50.8 and 20 mm, 300 mm long, of 900 kg/m^3: 0.4624 kg.
  const double work = 3.14159265358979 / 4 * (0.0508 * 0.0508 - 0.02 * 0.02) * 0.3 * 900;
  const auto& z = std::get<axis::ScrewAxis>(m.axes.at(0).drive);
  REQUIRE(z.moving.size() == 2);
  CHECK(z.moving.back().name == "axis a");
  CHECK(z.moving.back().travels_along_beam);
  CHECK_THAT(in_kilograms(z.moving.back().mass), WithinRel(work, 1e-9));
  CHECK_THAT(in_kilograms(machine::moving_mass(m.axes.at(2).drive)), WithinRel(4 + 4 + work, 1e-9));
}

TEST_CASE("the demonstration machines with other drives read as their files say", "[io]") {
  const auto text = [](const std::string& name) {
    return io::read_file(testing::reference_folder() + "/machines/" + name);
  };
  const machine::Machine lift = read(text("lift-and-spool.toml"));
  const auto& z = std::get<axis::ScrewAxis>(lift.axes.at(0).drive);
  CHECK(z.screws_per_motor == 4);
  CHECK(z.motor_turns_per_screw_turn == Fraction(5, 4));
  CHECK(z.incline == 90_deg);
  CHECK(z.moving.back().name == "axis a");
  CHECK(
      std::holds_alternative<axis::Chuck>(std::get<axis::RotaryAxis>(lift.axes.at(1).drive).hold));
  const machine::Machine shaft = read(text("shaft-driven.toml"));
  const axis::BeltAxis& y = machine::belt_drive(shaft.axes.at(1));
  REQUIRE(y.cross_shaft);
  CHECK(y.belt_distance == 980_mm);
  CHECK(y.stage->driven_teeth == 40);
  for (const machine::Machine& m : {lift, shaft}) {
    report::Report report = check::check_machine(m);
    prove::arbitrate(report, m);
    for (const report::AxisReport& axis : report.axes)
      for (const report::Finding& f : axis.findings) {
        CAPTURE(axis.name, f.key);
        CHECK(f.verdict != report::Verdict::fails);
      }
  }
}

TEST_CASE("what is wanted of turned work reaches its fields, and is not asked where left out",
          "[io]") {
  CHECK(is_unset(read(chuck_text).axes.at(0).turned.angle_step));
  CHECK(is_unset(read(chuck_text).axes.at(0).turned.axle_height));
  const std::string wanted = replaced(chuck_text, "kind = \"chuck\"",
                                      "kind = \"chuck\"\nangle_step = \"0.05 deg\"\nsurface_step = "
                                      "\"0.02 mm\"\naxle_height = \"60 mm\"");
  const machine::TurnedWork turned = read(wanted).axes.at(0).turned;
  CHECK(turned.angle_step == degrees(0.05));
  CHECK(turned.surface_step == 0.02_mm);
  CHECK(turned.axle_height == 60_mm);
  for (const testing::Slip& slip : std::vector<testing::Slip>{
           {"\"0.05 deg\"", "\"0 deg\"", "\"0 deg\"", "angle_step must be > 0"},
           {"\"0.02 mm\"", "\"0.02 deg\"", "deg\"", "surface_step: "},
           {"\"60 mm\"", "\"-1 mm\"", "\"-1 mm\"", "axle_height must be >= 0"}})
    check_slip(wanted, slip);
}

}  // namespace
}  // namespace pitchline
