// The check and the simulation move one motor: its pull-out and its lag, over drawn axes.

#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>

#include "pitchline/check/rows/accuracy.hpp"
#include "pitchline/check/rows/motor_condition.hpp"
#include "pitchline/prove/as_simulated.hpp"
#include "pitchline/simulate/completing.hpp"
#include "support/catch.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::WithinRel;

// One draw, by its number alone.
class Draw {
 public:
  explicit Draw(std::uint64_t seed) : bits_(seed) {}
  double between(double low, double high) {
    return low + (high - low) * (static_cast<double>(bits_() >> 11U) * 0x1p-53);
  }
  std::size_t of(std::size_t count) { return static_cast<std::size_t>(bits_() % count); }

 private:
  std::mt19937_64 bits_;
};

// Four invented motors at 24 to 60 V and half to all of their current, 0.1 to 1.2 m/s, 1 to 20 N.
machine::Machine drawn(std::uint64_t number) {
  Draw draw(number);
  machine::Machine m = testing::kite_loft();
  m.supply.voltage = volts(draw.between(24, 60));
  machine::Axis& axis = m.axes.front();
  axis::BeltAxis& belt = machine::belt_drive(axis);
  struct Sheet {
    double holding, current, resistance, inductance;
  };
  static constexpr std::array<Sheet, 4> sheets{{{0.45, 1.5, 1.8, 3.0e-3},
                                                {0.65, 2.1, 1.6, 3.2e-3},
                                                {1.9, 2.8, 1.1, 3.6e-3},
                                                {3.0, 4.2, 0.9, 3.8e-3}}};
  const Sheet& sheet = sheets.at(draw.of(sheets.size()));
  belt.motor.holding_torque = newton_metres(sheet.holding);
  belt.motor.rated_current = amperes(sheet.current);
  belt.motor.resistance = ohms(sheet.resistance);
  belt.motor.inductance = henries(sheet.inductance);
  belt.motor.rotor_inertia = kilogram_square_metres(2.5e-5 * sheet.holding);
  belt.driver.current = draw.between(0.5, 1.0) * belt.motor.rated_current;
  belt.driver.pulses_per_turn = 16.0 * belt.motor.full_steps_per_turn / full_steps(1) * pulses(1);
  belt.guide.drag = newtons(draw.between(1, 20));
  belt.efficiency = Efficiency(draw.between(0.85, 1.0));
  axis.want.speed = metres_per_second(draw.between(0.1, 1.2));
  return m;
}

// Damped so that what is seen is steady: on the rotor's speed less the commanded one, which takes
// no torque where it turns evenly.
simulate::SimulatedAxis steadied(const check::AxisState& s, double damping_ratio = 1.0,
                                 const prove::SimulationChoice& choice = {}) {
  simulate::SimulatedAxis a = prove::as_simulated(s, choice);
  const double stiffness = a.winding.pole_pairs *
                           in_newton_metres_per_ampere(a.winding.torque_constant) *
                           in_amperes(a.winding.amplitude);
  const double inertia = in_kilogram_square_metres(motion::total_inertia(s.seen));
  a.swing_damping =
      newton_metre_seconds_per_radian(2.0 * damping_ratio * std::sqrt(stiffness * inertia));
  return a;
}

// The motor against a torque alone.
simulate::SimulatedAxis turning_alone(const check::AxisState& s,
                                      const prove::SimulationChoice& choice = {}) {
  simulate::SimulatedAxis a = steadied(s, 0.3, choice);
  a.axis.friction = {};
  a.static_friction = {};
  a.belt_stiffness = unlimited<Stiffness>();
  a.loss = simulate::DriveLoss{};
  return a;
}

// What the rotor stays behind the field, at the load, in the mean of the last third.
Length simulated_lag(const check::AxisState& s, const simulate::SimulatedAxis& a) {
  const Time length = seconds(0.4);
  double sum = 0.0;
  double count = 0.0;
  simulate::run(a, simulate::constant_speed(s.axis.want.speed, length), {},
                [&](const simulate::Sample& at) {
                  if (at.time < 2.0 / 3.0 * length) return;
                  sum += in_radians(at.load_angle);
                  count += 1.0;
                });
  return radians(sum / count / a.winding.pole_pairs) * s.seen.transmission;
}

