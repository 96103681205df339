#include "pitchline/simulate/run.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <boost/numeric/odeint/integrate/integrate_adaptive.hpp>
#include <boost/numeric/odeint/stepper/generation.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <numbers>
#include <utility>
#include <vector>

#include "pitchline/motor/loss_free_torque.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/simulate_axes.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using simulate::Command;
using simulate::command_of;
using simulate::Outcome;
using simulate::Sample;
using simulate::SimulatedAxis;
using testing::IsNear;

// 60 mm at 0.5 m/s and 20 m/s², with a jerk time of half a ramp.
const motion::RunningMove short_move{.speed = metres_per_second(0.5),
                                     .acceleration = metres_per_second_squared(20),
                                     .stroke = millimetres(60),
                                     .jerk_time = seconds(0.0125)};

simulate::Settings step_of(double microseconds) { return {.step = seconds(1e-6 * microseconds)}; }

std::vector<Sample> samples(const SimulatedAxis& axis, const Command& command,
                            const simulate::Settings& settings = {}) {
  std::vector<Sample> all;
  simulate::run(axis, command, settings, [&](const Sample& s) { all.push_back(s); });
  return all;
}

// The equations once more, in other words: for an integrator with an error of its own.
struct Independent {
  double K, R, L, N, I, V, t, m, J, k, c, B, F;
  Command command;

  explicit Independent(const SimulatedAxis& a, Command to)
      : K(in_newton_metres_per_ampere(a.winding.torque_constant)),
        R(in_ohms(a.winding.resistance)),
        L(in_henries(a.winding.inductance)),
        N(a.winding.pole_pairs),
        I(in_amperes(a.winding.amplitude)),
        V(in_volts(a.winding.voltage)),
        t(in_metres_per_radian(a.axis.transmission)),
        m(in_kilograms(a.axis.mass)),
        J(in_kilogram_square_metres(a.axis.motor_side_inertia)),
        k(in_newtons_per_metre(a.belt_stiffness)),
        c(2.0 * a.belt_damping.value() * std::sqrt(k * m)),
        B(in_newton_metre_seconds_per_radian(a.motor_drag)),
        F(in_newtons(a.axis.friction)),
        command(std::move(to)) {}

  using State = std::array<double, 6>;
  [[nodiscard]] double field_angle(double time) const {
    const auto* part = &command.parts.front();
    for (const auto& each : command.parts)
      if (in_seconds(each.from) <= time) part = &each;
    return N / t * in_metres(part->after(seconds(time) - part->from).position);
  }
  void operator()(const State& y, State& rate, double time) const {
    const auto [a, b, angle, turning, place, speed] = y;
    const double g = field_angle(time);
    const auto driven = [&](double wanted, double met) {
      const double u = L / 5e-6 * (wanted - met);
      return u > V ? V : u < -V ? -V : u;
    };
    const double pull = k * (t * angle - place) + c * (t * turning - speed);
    const double torque = K * (b * std::cos(N * angle) - a * std::sin(N * angle));
    rate = {(driven(I * std::cos(g), a) - R * a + K * turning * std::sin(N * angle)) / L,
            (driven(I * std::sin(g), b) - R * b - K * turning * std::cos(N * angle)) / L,
            turning,
            (torque - B * turning - t * pull) / J,
            speed,
            (pull - F * std::tanh(speed / 2e-3)) / m};
  }
};

TEST_CASE("a damped motor falls out of step where other simulations found it",
          "[simulate][published]") {
  // Rows of the table below, at and above the speed where the current ceases to be forced; the
  // ramp here is shorter than its 8 s.
  struct Point {
    const char* motor;
    double voltage, amplitude, rpm;
  };
  const Point p = GENERATE(values<Point>({{"NEMA17", 12, 1.5, 450},
                                          {"NEMA17", 24, 1.5, 120},
                                          {"NEMA17", 24, 1.5, 2000},
                                          {"NEMA23", 48, 2.8, 600},
                                          {"NEMA23", 48, 2.8, 1300}}));
  CAPTURE(p.motor, p.voltage, p.rpm);
  int met = 0;
  for (const testing::CsvRow& row : testing::published("pullout_simulated.csv")) {
    if (row.text("motor") != p.motor || row.number("V_V") != p.voltage ||
        row.number("I_pk_A") != p.amplitude || row.number("speed_rpm") != p.rpm)
      continue;
    ++met;
    const SimulatedAxis axis =
        testing::spinning_motor(p.motor, amperes(p.amplitude), volts(p.voltage));
    const Torque wanted = newton_metres(row.number("Tsim_damped_avg_Nm"));
    const Speed speed = revolutions_per_minute(p.rpm) * axis.axis.transmission;
    const auto torque = simulate::falling_out_torque(axis, speed, seconds(1), 1.1 * wanted);
    REQUIRE(torque.has_value());
    CHECK_THAT(*torque, IsNear(wanted, 0.02 * wanted));
  }
  CHECK(met == 1);
}

