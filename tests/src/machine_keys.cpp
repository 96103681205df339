#include "pitchline/io/machine_file_reference.hpp"

#include <algorithm>
#include <string>

#include "support/machine_text.hpp"
#include "support/project_folder.hpp"

// What follows from the entries of the keys: the reference, bounds, help, and what is assumed.

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

const std::string head = R"([machine]
name          = "Kite loft"
torque_margin = 1.1
[supply]
voltage = "36 V"
power   = "400 W"
[controller]
pulse_rate = "200 kHz"
decimals   = 3
)";

const std::string straight = R"(travel      = "100 mm"
moving_mass = "4 kg"
guide       = { kind = "round shaft", friction = 0.01 }
motor       = "nema23 56mm 2.8A"
driver      = { current = "2 A", current_is = "rms", pulses_per_turn = 1600 }
want        = { speed = "8 mm/s", acceleration = "0.1 m/s^2" }
)";

const std::string belt = head + "[axis.x]\n" + straight +
                         "drive = { kind = \"belt\", profile = \"GT 2 mm\", width = \"9 mm\", "
                         "pulley_teeth = 20 }\n";

// A screw whose thread is not named, so that its angle counts.
const std::string screw = head + "[axis.z]\nincline = \"90 deg\"\n" + straight + R"([axis.z.drive]
kind = "screw"
lead = "2 mm"
outer_diameter = "10 mm"
mean_diameter = "9 mm"
minor_diameter = "7.5 mm"
bearing_distance = "200 mm"
friction = { least = 0.10, most = 0.20, thread_angle = "30 deg" }
)";

const axis::ScrewAxis& screw_of(const machine::Machine& m) {
  return std::get<axis::ScrewAxis>(m.axes.at(0).drive);
}

bool says(const std::vector<std::string>& list, const std::string& part) {
  return std::any_of(list.begin(), list.end(),
                     [&](const std::string& each) { return each.find(part) != std::string::npos; });
}

TEST_CASE("the reference of the machine file is what its keys say", "[io]") {
  // After a change of a key that is meant, build the target renew_reference.
  CHECK(io::read_file(testing::reference_folder() + "/machine-file.md") ==
        io::machine_file_reference());
  CHECK(io::read_file(testing::reference_folder() + "/catalogue.md") == io::catalogue_reference());
}

TEST_CASE("a default that can decide a verdict is assumed, and one that is given is not", "[io]") {
  struct Case {
    std::string text;
    std::string from;
    std::string to;
    std::string key;
  };
  const std::string guide = "friction = 0.01 }";
  for (const Case& each : std::vector<Case>{
           {belt, "travel ", "incline = \"0 deg\"\ntravel ", "incline"},
           {belt, "travel ", "motors = 1\ntravel ", "motors"},
           {belt, guide, "friction = 0.01, drag = \"4 N\" }", "guide.drag"},
           {belt, guide, "friction = 0.01, breakaway = \"4 N\" }", "guide.breakaway"},
           {belt, "pulses_per", "standstill = \"1 A\", pulses_per", "driver.standstill"},
           {belt, "\"400 W\"", "\"400 W\"\nresistance = \"0 ohm\"", "supply.resistance"},
           {belt, "\"400 W\"", "\"400 W\"\nsimultaneity = 1.0", "supply.simultaneity"},
           {belt, "want ", "move = { stroke = \"9 mm\" }\nwant ", "move"},
           {belt, "= 20 }", "= 20, belt = \"open ended\" }", "drive.belt"},
           {belt, "= 20 }", "= 20, tension = \"50 N\" }", "drive.tension"},
           {belt, "= 20 }", "= 20, service_factor = 1.5 }", "drive.service_factor"},
           {belt, "= 20 }", "= 20, span = \"900 mm\" }", "drive.span"},
           {belt, "= 20 }", "= 20, efficiency = 0.9 }", "drive.efficiency"},
           {belt, "= 20 }", "= 20, damping_ratio = 0.02 }", "drive.damping_ratio"},
           {belt, "= 20 }", "= 20, pulley_inertia = \"9 g*cm^2\" }", "drive.pulley_inertia"},
           {screw, "lead ", "starts = 1\nlead ", "drive.starts"},
           {screw, "lead ", "density = \"8000 kg/m^3\"\nlead ", "drive.density"},
           {screw, "lead ", "ends = \"both ends held\"\nlead ", "drive.ends"},
           {screw, "lead ", "screws_per_motor = 1\nlead ", "drive.screws_per_motor"},
           {screw, "lead ", "nut_stiffness = \"9 kN/mm\"\nlead ", "drive.nut_stiffness"},
       }) {
    CAPTURE(each.key);
    CHECK(names(read(each.text).axes.at(0), each.key));
    CHECK_FALSE(names(read(replaced(each.text, each.from, each.to)).axes.at(0), each.key));
  }
}

