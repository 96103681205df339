#include "pitchline/motion/duty_of_moves.hpp"

#include <cmath>
#include <numbers>

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
using motion::duty_of;
using motion::DutyMove;
using motion::DutySegment;
using motion::ramp_torque;
using motion::RasterLines;
using motion::RasterTime;
using testing::IsNear;

TEST_CASE("duty_of gives the times of a maker's printed cycle", "[motion][published]") {
  // [Yaskawa E-V-MD] p. 30, Q: 40 strokes a minute of 0.275 m at 15 m/min in 1.2 s each.
  // Printed: t 1.5 s, ta 0.1 s, tc 1.0 s. Its torque is tested beside `rigid_torque`.
  const AxisAtMotor axis{.transmission = millimetres(10) / revolution / 2.0,
                         .mass = kilograms(250),
                         .friction = newtons(0.2 * 250 * 9.8),
                         .efficiency = Efficiency(0.9)};
  const auto cycle = duty_of(axis, DutyMove{.stroke = metres(0.275),
                                            .speed = metres_per_second(0.25),
                                            .acceleration = metres_per_second(0.25) / seconds(0.1),
                                            .pause = seconds(0.3)});
  REQUIRE(cycle.size() == 4);
  CHECK_THAT(motion::cycle_time(cycle), IsNear(seconds(1.5), seconds(1e-9)));
  CHECK_THAT(cycle[0].duration, IsNear(seconds(0.1), seconds(1e-9)));
  CHECK_THAT(cycle[1].duration, IsNear(seconds(1.0), seconds(1e-9)));
  CHECK_THAT(cycle[1].torque, IsNear(newton_metres(0.43), newton_metres(0.005)));
  CHECK_THAT(cycle[1].speed_at_end, IsNear(AngularSpeed(revolutions_per_minute(3000)),
                                           AngularSpeed(radians_per_second(1e-6))));
}

TEST_CASE("ramp_torque gives a maker's printed braking time", "[motion][published]") {
  // [Harmonic Drive FHA]: 0.81 + 1.5 kg*m2 from 60 rpm with 150 N*m; friction of 10.6 N*m inside,
  // which the motor overcomes beside its 150 and which helps it to stop. Printed: 0.097 s to
  // start, 0.085 s to stop.
  const Transmission any = metres_per_radian(0.1);
  const AxisAtMotor axis{.transmission = any,
                         .mass = kilograms(0),
                         .motor_side_inertia = kilogram_square_metres(0.81 + 1.5),
                         .friction = newton_metres(10.6) / any};
  const Speed speed = revolutions_per_minute(60) * any;
  const auto at = [&](double start, double stop) {
    // Larger than 160.6 N*m at half a digit less, smaller at half a digit more.
    CHECK(ramp_torque(axis, speed / seconds(start)) > newton_metres(0));
    return std::pair{in_newton_metres(ramp_torque(axis, speed / seconds(start))),
                     -in_newton_metres(ramp_torque(axis, -speed / seconds(stop)))};
  };
  CHECK(at(0.0965, 0.0845).first > 160.6);
  CHECK(at(0.0975, 0.0855).first < 160.6);
  CHECK(at(0.0965, 0.0845).second > 160.6);
  CHECK(at(0.0975, 0.0855).second < 160.6);
}

TEST_CASE("ramp_torque equals rigid_torque where the motor drives", "[motion][property]") {
  const double a = GENERATE(take(20, random(0.0, 30.0)));
  CAPTURE(a);
  const AxisAtMotor axis = testing::inclined_axis();
  const Acceleration acceleration = metres_per_second_squared(a);
  CHECK_THAT(number(ramp_torque(axis, acceleration) / motion::rigid_torque(axis, acceleration)),
             WithinRel(1.0, 1e-12));
}

