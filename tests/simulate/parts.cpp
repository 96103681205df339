// The parts of a simulated axis beyond motor, belt and load: strands that go slack, losses, a beam,
// a second motor, a supply that gives way, pulses and a switching driver.

#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

#include "pitchline/belt/strands.hpp"
#include "pitchline/simulate/answer.hpp"
#include "pitchline/simulate/completing.hpp"
#include "pitchline/simulate/trust_map.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"
#include "support/simulate_axes.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using simulate::command_of;
using simulate::Outcome;
using simulate::Sample;
using simulate::SimulatedAxis;
using testing::IsNear;

// 60 mm at 0.3 m/s and 8 m/s², with a jerk time of half a ramp.
const motion::RunningMove short_move{.speed = metres_per_second(0.3),
                                     .acceleration = metres_per_second_squared(8),
                                     .stroke = millimetres(60),
                                     .jerk_time = seconds(0.0187)};

// C1 of the tables, sticking.
SimulatedAxis plain_axis() {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.friction_model = simulate::FrictionModel::sticking;
  return axis;
}

std::vector<Sample> samples(const SimulatedAxis& axis, const simulate::Command& command) {
  std::vector<Sample> all;
  simulate::run(axis, command, {}, [&](const Sample& s) { all.push_back(s); });
  return all;
}

TEST_CASE("a strand goes slack where the statics of the loop say", "[simulate][property]") {
  // A load that hangs on a clamped loop, half way: belt::strand_state knows nothing of simulate.
  const Force tension = newtons(10);
  const belt::ClampedLoop loop{.tension_per_strain = newtons(75e3), .span = metres(1)};
  const Length place = metres(1);
  const Stiffness both = belt::strand_stiffness(loop, place);
  SimulatedAxis axis = plain_axis();
  axis.axis.friction = {};
  axis.belt_stiffness = both;
  axis.strands = {.tension = tension, .up = both / 2.0, .down = both / 2.0};
  const double pull = GENERATE(5.0, 15.0, 19.9, 20.1, 35.0);
  CAPTURE(pull);
  axis.axis.gravity = newtons(pull);
  const auto state =
      belt::strand_state(loop, {.position = place, .pretension = tension, .pull = newtons(pull)});
  const Sample end = samples(axis, simulate::constant_speed(Speed{}, milliseconds(30))).back();
  const Length stretch = axis.axis.transmission * end.rotor - end.load;
  CHECK_THAT(stretch, IsNear(state.stretch, 1e-9 * metres(1)));
  CHECK_THAT(end.belt_force, IsNear(newtons(pull), newtons(1e-6)));
}

TEST_CASE("a slack strand makes a move softer, and its energy closes", "[simulate][property]") {
  SimulatedAxis axis = plain_axis();
  const Outcome taut = simulate::run(axis, command_of(short_move));
  axis.strands = {.tension = newtons(4),
                  .up = 0.4 * axis.belt_stiffness,
                  .down = axis.belt_stiffness - 0.4 * axis.belt_stiffness};
  const Outcome slack = simulate::run(axis, command_of(short_move));
  CHECK(slack.energy.imbalance() < 1e-6);
  CHECK(taut.energy.imbalance() < 1e-6);
  CHECK(slack.largest_following_error > taut.largest_following_error);
  axis.strands->tension = newtons(1000);
  const Outcome tight = simulate::run(axis, command_of(short_move));
  CHECK(tight.largest_following_error == taut.largest_following_error);
}

TEST_CASE("losses of the drive ask 1/η of the torque up and give back η of it down",
          "[simulate][property]") {
  SimulatedAxis axis = plain_axis();
  axis.axis.friction = {};
  axis.motor_drag = {};
  axis.axis.gravity = newtons(12);
  axis.axis.efficiency = Efficiency(0.8);
  const double up = GENERATE(1.0, -1.0);
  CAPTURE(up);
  const Speed speed = up * metres_per_second(0.05);
  const Sample end = samples(axis, simulate::constant_speed(speed, seconds(0.3))).back();
  const double torque =
      12.0 * in_metres_per_radian(axis.axis.transmission) * (up > 0.0 ? 1.0 / 0.8 : 0.8);
  const double field = in_newton_metres_per_ampere(axis.winding.torque_constant) *
                       in_amperes(axis.winding.amplitude);
  // The current lags and is a little short at speed: one per cent of the angle.
  CHECK_THAT(std::sin(in_radians(end.load_angle)), WithinRel(torque / field, 0.02));
}