TEST_CASE("deep in its voltage limit a driver's voltage becomes a square wave",
          "[simulate][property]") {
  // Then the fundamental is 4/π of the supply, and the closed form with that is the limit.
  struct Point {
    const char* motor;
    double voltage, amplitude, rpm;
  };
  const Point p = GENERATE(values<Point>({{"NEMA17", 12, 1.5, 3000},
                                          {"NEMA23", 24, 2.8, 2000},
                                          {"NEMA23", 48, 2.8, 2500},
                                          {"NEMA34", 80, 6.0, 3000}}));
  CAPTURE(p.motor, p.voltage, p.rpm);
  const SimulatedAxis axis =
      testing::spinning_motor(p.motor, amperes(p.amplitude), volts(p.voltage));
  motor::DrivenWinding square = axis.winding;
  square.voltage = 4.0 / std::numbers::pi * square.voltage;
  const AngularSpeed turning = revolutions_per_minute(p.rpm);
  const Torque limit = motor::loss_free_pull_out(square, turning).torque;
  const auto torque =
      simulate::falling_out_torque(axis, turning * axis.axis.transmission, seconds(2), 1.1 * limit);
  REQUIRE(torque.has_value());
  CHECK_THAT(*torque, IsNear(limit, 0.02 * limit));
}

TEST_CASE("a detent torque costs itself at low speed and nothing higher up",
          "[simulate][published]") {
  // [independent derivation], simulated: NEMA17 of the table with T_d = 0.04 N·m.
  struct Point {
    double rpm, torque;
  };
  const Point p = GENERATE(values<Point>({{30, 0.286}, {120, 0.314}}));
  CAPTURE(p.rpm);
  SimulatedAxis axis = testing::spinning_motor("NEMA17", amperes(1.5), volts(24));
  axis.detent_torque = newton_metres(0.04);
  const Speed speed = revolutions_per_minute(p.rpm) * axis.axis.transmission;
  const auto torque = simulate::falling_out_torque(axis, speed, seconds(8), newton_metres(0.35));
  REQUIRE(torque.has_value());
  CHECK_THAT(*torque, IsNear(newton_metres(p.torque), newton_metres(0.02 * p.torque)));
}

TEST_CASE("an integrator with an error estimate follows the same way", "[simulate][property]") {
  const SimulatedAxis axis = testing::first_tabled_axis();
  const Command command = command_of(short_move, milliseconds(20));
  const std::vector<Sample> met = samples(axis, command, step_of(2));
  const Independent rates(axis, command);

  namespace odeint = boost::numeric::odeint;
  auto stepper =
      odeint::make_controlled(1e-9, 1e-9, odeint::runge_kutta_dopri5<Independent::State>());
  const double gain = rates.L / 5e-6;
  Independent::State y{rates.I * gain / (gain + rates.R), 0, 0, 0, 0, 0};
  double time = 0.0;
  std::size_t i = 0;
  double worst_place = 0.0;
  double worst_angle = 0.0;
  double worst_speed = 0.0;
  double worst_current = 0.0;
  for (int n = 1; n <= 40; ++n) {
    const double until = in_seconds(command.duration()) * n / 40.0;
    while (i + 1 < met.size() && in_seconds(met[i].time) < until) ++i;
    const double at = in_seconds(met[i].time);
    odeint::integrate_adaptive(stepper, std::cref(rates), y, time, at, 1e-6);
    time = at;
    worst_current = std::max(worst_current, std::fabs(y[0] - in_amperes(met[i].current_a)));
    worst_angle = std::max(worst_angle, std::fabs(y[2] - in_radians(met[i].rotor)));
    worst_place = std::max(worst_place, std::fabs(y[4] - in_metres(met[i].load)));
    worst_speed = std::max(worst_speed, std::fabs(y[5] - in_metres_per_second(met[i].load_speed)));
  }
  // Of the stroke, its angle, the speed and the current.
  CHECK(worst_place < 1e-5 * 0.06);
  CHECK(worst_angle < 1e-5 * 0.06 / rates.t);
  CHECK(worst_speed < 1e-5 * 0.5);
  CHECK(worst_current < 1e-5 * 1.5);
}