TEST_CASE("ramp_torque of a stop counts the loss for the brake and against a motor that pushes",
          "[motion][property]") {
  // By hand, upwards: through the drive 2 kg and 3e-6 kg*m2 / t2 against friction and gravity; what
  // drives the motor loses a tenth.
  AxisAtMotor axis = testing::inclined_axis();
  const double t = in_metres_per_radian(axis.transmission);
  const double behind = 2.0 + 3e-6 / (t * t);
  CHECK_THAT(in_newton_metres(ramp_torque(axis, metres_per_second_squared(-30))),
             WithinRel((15.0 - 30 * behind) * t * 0.9 - 8e-6 * 30 / t, 1e-12));
  CHECK_THAT(in_newton_metres(ramp_torque(axis, metres_per_second_squared(-30), Direction::down)),
             WithinRel((-3.0 - 30 * behind) * t * 0.9 - 8e-6 * 30 / t, 1e-12));
  // A gentle stop upwards is done by gravity and friction: the motor still pushes.
  CHECK_THAT(in_newton_metres(ramp_torque(axis, metres_per_second_squared(-2))),
             WithinRel((15.0 - 2 * behind) * t / 0.9 - 8e-6 * 2 / t, 1e-12));
}

TEST_CASE("a move from rest to rest spends its shaft work on friction and height",
          "[motion][property]") {
  const double s = GENERATE(take(6, random(0.002, 1.0)));
  const bool back = GENERATE(false, true);
  const int times = GENERATE(1, 3);
  const auto direction = GENERATE(Direction::up, Direction::down);
  CAPTURE(s, back, times);
  AxisAtMotor axis = testing::inclined_axis();
  axis.efficiency = Efficiency(1.0);
  const DutyMove move{.stroke = metres(s),
                      .speed = metres_per_second(0.4),
                      .acceleration = metres_per_second_squared(6),
                      .pause = seconds(0.1),
                      .times = times,
                      .there_and_back = back,
                      .direction = direction};
  const auto cycle = duty_of(axis, move);
  const auto energy = motion::shaft_energy(cycle);
  const double strokes = times * (back ? 2.0 : 1.0);
  const double height = back ? 0.0 : times * s * (direction == Direction::up ? 1.0 : -1.0);
  CHECK_THAT(in_joules(energy.driving - energy.returned),
             WithinAbs(6.0 * s * strokes + 9.0 * height, 1e-10));
  // Time: kinematics written out. Below v^2/a = 26.7 mm it is a triangle.
  const double one = s < 0.4 * 0.4 / 6 ? 2.0 * std::sqrt(s / 6.0) : s / 0.4 + 0.4 / 6;
  CHECK_THAT(in_seconds(motion::cycle_time(cycle)), WithinRel(strokes * (one + 0.1), 1e-12));
  // The rotor's and the load's kinetic energy is given and, less friction and height of the ramp,
  // returned: without those two, all of it.
  axis.friction = axis.gravity = newtons(0);
  const auto free = motion::shaft_energy(duty_of(axis, move));
  const double v = std::min(0.4, std::sqrt(6.0 * s));
  const double w = v / in_metres_per_radian(axis.transmission);
  const double kinetic = 0.5 * 2.0 * v * v + 0.5 * (8e-6 + 3e-6) * w * w;
  CHECK_THAT(in_joules(free.driving), WithinRel(strokes * kinetic, 1e-12));
  CHECK_THAT(in_joules(free.returned), WithinRel(strokes * kinetic, 1e-12));
}

TEST_CASE("losses of the drive cost work both ways", "[motion][property]") {
  const auto direction = GENERATE(Direction::up, Direction::down);
  const DutyMove move{.stroke = metres(0.3),
                      .speed = metres_per_second(0.4),
                      .acceleration = metres_per_second_squared(6),
                      .direction = direction};
  AxisAtMotor axis = testing::inclined_axis();
  axis.friction = newtons(1);
  const auto lossy = motion::shaft_energy(duty_of(axis, move));
  axis.efficiency = Efficiency(1.0);
  const auto free = motion::shaft_energy(duty_of(axis, move));
  CHECK(lossy.driving >= free.driving);
  CHECK(lossy.returned < free.returned);
}

