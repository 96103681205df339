#include "pitchline/io/read_measurements.hpp"

#include <string>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using testing::IsNear;

template <class Read>
std::string refused(Read read) {
  try {
    read();
  } catch (const io::UnusableInput& e) {
    return e.what();
  }
  return "accepted";
}

TEST_CASE("read_travel reads readings with their units and what the value came from", "[io]") {
  const auto m = io::read_travel(R"(
[travel]
steps_per_mm = "80 pulse/mm"
resolution = "0.02 mm"
zero = "exact"
pulley_teeth = 20
pulses_per_turn = 3200
readings = [
  { commanded = "100 mm", measured = "99.8 mm" },
  { commanded = "10 in", measured = "253.6 mm", approach = "backward" },
  { commanded = "-100 mm", measured = "-99.9 mm", approach = "forward" },
]

[screw]   # another table is left alone
)",
                                 "own.toml");
  CHECK_THAT(m.steps_per_mm, IsNear(pulses_per_millimetre(80), pulses_per_millimetre(1e-12)));
  CHECK_THAT(m.readings.resolution, IsNear(millimetres(0.02), millimetres(1e-12)));
  CHECK(m.zero_given);
  CHECK(m.readings.zero == tune::GaugeZero::exact);
  CHECK(m.from.pulley_teeth == 20);
  CHECK(m.from.pulses_per_turn == 3200);
  CHECK_FALSE(m.from.starts);
  REQUIRE(m.readings.readings.size() == 3);
  CHECK_THAT(m.readings.readings[1].commanded, IsNear(millimetres(254), millimetres(1e-9)));
  CHECK(m.readings.readings[0].approach == tune::Approach::forward);
  CHECK(m.readings.readings[1].approach == tune::Approach::backward);
  CHECK_THAT(m.readings.readings[2].measured, IsNear(millimetres(-99.9), millimetres(1e-9)));
}

TEST_CASE("read_travel reports every error with its place", "[io][error]") {
  const std::string met = refused([] {
    io::read_travel(R"([travel]
steps_per_mm = 80
resolution = "0 mm"
zero = "exakt"
pulley_theeth = 20
readings = [
  { commanded = "100 mm", measured = "99.8" },
  { commanded = "200 N", approach = "back" },
  7,
]
[travle]
)",
                    "own.toml");
  });
  CHECK_THAT(met, Contains("own.toml:2:16: error: steps_per_mm needs a unit"));
  CHECK_THAT(met, Contains("own.toml:3:14: error: resolution must be > 0 and at most 1000 mm, got "
                           "\"0 mm\""));
  CHECK_THAT(met, Contains("own.toml:4:8: error: unknown zero \"exakt\""));
  CHECK_THAT(met, Contains("did you mean \"exact\"?"));
  CHECK_THAT(met, Contains("own.toml:5:1: error: unknown key \"pulley_theeth\" in travel"));
  CHECK_THAT(met, Contains("did you mean pulley_teeth?"));
  CHECK_THAT(met, Contains("own.toml:7:43: error: measured: missing unit"));
  CHECK_THAT(met, Contains("own.toml:8:22: error: commanded:"));
  CHECK_THAT(met, Contains("own.toml:8:3: error: travel.readings.measured is missing"));
  CHECK_THAT(met, Contains("own.toml:8:37: error: unknown approach \"back\""));
  CHECK_THAT(met, Contains("own.toml:9:3: error: readings must hold tables, got 7"));
  CHECK_THAT(met, Contains("error: unknown key \"travle\""));
  CHECK_THAT(met, Contains("did you mean travel?"));
  CHECK_THAT(refused([] { io::read_travel("", "own.toml"); }),
             Contains("own.toml: error: travel is missing"));
  CHECK_THAT(
      refused([] {
        io::read_travel(
            "[travel]\nsteps_per_mm = \"80 pulse/mm\"\nresolution = \"1 mm\"\nreadings = 3\n",
            "own.toml");
      }),
      Contains("own.toml:4:12: error: readings must be a list of tables"));
  CHECK_THAT(refused([] {
               io::read_travel(
                   "[travel]\nsteps_per_mm = \"80 pulse/mm\"\nresolution = \"1 mm\"\n"
                   "zero = \"exact\"\n"
                   "readings = [{ commanded = \"0 mm\", measured = \"0 mm\" }]\n",
                   "own.toml");
             }),
             Contains("own.toml:5:27: error: commanded must be another than 0"));
}