TEST_CASE("half the step changes nothing that counts", "[simulate][property]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.friction_model =
      GENERATE(simulate::FrictionModel::smooth, simulate::FrictionModel::sticking);
  const Command command = command_of(short_move, milliseconds(20));
  const Outcome whole = simulate::run(axis, command, step_of(10));
  const Outcome half = simulate::run(axis, command, step_of(5));
  const auto same = [](const auto& a, const auto& b) {
    CHECK_THAT(number(a / b), WithinRel(1.0, 1e-4));
  };
  same(whole.largest_load_angle, half.largest_load_angle);
  same(whole.largest_following_error, half.largest_following_error);
  same(whole.peak_belt_force, half.peak_belt_force);
  CHECK_THAT(number(whole.peak_current / half.peak_current), WithinRel(1.0, 2e-4));
  CHECK_THAT(number(whole.energy.friction / half.energy.friction), WithinRel(1.0, 1e-4));
}

TEST_CASE("energy is where the account says", "[simulate][property]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.friction_model =
      GENERATE(simulate::FrictionModel::smooth, simulate::FrictionModel::sticking);
  axis.iron_torque = newton_metres(0.01);
  axis.detent_torque = newton_metres(0.01);
  axis.axis.gravity = newtons(3);
  const Outcome outcome = simulate::run(axis, command_of(short_move), step_of(2));
  CHECK_FALSE(outcome.lost_step);
  CHECK(outcome.energy.imbalance() < 1e-6);
  // Lifted by the stroke, and swinging a little: stored is mostly height.
  CHECK_THAT(in_joules(outcome.energy.stored), WithinAbs(3 * 0.06, 0.02));
  // Friction times way: of the load, and of the rotor, whose swing adds some.
  CHECK(in_joules(outcome.energy.friction) > 0.98 * (5 * 0.06 + 0.01 * 0.06 / 0.00636619));
  CHECK(in_joules(outcome.energy.friction) < 1.1 * (5 * 0.06 + 0.01 * 0.06 / 0.00636619));
  // Two phases, one current on average.
  CHECK(in_joules(outcome.energy.copper) > 0.0);
}

TEST_CASE("below the limit of the voltage the error falls with the fourth power of the step",
          "[simulate][property]") {
  const SimulatedAxis axis = testing::first_tabled_axis();
  const motion::RunningMove gentle{.speed = metres_per_second(0.1),
                                   .acceleration = metres_per_second_squared(5),
                                   .stroke = millimetres(8),
                                   .jerk_time = seconds(0.01)};
  const auto outcome = [&](double microseconds) {
    return simulate::run(axis, command_of(gentle), step_of(microseconds));
  };
  CHECK(outcome(10).energy.imbalance() < 2e-7);
  const auto copper = [&](double microseconds) {
    return in_joules(outcome(microseconds).energy.copper);
  };
  const double coarse = copper(8);
  const double middle = copper(4);
  CHECK(std::fabs(coarse - middle) > 10.0 * std::fabs(middle - copper(2)));
}

TEST_CASE("energy closes against an applied torque", "[simulate][property]") {
  const SimulatedAxis axis = testing::spinning_motor("NEMA17", amperes(1.5), volts(24));
  // 200 rpm for 0.1 s against 0 to 0.2 N·m: 0.1 N·m in the middle, over the angle.
  const Speed speed = radians_per_second(20) * axis.axis.transmission;
  const Outcome outcome = simulate::run(
      axis, simulate::constant_speed(speed, seconds(0.1), newton_metres(0.2)), step_of(2));
  CHECK_FALSE(outcome.lost_step);
  CHECK(outcome.energy.imbalance() < 1e-6);
  CHECK_THAT(in_joules(outcome.energy.applied), WithinRel(0.1 * 20 * 0.1, 1e-2));
}