TEST_CASE("a move names what it leaves out", "[io]") {
  const machine::Axis axis =
      read(replaced(belt, "want ", "move = { stroke = \"9 mm\", repeats = 3 }\nwant ")).axes.at(0);
  CHECK(names(axis, "move.jerk_time"));
  CHECK(names(axis, "move.dwell"));
  CHECK_FALSE(names(axis, "move.stroke"));
  CHECK_FALSE(names(axis, "move.repeats"));
}

TEST_CASE("an axis that others take as the vertical one must say its incline", "[io][error]") {
  const std::string level = replaced(screw, "incline = \"90 deg\"\n", "");
  const std::string beside = belt + level.substr(head.size());
  // Alone the name says nothing; beside x it is that of a vertical axis.
  CHECK(names(read(level).axes.at(0), "incline"));
  CHECK_THAT(error_of(beside), Contains("axis.z.incline is missing"));
  CHECK_THAT(error_of(beside), Contains("incline = \"90 deg\" where it goes straight up"));
  CHECK(error_of(replaced(beside, "[axis.z]", "[axis.z]\nincline = \"0 deg\"")).empty());
  CHECK(error_of(replaced(replaced(beside, "[axis.z]", "[axis.b]"), "axis.z.drive", "axis.b.drive"))
            .empty());
  const std::string lift =
      level + "[axis.z.lift]\nwork = \"5 kg\"\nheight_step = \"0.05 mm\"\nstays_up = true\n";
  CHECK_THAT(error_of(lift), Contains("axis.z.incline is missing"));
  CHECK_THAT(error_of(lift), Contains("add incline = \"90 deg\""));
  // One that carries a chuck whose axle height it must lift.
  const std::string chuck = R"([axis.a]
motor  = "nema17 48mm 2A"
driver = { current = "1.7 A", current_is = "rms", pulses_per_turn = 3200 }
want   = { speed = "50 mm/s", acceleration = "0.2 m/s^2" }
drive  = { kind = "chuck", axle_height = "60 mm", workpiece = { diameter = "60 mm", length = "300 mm", density = "700 kg/m^3" } }
)";
  const std::string bed = replaced(replaced(level, "[axis.z]", "[axis.bed]\ncarries = [\"a\"]"),
                                   "axis.z.drive", "axis.bed.drive") +
                          chuck;
  CHECK_THAT(error_of(bed), Contains("axis.bed.incline is missing"));
  CHECK(error_of(replaced(bed, "axle_height = \"60 mm\", ", "")).empty());
}

