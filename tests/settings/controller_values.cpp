#include "pitchline/settings/controller_values.hpp"

#include <cmath>
#include <numbers>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/check_machine.hpp"
#include "pitchline/check/rows/raster.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using machine::Machine;
using report::AxisValues;
using settings::axis_values;
using settings::controller_values;
using testing::IsNear;
using testing::kite_loft;

machine::Axis& first(Machine& m) { return m.axes.front(); }
AxisValues values_of(const Machine& m) { return axis_values(m, m.axes.front()); }

// A screw of the invented kite loft.
Machine with_screw(const Fraction& lead, const Fraction& turns = Fraction(1)) {
  Machine m = kite_loft();
  const axis::BeltAxis belt = machine::belt_drive(first(m));
  first(m).drive = axis::ScrewAxis{.motor = belt.motor,
                                   .driver = belt.driver,
                                   .motor_turns_per_screw_turn = turns,
                                   .screw = {.lead_millimetres = lead,
                                             .outer_diameter = millimetres(12),
                                             .mean_diameter = millimetres(10.5),
                                             .minor_diameter = millimetres(9),
                                             .bearing_distance = millimetres(1700)},
                                   .loss = Efficiency(0.4),
                                   .travel = millimetres(1300),
                                   .moving = belt.moving,
                                   .guide = belt.guide};
  return m;
}

// A rim of the invented kite loft, turned in a chuck or on rollers of its size.
Machine with_rim(const Fraction& diameter, const Fraction& turns, bool rollers = false) {
  Machine m = kite_loft();
  const axis::BeltAxis belt = machine::belt_drive(first(m));
  axis::RotaryAxis rim{.motor = belt.motor,
                       .driver = belt.driver,
                       .hold = axis::Chuck{.motor_turns_per_chuck_turn = turns},
                       .heaviest = {.diameter = millimetres(to_double(diameter)),
                                    .length = metres(0.3),
                                    .density = kilograms_per_cubic_metre(400)},
                       .heaviest_diameter_millimetres = diameter};
  if (rollers)
    rim.hold = axis::Rollers{.motor_turns_per_roller_turn = turns,
                             .diameter_millimetres = Fraction(40),
                             .centre_distance = millimetres(80),
                             .grip = FrictionCoefficient(0.3)};
  first(m).drive = rim;
  first(m).want = {.speed = millimetres_per_second(100),
                   .acceleration = metres_per_second_squared(0.5),
                   .jerk_time = milliseconds(50)};
  return m;
}

// The machine of a row of reference/published/steps_per_mm.csv.
Machine machine_of(const testing::CsvRow& row) {
  const std::string& travel = row.text("travel_per_output_rev");
  const std::string& gear = row.text("gear_ratio");
  const std::size_t slash = gear.find('/');
  const Fraction turns = slash == std::string::npos ? Fraction(std::stoll(gear))
                                                    : Fraction(std::stoll(gear.substr(0, slash)),
                                                               std::stoll(gear.substr(slash + 1)));
  Machine m = kite_loft();
  if (travel.starts_with("pi*")) {
    m = with_rim(Fraction(std::stoll(travel.substr(3))), turns);
  } else if (row.text("drive").starts_with("screw")) {
    const std::size_t over = travel.find('/');
    m = with_screw(over == std::string::npos ? Fraction(std::stoll(travel))
                                             : Fraction(std::stoll(travel.substr(0, over)),
                                                        std::stoll(travel.substr(over + 1))),
                   turns);
  } else {
    axis::BeltAxis& belt = machine::belt_drive(first(m));
    belt.pulley_teeth = 20;
    belt.belt.profile.pitch_millimetres = Fraction(std::stoll(travel), 20);
    belt.travel = millimetres(1300);
    // Its two tooth counts, as of a belt stage.
    if (turns != Fraction(1))
      belt.stage = parts::BeltStage{.profile = belt.belt.profile,
                                    .width = millimetres(9),
                                    .motor_teeth = static_cast<int>(turns.denominator()),
                                    .driven_teeth = static_cast<int>(turns.numerator())};
  }
  machine::driver_of(first(m).drive).pulses_per_turn =
      pulses(row.number("full_steps_per_rev") * row.number("microsteps"));
  return m;
}