TEST_CASE("the check's lag of the rotor is the simulated one, over drawn axes",
          "[check][property]") {
  int compared = 0;
  for (std::uint64_t n = 0; n < 20; ++n) {
    const machine::Machine m = drawn(n);
    const check::AxisState s = check::state_of(m, m.axes.front());
    const Torque torque = motion::rigid_torque(s.seen, Acceleration{});
    // Near pull-out a little torque is much lag.
    if (torque > 0.9 * s.at_speed.torque) continue;
    const auto error =
        check::position_error(s, s.stiffness, s.seen.friction, torque, s.motor_speed());
    REQUIRE(error.has_value());
    const simulate::SimulatedAxis a = steadied(s);
    const Length simulated = simulated_lag(s, a);
    ++compared;
    INFO("axis " << n << ", check " << in_micrometres(error->load_angle) << " um, simulated "
                 << in_micrometres(simulated) << " um, speed "
                 << in_metres_per_second(s.axis.want.speed));
    CHECK(error->load_angle >= simulated);
    CHECK(
        (error->load_angle <= 1.1 * simulated || error->load_angle <= simulated + micrometres(2)));
    CHECK(error->driver_lag <= error->load_angle);
  }
  CHECK(compared > 10);
}

TEST_CASE("the simulated motor falls out of step at the torque of the verdict",
          "[check][property]") {
  for (std::uint64_t n = 0; n < 3; ++n) {
    machine::Machine m = drawn(n);
    const check::AxisState s = check::state_of(m, m.axes.front());
    if (!(s.at_speed.torque > newton_metres(0.02))) continue;
    const auto torque = simulate::falling_out_torque(turning_alone(s), s.axis.want.speed,
                                                     seconds(3), 1.2 * s.at_speed.torque);
    REQUIRE(torque.has_value());
    INFO("axis " << n);
    CHECK_THAT(number(*torque / s.at_speed.torque), WithinRel(1.0, 0.03));
  }
}

TEST_CASE("a published torque decides what the simulated motor gives", "[check][property]") {
  machine::Machine m = testing::kite_loft();
  m.axes.front().want.speed = metres_per_second(0.1);
  machine::belt_drive(m.axes.front()).motor.curves = {
      {.points = {{radians_per_second(20), newton_metres(0.12)},
                  {radians_per_second(60), newton_metres(0.10)}},
       .voltage = volts(36),
       .amplitude = std::numbers::sqrt2 * amperes(2)}};
  const check::AxisState s = check::state_of(m, m.axes.front());
  const simulate::SimulatedAxis a = prove::as_simulated(s);
  REQUIRE(a.share.has_value());
  CHECK(a.share->shares.front() < 0.5);
  const auto falls_out = [&](const prove::SimulationChoice& choice) {
    return simulate::falling_out_torque(turning_alone(s, choice), s.axis.want.speed, seconds(6),
                                        newton_metres(0.15));
  };
  const auto torque = falls_out({});
  REQUIRE(torque.has_value());
  CHECK_THAT(in_newton_metres(*torque), WithinRel(0.12, 0.03));
  CHECK_FALSE(falls_out({.ideal_motor = true}).has_value());
}

TEST_CASE("what the share keeps back stands in the account of energy", "[check][property]") {
  const machine::Machine m = drawn(3);
  const check::AxisState s = check::state_of(m, m.axes.front());
  simulate::SimulatedAxis a = prove::as_simulated(s);
  for (double& each : a.share->shares) each *= 0.8;
  const auto move = simulate::command_of({.speed = s.axis.want.speed,
                                          .acceleration = metres_per_second_squared(0.5),
                                          .stroke = millimetres(200)});
  const simulate::EnergyAccount energy = simulate::run(a, move).energy;
  CHECK(energy.imbalance() < 1e-6);
  CHECK(energy.kept > joules(0));
  CHECK_THROWS_AS(
      simulate::run(a, simulate::constant_speed(2.5 * s.axis.want.speed, seconds(0.01))),
      OutsideValidity);
}

}  // namespace
}  // namespace pitchline