TEST_CASE("smooth friction that turns over quickly becomes sticking friction",
          "[simulate][property]") {
  SimulatedAxis sticking = testing::first_tabled_axis();
  sticking.friction_model = simulate::FrictionModel::sticking;
  sticking.iron_torque = newton_metres(0.01);
  SimulatedAxis smooth = sticking;
  smooth.friction_model = simulate::FrictionModel::smooth;
  smooth.friction_speed = metres_per_second(2e-5);
  motion::RunningMove move = short_move;  // to and fro, so that the friction turns over as well
  move.in_succession = 2;
  move.dwell = milliseconds(5);
  const Outcome one = simulate::run(sticking, command_of(move), step_of(2));
  const Outcome other = simulate::run(smooth, command_of(move), step_of(1));
  CHECK_THAT(number(one.largest_load_angle / other.largest_load_angle), WithinRel(1.0, 2e-3));
  CHECK_THAT(number(one.peak_belt_force / other.peak_belt_force), WithinRel(1.0, 2e-3));
  CHECK_THAT(number(one.energy.friction / other.energy.friction), WithinRel(1.0, 2e-3));
}

TEST_CASE("a standing motor takes the power of its resistance and no more",
          "[simulate][property]") {
  const SimulatedAxis axis = testing::first_tabled_axis();
  const Outcome outcome = simulate::run(axis, simulate::constant_speed({}, seconds(0.1)));
  // R I², I less the little that a proportional driver leaves: 640 V/A against 2 ohm.
  const double current = 1.5 * 640.0 / 642.0;
  CHECK_THAT(in_joules(outcome.energy.copper), WithinRel(0.1 * 2.0 * current * current, 1e-9));
  CHECK_THAT(in_joules(outcome.energy.electrical), WithinRel(0.1 * 2.0 * current * current, 1e-9));
  CHECK(outcome.largest_following_error == metres(0));
}

TEST_CASE("the same run gives the same bits", "[simulate][property]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.friction_model =
      GENERATE(simulate::FrictionModel::smooth, simulate::FrictionModel::sticking);
  const auto bits = [&] {
    std::vector<std::uint64_t> all;
    for (const Sample& s : samples(axis, command_of(short_move))) {
      for (const double x : {in_radians(s.rotor), in_metres(s.load), in_amperes(s.current_a),
                             in_newtons(s.belt_force)})
        all.push_back(std::bit_cast<std::uint64_t>(x));
    }
    return all;
  };
  CHECK(bits() == bits());
}

TEST_CASE("a stiff belt without friction moves as a rigid one", "[simulate][property]") {
  SimulatedAxis rigid = testing::first_tabled_axis();
  rigid.axis.friction = newtons(0);
  rigid.belt_stiffness = unlimited<Stiffness>();
  SimulatedAxis stiff = rigid;
  stiff.belt_stiffness = newtons_per_metre(5e7);
  stiff.belt_damping = DampingRatio(0.1);
  const Command command = command_of(short_move);
  const Outcome one = simulate::run(rigid, command);
  const Outcome other = simulate::run(stiff, command, step_of(5));
  // The stretch of the belt is left: the force of 20 m/s² on 1 kg and the swing, over 5e7 N/m.
  CHECK_THAT(number(one.largest_load_angle / other.largest_load_angle), WithinRel(1.0, 5e-3));
  CHECK_THAT(number(one.largest_following_error / other.largest_following_error),
             WithinRel(1.0, 1e-2));
  CHECK_THAT(number(one.peak_belt_force / other.peak_belt_force), WithinRel(1.0, 1e-2));
}