TEST_CASE("every drive has the steps per mm of the table and its errors", "[check][published]") {
  // reference/published/steps_per_mm.csv, physics by whole numbers and 20 digits, made apart (C).
  int rows = 0;
  for (const testing::CsvRow& row : testing::published("steps_per_mm.csv")) {
    CAPTURE(row.text("drive"));
    ++rows;
    Machine m = machine_of(row);
    m.controller.decimals = 3;
    AxisValues v = values_of(m);
    CHECK(motion::print_pi_fraction(v.pulses_per_mm.exact) == row.text("steps_per_mm_exact"));
    CHECK(motion::print_decimal(v.pulses_per_mm.kept.value(), 3) ==
          row.text("stored_3dec_steps_per_mm"));
    // The table reckons over 1300 mm; a turning axis over once round its rim.
    const double share = 1300.0 / in_millimetres(v.travel);
    const auto near = [&](const char* column) {
      return WithinAbs(row.number(column), 1.02 * row.half_digit(column));
    };
    CHECK_THAT(share * in_millimetres(motion::error_over(v.pulses_per_mm, v.travel)),
               near("error_over_1300mm_mm_3dec"));
    m.controller.decimals = 4;
    v = values_of(m);
    CHECK(motion::print_pi_fraction(v.um_per_pulse.exact) == row.text("um_per_pulse_exact"));
    CHECK(motion::print_decimal(v.um_per_pulse.kept.value(), 4) ==
          row.text("stored_4dec_um_per_pulse"));
    CHECK_THAT(share * in_millimetres(motion::error_over(v.um_per_pulse, v.travel)),
               near("error_over_1300mm_mm_um4dec"));
  }
  CHECK(rows == 8);
}

TEST_CASE("the exact fraction times the travel of a turn is whole pulses", "[check][property]") {
  const int teeth = GENERATE(11, 17, 20, 36);
  const double per_turn = GENERATE(200.0, 1000.0, 3200.0, 25600.0);
  CAPTURE(teeth, per_turn);
  Machine m = kite_loft();
  machine::belt_drive(first(m)).pulley_teeth = teeth;
  machine::driver_of(first(m).drive).pulses_per_turn = pulses(per_turn);
  const motion::PiFraction exact = machine::pulses_per_millimetre(first(m).drive);
  const Fraction turn = exact.factor * Fraction(2 * teeth);  // GT 2 mm
  CHECK(turn.denominator() == 1);
  CHECK(static_cast<double>(turn.numerator()) == per_turn);
  CHECK(values_of(m).pulses_per_turn == static_cast<std::int64_t>(per_turn));
}

TEST_CASE("a turning axis has pulses and speeds by degrees as well", "[check][published]") {
  // By hand: 3200 · 3/360 = 80/3 pulses a degree, 3/80 of a degree a pulse; 100 mm/s at a radius of
  // 40 mm are 2.5 rad/s, 0.5 m/s² are 12.5 rad/s².
  const AxisValues v = values_of(with_rim(Fraction(80), Fraction(3)));
  REQUIRE(v.turning);
  CHECK(v.drive == "chuck");
  CHECK(v.turning->pulses_per_degree.exact.factor == Fraction(80, 3));
  CHECK(v.turning->degrees_per_pulse.exact.factor == Fraction(3, 80));
  CHECK(v.turning->whole_per_degree.kept.value() == Fraction(27));
  CHECK_FALSE(v.turning->of_this_diameter);
  CHECK_THAT(v.turning->speed, IsNear(radians_per_second(2.5), radians_per_second(1e-12)));
  CHECK_THAT(v.turning->acceleration,
             IsNear(radians_per_second_squared(12.5), radians_per_second_squared(1e-12)));
  CHECK_THAT(v.travel, IsNear(millimetres(80 * std::numbers::pi), millimetres(1e-9)));
  CHECK(v.overruns.empty());
  // Pulses per mm of surface times the surface of a degree are pulses per degree.
  CHECK_THAT(motion::decimal_value(v.pulses_per_mm.exact) * 80 * std::numbers::pi / 360,
             WithinRel(80.0 / 3.0, 1e-14));
}

