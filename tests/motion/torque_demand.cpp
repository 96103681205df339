#include "pitchline/motion/torque_demand.hpp"

#include <limits>

#include "pitchline/motion/inertia.hpp"
#include "pitchline/parts/solid_cylinder.hpp"
#include "support/axes.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::AxisAtMotor;
using motion::Direction;
using motion::rigid_torque;
using testing::IsNear;

TEST_CASE("rigid_torque and total_inertia give a maker's printed screw axis",
          "[motion][published]") {
  // [Yaskawa E-V-MD] p. 30, Q: 250 kg, lead 10 mm behind 2:1, friction 0.2, efficiency 0.9, gear
  // 0.4e-4 kg*m2, screw 20 mm by 1 m. Printed: TL 0.43 N*m, JL 2.29e-4 kg*m2.
  // g = 9.8 m/s2 and 7870 kg/m3 reproduce the digits (C).
  const AxisAtMotor axis{
      .transmission = millimetres(10) / revolution / 2.0,
      .mass = kilograms(250),
      .motor_side_inertia = kilogram_square_metres(0.4e-4),
      .driven_side_inertia = parts::inertia({.diameter = millimetres(20),
                                             .length = metres(1),
                                             .density = kilograms_per_cubic_metre(7870)}) /
                             4.0,
      .friction = newtons(0.2 * 250 * 9.8),
      .efficiency = Efficiency(0.9)};
  CHECK_THAT(rigid_torque(axis, metres_per_second_squared(0)),
             IsNear(newton_metres(0.43), newton_metres(0.005)));
  CHECK_THAT(motion::total_inertia(axis),
             IsNear(kilogram_square_metres(2.29e-4), kilogram_square_metres(0.005e-4)));
  // PO, running power at 15 m/min: printed 135 W.
  const AngularSpeed speed = metres_per_second(15.0 / 60.0) / axis.transmission;
  const Power running = rigid_torque(axis, metres_per_second_squared(0)) * speed;
  CHECK_THAT(running * 1.0, IsNear(watts(136), watts(0.5)));  // unrounded; the page takes 0.43 N*m
  CHECK_THAT(Power(newton_metres(0.43) * speed), IsNear(watts(135), watts(0.5)));
}

TEST_CASE("rigid_torque gives a maker's printed starting torque and power", "[motion][published]") {
  // [Yaskawa E-S] p. 43, Q: 3000 rpm in 0.1 s, TL 0.035 N*m, JL 0.474e-4, JM 0.00629e-4 kg*m2.
  // Printed: TP 0.186 N*m, PO 11.0 W, Pa 46.78 W. All rotary, so any transmission serves.
  const Transmission any = millimetres(10) / revolution;
  AxisAtMotor axis{.transmission = any,
                   .mass = kilograms(0),
                   .motor_side_inertia = kilogram_square_metres(0.474e-4 + 0.00629e-4),
                   .friction = newton_metres(0.035) / any};
  const AngularSpeed speed = revolutions_per_minute(3000);
  const Acceleration start = speed * any / seconds(0.1);
  CHECK_THAT(rigid_torque(axis, start), IsNear(newton_metres(0.186), newton_metres(0.0005)));
  CHECK_THAT(Power(rigid_torque(axis, metres_per_second_squared(0)) * speed),
             IsNear(watts(11.0), watts(0.05)));
  axis.motor_side_inertia = kilogram_square_metres(0.474e-4);
  axis.friction = newtons(0);
  CHECK_THAT(Power(rigid_torque(axis, start) * speed), IsNear(watts(46.78), watts(0.005)));
}

TEST_CASE("rigid_torque without loss puts all its power into force and kinetic energy",
          "[motion][property]") {
  const double v0 = GENERATE(take(5, random(0.05, 1.5)));
  const double a = GENERATE(take(5, random(0.0, 20.0)));
  const Direction direction = GENERATE(Direction::up, Direction::down);
  CAPTURE(v0, a);
  AxisAtMotor axis = testing::inclined_axis();
  axis.efficiency = Efficiency(1.0);
  const auto energy = [&](Speed v) -> Energy {
    const AngularSpeed w = v / axis.transmission;
    return 0.5 * motion::total_inertia(axis) * w * w;
  };
  const Speed speed = metres_per_second(v0);
  const Acceleration acceleration = metres_per_second_squared(a);
  const Power shaft = rigid_torque(axis, acceleration, direction) * (speed / axis.transmission);
  // Energy is a square of speed, so its central difference is exact.
  const Time step = milliseconds(1);
  const Speed change = 0.5 * acceleration * step;
  const Power stored = (energy(speed + change) - energy(speed - change)) / step;
  const Power lifted = motion::constant_speed_force(axis, direction) * speed;
  CHECK_THAT(in_watts(shaft), WithinAbs(in_watts(lifted + stored), 1e-9));
}