TEST_CASE("a slow start asks the torque of the textbook", "[simulate][property]") {
  // Mean of the part with constant acceleration, over many periods of a small swing:
  //   (J + m t²) a/t + K² ω/(G + R) = K I' sin(load angle − lag)
  // A proportional driver of gain G = 640 V/A leaves I' = I G/(G + R), lags by N ω L/(G + R), and
  // lets the back-EMF brake a little.
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.axis.friction = newtons(0);
  axis.motor_drag = newton_metre_seconds_per_radian(0);
  axis.belt_stiffness = GENERATE(unlimited<Stiffness>(), newtons_per_metre(150e3));
  const double a = 2.0;
  const motion::RunningMove move{.speed = metres_per_second(0.2),
                                 .acceleration = metres_per_second_squared(a),
                                 .stroke = millimetres(50),
                                 .jerk_time = seconds(0.05)};
  double force = 0.0;
  double angle = 0.0;
  double count = 0.0;
  simulate::run(axis, command_of(move), {}, [&](const Sample& s) {
    if (s.time < seconds(0.05) || s.time > seconds(0.1)) return;
    force += in_newtons(s.belt_force);
    angle += in_radians(s.load_angle);
    count += 1.0;
  });
  const double t = 0.006366197724;
  const double turning = 0.1 / t;  // in the middle of that part: 0.05 to 0.15 m/s
  const double torque = (5.8e-6 + t * t) * a / t + 0.212132034 * 0.212132034 * turning / 642.0;
  const double lag = 50 * turning * 0.0032 / 642.0;
  CHECK_THAT(force / count, WithinRel(a, 0.01));
  CHECK_THAT(std::sin(angle / count - lag),
             WithinRel(torque / (0.212132034 * 1.5 * 640.0 / 642.0), 0.01));
}

TEST_CASE("sticking friction holds a load below its static limit exactly", "[simulate][property]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.friction_model = simulate::FrictionModel::sticking;
  axis.static_friction = newtons(8);
  axis.axis.gravity = newtons(2);
  // 40 µm of a belt of 1.5e5 N/m: 6 N, of which 2 N are more or less than the weight.
  const motion::RunningMove small{.speed = metres_per_second(0.01),
                                  .acceleration = metres_per_second_squared(0.1),
                                  .stroke = micrometres(40),
                                  .jerk_time = seconds(0.01),
                                  .in_succession = 2,
                                  .dwell = seconds(0.01)};
  const std::vector<Sample> met = samples(axis, command_of(small, milliseconds(20)));
  CHECK(std::all_of(met.begin(), met.end(), [&](const Sample& s) {
    return s.load_speed == metres_per_second(0) && s.load == met.front().load;
  }));
  // 80 µm pull 12 N: it goes, and by then the belt pulls the weight and the static friction.
  motion::RunningMove large = small;
  large.stroke = micrometres(80);
  large.in_succession = 1;
  const std::vector<Sample> moved = samples(axis, command_of(large, milliseconds(20)));
  const auto first = std::find_if(moved.begin(), moved.end(), [](const Sample& s) {
    return s.load_speed != metres_per_second(0);
  });
  REQUIRE(first != moved.end());
  CHECK_THAT(first->belt_force, IsNear(newtons(8 + 2), newtons(0.05)));
  // A step that is cut where the load stops still ends where the command then is.
  const Command again = command_of(large, milliseconds(20));
  Length worst{};
  for (const Sample& s : moved) {
    const auto* part = &again.parts.front();
    for (const auto& each : again.parts)
      if (each.from <= s.time) part = &each;
    const Length off = s.commanded - part->after(s.time - part->from).position;
    worst = std::max({worst, off, Length(-off)});
  }
  CHECK(worst < micrometres(1e-6));
  // And it stops: at the end it stands, held by no more than the static friction.
  CHECK(moved.back().load_speed == metres_per_second(0));
  CHECK(std::fabs(in_newtons(moved.back().belt_force) - 2.0) <= 8.0);
  CHECK(moved.back().load > moved.front().load);
}

TEST_CASE("with a rigid belt friction holds rotor and load as one", "[simulate][property]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.friction_model = simulate::FrictionModel::sticking;
  axis.belt_stiffness = unlimited<Stiffness>();
  // 5 N at the belt are 0.032 N·m, and the field turned by 5 µm of travel pulls 0.012 N·m.
  const motion::RunningMove tiny{.speed = metres_per_second(0.001),
                                 .acceleration = metres_per_second_squared(0.01),
                                 .stroke = micrometres(5)};
  const std::vector<Sample> met = samples(axis, command_of(tiny));
  CHECK(std::all_of(met.begin(), met.end(), [&](const Sample& s) {
    return s.load == met.front().load && s.rotor == met.front().rotor;
  }));
  // Beyond the limit it moves, and the energy closes over a move with stops, too.
  const Outcome outcome = simulate::run(axis, command_of(short_move, milliseconds(20)), step_of(2));
  CHECK(outcome.energy.imbalance() < 1e-6);
  CHECK(outcome.largest_following_error < millimetres(1));
}