TEST_CASE("a pause holds the load against gravity and nothing else", "[motion][property]") {
  AxisAtMotor axis = testing::inclined_axis();
  CHECK(motion::torque_at_rest(axis) == Torque(newtons(9) * axis.transmission));
  const DutyMove move{.stroke = metres(0.3),
                      .speed = metres_per_second(0.4),
                      .acceleration = metres_per_second_squared(6),
                      .pause = seconds(2)};
  const DutySegment pause = duty_of(axis, move).back();
  CHECK(pause.duration == seconds(2));
  CHECK(pause.torque == motion::torque_at_rest(axis));
  CHECK(pause.speed_at_end == radians_per_second(0));
  axis.gravity = newtons(0);
  CHECK(duty_of(axis, move).back().torque == newton_metres(0));
}

TEST_CASE("overrun_for is the ramp and what the settling takes", "[motion][property]") {
  // 0.4 m/s at 8 m/s2: 10 mm; 50 ms at 0.4 m/s: 20 mm.
  const Speed v = metres_per_second(0.4);
  const Acceleration a = metres_per_second_squared(8);
  CHECK_THAT(motion::overrun_for(v, a), IsNear(millimetres(10), millimetres(1e-9)));
  CHECK_THAT(motion::overrun_for(v, a, milliseconds(50)),
             IsNear(millimetres(30), millimetres(1e-9)));
}

TEST_CASE("lines_to_cover has a line at each edge and forgives rounding", "[motion][property]") {
  using motion::lines_to_cover;
  CHECK(lines_to_cover({.height = millimetres(100), .line_pitch = millimetres(0.1)}) == 1001);
  for (int n = 1; n <= 1000; ++n)  // some of the quotients are rounded above n
    CHECK(lines_to_cover({.height = 1.0 * n * millimetres(0.1), .line_pitch = millimetres(0.1)}) ==
          n + 1);
  CHECK(lines_to_cover({.height = inches(1), .line_pitch = inches(0.01)}) == 101);
  CHECK(lines_to_cover({.height = millimetres(10), .line_pitch = millimetres(3)}) == 5);
  CHECK(lines_to_cover({.height = millimetres(0), .line_pitch = millimetres(3)}) == 1);
  CHECK(lines_to_cover({.height = millimetres(0.001), .line_pitch = millimetres(3)}) == 2);
}

TEST_CASE("lines_to_cover covers the height and not a line more", "[motion][property]") {
  const double h = GENERATE(take(30, random(0.0, 500.0)));
  const double p = GENERATE(0.05, 0.3, 7.0);
  CAPTURE(h, p);
  const int lines =
      motion::lines_to_cover({.height = millimetres(h), .line_pitch = millimetres(p)});
  CHECK((lines - 1) * p >= h * (1 - 1e-9));
  CHECK((lines - 2) * p < h);
}

const RasterLines kite_panel{.line = millimetres(200),  // invented
                             .overrun = millimetres(10),
                             .speed = metres_per_second(0.4),
                             .acceleration = metres_per_second_squared(8),
                             .line_pitch = millimetres(0.2),
                             .lines = 101,
                             .step_speed = metres_per_second(0.1),
                             .step_acceleration = metres_per_second_squared(2)};

