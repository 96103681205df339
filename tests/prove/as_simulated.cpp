#include "pitchline/prove/as_simulated.hpp"

#include <cmath>
#include <numbers>

#include "pitchline/simulate/command.hpp"
#include "pitchline/simulate/run.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::WithinRel;
using check::AxisState;
using prove::as_simulated;
using testing::IsNear;

AxisState state_of(machine::Machine& loft) { return check::state_of(loft, loft.axes.front()); }

TEST_CASE("the simulated axis is made of what the check counts", "[check][property]") {
  machine::Machine loft = testing::kite_loft();
  const AxisState s = state_of(loft);
  const simulate::SimulatedAxis a = as_simulated(s);
  const motor::LossModel losses;
  const parts::StepperMotor& motor = s.motor();
  CHECK(a.belt_stiffness == s.stiffness);
  CHECK(a.axis.mass == s.seen.mass);
  CHECK(a.belt_damping.value() == 0.03);
  CHECK_THAT(a.winding.resistance,
             IsNear(losses.hot_winding.value() * motor.resistance, ohms(1e-12)));
  CHECK_THAT(a.winding.inductance, IsNear(motor::effective_inductance(motor), henries(1e-12)));
  CHECK_THAT(a.winding.voltage, IsNear(0.95 * volts(36), volts(1e-9)));
  CHECK_THAT(a.winding.amplitude, IsNear(0.80 * std::numbers::sqrt2 * amperes(2), amperes(1e-9)));
  CHECK(a.iron_torque == motor::drag_torque(motor, losses));
  CHECK_FALSE(a.bus.has_value());
  CHECK_FALSE(a.gantry.has_value());
  CHECK_FALSE(a.beam.has_value());
  CHECK_FALSE(a.strands.has_value());
  CHECK_THAT(a.loss->driving, WithinRel(1.0 / 0.95 - 1.0, 1e-12));
  CHECK_FALSE(simulate::run(a, simulate::command_of({.speed = millimetres_per_second(300),
                                                     .acceleration = metres_per_second_squared(2),
                                                     .stroke = millimetres(60)}))
                  .lost_step);
}

TEST_CASE("pulses, strands and a capacitor are simulated where the file has them",
          "[check][property]") {
  machine::Machine loft = testing::kite_loft();
  loft.supply.capacitance = farads(2200e-6);
  loft.supply.resistance = ohms(0.1);
  loft.axes.front().fitting.tension = newtons(40);
  const AxisState s = state_of(loft);
  const simulate::SimulatedAxis a = as_simulated(s, {.pulses = true, .switching = true});
  REQUIRE(a.bus.has_value());
  CHECK(a.bus->no_load == volts(36));
  CHECK_THAT(a.driver.drop, IsNear(0.05 * volts(36), volts(1e-9)));
  CHECK(a.driver.microsteps == pulses_per_full_step(16));
  CHECK_THAT(a.driver.pulse_tick, IsNear(seconds(5e-6), seconds(1e-12)));
  CHECK(a.driver.regulation == simulate::Regulation::switching);
  REQUIRE(a.strands.has_value());
  CHECK(a.strands->tension == newtons(40));
  // The near strand, 1600 mm of twice 1700, is the softer half by 1600 to 1800.
  CHECK_THAT(number(a.strands->up / a.strands->down), WithinRel(1800.0 / 1600.0, 1e-12));
}

TEST_CASE("two motors carry the beam and what travels on it", "[check][property]") {
  machine::Machine loft = testing::kite_loft();
  axis::BeltAxis& drive = machine::belt_drive(loft.axes.front());
  drive.motors = 2;
  drive.belt_distance = millimetres(1200);
  drive.moving = {{.name = "beam", .mass = kilograms(4)},
                  {.name = "carriage", .mass = kilograms(2), .travels_along_beam = true}};
  loft.axes.front().beam =
      structure::Beam{.span = millimetres(1200),
                      .elastic_modulus = megapascals(70e3),
                      .second_moment = metres(1) * metres(1) * metres(1) * metres(1) * 2e-7,
                      .mass = kilograms(3),
                      .damping_ratio = DampingRatio(0.01)};
  const AxisState s = state_of(loft);
  const simulate::SimulatedAxis near = as_simulated(s);
  REQUIRE(near.gantry.has_value());
  CHECK_FALSE(near.beam.has_value());
  CHECK_THAT(near.gantry->travelling, IsNear(kilograms(2), kilograms(1e-12)));
  CHECK_THAT(near.gantry->beam,
             IsNear(kilograms(4) + 2.0 * axis::belt_mass(drive), kilograms(1e-12)));
  CHECK(near.gantry->near_friction > near.gantry->far_friction);
  const simulate::SimulatedAxis middle = as_simulated(s, {.place = 0.5});
  REQUIRE(middle.beam.has_value());
  // 48 E I/L³, and a mass between that of the carriage and of all.
  CHECK_THAT(in_newtons_per_metre(middle.beam->stiffness),
             WithinRel(48.0 * 70e9 * 2e-7 / std::pow(1.2, 3), 1e-9));
  CHECK(middle.beam->mass > kilograms(2));
  CHECK(middle.beam->mass < kilograms(5));
  const auto outcome =
      simulate::run(middle, simulate::command_of({.speed = millimetres_per_second(300),
                                                  .acceleration = metres_per_second_squared(2),
                                                  .stroke = millimetres(60)}));
  CHECK_FALSE(outcome.lost_step);
  CHECK(outcome.energy.imbalance() < 1e-6);
}

TEST_CASE("an axis of unknown stiffness is not simulated", "[check][error]") {
  machine::Machine loft = testing::kite_loft();
  machine::belt_drive(loft.axes.front()).belt.profile.stiffness_per_width = unset<Stiffness>();
  const AxisState s = state_of(loft);
  CHECK_THROWS_AS(as_simulated(s), OutsideValidity);
}

}  // namespace
}  // namespace pitchline