TEST_CASE("read_square reads both diagonals", "[io]") {
  const auto m = io::read_square(R"([square]
along_beam = "800 mm"
along_rails = "600 mm"
left_to_right = ["1000.5 mm", "1001 mm"]
right_to_left = ["999.5 mm"]
resolution = "0.5 mm"
between_rails = "1720 mm"
allowed = "0.5 mm"
)",
                                 "own.toml");
  CHECK(m.diagonals.left_to_right.size() == 2);
  CHECK_THAT(m.diagonals.right_to_left.at(0), IsNear(millimetres(999.5), millimetres(1e-9)));
  CHECK_THAT(m.between_rails, IsNear(millimetres(1720), millimetres(1e-9)));
  CHECK_THAT(m.allowed, IsNear(millimetres(0.5), millimetres(1e-9)));
  const std::string met = refused([] {
    io::read_square(R"([square]
along_beam = "800 mm"
along_rails = "600 mm"
left_to_right = ["1000.5 mn", "-1 mm", 7]
allowed = "0.5 mm"
resolution = "0.5 mm"
)",
                    "own.toml");
  });
  CHECK_THAT(met, Contains("own.toml:4:26: error: left_to_right:"));
  CHECK_THAT(met, Contains("own.toml:4:31: error: left_to_right must be > 0"));
  CHECK_THAT(met, Contains("own.toml:4:40: error: left_to_right must hold texts, got 7"));
  CHECK_THAT(met, Contains("square.right_to_left is missing"));
  CHECK_THAT(met, Contains("square.between_rails is missing"));
}

const std::string belts = R"([belts]
profile = "GT 3 mm"
width = "15 mm"
wanted = "60 N"
frequency_resolution = "0.5 Hz"
span_resolution = "1 mm"
)";

TEST_CASE("read_belts takes the mass of the profile or the one that was weighed", "[io]") {
  const std::string two = R"(
[[belts.belt]]
name = "left"
span = "600 mm"
frequency = "36 Hz"
[[belts.belt]]
name = "right"
span = "601 mm"
frequency = "41 Hz"
)";
  const auto m = io::read_belts(belts + two, "own.toml", io::standard_catalogue());
  REQUIRE(m.belts.size() == 2);
  CHECK(m.belts[1].name == "right");
  CHECK_THAT(m.belts[1].span.free_length, IsNear(millimetres(601), millimetres(1e-9)));
  CHECK_THAT(m.belts[0].frequency, IsNear(hertz(36), hertz(1e-9)));
  CHECK_THAT(m.belts[0].frequency_resolution, IsNear(hertz(0.5), hertz(1e-9)));
  CHECK(m.belts[0].span.mass_per_length == m.belts[1].span.mass_per_length);
  CHECK(m.belts[0].span.mass_per_length > kilograms_per_metre(0.01));
  CHECK(m.allowed == 0.1);
  const auto weighed = io::read_belts(
      belts + "mass_per_length = \"30 g/m\"\nallowed = 0.2\nbending_stiffness = \"0.001 N*m^2\"\n" +
          two,
      "own.toml", io::standard_catalogue());
  CHECK_THAT(weighed.belts[0].span.mass_per_length,
             IsNear(kilograms_per_metre(0.03), kilograms_per_metre(1e-9)));
  CHECK(weighed.mass_source == "as given");
  CHECK(weighed.allowed == 0.2);
  CHECK(number(weighed.belts[0].span.bending_stiffness / (newtons(1) * square_metres(1))) == 0.001);
}

TEST_CASE("read_belts reports every error with its place", "[io][error]") {
  const auto met = [](const std::string& more) {
    return refused([&] { io::read_belts(belts + more, "own.toml", io::standard_catalogue()); });
  };
  CHECK_THAT(met(""), Contains("own.toml:1:1: error: belts.belt is missing"));
  CHECK_THAT(met("allowed = 1.5\n"),
             Contains("own.toml:7:11: error: allowed must be > 0 and < 1, got 1.5"));
  CHECK_THAT(met("bending_stiffness = \"3 N\"\n"),
             Contains("own.toml:7:21: error: bending_stiffness:"));
  CHECK_THAT(met("bending_stiffness = \"-3 N*m^2\"\n"), Contains("must be >= 0"));
  CHECK_THAT(met("belt = [{ name = \"a\", span = \"1 mm\", frequency = \"0.5 Hz\" }]\n"),
             Contains("frequency must be above frequency_resolution") &&
                 Contains("span must be above span_resolution"));
  const std::string one = "{ name = \"a\", span = \"1 m\", frequency = \"9 Hz\" }";
  CHECK_THAT(met("belt = [" + one + ", " + one + ", " + one + "]\n"),
             Contains("own.toml:7:8: error: at most 2 belts, got 3"));
  CHECK_THAT(refused([] {
               io::read_belts("[belts]\nprofile = \"GT 4 mm\"\nwidth = \"15 mm\"\n", "own.toml",
                              io::standard_catalogue());
             }),
             Contains("own.toml:2:11: error: unknown profile \"GT 4 mm\"") &&
                 Contains("\"GT 3 mm\"") && Contains("belts.wanted is missing"));
}