TEST_CASE("a drive that loses more than it gets holds its load without current",
          "[simulate][property]") {
  // Driven losses above 1: the screw locks, and lowering takes torque too.
  SimulatedAxis axis = plain_axis();
  axis.axis.friction = {};
  axis.axis.gravity = newtons(4);
  // Friction that grows with the belt's force sets rotor and load swinging; held down here.
  axis.belt_damping = DampingRatio(0.3);
  axis.swing_damping = newton_metre_seconds_per_radian(0.02);
  axis.loss = simulate::DriveLoss{.driving = 1.5, .driven = 1.2};
  const double speed = -0.05 / in_metres_per_radian(axis.axis.transmission);
  const double torque = 4.0 * in_metres_per_radian(axis.axis.transmission) * 0.2;
  const double drag = in_newton_metre_seconds_per_radian(axis.motor_drag) * -speed;
  const double field = in_newton_metres_per_ampere(axis.winding.torque_constant) *
                       in_amperes(axis.winding.amplitude);
  // The mean of what swings.
  double sum = 0.0;
  int count = 0;
  for (const Sample& s :
       samples(axis, simulate::constant_speed(metres_per_second(-0.05), seconds(1)))) {
    if (in_seconds(s.time) < 0.6) continue;
    sum += std::sin(in_radians(s.load_angle));
    ++count;
  }
  // The current, which lags behind its command, turns the angle by some thousandths.
  CHECK_THAT(-sum / count, WithinAbs((torque + drag) / field, 0.005));
  const Outcome up = simulate::run(axis, command_of(short_move));
  CHECK_FALSE(up.lost_step);
  CHECK(up.energy.imbalance() < 1e-6);
}

TEST_CASE("a beam swings at its own frequency after a move", "[simulate][property]") {
  SimulatedAxis axis = plain_axis();
  axis.axis.mass = kilograms(3);
  axis.belt_stiffness = newtons_per_metre(4e6);
  axis.axis.friction = newtons(60);  // holds the ends once they stand
  axis.winding.amplitude = amperes(3);
  axis.beam = simulate::BeamMode{
      .mass = kilograms(1), .stiffness = newtons_per_metre(40e3), .damping = DampingRatio(0.0)};
  const simulate::Command command = command_of(short_move, seconds(0.3));
  std::vector<double> passes;
  double before = 0.0;
  double most = 0.0;
  simulate::run(axis, command, {}, [&](const Sample& s) {
    if (in_seconds(s.time) < in_seconds(command.duration()) - 0.25) return;
    const double bend = in_metres(s.tool) - in_metres(s.load);
    most = std::max(most, std::fabs(bend));
    if (before < 0.0 && bend >= 0.0) passes.push_back(in_seconds(s.time));
    before = bend;
  });
  REQUIRE(passes.size() > 5);
  CHECK(most > 1e-6);
  const double period = (passes.back() - passes.front()) / static_cast<double>(passes.size() - 1);
  CHECK_THAT(1.0 / period, WithinRel(std::sqrt(40e3) / 2.0 / std::numbers::pi, 1e-3));
}

TEST_CASE("a beam and its tool take no energy from the account", "[simulate][property]") {
  SimulatedAxis axis = plain_axis();
  axis.beam = simulate::BeamMode{
      .mass = kilograms(0.6), .stiffness = newtons_per_metre(40e3), .damping = DampingRatio(0.02)};
  const Outcome outcome = simulate::run(axis, command_of(short_move, seconds(0.1)));
  CHECK(outcome.energy.imbalance() < 1e-6);
  CHECK(outcome.energy.damping > joules(0));
}