TEST_CASE("raster_time adds up a hand-computed raster", "[motion][property]") {
  // 220 mm: 50 ms up, 500 ms on the line, 50 ms down. Step 0.2 mm: 2 sqrt(0.0002/2) = 20 ms.
  const RasterTime time = motion::raster_time(kite_panel);
  CHECK_THAT(in_seconds(time.line), WithinRel(0.6, 1e-12));
  CHECK_THAT(in_seconds(time.overrun), WithinRel(0.1, 1e-9));
  CHECK_THAT(in_seconds(time.step), WithinRel(0.02, 1e-12));
  CHECK_THAT(in_seconds(time.all), WithinRel(101 * 0.6 + 100 * 0.02, 1e-12));
  CHECK_THAT(time.overrun_share, WithinRel(10.1 / 62.6, 1e-9));
  CHECK(time.steady_on_line);
  // Twice the overrun: 10 mm more at each end at full speed.
  RasterLines longer = kite_panel;
  longer.overrun = millimetres(20);
  CHECK_THAT(in_seconds(motion::raster_time(longer).overrun), WithinRel(0.15, 1e-12));
  // A quarter of it: half the time, and the speed is not there at the line.
  RasterLines shorter = kite_panel;
  shorter.overrun = millimetres(2.5);
  const RasterTime hasty = motion::raster_time(shorter);
  CHECK_THAT(in_seconds(hasty.overrun), WithinRel(0.05, 1e-12));
  CHECK_FALSE(hasty.steady_on_line);
  CHECK(hasty.line < time.line);
  shorter.overrun = millimetres(0);
  CHECK(motion::raster_time(shorter).overrun == seconds(0));
  // So short a line that the speed is never reached, overrun or not: 2 + 2 mm, a triangle.
  RasterLines tiny = kite_panel;
  tiny.line = millimetres(2);
  tiny.overrun = millimetres(1);
  const RasterTime never = motion::raster_time(tiny);
  CHECK_THAT(in_seconds(never.line), WithinRel(2 * std::sqrt(0.004 / 8), 1e-12));
  CHECK_THAT(in_seconds(never.overrun), WithinRel(2 * std::sqrt(0.002 / 8), 1e-12));
  CHECK_FALSE(never.steady_on_line);
  RasterLines single = kite_panel;
  single.lines = 1;
  CHECK(motion::raster_time(single).all == motion::raster_time(single).line);
}

TEST_CASE("the overrun that overrun_for gives is steady on the line and a bit less is not",
          "[motion][property]") {
  const double v = GENERATE(take(30, random(0.05, 1.5)));
  const double a = GENERATE(take(3, random(0.3, 20.0)));
  CAPTURE(v, a);
  RasterLines raster = kite_panel;
  raster.speed = metres_per_second(v);
  raster.acceleration = metres_per_second_squared(a);
  raster.overrun = motion::overrun_for(raster.speed, raster.acceleration);
  const RasterTime time = motion::raster_time(raster);
  CHECK(time.steady_on_line);
  // Then the line itself takes its length over the speed.
  CHECK_THAT(in_seconds(time.line - time.overrun), WithinRel(0.2 / v, 1e-6));
  raster.overrun *= 0.999;
  CHECK_FALSE(motion::raster_time(raster).steady_on_line);
}

TEST_CASE("the segments of a raster take the time of the raster", "[motion][property]") {
  RasterLines raster = kite_panel;
  raster.lines = GENERATE(1, 2, 101);
  CAPTURE(raster.lines);
  AxisAtMotor axis = testing::inclined_axis();
  axis.efficiency = Efficiency(1.0);
  const auto cycle = duty_of(axis, raster);
  CHECK_THAT(number(motion::cycle_time(cycle) / motion::raster_time(raster).all),
             WithinRel(1.0, 1e-12));
  // Work: friction on each line, and gravity on the one line that is not travelled back.
  const auto energy = motion::shaft_energy(cycle);
  CHECK_THAT(in_joules(energy.driving - energy.returned),
             WithinAbs(6.0 * 0.22 * raster.lines + 9.0 * 0.22 * (raster.lines % 2), 1e-9));
}