TEST_CASE("what the file does not describe is named as not looked at", "[io]") {
  const auto of = [](const std::string& text) { return read(text).axes.at(0).not_looked_at; };
  const auto bare = of(belt);
  for (const char* part : {"guide.blocks changes nothing", "(beam)", "(want.position_error)",
                           "(want.corner_error)", "(motor.shaft_load)", "(drive.tension)",
                           "(drive.bore)", "(driver.highest_voltage)", "(supply.capacitance)"}) {
    CAPTURE(part);
    CHECK(says(bare, part));
  }
  CHECK_FALSE(says(of(replaced(belt, "\"400 W\"", "\"400 W\"\ncapacitance = \"4700 uF\"")),
                   "supply.capacitance"));
  CHECK_FALSE(says(of(replaced(belt, "= 20 }", "= 20, tension = \"50 N\" }")), "drive.tension"));
  CHECK_FALSE(says(bare, "skew"));
  const std::string beam =
      replaced(replaced(belt, "\"4 kg\"", "{ beam = \"3 kg\", carriage = \"1 kg\" }"), "want ",
               "beam = { span = \"1300 mm\", elastic_modulus = \"70 GPa\", second_moment = \"20 "
               "cm^4\", mass = \"3 kg\", carries = [\"carriage\"] }\nwant ");
  CHECK(says(of(beam), "skew of a gantry that is pulled on one side"));
  CHECK_FALSE(says(of(beam), "(beam)"));
  CHECK_FALSE(says(of(replaced(beam, "travel ", "motors = 2\ntravel ")), "on one side"));
}

TEST_CASE("the angle of a thread is the one between its flanks", "[io]") {
  const auto flank = [](const std::string& text) {
    return std::get<axis::ThreadFriction>(screw_of(read(text)).loss).flank_half_angle;
  };
  CHECK_THAT(in_degrees(flank(screw)), WithinRel(15.0, 1e-12));
  CHECK_THAT(in_degrees(flank(replaced(screw, "\"30 deg\"", "\"29 deg\""))),
             WithinRel(14.5, 1e-12));
  CHECK(flank(replaced(screw, "\"30 deg\"", "\"0 deg\"")) == degrees(0));
  // None of the trade has 40 degrees: taken, and questioned.
  const machine::Machine odd = read(replaced(screw, "\"30 deg\"", "\"40 deg\""));
  CHECK_THAT(in_degrees(std::get<axis::ThreadFriction>(screw_of(odd).loss).flank_half_angle),
             WithinRel(20.0, 1e-12));
  CHECK(names(odd.axes.at(0), "drive.friction.thread_angle"));
  CHECK_FALSE(names(read(screw).axes.at(0), "drive.friction.thread_angle"));
  // A thread that is named says its own, and nothing else.
  const std::string named = replaced(replaced(screw, "mean_diameter = \"9 mm\"\n", ""),
                                     "minor_diameter = \"7.5 mm\"\n", "thread = \"trapezoidal\"\n");
  CHECK_THAT(in_degrees(flank(named)), WithinRel(15.0, 1e-12));
  check_slip(named, {"\"30 deg\"", "\"15 deg\"", "\"15 deg\"",
                     "thread_angle of 15 deg is not that of the thread that is named, 30 deg"});
}

TEST_CASE("half of a thread's angle is refused, and so is the key of one flank", "[io][error]") {
  for (const testing::Slip& slip : std::vector<testing::Slip>{
           {"\"30 deg\"", "\"15 deg\"", "\"15 deg\"",
            "thread_angle of 15 deg is half of 30 deg: it is the angle between both flanks"},
           {"\"30 deg\"", "\"14.5 deg\"", "\"14.5 deg\"", "thread_angle of 14.5 deg is half of 29"},
           {"\"30 deg\"", "\"120 deg\"", "\"120 deg\"",
            "thread_angle must be from 0 deg to 90 deg"},
           {"thread_angle = \"30 deg\"", "flank_angle = \"30 deg\"", "flank_angle",
            "flank_angle is no key any more: give thread_angle, the angle between both flanks"}}) {
    check_slip(screw, slip);
  }
  const std::string old = error_of(replaced(screw, "thread_angle = ", "flank_angle = "));
  CHECK_THAT(old, Contains("thread_angle = \"30 deg\" of a trapezoidal thread"));
  CHECK(old.find("is missing") == std::string::npos);
}