// Two of the tabled axes with 2 kg between them, half of it a carriage.
SimulatedAxis gantry(double place) {
  SimulatedAxis axis = plain_axis();
  axis.gantry = simulate::Gantry{.travelling = kilograms(1),
                                 .place = place,
                                 .beam = kilograms(1),
                                 .near_friction = newtons(5),
                                 .far_friction = newtons(5)};
  return axis;
}

TEST_CASE("with the carriage in the middle a gantry is two equal axes", "[simulate][property]") {
  // Each end then moves with m11 + m12 = 1/4 + 1/4 + 1/3 + 1/6 = 1 kg.
  const Outcome both = simulate::run(gantry(0.5), command_of(short_move));
  SimulatedAxis one = plain_axis();
  const Outcome single = simulate::run(one, command_of(short_move));
  CHECK(both.largest_skew < 1e-12 * metres(1));
  CHECK_THAT(number(both.largest_load_angle / single.largest_load_angle), WithinRel(1.0, 1e-6));
  CHECK_THAT(number(both.peak_belt_force / single.peak_belt_force), WithinRel(1.0, 1e-6));
  CHECK_THAT(number(both.energy.copper / single.energy.copper), WithinRel(2.0, 1e-6));
}

TEST_CASE("the side with the carriage lags, and the sides change with it", "[simulate][property]") {
  const auto skew = [](double place) {
    double most = 0.0;
    simulate::run(gantry(place), command_of(short_move), {}, [&](const Sample& s) {
      const double ahead = in_metres(s.load) - in_metres(s.far_side);
      if (std::fabs(ahead) > std::fabs(most)) most = ahead;
    });
    return most;
  };
  const double near = skew(0.0);
  const double far = skew(1.0);
  CHECK(std::fabs(near) > 1e-6);
  CHECK_THAT(near, WithinRel(-far, 1e-9));
  CHECK(std::fabs(skew(0.3)) < std::fabs(near));
  const Outcome outcome = simulate::run(gantry(0.2), command_of(short_move, seconds(0.1)));
  CHECK(outcome.energy.imbalance() < 1e-6);
  CHECK(outcome.largest_skew > Length{});
}

TEST_CASE("a gantry that is held square skews less", "[simulate][property]") {
  SimulatedAxis axis = gantry(0.0);
  const Outcome free = simulate::run(axis, command_of(short_move));
  axis.gantry->squaring = 5.0 * axis.belt_stiffness;
  const Outcome held = simulate::run(axis, command_of(short_move));
  CHECK(held.largest_skew < 0.5 * free.largest_skew);
  CHECK(held.energy.imbalance() < 1e-6);
}

TEST_CASE("a supply sags by what flows through its resistance", "[simulate][property]") {
  // A standing motor draws R i² of two phases, 2 Ω and 1.5 A: 4.5 W from 24 V.
  SimulatedAxis axis = plain_axis();
  axis.bus =
      simulate::Bus{.no_load = volts(24), .resistance = ohms(2), .capacitance = farads(470e-6)};
  Voltage last{};
  const Outcome outcome = simulate::run(axis, simulate::constant_speed(Speed{}, milliseconds(20)),
                                        {}, [&](const Sample& s) { last = s.bus; });
  // V (24 − V)/2 = 4.5
  const double settled = 12.0 + std::sqrt(144.0 - 9.0);
  CHECK_THAT(last, IsNear(volts(settled), volts(0.01)));
  CHECK(outcome.energy.bus_imbalance() < 1e-9);
  CHECK(outcome.highest_bus == volts(24));
}