TEST_CASE("a hanging load rests where field and belt hold it", "[simulate][property]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.axis.friction = newtons(0);
  axis.axis.gravity = newtons(10);
  const Outcome outcome = simulate::run(axis, simulate::constant_speed({}, seconds(0.05)));
  CHECK_THAT(in_newtons(outcome.peak_belt_force), WithinRel(10.0, 1e-2));
  CHECK_THAT(in_radians(outcome.final_load_angle),
             WithinRel(std::asin(10 * 0.006366197724 / (0.212132034 * 1.5)), 1e-2));
}

TEST_CASE("iron torque takes its share of the torque that a motor holds", "[simulate][property]") {
  SimulatedAxis axis = testing::spinning_motor("NEMA17", amperes(1.5), volts(24));
  const Speed speed = revolutions_per_minute(300) * axis.axis.transmission;
  const auto without = simulate::falling_out_torque(axis, speed, seconds(0.5), newton_metres(0.35));
  axis.iron_torque = newton_metres(0.03);
  const auto with = simulate::falling_out_torque(axis, speed, seconds(0.5), newton_metres(0.35));
  REQUIRE(without.has_value());
  REQUIRE(with.has_value());
  CHECK_THAT(*without - *with, IsNear(newton_metres(0.03), newton_metres(0.0005)));
}

TEST_CASE("microsteps round the command and leave the move", "[simulate][property]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.axis.friction = newtons(0);
  axis.belt_stiffness = unlimited<Stiffness>();
  axis.motor_drag = newton_metre_seconds_per_radian(2e-3);  // so that it settles
  axis.driver.microsteps = pulses_per_full_step(16);
  // 12.5 µm a pulse: 35 µm are commanded as 37.5 µm, and there the load comes to rest.
  const motion::RunningMove move{.speed = metres_per_second(0.01),
                                 .acceleration = metres_per_second_squared(0.2),
                                 .stroke = micrometres(35)};
  const std::vector<Sample> met = samples(axis, command_of(move, seconds(0.3)));
  CHECK_THAT(met.back().load, IsNear(micrometres(37.5), micrometres(0.1)));
  // In a real move the jumps are nothing beside the torque.
  const Outcome fine = simulate::run(testing::first_tabled_axis(), command_of(short_move));
  SimulatedAxis stepped = testing::first_tabled_axis();
  stepped.driver.microsteps = pulses_per_full_step(16);
  const Outcome coarse = simulate::run(stepped, command_of(short_move));
  CHECK_FALSE(coarse.lost_step);
  // Half a microstep is 0.05 rad of the electrical angle.
  CHECK_THAT(coarse.largest_load_angle, IsNear(fine.largest_load_angle, radians(0.06)));
}

TEST_CASE("moves to and fro come back, onward they go on", "[simulate][property]") {
  motion::RunningMove move = short_move;
  move.in_succession = 2;
  move.dwell = milliseconds(5);
  const Command back = command_of(move);
  const Command onward = command_of(move, {}, simulate::Succession::onward);
  const auto end = [](const Command& c) {
    return c.parts.back().after(c.parts.back().length).position;
  };
  CHECK_THAT(end(back), IsNear(metres(0), micrometres(1e-6)));
  CHECK_THAT(end(onward), IsNear(millimetres(120), micrometres(1e-6)));
  // Stroke over speed, one ramp and the jerk time, twice, and the dwell.
  CHECK_THAT(in_seconds(back.duration()), WithinRel(2 * (0.12 + 0.025 + 0.0125) + 0.005, 1e-12));
  const Outcome outcome = simulate::run(testing::first_tabled_axis(), back);
  CHECK_FALSE(outcome.lost_step);
}

TEST_CASE("a load that is too heavy slips, and the run says so", "[simulate][property]") {
  motion::RunningMove move = short_move;
  move.acceleration = metres_per_second_squared(80);  // the rigid axis needs 0.56 N·m of 0.32
  move.jerk_time = {};
  const Outcome outcome =
      simulate::run(testing::first_tabled_axis(), command_of(move, milliseconds(50)));
  CHECK(outcome.lost_step);
  REQUIRE(outcome.slipped.has_value());
  CHECK(*outcome.slipped < seconds(0.1));
  CHECK(outcome.largest_load_angle > radians(std::numbers::pi));
}