TEST_CASE("a loss costs torque on the way up and helps to brake on the way down",
          "[motion][property]") {
  AxisAtMotor axis = testing::inclined_axis();
  axis.friction = newtons(2);
  const Acceleration none = metres_per_second_squared(0);
  // 11 N up over 0.9; 2 - 9 = -7 N down times 0.9.
  const Transmission t = axis.transmission;
  CHECK_THAT(rigid_torque(axis, none, Direction::up),
             IsNear(Torque(newtons(11.0 / 0.9) * t), newton_metres(1e-12)));
  CHECK_THAT(rigid_torque(axis, none, Direction::down),
             IsNear(Torque(newtons(-7.0 * 0.9) * t), newton_metres(1e-12)));
  CHECK_THAT(motion::accelerating_force(axis, metres_per_second_squared(3), Direction::down),
             IsNear(newtons(-1), newtons(1e-12)));
  CHECK_THAT(motion::accelerating_force(axis, metres_per_second_squared(3)),
             IsNear(newtons(17), newtons(1e-12)));
  CHECK(motion::constant_speed_force(axis) == newtons(11));
  CHECK(motion::constant_speed_force(axis, Direction::down) == newtons(-7));
}

TEST_CASE("on a level axis both directions take the same torque", "[motion][property]") {
  AxisAtMotor axis = testing::inclined_axis();
  axis.gravity = newtons(0);
  const Acceleration a = metres_per_second_squared(4);
  CHECK(rigid_torque(axis, a, Direction::up) == rigid_torque(axis, a, Direction::down));
}

TEST_CASE("rigid_torque does not care whether an axis is given in metric or inch units",
          "[motion][property]") {
  const AxisAtMotor metric{.transmission = millimetres(50.8) / revolution,
                           .mass = kilograms(4 * 0.45359237),
                           .friction = newtons(3 * 4.4482216152605),
                           .gravity = newtons(2 * 4.4482216152605),
                           .efficiency = Efficiency(0.8)};
  const AxisAtMotor inch{.transmission = inches(2) / revolution,
                         .mass = pounds(4),
                         .friction = pounds_force(3),
                         .gravity = pounds_force(2),
                         .efficiency = Efficiency(0.8)};
  const Acceleration a = metres_per_second_squared(5);
  CHECK_THAT(number(rigid_torque(inch, a) / rigid_torque(metric, a)), WithinRel(1.0, 1e-12));
  CHECK_THAT(number(motion::total_inertia(inch) / motion::total_inertia(metric)),
             WithinRel(1.0, 1e-12));
}

TEST_CASE("rigid_torque and its companions refuse what their table excludes", "[motion][error]") {
  const AxisAtMotor good = testing::inclined_axis();
  const Acceleration a = metres_per_second_squared(1);
  const auto refuses = [&](auto spoil, const char* text) {
    AxisAtMotor bad = good;
    spoil(bad);
    CHECK_THROWS_MATCHES(rigid_torque(bad, a), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(motion::constant_speed_force(bad), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(motion::accelerating_force(bad, a), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(motion::total_inertia(bad), InvalidInput, Message(text));
  };
  refuses([](auto& x) { x.transmission = unset<Transmission>(); },
          "transmission must be > 0, got nan m/rad");
  refuses([](auto& x) { x.transmission = metres_per_radian(0); },
          "transmission must be > 0, got 0 m/rad");
  refuses([](auto& x) { x.mass = unset<Mass>(); }, "mass must be >= 0, got nan kg");
  refuses([](auto& x) { x.mass = kilograms(-1); }, "mass must be >= 0, got -1 kg");
  refuses([](auto& x) { x.motor_side_inertia = kilogram_square_metres(-1); },
          "motor side inertia must be >= 0, got -1 kg*m^2");
  refuses([](auto& x) { x.driven_side_inertia = unset<Inertia>(); },
          "driven side inertia must be >= 0, got nan kg*m^2");
  refuses([](auto& x) { x.friction = newtons(-1); }, "friction must be >= 0, got -1 N");
  refuses([](auto& x) { x.gravity = unset<Force>(); }, "gravity must be >= 0, got nan N");
  CHECK_THROWS_MATCHES(rigid_torque(good, metres_per_second_squared(-1)), InvalidInput,
                       Message("acceleration must be >= 0, got -1 m/s^2"));
  CHECK_THROWS_AS(rigid_torque(good, unset<Acceleration>()), InvalidInput);
  CHECK_THROWS_AS(rigid_torque(good, unlimited<Acceleration>()), InvalidInput);
}

}  // namespace
}  // namespace pitchline