TEST_CASE("a load that stops hard lifts the bus by what the windings do not burn",
          "[simulate][property]") {
  SimulatedAxis axis = testing::tabled_axis(testing::published("axis_step_loss.csv").back());
  axis.friction_model = simulate::FrictionModel::sticking;
  axis.axis.friction = {};
  axis.bus =
      simulate::Bus{.no_load = volts(48), .resistance = ohms(0.2), .capacitance = farads(1000e-6)};
  const motion::RunningMove move{.speed = metres_per_second(0.45),
                                 .acceleration = metres_per_second_squared(5),
                                 .stroke = millimetres(120)};
  const Outcome outcome = simulate::run(axis, command_of(move));
  REQUIRE_FALSE(outcome.lost_step);
  CHECK(outcome.highest_bus > volts(48));
  CHECK(outcome.lowest_bus < volts(48));
  CHECK(outcome.energy.bus_imbalance() < 1e-9);
  CHECK(outcome.energy.imbalance() < 1e-5);
  // Never more than all that moved: 8 kg at 0.45 m/s, and the rotor.
  const double w = 0.45 / in_metres_per_radian(axis.axis.transmission);
  const double moved = 0.5 * 8.0 * 0.45 * 0.45 +
                       0.5 * in_kilogram_square_metres(axis.axis.motor_side_inertia) * w * w;
  const double back =
      0.5 * 1000e-6 *
      (std::pow(in_volts(outcome.highest_bus), 2) - std::pow(in_volts(outcome.lowest_bus), 2));
  CHECK(back < moved);
}

TEST_CASE("a bus that runs empty is said", "[simulate][error]") {
  SimulatedAxis axis = plain_axis();
  axis.bus =
      simulate::Bus{.no_load = volts(24), .resistance = ohms(500), .capacitance = farads(20e-6)};
  CHECK_THROWS_AS(simulate::run(axis, command_of(short_move)), OutsideValidity);
}

TEST_CASE("pulses come one by one, and at the ticks of the controller", "[simulate][property]") {
  SimulatedAxis axis = plain_axis();
  axis.driver.microsteps = pulses_per_full_step(8);
  axis.driver.pulse_tick = seconds(100e-6);
  const simulate::Command command = command_of(short_move);
  // Jumps of the current that the driver is asked for cannot be seen; where they fall can: the
  // rotor of a quick, light axis follows, so compare with the ideal command at the end.
  const Outcome outcome = simulate::run(axis, command);
  CHECK_FALSE(outcome.lost_step);
  CHECK(outcome.energy.imbalance() < 1e-6);
  // 60 mm of 0.00637 m/rad are whole pulses of 8 a full step but for a part.
  const double pulse =
      2.0 * std::numbers::pi / 200.0 / 8.0 * in_metres_per_radian(axis.axis.transmission);
  CHECK(std::fabs(in_metres(outcome.final_following_error)) < pulse + 1e-4);
  const Outcome even = simulate::run(plain_axis(), command);
  CHECK_THAT(number(outcome.largest_load_angle / even.largest_load_angle), WithinAbs(1.0, 0.5));
}

TEST_CASE("fine pulses are as good as a field that turns evenly", "[simulate][property]") {
  SimulatedAxis axis = plain_axis();
  axis.driver.microsteps = pulses_per_full_step(256);
  const simulate::Command command = command_of(short_move);
  const Outcome fine = simulate::run(axis, command);
  const Outcome even = simulate::run(plain_axis(), command);
  CHECK_THAT(number(fine.largest_load_angle / even.largest_load_angle), WithinRel(1.0, 0.02));
}