TEST_CASE("a run at constant speed begins with it, and the belt carries friction and weight",
          "[simulate][property]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.friction_model =
      GENERATE(simulate::FrictionModel::smooth, simulate::FrictionModel::sticking);
  axis.axis.gravity = newtons(4);
  const double sense = GENERATE(1.0, -1.0);
  const std::vector<Sample> met =
      samples(axis, simulate::constant_speed(metres_per_second(0.1 * sense), milliseconds(20)));
  CHECK_THAT(in_radians_per_second(met.front().rotor_speed),
             WithinRel(sense * 0.1 / 0.006366197724, 1e-12));
  // 4 N of weight and 5 N of friction, up or down, and nothing that swings to speak of.
  for (const Sample& s : met)
    CHECK_THAT(s.belt_force, IsNear(newtons(4 + 5 * sense), newtons(0.5)));
}

TEST_CASE("lost is a load angle that ends beyond half an electrical turn", "[simulate][property]") {
  // The load reaches what the motor holds, some 0.318 N·m, shortly before the end.
  const SimulatedAxis axis = testing::spinning_motor("NEMA17", amperes(1.5), volts(24));
  const Speed speed = revolutions_per_minute(300) * axis.axis.transmission;
  int just_lost = 0;
  for (double load = 0.310; load < 0.3385; load += 0.002) {
    const Outcome outcome =
        simulate::run(axis, simulate::constant_speed(speed, seconds(0.2), newton_metres(load)));
    const double angle = std::fabs(in_radians(outcome.final_load_angle));
    CAPTURE(load, angle);
    CHECK(outcome.lost_step == (angle > std::numbers::pi));
    CHECK(outcome.slipped.has_value() == outcome.lost_step);
    if (outcome.lost_step && angle < 4.0 * std::numbers::pi) ++just_lost;
  }
  CHECK(just_lost > 0);
}

TEST_CASE("run refuses what its table excludes", "[simulate][error]") {
  const Command command = command_of(short_move);
  const SimulatedAxis good = testing::first_tabled_axis();
  SimulatedAxis axis = good;
  axis.belt_stiffness = unset<Stiffness>();
  CHECK_THROWS_MATCHES(simulate::run(axis, command), InvalidInput,
                       Message("belt stiffness must be > 0, got nan N/m"));
  axis = good;
  axis.axis.mass = unset<Mass>();
  CHECK_THROWS_AS(simulate::run(axis, command), InvalidInput);
  axis = good;
  axis.winding.inductance = henries(0);
  CHECK_THROWS_MATCHES(simulate::run(axis, command), InvalidInput,
                       Message("inductance must be > 0, got 0 H"));
  axis = good;
  axis.axis.motor_side_inertia = kilogram_square_metres(0);
  CHECK_THROWS_AS(simulate::run(axis, command), InvalidInput);
  axis = good;
  axis.driver.microsteps = pulses_per_full_step(0.5);
  CHECK_THROWS_AS(simulate::run(axis, command), InvalidInput);
  axis = good;
  axis.iron_torque = newton_metres(-1);
  CHECK_THROWS_MATCHES(simulate::run(axis, command), InvalidInput,
                       Message("iron torque must be >= 0, got -1 N*m"));
  axis = good;
  axis.axis.gravity = newtons(60);  // 0.38 N·m
  CHECK_THROWS_AS(simulate::run(axis, command), OutsideValidity);
  CHECK_THROWS_AS(simulate::run(good, Command{}), InvalidInput);
  CHECK_THROWS_AS(simulate::run(good, command, step_of(0)), InvalidInput);
}

TEST_CASE("commands refuse what their tables exclude", "[simulate][error]") {
  motion::RunningMove move = short_move;
  move.stroke = unset<Length>();
  CHECK_THROWS_MATCHES(command_of(move), InvalidInput, Message("stroke must be > 0, got nan m"));
  CHECK_THROWS_AS(command_of(short_move, seconds(-1)), InvalidInput);
  CHECK_THROWS_AS(command_of(motion::MoveProfile{}, seconds(-1)), InvalidInput);
  CHECK_THROWS_AS(simulate::constant_speed(unset<Speed>(), seconds(1)), InvalidInput);
  CHECK_THROWS_AS(simulate::constant_speed(metres_per_second(1), seconds(0)), InvalidInput);
  CHECK_THROWS_AS(simulate::constant_speed(metres_per_second(1), seconds(1), unset<Torque>()),
                  InvalidInput);
}

}  // namespace
}  // namespace pitchline