TEST_CASE("on rollers pulses per degree go with the workpiece and per mm do not",
          "[check][property]") {
  const AxisValues small = values_of(with_rim(Fraction(60), Fraction(2), true));
  const AxisValues large = values_of(with_rim(Fraction(120), Fraction(2), true));
  CHECK(small.drive == "rollers");
  CHECK(small.turning->of_this_diameter);
  CHECK(small.pulses_per_mm.exact.factor == large.pulses_per_mm.exact.factor);
  CHECK(Fraction(2) * small.turning->pulses_per_degree.exact.factor ==
        large.turning->pulses_per_degree.exact.factor);
  CHECK_THAT(small.direction, Contains("against its rollers"));
}

TEST_CASE("currents, microsteps and pulse rate are those of driver and speed",
          "[check][published]") {
  // By hand: 2 A RMS is 2√2 A peak; 3200 pulses of 200 full steps; 300 mm/s at 80 pulses a mm.
  Machine m = kite_loft();
  machine::driver_of(first(m).drive).at_rest = amperes(1.0);
  AxisValues v = values_of(m);
  CHECK_THAT(v.rms, IsNear(amperes(2), amperes(1e-12)));
  CHECK_THAT(v.peak, IsNear(amperes(2.8284271247), amperes(1e-9)));
  CHECK_THAT(v.rms_at_rest.value(), IsNear(amperes(1), amperes(1e-12)));
  CHECK(in_pulses_per_full_step(v.microsteps) == 16.0);
  CHECK_THAT(v.needed, IsNear(pulses_per_second(24'000), pulses_per_second(1e-6)));
  // The same number as a peak value: both RMS are √2 smaller.
  machine::driver_of(first(m).drive).current_is = parts::CurrentIs::peak;
  v = values_of(m);
  CHECK_THAT(v.rms, IsNear(amperes(1.4142135624), amperes(1e-9)));
  CHECK_THAT(v.rms_at_rest.value(), IsNear(amperes(0.7071067812), amperes(1e-9)));
  machine::driver_of(first(m).drive).at_rest = unset<Current>();
  CHECK_FALSE(values_of(m).rms_at_rest);
}

TEST_CASE("jerk is given where the acceleration builds up over a time", "[check][published]") {
  // By hand: 2 m/s² over 40 ms are 50 m/s³.
  Machine m = kite_loft();
  CHECK_FALSE(values_of(m).jerk);
  first(m).want.jerk_time = milliseconds(40);
  CHECK_THAT(values_of(m).jerk.value(),
             IsNear(metres_per_second_cubed(50), metres_per_second_cubed(1e-9)));
  CHECK(values_of(m).unramped == metres_per_second(0));
}

TEST_CASE("without a raster the overrun is the ramp at the quarters of the speed",
          "[check][published]") {
  // By hand, v²/(2a) + v t_j/2: 0.3² /4 + 0.3 · 0.02 = 28.5 mm; at a quarter 1.40625 + 1.5 mm.
  Machine m = kite_loft();
  first(m).want.jerk_time = milliseconds(40);
  const AxisValues v = values_of(m);
  REQUIRE(v.overruns.size() == 4);
  CHECK_THAT(v.overruns.front().speed,
             IsNear(millimetres_per_second(75), millimetres_per_second(1e-9)));
  CHECK_THAT(v.overruns.front().ramp, IsNear(millimetres(2.90625), millimetres(1e-9)));
  CHECK_THAT(v.overruns.back().ramp, IsNear(millimetres(28.5), millimetres(1e-9)));
  CHECK_FALSE(v.overruns.back().settled);
  CHECK(is_unset(v.room));
}

// Lines of 1 m on a travel of 1.5 m, with an axis that steps across.
Machine with_raster(Speed speed) {
  Machine m = kite_loft();
  m.axes.push_back(m.axes.front());
  m.axes.back().name = "y";
  first(m).raster = machine::Raster{.line = metres(1),
                                    .speed = speed,
                                    .height = millimetres(20),
                                    .line_pitch = millimetres(0.2),
                                    .across = "y"};
  first(m).want.position_error = millimetres(0.02);
  return m;
}

TEST_CASE("a raster adds its own speed and the way of settling, as its row has it",
          "[check][property]") {
  const Machine m = with_raster(millimetres_per_second(200));
  const AxisValues v = values_of(m);
  REQUIRE(v.overruns.size() == 5);
  CHECK_THAT(v.room, IsNear(millimetres(250), millimetres(1e-9)));
  for (std::size_t i = 1; i < v.overruns.size(); ++i) {
    CHECK(v.overruns[i].speed > v.overruns[i - 1].speed);
    CHECK(v.overruns[i].ramp > v.overruns[i - 1].ramp);
  }
  const report::OverrunAt& raster = v.overruns.at(2);
  CHECK(raster.speed == millimetres_per_second(200));
  const check::AxisState s = check::state_of(m, m.axes.front());
  const check::RasterRun run = check::raster_run(s, m.axes.back());
  CHECK(raster.settled.value() == run.lines.overrun);
  CHECK(raster.ramp == run.ramps);
  CHECK(raster.settled.value() > raster.ramp);
  // At each other speed it is what a raster of that speed would need.
  for (const report::OverrunAt& o : v.overruns) {
    const Machine other = with_raster(o.speed);
    const check::AxisState at = check::state_of(other, other.axes.front());
    CHECK(o.settled.value() == check::raster_run(at, other.axes.back()).lines.overrun);
  }
  // A raster at a quarter of the speed adds no further one.
  CHECK(values_of(with_raster(millimetres_per_second(150))).overruns.size() == 4);
  // Without a known stiffness nobody knows when the swing has settled.
  Machine unknown = with_raster(millimetres_per_second(200));
  machine::belt_drive(first(unknown)).belt.profile.stiffness_per_width =
      unset<decltype(parts::BeltProfile::stiffness_per_width)>();
  CHECK_FALSE(values_of(unknown).overruns.at(2).settled);
}

TEST_CASE("the direction note speaks of what the axis has", "[check]") {
  Machine m = kite_loft();
  CHECK_THAT(values_of(m).direction,
             Contains("leads of one coil") && !Contains("support") && !Contains("face each other"));
  machine::belt_drive(first(m)).incline = degrees(30);
  CHECK_THAT(values_of(m).direction, Catch::Matchers::StartsWith("support the load first"));
  machine::belt_drive(first(m)).motors = 2;
  CHECK_THAT(values_of(m).direction, Contains("face each other"));
  Machine screw = with_screw(Fraction(4));
  std::get<axis::ScrewAxis>(first(screw).drive).motors = 2;
  CHECK_THAT(values_of(screw).direction, Contains("screw uncoupled"));
}

TEST_CASE("values carry the rows of the check that fail with them", "[check][property]") {
  Machine m = kite_loft();
  m.axes.push_back(m.axes.front());
  m.axes.back().name = "y";
  m.axes.back().want.speed = metres_per_second(3);  // 240 kHz of the controller's 200
  const report::ControllerValues v = controller_values(m, check::check_machine(m));
  CHECK(v.machine == "Kite loft");
  CHECK(v.worst == report::Verdict::fails);
  REQUIRE(v.axes.size() == 2);
  CHECK(v.axes[0].fails.empty());
  CHECK_THAT(v.axes[0].parts, Contains("invented NEMA 17"));
  CHECK_THAT(v.axes[1].fails, Catch::VectorContains(std::string("pulse rate at speed")));
  CHECK_THAT(v.axes[1].needed, IsNear(pulses_per_second(240e3), pulses_per_second(1e-3)));
}

TEST_CASE("controller values refuse a machine that they cannot serve", "[check][error]") {
  Machine m = kite_loft();
  const report::Report report = check::check_machine(m);
  first(m).name = "q";
  CHECK_THROWS_MATCHES(controller_values(m, report), InvalidInput,
                       Message("axes \"q\" of the report must be one, got 0"));
  m = kite_loft();
  m.controller.decimals = 10;
  CHECK_THROWS_MATCHES(values_of(m), InvalidInput, Message("decimals must be from 0 to 9, got 10"));
  m = kite_loft();
  machine::driver_of(first(m).drive).pulses_per_turn = pulses(3200.5);
  CHECK_THROWS_AS(values_of(m), InvalidInput);
  m = kite_loft();
  machine::driver_of(first(m).drive).current = unset<Current>();
  CHECK_THROWS_AS(values_of(m), InvalidInput);
  m = with_raster(millimetres_per_second(200));
  first(m).raster->across = "q";
  CHECK_THROWS_AS(values_of(m), InvalidInput);
}

}  // namespace
}  // namespace pitchline