TEST_CASE("moves and rasters refuse what their tables exclude", "[motion][error]") {
  const AxisAtMotor axis = testing::inclined_axis();
  const DutyMove good{.stroke = metres(1),
                      .speed = metres_per_second(1),
                      .acceleration = metres_per_second_squared(1)};
  const auto refuses = [&](auto spoil, const char* text) {
    DutyMove bad = good;
    spoil(bad);
    CHECK_THROWS_MATCHES(duty_of(axis, bad), InvalidInput, Message(text));
  };
  refuses([](auto& x) { x.stroke = unset<Length>(); }, "stroke must be > 0, got nan m");
  refuses([](auto& x) { x.stroke = metres(0); }, "stroke must be > 0, got 0 m");
  refuses([](auto& x) { x.speed = unset<Speed>(); }, "speed must be > 0, got nan m/s");
  refuses([](auto& x) { x.acceleration = unset<Acceleration>(); },
          "acceleration must be > 0, got nan m/s^2");
  refuses([](auto& x) { x.pause = seconds(-1); }, "pause must be >= 0, got -1 s");
  refuses([](auto& x) { x.times = 0; }, "times must be >= 1, got 0");
  AxisAtMotor bad_axis = axis;
  bad_axis.mass = unset<Mass>();
  const char* mass = "mass must be >= 0, got nan kg";
  CHECK_THROWS_MATCHES(duty_of(bad_axis, good), InvalidInput, Message(mass));
  CHECK_THROWS_MATCHES(duty_of(bad_axis, kite_panel), InvalidInput, Message(mass));
  CHECK_THROWS_MATCHES(motion::torque_at_rest(bad_axis), InvalidInput, Message(mass));
  CHECK_THROWS_MATCHES(ramp_torque(bad_axis, {}), InvalidInput, Message(mass));
  CHECK_THROWS_MATCHES(ramp_torque(axis, unset<Acceleration>()), InvalidInput,
                       Message("acceleration must be finite, got nan m/s^2"));

  const auto spoils = [&](auto spoil, const char* text) {
    RasterLines bad = kite_panel;
    spoil(bad);
    CHECK_THROWS_MATCHES(motion::raster_time(bad), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(duty_of(axis, bad), InvalidInput, Message(text));
  };
  spoils([](auto& x) { x.line = unset<Length>(); }, "line must be > 0, got nan m");
  spoils([](auto& x) { x.overrun = metres(-1); }, "overrun must be >= 0, got -1 m");
  spoils([](auto& x) { x.speed = unset<Speed>(); }, "speed must be > 0, got nan m/s");
  spoils([](auto& x) { x.acceleration = metres_per_second_squared(0); },
         "acceleration must be > 0, got 0 m/s^2");
  spoils([](auto& x) { x.line_pitch = metres(0); }, "line pitch must be > 0, got 0 m");
  spoils([](auto& x) { x.lines = 0; }, "lines must be >= 1, got 0");
  spoils([](auto& x) { x.step_speed = unset<Speed>(); }, "speed must be > 0, got nan m/s");
  spoils([](auto& x) { x.step_acceleration = unset<Acceleration>(); },
         "acceleration must be > 0, got nan m/s^2");

  const Speed v = metres_per_second(1);
  const Acceleration a = metres_per_second_squared(1);
  CHECK_THROWS_MATCHES(motion::overrun_for({}, a), InvalidInput,
                       Message("speed must be > 0, got 0 m/s"));
  CHECK_THROWS_MATCHES(motion::overrun_for(v, {}), InvalidInput,
                       Message("acceleration must be > 0, got 0 m/s^2"));
  CHECK_THROWS_MATCHES(motion::overrun_for(v, a, seconds(-1)), InvalidInput,
                       Message("settling time must be >= 0, got -1 s"));
  CHECK_THROWS_MATCHES(motion::lines_to_cover({.height = metres(-1), .line_pitch = metres(1)}),
                       InvalidInput, Message("height must be >= 0, got -1 m"));
  CHECK_THROWS_MATCHES(motion::lines_to_cover({.height = metres(1), .line_pitch = metres(0)}),
                       InvalidInput, Message("line pitch must be > 0, got 0 m"));
  CHECK_THROWS_MATCHES(motion::lines_to_cover({.height = metres(1), .line_pitch = metres(1e-10)}),
                       InvalidInput, Message("height over line pitch must be < 1e9, got 1e+10"));
}

}  // namespace
}  // namespace pitchline