TEST_CASE("a screw that cannot be is refused with a reason", "[io][error]") {
  check_slip(screw, {"lead = \"2 mm\"", "lead = \"100 mm\"", "\"100 mm\"",
                     "a pitch of 100 mm does not fit on a screw of 10 mm"});
  // In ten starts the pitch is 10 mm.
  CHECK(error_of(replaced(screw, "lead = \"2 mm\"", "lead = \"100 mm\"\nstarts = 10"))
            .find("pitch") == std::string::npos);
  // The thread that is named says the diameters too: 9 and 7.5 mm of Tr 10x2.
  const std::string named =
      replaced(replaced(screw, "lead = \"2 mm\"", "lead = \"2 mm\"\nthread = \"trapezoidal\""),
               ", thread_angle = \"30 deg\"", "");
  CHECK(error_of(named).empty());
  CHECK(error_of(replaced(named, "\"9 mm\"", "\"8.9 mm\"")).empty());
  check_slip(named, {"\"9 mm\"", "\"8.2 mm\"", "\"8.2 mm\"",
                     "mean_diameter of 8.2 mm is not that of the thread that is named, 9 mm"});
  check_slip(named, {"\"7.5 mm\"", "\"5 mm\"", "\"5 mm\"",
                     "minor_diameter of 5 mm is not that of the thread that is named, 7.5 mm"});
}

TEST_CASE("a quantity that is far too small is a slip of its unit", "[io][error]") {
  for (const testing::Slip& slip : std::vector<testing::Slip>{
           {"\"100 mm\"", "\"1e-300 mm\"", "\"1e-300 mm\"",
            "travel must be at least 0.1 mm, got \"1e-300 mm\""},
           {"\"0.1 m/s^2\"", "\"1e-9 m/s^2\"", "\"1e-9", "acceleration must be at least"},
           {"\"8 mm/s\"", "\"1e-20 mm/s\"", "\"1e-20", "speed must be at least"},
           {"\"36 V\"", "\"0.001 V\"", "\"0.001 V\"", "voltage must be at least 0.1 V"},
           {"\"4 kg\"", "\"1e-12 kg\"", "\"1e-12", "moving_mass must be at least"}}) {
    check_slip(belt, slip);
  }
}

TEST_CASE("masses beyond any machine of this kind are refused, each and together", "[io][error]") {
  check_slip(belt,
             {"\"4 kg\"", "\"1e300 kg\"", "\"1e300", "moving_mass must be > 0 and at most 2000"});
  check_slip(belt, {"\"4 kg\"", "{ a = \"1500 kg\", b = \"1500 kg\" }", "{ a",
                    "moving_mass must be at most 2000 kg together, got 3000 kg"});
}

TEST_CASE("help shows the key's own example", "[io][error]") {
  const std::string unnamed = replaced(screw, ", thread_angle = \"30 deg\"", "");
  CHECK_THAT(error_of(unnamed), Contains("add thread_angle = \"30 deg\" of a trapezoidal thread, "
                                         "\"29 deg\" of an Acme one"));
  CHECK_THAT(error_of(replaced(screw, "most = 0.20", "most = 0.20, collar = 0.15")),
             Contains("add collar_diameter = \"16 mm\""));
  CHECK_THAT(error_of(replaced(screw, "outer_diameter = \"10 mm\"\n", "")),
             Contains("add outer_diameter = \"10 mm\""));
  CHECK_THAT(error_of(replaced(screw, "mean_diameter = \"9 mm\"\n", "")),
             Contains("add mean_diameter = \"9 mm\""));
  CHECK_THAT(error_of(replaced(belt, "\"9 mm\"", "9")), Contains("for example width = \"9 mm\""));
}

TEST_CASE("the density of a screw is settable", "[io]") {
  const machine::Machine steel = read(screw);
  const machine::Machine light =
      read(replaced(screw, "lead = \"2 mm\"", "lead = \"2 mm\"\ndensity = \"2700 kg/m^3\""));
  CHECK(screw_of(steel).screw.density == kilograms_per_cubic_metre(7850));
  CHECK(screw_of(light).screw.density == kilograms_per_cubic_metre(2700));
  const auto inertia = [](const machine::Machine& m) {
    return axis::inertia_at_motor(screw_of(m)).screws;
  };
  CHECK_THAT(number(inertia(light) / inertia(steel)), WithinRel(2700.0 / 7850.0, 1e-9));
}

}  // namespace
}  // namespace pitchline
