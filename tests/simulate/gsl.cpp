// simulate::run against the GNU Scientific Library on the same model.
#include <algorithm>
#include <cmath>
#include <string>

#include "pitchline/simulate/run.hpp"
#include "support/catch.hpp"
#include "support/second_model.hpp"
#include "support/simulate_axes.hpp"

namespace pitchline {
namespace {

using simulate::Command;
using simulate::command_of;
using simulate::SimulatedAxis;
using testing::SecondModel;
using testing::SecondRun;

// How far simulate::run is off, of the stroke, its angle, the speed and the current.
struct Off {
  double place = 0, angle = 0, speed = 0, current = 0, tool = 0, far_side = 0, bus = 0;
};

Off off(const SimulatedAxis& axis, const Command& command, double microseconds, double stroke,
        double speed) {
  SecondRun other(axis, command, 1e-11);
  Off worst;
  const double t = in_metres_per_radian(axis.axis.transmission);
  double next = 0.0;
  simulate::run(
      axis, command, {.step = seconds(1e-6 * microseconds)}, [&](const simulate::Sample& s) {
        const double time = in_seconds(s.time);
        if (time < next) return;
        next = time + in_seconds(command.duration()) / 500.0;
        other.to(time);
        const SecondModel::State& y = other.y;
        const auto take = [](double& most, double difference, double of) {
          most = std::max(most, std::fabs(difference) / of);
        };
        take(worst.current, in_amperes(s.current_a) - y[0], in_amperes(axis.winding.amplitude));
        take(worst.current, in_amperes(s.current_b) - y[1], in_amperes(axis.winding.amplitude));
        take(worst.angle, in_radians(s.rotor) - y[2], stroke / t);
        take(worst.speed, in_radians_per_second(s.rotor_speed) - y[3], speed / t);
        take(worst.place, in_metres(s.load) - y[4], stroke);
        take(worst.speed, in_metres_per_second(s.load_speed) - y[5], speed);
        if (axis.beam) take(worst.tool, in_metres(s.tool) - y[12], stroke);
        if (axis.gantry) take(worst.far_side, in_metres(s.far_side) - y[10], stroke);
        if (axis.bus) take(worst.bus, in_volts(s.bus) - y[14], in_volts(axis.bus->no_load));
      });
  return worst;
}

const motion::RunningMove short_move{.speed = metres_per_second(0.5),
                                     .acceleration = metres_per_second_squared(20),
                                     .stroke = millimetres(40),
                                     .jerk_time = seconds(0.0125)};

Off off(const SimulatedAxis& axis, const motion::RunningMove& move, double microseconds) {
  return off(axis, command_of(move, milliseconds(20)), microseconds, in_metres(move.stroke),
             in_metres_per_second(move.speed));
}

// At 5 µs everything agrees to what the two lose by rounding and by kinks; at the default step the
// errors are those of the step. Of stroke, angle and speed, and of the amplitude.
void check_both_steps(const SimulatedAxis& axis, const motion::RunningMove& move) {
  const Off fine = off(axis, move, 5);
  CHECK(fine.place < 2e-8);
  CHECK(fine.angle < 2e-8);
  CHECK(fine.tool < 2e-8);
  CHECK(fine.far_side < 2e-8);
  CHECK(fine.speed < 2e-6);
  CHECK(fine.current < 2e-5);
  const Off coarse = off(axis, move, 25);
  CHECK(coarse.place < 5e-7);
  CHECK(coarse.angle < 5e-7);
  CHECK(coarse.tool < 5e-7);
  CHECK(coarse.far_side < 5e-7);
  CHECK(coarse.speed < 2e-5);
  CHECK(coarse.current < 1e-4);
}

TEST_CASE("GSL follows the tabled axes the same way", "[simulate][gsl]") {
  const std::string name = GENERATE("C1", "C2", "C3", "C5");
  CAPTURE(name);
  for (const testing::CsvRow& row : testing::published("axis_step_loss.csv")) {
    if (row.text("case") != name) continue;
    // At four fifths of what the axis survives, where load angle and current are large.
    motion::RunningMove move = short_move;
    move.stroke = millimetres(60);
    move.acceleration = metres_per_second_squared(0.8 * row.number("a_sim_max_m_s2"));
    check_both_steps(testing::tabled_axis(row), move);
    break;
  }
}

TEST_CASE("GSL follows an axis that its voltage limits the same way", "[simulate][gsl]") {
  for (const testing::CsvRow& row : testing::published("axis_step_loss.csv")) {
    if (row.text("case") != "C5") continue;
    // NEMA 23 at 48 V: from 0.6 m/s on the voltage is nearly a square wave.
    check_both_steps(testing::tabled_axis(row), {.speed = metres_per_second(1.2),
                                                 .acceleration = metres_per_second_squared(5),
                                                 .stroke = millimetres(350),
                                                 .jerk_time = milliseconds(10)});
    break;
  }
}

TEST_CASE("GSL follows a belt whose strands go slack the same way", "[simulate][gsl]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  // One strand goes slack at 18 N upwards, the other at 9 N downwards; the belt pulls up to 36 N.
  axis.strands = simulate::BeltStrands{
      .tension = newtons(6), .up = newtons_per_metre(1e5), .down = newtons_per_metre(5e4)};
  check_both_steps(axis, short_move);
}

const simulate::BeamMode tool_beam{
    .mass = kilograms(0.4), .stiffness = newtons_per_metre(4e4), .damping = DampingRatio(0.02)};

TEST_CASE("GSL follows a tool on a beam the same way", "[simulate][gsl]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.beam = tool_beam;
  check_both_steps(axis, short_move);
}

TEST_CASE("GSL follows two motors on a gantry the same way", "[simulate][gsl]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.gantry = simulate::Gantry{.travelling = kilograms(0.6),
                                 .place = 0.2,
                                 .beam = kilograms(1.2),
                                 .near_friction = newtons(4),
                                 .far_friction = newtons(2),
                                 .squaring = newtons_per_metre(2e4)};
  SECTION("with the carriage off the middle") {}
  SECTION("uphill, with a tool on the beam") {
    axis.gantry->near_gravity = newtons(3);
    axis.gantry->far_gravity = newtons(1);
    axis.beam = tool_beam;
  }
  check_both_steps(axis, short_move);
}

TEST_CASE("GSL follows losses, detent, iron and weight the same way", "[simulate][gsl]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.iron_torque = newton_metres(0.01);
  axis.axis.gravity = newtons(4);
  SECTION("on a belt") {
    axis.loss = simulate::DriveLoss{.driving = 0.2, .driven = 0.3};
    axis.detent_torque = newton_metres(0.015);
    axis.swing_damping = newton_metre_seconds_per_radian(1e-3);
    axis.driver.drop = volts(1.5);
  }
  SECTION("on a rigid belt") { axis.belt_stiffness = unlimited<Stiffness>(); }
  motion::RunningMove move = short_move;
  move.acceleration = metres_per_second_squared(12);
  check_both_steps(axis, move);
}

TEST_CASE("GSL follows a bus that sags the same way", "[simulate][gsl]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.bus =
      simulate::Bus{.no_load = volts(24), .resistance = ohms(0.5), .capacitance = farads(500e-6)};
  // The voltage stands still within a step, so the error falls with its square only. Of the supply.
  const Off fine = off(axis, short_move, 5);
  CHECK(fine.bus < 5e-6);
  CHECK(fine.place < 1e-7);
  CHECK(fine.current < 5e-5);
  const Off coarse = off(axis, short_move, 25);
  CHECK(coarse.bus < 1e-4);
  CHECK(coarse.place < 2e-6);
  CHECK(coarse.current < 5e-4);
}

}  // namespace
}  // namespace pitchline