TEST_CASE("a switching driver holds what other simulations of one found", "[simulate][published]") {
  // pullout_simulated.csv, its switching driver whose current decays slowly while it rises and fast
  // while it falls; 10 %, since thresholds of such drivers scatter.
  struct Point {
    const char* motor;
    double voltage, amplitude, rpm;
  };
  const Point p = GENERATE(values<Point>({{"NEMA17", 24, 1.5, 200}, {"NEMA23", 48, 2.8, 300}}));
  CAPTURE(p.motor, p.rpm);
  int met = 0;
  for (const testing::CsvRow& row : testing::published("pullout_simulated.csv")) {
    if (row.text("motor") != p.motor || row.number("V_V") != p.voltage ||
        row.number("I_pk_A") != p.amplitude || row.number("speed_rpm") != p.rpm)
      continue;
    ++met;
    SimulatedAxis axis = testing::spinning_motor(p.motor, amperes(p.amplitude), volts(p.voltage));
    axis.driver.regulation = simulate::Regulation::switching;
    axis.driver.microsteps = pulses_per_full_step(16);
    const Torque wanted = newton_metres(row.number("Tsim_damped_auto_Nm"));
    const Speed speed = revolutions_per_minute(p.rpm) * axis.axis.transmission;
    const auto torque = simulate::falling_out_torque(axis, speed, seconds(0.6), 1.25 * wanted);
    REQUIRE(torque.has_value());
    CHECK_THAT(*torque, IsNear(wanted, 0.1 * wanted));
  }
  CHECK(met == 1);
}

TEST_CASE("a switching driver keeps its current near the command", "[simulate][property]") {
  SimulatedAxis axis = plain_axis();
  axis.driver.regulation = simulate::Regulation::switching;
  axis.driver.drop = volts(1);
  const Outcome outcome =
      simulate::run(axis, simulate::constant_speed(Speed{}, milliseconds(20)), {});
  // At most the rise of one blanking time above: 23 V over 3.2 mH for a clock of 1/30 ms.
  CHECK(in_amperes(outcome.peak_current) < 1.5 * 1.05);
  CHECK(in_amperes(outcome.peak_current) > 1.5 * 0.98);
  CHECK(outcome.energy.bridge > joules(0));
}

TEST_CASE("a run to a tolerance says the step that it took", "[simulate][property]") {
  const simulate::Command command = command_of(short_move);
  const auto rough = simulate::run_to_tolerance(plain_axis(), command, 1e-3);
  const auto fine = simulate::run_to_tolerance(plain_axis(), command, 1e-6, {seconds(100e-6)});
  CHECK(rough.change < 1e-3);
  CHECK(fine.change < 1e-6);
  CHECK_THAT(number(rough.outcome.largest_load_angle / fine.outcome.largest_load_angle),
             WithinRel(1.0, 1e-3));
  CHECK_THROWS_MATCHES(simulate::run_to_tolerance(plain_axis(), command, 0.0), InvalidInput,
                       Message("tolerance must be >= 1e-7, got 0"));
  CHECK_THROWS_AS(simulate::run_to_tolerance(plain_axis(), command, 1e-7, {seconds(100e-6)}, 1),
                  OutsideValidity);
  CHECK_THROWS_AS(simulate::run_to_tolerance(plain_axis(), command, 1e-3, {}, 0), InvalidInput);
}

TEST_CASE("the answer to a move is that of a swinging load", "[simulate][property]") {
  // After a box of acceleration the load on a stiff motor and a soft belt swings as the oscillator
  // of motion: here only that overshoot, ringing and settling hang together.
  SimulatedAxis axis = plain_axis();
  axis.axis.friction = {};
  axis.belt_stiffness = newtons_per_metre(15e3);
  const simulate::Command command = command_of(short_move, seconds(0.8));
  const auto found =
      simulate::answer(axis, command, {.tolerance = millimetres(0.02), .trace_points = 100});
  CHECK(found.overshoot > Length{});
  CHECK(found.ringing < 2.0 * found.overshoot);
  CHECK(found.ringing > 0.5 * found.overshoot);
  REQUIRE(found.settled.has_value());
  CHECK(*found.settled > seconds(0));
  const auto finer = simulate::answer(axis, command, {.tolerance = millimetres(0.005)});
  CHECK((!finer.settled || *finer.settled > *found.settled));
  CHECK(found.trace.size() >= 99);
  CHECK(found.trace.size() <= 102);
  CHECK(found.trace.front().time == seconds(0));
  CHECK(found.cruising_error <= found.outcome.largest_following_error);
  CHECK(found.cruising_error > Length{});
  CHECK_THROWS_AS(simulate::answer(axis, command, {}), InvalidInput);
  // Friction stops the tool on the way, whichever way that was.
  axis.axis.friction = newtons(5);
  motion::RunningMove move = short_move;
  const auto rest = [&](int moves) {
    move.in_succession = moves;
    return simulate::answer(axis, command_of(move, seconds(0.5)), {.tolerance = millimetres(1)})
        .rest_error;
  };
  CHECK(rest(1) * rest(2) > metres(0) * metres(0));
  CHECK_THROWS_AS(
      simulate::answer(axis, simulate::constant_speed(metres_per_second(0.1), seconds(0.1)),
                       {.tolerance = millimetres(1)}),
      InvalidInput);
}