TEST_CASE("read_trials reads runs from TOML and from CSV alike", "[io]") {
  const auto toml = io::read_trials(R"(
[[trials.run]]
speed = "300 mm/s"
acceleration = "4 m/s^2"
stroke = "500 mm"
result = "held"
[[trials.run]]
speed = "300 mm/s"
acceleration = "5 m/s^2"
result = "lost"
)",
                                    "own.toml");
  const auto csv = io::read_trials_csv(
      "# the y axis\nresult, speed_mm_s ,acceleration_m_s2,stroke_mm\r\nheld,300,4,500\r\n\n"
      "lost, 300,5,\n",
      "own.csv");
  for (const auto& runs : {toml, csv}) {
    REQUIRE(runs.size() == 2);
    CHECK(runs[0].held);
    CHECK_FALSE(runs[1].held);
    CHECK_THAT(runs[0].stroke, IsNear(millimetres(500), millimetres(1e-9)));
    CHECK(is_unset(runs[1].stroke));
    CHECK_THAT(runs[1].speed, IsNear(millimetres_per_second(300), millimetres_per_second(1e-9)));
    CHECK_THAT(runs[1].acceleration,
               IsNear(metres_per_second_squared(5), metres_per_second_squared(1e-9)));
  }
}

TEST_CASE("read_travel_csv reads columns in any order", "[io]") {
  const auto r = io::read_travel_csv(
      "\xEF\xBB\xBFmeasured_mm,approach,commanded_mm\n99.8,backward,100\n-199.5,forward,-200\n",
      "own.csv");
  REQUIRE(r.size() == 2);
  CHECK_THAT(r[0].commanded, IsNear(millimetres(100), millimetres(1e-9)));
  CHECK_THAT(r[0].measured, IsNear(millimetres(99.8), millimetres(1e-9)));
  CHECK(r[0].approach == tune::Approach::backward);
  CHECK(r[1].approach == tune::Approach::forward);
  CHECK(io::read_travel_csv("commanded_mm,measured_mm\n", "own.csv").empty());
}

TEST_CASE("CSV tables report every error with its place", "[io][error]") {
  const std::string met = refused([] {
    io::read_travel_csv(
        "commanded_mm,measured_mm,approach\n"
        "100,99.8 mm,forward\n"
        "200,,forward\n"
        "300,299.1\n"
        "x,299.1,forwards\n"
        "400,\"399\",backward\n",
        "own.csv");
  });
  CHECK_THAT(met, Contains("own.csv:2:5: error: measured_mm must be a number, got \"99.8 mm\""));
  CHECK_THAT(met, Contains("own.csv:3:5: error: measured_mm must be a number, got \"\""));
  CHECK_THAT(met, Contains("own.csv:4:1: error: 2 cells in a line of 3"));
  CHECK_THAT(met, Contains("own.csv:5:1: error: commanded_mm must be a number, got \"x\""));
  CHECK_THAT(met, Contains("own.csv:5:9: error: unknown approach \"forwards\""));
  CHECK_THAT(met, Contains("did you mean \"forward\"?"));
  CHECK_THAT(met, Contains("own.csv:6:5: error: measured_mm must be a number"));
  const std::string head = refused([] {
    io::read_trials_csv("speed_mm_s,accelerations_m_s2,speed_mm_s\n300,1,300\n", "own.csv");
  });
  CHECK_THAT(head, Contains("own.csv:1:12: error: unknown column \"accelerations_m_s2\""));
  CHECK_THAT(head, Contains("did you mean \"acceleration_m_s2\"?"));
  CHECK_THAT(head, Contains("own.csv:1:31: error: a second column \"speed_mm_s\""));
  CHECK_THAT(head, Contains("own.csv:1:1: error: the column acceleration_m_s2 is missing"));
  CHECK_THAT(head, Contains("own.csv:1:1: error: the column result is missing"));
  const std::string range = refused([] {
    io::read_trials_csv("speed_mm_s,acceleration_m_s2,result,stroke_mm\n0,-1,won,0\n", "own.csv");
  });
  CHECK_THAT(range, Contains("own.csv:2:1: error: speed_mm_s must be > 0 and at most 20000"));
  CHECK_THAT(range, Contains("own.csv:2:3: error: acceleration_m_s2 must be > 0"));
  CHECK_THAT(range, Contains("own.csv:2:6: error: unknown result \"won\""));
  CHECK_THAT(range, Contains("own.csv:2:10: error: stroke_mm must be > 0"));
  CHECK_THAT(refused([] { io::read_travel_csv("# nothing\n\n", "own.csv"); }),
             Contains("own.csv: error: the table has no head"));
}

TEST_CASE("read_screw_measurement reads lead and readings", "[io]") {
  const auto m = io::read_screw_measurement(R"([screw]
lead = "8 mm"
resolution = "10 um"
allowed = "52 um"
readings = [{ commanded = "0 mm", measured = "0 mm" }, { commanded = "8 mm", measured = "8 mm" }]
)",
                                            "own.toml");
  CHECK_THAT(m.lead, IsNear(millimetres(8), millimetres(1e-12)));
  CHECK_THAT(m.allowed, IsNear(micrometres(52), micrometres(1e-9)));
  CHECK(m.readings.readings.size() == 2);
  CHECK_THAT(refused([] { io::read_screw_measurement("[screw]\n", "own.toml"); }),
             Contains("screw.lead is missing") && Contains("screw.resolution is missing") &&
                 Contains("screw.readings is missing"));
}

}  // namespace
}  // namespace pitchline
