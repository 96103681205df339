#include <string>

#include "support/is_near.hpp"
#include "support/machine_text.hpp"

// What is wanted of a lift, a screw of the catalogue by its name, and friction by names.

namespace pitchline {
namespace {

using namespace literals;
using Catch::Matchers::Contains;
using testing::check_slip;
using testing::IsNear;
using testing::names;
using testing::read;
using testing::replaced;

const std::string bed = R"toml([machine]
name          = "Kite loft"
torque_margin = 1.1
[supply]
voltage = "36 V"
power   = "400 W"
[controller]
pulse_rate = "200 kHz"
decimals   = 3
[axis.z]
travel      = "100 mm"
incline     = "90 deg"
moving_mass = "4 kg"
guide       = { kind = "round shaft", friction = 0.01, drag = "6 N" }
motor       = "nema23 56mm 2.8A"
driver      = { current = "2 A", current_is = "rms", pulses_per_turn = 1600 }
want        = { speed = "8 mm/s", acceleration = "0.1 m/s^2" }
[axis.z.drive]
kind = "screw"
screw = "Tr 8x8 (P2)"
bearing_distance = "200 mm"
friction = { nut = "bronze", lubrication = "oiled" }
screws_per_motor = 2
stage = { motor_teeth = 20, driven_teeth = 30, efficiency = 0.9 }
[axis.z.lift]
work = "6 kg"
height_step = "0.05 mm"
stays_up = true
screws = [["0 mm", "0 mm"], ["500 mm", "0 mm"]]
load_at = ["200 mm", "10 mm"]
nut_level = "0.1 mm"
bearings = "both fixed"
thrust_bearing = "above"
nut_length = "30 mm"
lead_error = "0.02 mm"
level = "0.2 mm"
brake = "0.4 N*m"
[axis.z.lift.belt]
profile = "GT 3 mm"
width = "9 mm"
tension = "40 N"
[[axis.z.lift.belt.pulley]]
name = "left"
x = "0 mm"
y = "0 mm"
teeth = 30
[[axis.z.lift.belt.pulley]]
name = "right"
x = "500 mm"
y = "0 mm"
teeth = 30
[[axis.z.lift.belt.pulley]]
name = "motor"
x = "250 mm"
y = "90 mm"
teeth = 20
slide = { along = "90 deg", from = "-5 mm", to = "5 mm" }
)toml";

const axis::ScrewAxis& drive_of(const machine::Machine& m) {
  return std::get<axis::ScrewAxis>(m.axes.at(0).drive);
}

TEST_CASE("a screw of the catalogue brings lead, diameters and flank", "[io]") {
  const machine::Machine m = read(bed);
  const axis::ScrewAxis& drive = drive_of(m);
  CHECK(drive.screw.name == "Tr 8x8 (P2)");
  CHECK(drive.screw.lead_millimetres == Fraction(8));
  CHECK(drive.screw.starts == 4);
  CHECK_THAT(drive.screw.mean_diameter, IsNear(7_mm, 1e-9_mm));
  CHECK_THAT(drive.screw.minor_diameter, IsNear(5.5_mm, 1e-9_mm));
  const auto& friction = std::get<axis::ThreadFriction>(drive.loss);
  CHECK(friction.flank_half_angle == degrees(15));
  // [Shigley] table 8-5: bronze on steel, machine oil, .10 to .16.
  CHECK(friction.least.value() == 0.10);
  CHECK(friction.most.value() == 0.16);
  CHECK(friction.nut == screw::NutMaterial::bronze);
  CHECK(friction.lubrication == screw::Lubrication::oiled);

  const machine::Machine acme = read(replaced(bed, "Tr 8x8 (P2)", "Acme 5/8-6"));
  CHECK(std::get<axis::ThreadFriction>(drive_of(acme).loss).flank_half_angle == degrees(14.5));
  CHECK(drive_of(acme).screw.lead_millimetres == Fraction(127, 30));
}

TEST_CASE("a ball screw needs no friction and names the efficiency it takes", "[io]") {
  std::string text = replaced(bed, "Tr 8x8 (P2)", "Ball 16x5");
  text = replaced(text, "friction = { nut = \"bronze\", lubrication = \"oiled\" }\n", "");
  const machine::Machine m = read(text);
  // [Oriental Motor]: 0.85 to 0.95, of which the motor counts on the least.
  CHECK(std::get<Efficiency>(drive_of(m).loss).value() == 0.85);
  CHECK(drive_of(m).screw.thread == parts::ThreadKind::ball);
  CHECK(names(m.axes[0], "drive.efficiency"));
}

TEST_CASE("friction by numbers may say what wears", "[io]") {
  const machine::Machine m =
      read(replaced(bed, "lubrication = \"oiled\"", "least = 0.12, most = 0.18"));
  const auto& friction = std::get<axis::ThreadFriction>(drive_of(m).loss);
  CHECK(friction.least.value() == 0.12);
  CHECK(friction.nut == screw::NutMaterial::bronze);
  CHECK_FALSE(friction.lubrication);
}

TEST_CASE("the keys of a lift reach their fields", "[io]") {
  const machine::Machine m = read(bed);
  const machine::Axis& z = m.axes.at(0);
  REQUIRE(z.lift);
  CHECK(z.lift->height_step == 0.05_mm);
  CHECK(z.lift->stays_up);
  CHECK(z.lift->bearings == screw::EndFixity::fixed_fixed);
  CHECK(z.lift->hangs);
  CHECK(z.lift->nut_length == 30_mm);
  CHECK(z.lift->lead_error == 0.02_mm);
  CHECK(z.lift->level == 0.2_mm);
  CHECK(z.lift->brake == newton_metres(0.4));
  // The work is lifted, too.
  CHECK_THAT(machine::moving_mass(z.drive), IsNear(10_kg, kilograms(1e-9)));
  const axis::ScrewAxis& drive = drive_of(m);
  REQUIRE(drive.stand);
  REQUIRE(drive.stand->places.size() == 2);
  CHECK(drive.stand->places[1].x == 500_mm);
  CHECK(drive.stand->load_at.y == 10_mm);
  CHECK(drive.stand->nut_level == 0.1_mm);
  REQUIRE(z.lift->belt);
  CHECK(z.lift->belt->motor_teeth == 20);
  CHECK(z.lift->belt->screw_teeth == 30);
  CHECK(z.lift->belt->tying.motor == 2);
  CHECK(z.lift->belt->tying.screws == std::vector<std::size_t>{0, 1});
  CHECK(z.lift->belt->tension == newtons(40));
  CHECK(z.lift->belt->slide.has_value());
}

TEST_CASE("a lift names what it assumes", "[io]") {
  std::string text = bed.substr(0, bed.find("[axis.z.lift]"));
  text = replaced(text, "screws_per_motor = 2", "screws_per_motor = 4");
  text +=
      "[axis.z.lift]\nwork = \"0 kg\"\nheight_step = \"0.1 mm\"\nstays_up = false\nscrews = [[\"0 "
      "mm\", \"0 mm\"], [\"300 mm\", \"0 mm\"], [\"300 mm\", \"200 mm\"], [\"0 mm\", \"200 "
      "mm\"]]\n";
  const machine::Machine m = read(text);
  for (const char* key : {"lift.bearings", "lift.thrust_bearing", "lift.nut_length",
                          "lift.nut_level", "lift.load_at"}) {
    CAPTURE(key);
    CHECK(names(m.axes.at(0), key));
  }
  CHECK_THAT(drive_of(m).stand->load_at.x, IsNear(150_mm, 1e-9_mm));
  CHECK_THAT(drive_of(m).stand->load_at.y, IsNear(100_mm, 1e-9_mm));
  CHECK_FALSE(m.axes[0].lift->stays_up);
  CHECK(is_unset(m.axes[0].lift->level));
}

TEST_CASE("ratings of a ball screw reach the drive, before those of the catalogue", "[io]") {
  const std::string ball =
      replaced(replaced(bed, "Tr 8x8 (P2)", "Ball 16x5"),
               "friction = { nut = \"bronze\", lubrication = \"oiled\" }\n", "");
  CHECK(is_unset(drive_of(read(ball)).screw.dynamic_rating));
  const std::string rated =
      replaced(ball, "screws_per_motor = 2",
               "screws_per_motor = 2\ndynamic_rating = \"5.2 kN\"\nstatic_rating = \"9 kN\"");
  CHECK(drive_of(read(rated)).screw.dynamic_rating == newtons(5200));
  CHECK(drive_of(read(rated)).screw.static_rating == newtons(9000));
  // Who rates a screw that the file describes says that balls roll.
  const std::string described =
      replaced(rated, "screw = \"Ball 16x5\"",
               "lead = \"5 mm\"\nouter_diameter = \"16 mm\"\nmean_diameter = \"16 mm\"\n"
               "minor_diameter = \"13 mm\"\nefficiency = 0.9");
  CHECK(drive_of(read(described)).screw.thread == parts::ThreadKind::ball);
  CHECK(read(replaced(bed, "brake =", "life = \"500 km\"\nbrake =")).axes[0].lift->life ==
        metres(500'000));
  CHECK(is_unset(read(bed).axes[0].lift->life));
}

machine::Machine read_open(const std::string& text) {
  return io::read_machine(text, "loft.toml", io::standard_catalogue(), io::LiftScrews::may_be_open);
}
std::string error_of_open(const std::string& text) {
  try {
    read_open(text);
  } catch (const io::UnusableInput& e) {
    return e.what();
  }
  return "";
}
std::string open_bed() { return replaced(bed, "screw = \"Tr 8x8 (P2)\"\n", ""); }
const std::string bronze = "friction = { nut = \"bronze\", lubrication = \"oiled\" }\n";

TEST_CASE("a screw that is left open can be chosen, and the error says by which program",
          "[io][error]") {
  check_slip(bed, {"screw = \"Tr 8x8 (P2)\"\n", "", "[axis.z.drive]",
                   "axis.z.drive leaves its screw open"});
  CHECK_THAT(testing::error_of(open_bed()), Contains("help: pitchline-lift chooses it"));
  // It is the only error: nothing else is missing.
  CHECK_THAT(testing::error_of(open_bed()), !Contains("missing"));
  const machine::Machine m = read_open(open_bed());
  CHECK(axis::is_left_open(drive_of(m).screw));
  CHECK_FALSE(axis::is_left_open(drive_of(read_open(bed)).screw));
  CHECK(drive_of(m).screw.bearing_distance == 200_mm);
  const auto& friction = std::get<axis::ThreadFriction>(drive_of(m).loss);
  CHECK(friction.nut == screw::NutMaterial::bronze);
  CHECK(friction.most.value() == 0.16);
  CHECK_FALSE(names(m.axes[0], "drive.friction"));
  // Where nothing lifts, a screw is missing as before.
  const std::string no_lift = open_bed().substr(0, open_bed().find("[axis.z.lift]"));
  CHECK_THAT(error_of_open(no_lift), Contains("axis.z.drive.lead is missing"));
  // A screw that is half described is not left open.
  CHECK_THAT(error_of_open(replaced(open_bed(), bronze, "starts = 2\n" + bronze)),
             Contains("axis.z.drive.lead is missing"));
}

TEST_CASE("friction of a screw that is left open is that of the file or a named assumption",
          "[io]") {
  machine::Machine m = read_open(replaced(open_bed(), bronze, ""));
  // [Shigley] table 8-5: bronze on steel, machine oil, .10 to .16.
  const auto& friction = std::get<axis::ThreadFriction>(drive_of(m).loss);
  CHECK(friction.least.value() == 0.10);
  CHECK(friction.most.value() == 0.16);
  CHECK(friction.nut == screw::NutMaterial::bronze);
  CHECK(friction.lubrication == screw::Lubrication::oiled);
  CHECK(names(m.axes[0], "drive.friction"));
  m = read_open(replaced(open_bed(), bronze, "friction = { least = 0.12, most = 0.18 }\n"));
  CHECK(std::get<axis::ThreadFriction>(drive_of(m).loss).least.value() == 0.12);
  CHECK_THAT(error_of_open(replaced(open_bed(), bronze, "efficiency = 0.9\n")),
             Contains("efficiency does not go with a screw that is left open"));
  CHECK_THAT(
      error_of_open(replaced(open_bed(), "\"oiled\" }", "\"oiled\", thread_angle = \"30 deg\" }")),
      Contains("thread_angle does not go with a screw that is left open"));
}

TEST_CASE("errors of a lift name line and column", "[io][error]") {
  const std::string head = "[axis.z.lift]";
  const std::string belt_head = "[axis.z.lift.belt]";
  for (const testing::Slip& slip : std::vector<testing::Slip>{
           {"\"Tr 8x8 (P2)\"", "\"Tr 8x7\"", "\"Tr 8x7\"", "unknown screw \"Tr 8x7\""},
           {"screw = \"Tr", "lead = \"2 mm\"\nscrew = \"Tr", "\"2 mm\"",
            "screw and lead do not go together"},
           {"\"oiled\"", "\"oily\"", "\"oily\"", "unknown lubrication \"oily\""},
           {"\"bronze\"", "\"bronce\"", "\"bronce\"", "unknown nut \"bronce\""},
           {"\"bronze\"", "\"filled plastic\"", "\"oiled\"",
            "no friction is known of a nut of plastic with solid lubricant, oiled"},
           {"nut = \"bronze\", ", "", "{ lub", "axis.z.drive.friction.nut is missing"},
           {"\"oiled\" }", "\"oiled\", most = 0.2 }", "0.2",
            "lubrication and most do not go together"},
           {"work = \"6 kg\"\n", "", head, "axis.z.lift.work is missing"},
           {"\"6 kg\"", "\"6 N\"", "N\"", "work: "},
           {"height_step = \"0.05 mm\"\n", "", head, "axis.z.lift.height_step is missing"},
           {"\"0.05 mm\"", "\"50 mm\"", "\"50 mm\"", "height_step must be > 0 and at most 10 mm"},
           {"stays_up = true\n", "", head, "axis.z.lift.stays_up is missing"},
           {"stays_up = true", "stays_up = \"yes\"", "\"yes\"",
            "stays_up must be true or false, got \"yes\""},
           {"screws = [[\"0 mm\", \"0 mm\"], [\"500 mm\", \"0 mm\"]]\n", "", head,
            "axis.z.lift.screws is missing"},
           {"], [\"500 mm\", \"0 mm\"]]", "]]", "[[\"0",
            "screws must be a list of 2 places, got 1"},
           {"[\"500 mm\", \"0 mm\"]", "[\"0 mm\", \"0 mm\"]", "[[\"0",
            "distance of two screws must be > 0.001, got 0 mm"},
           {"[\"500 mm\", \"0 mm\"]", "[\"500 mm\"]", "[\"500 mm\"]",
            "a place of screws must be a pair of lengths in text"},
           {"[\"500 mm\", \"0 mm\"]", "[\"500 km\", \"0 mm\"]", "\"500 km\"",
            "a place of screws must be within 20000 mm"},
           {"[\"200 mm\", \"10 mm\"]", "[\"-200 mm\", \"10 mm\"]", "[\"-200",
            "the load at x -200 mm, y 10 mm stands outside of the screws: the bed tips"},
           {"nut_level = \"0.1 mm\"", "nut_level = \"-0.1 mm\"", "\"-0.1",
            "nut_level must be >= 0"},
           {"\"both fixed\"", "\"fixed\"", "\"fixed\"", "unknown bearings \"fixed\""},
           {"\"above\"", "\"over\"", "\"over\"", "unknown thrust_bearing \"over\""},
           {"brake = \"0.4 N*m\"", "life = \"0 km\"\nbrake = \"0.4 N*m\"", "\"0 km\"",
            "life must be > 0 and at most 1000000 km"},
           {"screws_per_motor = 2", "screws_per_motor = 2\nstatic_rating = \"5 kN\"", "\"5 kN\"",
            "static_rating is that of balls, and the screw slides"},
           {"brake = \"0.4 N*m\"", "brake = \"0 N*m\"", "\"0 N*m\"", "brake must be > 0"},
           {"level = \"0.2 mm\"", "lvel = \"0.2 mm\"", "lvel",
            "unknown key \"lvel\" in axis.z.lift"},
           {"profile = \"GT 3 mm\"", "profile = \"GT 4 mm\"", "\"GT 4 mm\"",
            "unknown profile \"GT 4 mm\""},
           {"name = \"motor\"", "name = \"engine\"", belt_head,
            "axis.z.lift.belt has no pulley \"motor\""},
           {"x = \"500 mm\"", "x = \"490 mm\"", belt_head,
            "axis.z.lift.belt has no pulley on the screw at x 500 mm, y 0 mm"},
           {"teeth = 20\nslide", "teeth = 24\nslide", belt_head,
            "axis.z.lift.belt makes 5/4 turns of the motor a turn of a screw, and drive.stage 3/2"},
           {"x = \"250 mm\"\ny = \"90 mm\"", "x = \"250 mm\"\ny = \"0 mm\"", belt_head,
            "the belt does not reach \"motor\""},
           {"name = \"left\"", "nam = \"left\"", "nam =", "unknown key \"nam\""},
           {"incline     = \"90 deg\"\n", "", "[axis.z]", "axis.z.incline is missing"},
           {"incline     = \"90 deg\"\n", "incline = \"0 deg\"\n", head,
            "lift is of an axis that goes up, and this is level"}}) {
    check_slip(bed, slip);
  }
}

TEST_CASE("a lift is refused of an axis that no screw moves", "[io][error]") {
  const std::size_t drive = bed.find("[axis.z.drive]");
  const std::size_t lift = bed.find("[axis.z.lift]");
  const std::string text = bed.substr(0, drive) +
                           "drive = { kind = \"belt\", profile = \"GT 3 mm\", width = \"9 mm\", "
                           "pulley_teeth = 20 }\n" +
                           bed.substr(lift);
  CHECK_THAT(testing::error_of(text), Contains("error: lift is not used with belt"));
}

}  // namespace
}  // namespace pitchline
