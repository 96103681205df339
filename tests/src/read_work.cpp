#include <string>

#include "support/machine_text.hpp"

// What an axis is to do, and what driver and supply are set to.

namespace pitchline {
namespace {

using namespace literals;
using Catch::Matchers::WithinRel;
using testing::check_slip;
using testing::read;
using testing::replaced;

const std::string loft = R"([machine]
name          = "Kite loft"
torque_margin = 1.1
[supply]
voltage      = "36 V"
power        = "400 W"
simultaneity = 0.7
resistance   = "0.05 ohm"
capacitance  = "4700 uF"
[controller]
pulse_rate = "200 kHz"
decimals   = 3
[axis.x]
travel      = "1500 mm"
moving_mass = "1.4 kg"
guide       = { kind = "profile rail", friction = 0.004 }
motor       = "nema17 48mm 2A"
driver      = { current = "1.7 A", current_is = "peak", pulses_per_turn = 3200, standstill = "1.0 A", highest_voltage = "50 V" }
drive       = { kind = "belt", profile = "GT 2 mm", width = "9 mm", pulley_teeth = 20 }
want        = { speed = "350 mm/s", acceleration = "3 m/s^2" }
move        = { stroke = "300 mm", repeats = 10, dwell = "0.1 s", jerk_time = "20 ms" }
raster      = { line = "600 mm", speed = "250 mm/s", height = "200 mm", pitch = "0.1 mm", across = "y" }
cycle       = [{ stroke = "400 mm", speed = "100 mm/s", acceleration = "1 m/s^2", pause = "0.5 s", times = 3, there_and_back = true }, { stroke = "60 mm" }]
[axis.y]
travel      = "900 mm"
moving_mass = "4 kg"
guide       = { kind = "profile rail", friction = 0.004 }
motor       = "nema23 56mm 2.8A"
driver      = { current = "2.4 A", current_is = "rms", microsteps = 16 }
drive       = { kind = "belt", profile = "GT 3 mm", width = "15 mm", pulley_teeth = 20 }
want        = { speed = "200 mm/s", acceleration = "2 m/s^2" }
)";

TEST_CASE("raster and cycle are read into their fields", "[io]") {
  const machine::Axis x = read(loft).axes.at(0);
  REQUIRE(x.raster);
  CHECK(x.raster->line == 600_mm);
  CHECK(x.raster->speed == 250_mm_per_s);
  CHECK(x.raster->height == 200_mm);
  CHECK(x.raster->line_pitch == 0.1_mm);
  CHECK(x.raster->across == "y");
  REQUIRE(x.cycle.size() == 2);
  CHECK(x.cycle[0].stroke == 400_mm);
  CHECK(x.cycle[0].speed == 100_mm_per_s);
  CHECK(x.cycle[0].acceleration == 1_m_per_s2);
  CHECK(x.cycle[0].pause == 0.5_s);
  CHECK(x.cycle[0].times == 3);
  CHECK(x.cycle[0].there_and_back);
  CHECK(x.cycle[1].speed == x.want.speed);
  CHECK(x.cycle[1].acceleration == x.want.acceleration);
  CHECK(x.cycle[1].pause == 0_s);
  CHECK(x.cycle[1].times == 1);
  CHECK_FALSE(x.cycle[1].there_and_back);
  CHECK(x.want.stroke == 300_mm);
  CHECK(x.want.repeats == 10);
  CHECK(x.want.dwell == 0.1_s);
  CHECK(x.want.jerk_time == 0.02_s);
  const machine::Axis y = read(loft).axes.at(1);
  CHECK_FALSE(y.raster);
  CHECK(y.cycle.empty());
}

TEST_CASE("driver and supply are read into their fields", "[io]") {
  const machine::Machine m = read(loft);
  CHECK(m.supply.simultaneity.value() == 0.7);
  CHECK(m.supply.resistance == ohms(0.05));
  CHECK_THAT(in_farads(m.supply.capacitance), WithinRel(4.7e-3, 1e-12));
  const parts::Driver& x = machine::driver_of(m.axes.at(0).drive);
  CHECK(x.at_rest == 1_A);
  CHECK(x.current_is == parts::CurrentIs::peak);
  CHECK(x.highest == 50_V);
  const parts::Driver& y = machine::driver_of(m.axes.at(1).drive);
  CHECK(is_unset(y.at_rest));
  CHECK(is_unset(y.highest));
  const machine::Machine silent = read(replaced(replaced(loft, "resistance   = \"0.05 ohm\"\n", ""),
                                                "capacitance  = \"4700 uF\"\n", ""));
  CHECK(silent.supply.resistance == ohms(0));
  CHECK(is_unset(silent.supply.capacitance));
}

TEST_CASE("errors of what an axis is to do name line and column", "[io][error]") {
  const std::string cycle = "{ stroke = \"60 mm\" }";
  for (const testing::Slip& slip : std::vector<testing::Slip>{
           {"\"300 mm\"", "\"1501 mm\"", "\"1501",
            "stroke must be at most the travel of 1500 mm, got \"1501 mm\""},
           {"repeats = 10", "repeats = 0", "0", "repeats must be from 1 to 10000, got 0"},
           {"\"0.1 s\"", "\"-0.1 s\"", "\"-0.1", "dwell must be >= 0"},
           {"\"20 ms\"", "\"20 s\"", "\"20 s\"", "jerk_time must be >= 0 and at most 10 s"},
           {"line = \"600 mm\"", "line = \"1600 mm\"", "\"1600",
            "line must be at most the travel of 1500 mm, got \"1600 mm\""},
           {"line = \"600 mm\", ", "", "{ speed = \"250", "axis.x.raster.line is missing"},
           {"\"250 mm/s\"", "\"360 mm/s\"", "\"360",
            "speed must be at most want.speed of 350 mm/s, got \"360 mm/s\""},
           {"height = \"200 mm\"", "height = \"0 mm\"", "\"0", "height must be > 0"},
           {"\"0.1 mm\"", "\"0.1 um\"", "\"0.1 um\"",
            "pitch must be from 0.001 mm to 20000 mm, got \"0.1 um\""},
           {"\"0.1 mm\"", "\"201 mm\"", "\"201",
            "pitch must be at most the height of 200 mm, got \"201 mm\""},
           {", across = \"y\"", "", "{ line", "axis.x.raster.across is missing"},
           {"across = \"y\"", "across = \"x\"", "\"x\"", "across must name another axis"},
           {"across = \"y\"", "across = \"yy\"", "\"yy\"", "unknown axis \"yy\""},
           {"across = \"y\"", "across = \"y\", up = 1", "up",
            "unknown key \"up\" in axis.x.raster"},
           {cycle, "{ stroke = \"1600 mm\" }", "\"1600",
            "stroke must be at most the travel of 1500 mm, got \"1600 mm\""},
           {cycle, "{ times = 2 }", "{ times", "axis.x.cycle.stroke is missing"},
           {"speed = \"100 mm/s\"", "speed = \"351 mm/s\"", "\"351",
            "speed must be at most want.speed of 350 mm/s, got \"351 mm/s\""},
           {"\"1 m/s^2\"", "\"4 m/s^2\"", "\"4 m",
            "acceleration must be at most want.acceleration of 3 m/s^2, got \"4 m/s^2\""},
           {"\"0.5 s\"", "\"-1 s\"", "\"-1", "pause must be >= 0"},
           {"times = 3", "times = 1.5", "1.5", "times must be a whole number, got 1.5"},
           {"there_and_back = true", "there_and_back = 1", "1",
            "there_and_back must be true or false, got 1"},
           {cycle, "{ stroke = \"60 mm\", strok = 1 }",
            "strok =", "unknown key \"strok\" in axis.x.cycle"},
           {cycle, "3", "3", "cycle must hold tables, got 3"},
           {"[axis.y]", "cycle2 = 1\n[axis.y]", "cycle2", "unknown key \"cycle2\" in axis.x"}}) {
    check_slip(loft, slip);
  }
  const std::string y = "want        = { speed = \"200 mm/s\", acceleration = \"2 m/s^2\" }";
  check_slip(loft, {y, y + "\ncycle = []", "[]", "cycle must be a list of tables"});
  check_slip(loft, {y, y + "\ncycle = { stroke = \"60 mm\" }", "{ stroke = \"60",
                    "cycle must be a list of tables"});
}

TEST_CASE("errors of driver and supply name line and column", "[io][error]") {
  for (const testing::Slip& slip : std::vector<testing::Slip>{
           {"\"1.0 A\"", "\"1.8 A\"", "\"1.8",
            "standstill must be at most the current of 1.7 A, got \"1.8 A\""},
           {"\"1.0 A\"", "\"0 A\"", "\"0", "standstill must be > 0"},
           {"\"50 V\"", "\"0 V\"", "\"0", "highest_voltage must be > 0"},
           {"\"0.05 ohm\"", "\"-1 ohm\"", "\"-1", "resistance must be >= 0 and at most 10 ohm"},
           {"\"4700 uF\"", "\"0 uF\"", "\"0", "capacitance must be > 0 and at most 1000000 uF"},
           {"= 0.7", "= 1.7", "1.7", "simultaneity: simultaneity must be > 0 and <= 1"}}) {
    check_slip(loft, slip);
  }
}

TEST_CASE("a turning axis may step across a raster, and its moves have no travel", "[io]") {
  const std::string turning = R"([axis.a]
motor  = "nema17 48mm 2A"
driver = { current = "1.7 A", current_is = "rms", pulses_per_turn = 3200 }
drive  = { kind = "chuck", workpiece = { diameter = "60 mm", length = "300 mm", density = "700 kg/m^3" } }
want   = { speed = "50 mm/s", acceleration = "0.2 m/s^2" }
move   = { stroke = "15 m" }
cycle  = [{ stroke = "3 m" }]
)";
  const machine::Machine m = read(replaced(loft, "across = \"y\"", "across = \"a\"") + turning);
  CHECK(m.axes.at(0).raster->across == "a");
  CHECK(m.axes.at(2).want.stroke == 15_m);
  CHECK(m.axes.at(2).cycle.at(0).stroke == 3_m);
}

}  // namespace
}  // namespace pitchline