TEST_CASE("a column of the map ends at the first failure", "[simulate][property]") {
  std::vector<Acceleration> tried;
  for (const double a : {10.0, 20.0, 40.0, 80.0}) tried.push_back(metres_per_second_squared(a));
  motion::RunningMove move{.stroke = millimetres(40)};
  const auto column = simulate::try_speed(plain_axis(), move, metres_per_second(0.3), tried,
                                          std::nullopt, [] { return true; });
  REQUIRE(column.fails.has_value());
  REQUIRE(column.completes.has_value());
  CHECK(*column.completes < *column.fails);
  CHECK(simulate::trial_of(column, *column.completes) == simulate::Trial::completes);
  CHECK(simulate::trial_of(column, *column.fails) == simulate::Trial::loses_steps);
  CHECK(simulate::trial_of(column, 2.0 * *column.fails) == simulate::Trial::above);
  const auto stopped = simulate::try_speed(plain_axis(), move, metres_per_second(0.3), tried,
                                           std::nullopt, [] { return false; });
  CHECK_FALSE(stopped.completes.has_value());
  CHECK_FALSE(stopped.fails.has_value());
}

TEST_CASE("parts of an axis are refused outside their range", "[simulate][error]") {
  const simulate::Command command = command_of(short_move);
  const auto refused = [&](auto&& change) {
    SimulatedAxis axis = plain_axis();
    change(axis);
    CHECK_THROWS_AS(simulate::run(axis, command), InvalidInput);
  };
  refused([](SimulatedAxis& a) {
    a.strands = {
        .tension = newtons(0), .up = a.belt_stiffness / 2.0, .down = a.belt_stiffness / 2.0};
  });
  refused([](SimulatedAxis& a) {
    a.strands = {.tension = newtons(9), .up = a.belt_stiffness, .down = a.belt_stiffness};
  });
  refused([](SimulatedAxis& a) { a.loss = simulate::DriveLoss{.driving = -0.1}; });
  refused([](SimulatedAxis& a) { a.beam = simulate::BeamMode{.damping = DampingRatio(0.0)}; });
  refused([](SimulatedAxis& a) {
    a.beam = simulate::BeamMode{
        .mass = kilograms(1), .stiffness = newtons_per_metre(1), .damping = DampingRatio(0.0)};
  });
  refused([](SimulatedAxis& a) { a.gantry = simulate::Gantry{.beam = kilograms(1)}; });
  refused([](SimulatedAxis& a) {
    a.gantry = simulate::Gantry{.travelling = kilograms(1), .place = 1.1, .beam = kilograms(1)};
  });
  refused([](SimulatedAxis& a) { a.bus = simulate::Bus{.no_load = volts(24)}; });
  refused([](SimulatedAxis& a) { a.driver.drop = volts(24); });
  refused([](SimulatedAxis& a) { a.driver.pulse_tick = seconds(-1); });
  refused([](SimulatedAxis& a) { a.driver.switching_frequency = hertz(0); });
  SimulatedAxis rigid = plain_axis();
  rigid.belt_stiffness = unlimited<Stiffness>();
  rigid.axis.efficiency = Efficiency(0.9);
  CHECK_THROWS_AS(simulate::run(rigid, command), OutsideValidity);
}

}  // namespace
}  // namespace pitchline
