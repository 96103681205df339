#include "pitchline/check/rows/duty.hpp"

#include <cmath>
#include <stdexcept>

#include "support/catch.hpp"
#include "support/findings.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using check::AxisState;
using machine::CycleMove;
using machine::Machine;
using report::Finding;
using report::Verdict;
using testing::detail;

// There and back over 300 mm at 300 mm/s and 2 m/s^2, ten times, 1.2 s of rest after each stroke:
// ramps of 0.15 s, 0.3/0.3 + 0.15 = 1.15 s a stroke.
Machine loft() {
  Machine m = testing::kite_loft();
  m.axes.front().cycle = {
      CycleMove{.stroke = metres(0.3), .pause = seconds(1.2), .times = 10, .there_and_back = true}};
  return m;
}
machine::Axis& x(Machine& m) { return m.axes.front(); }
parts::Driver& driver(Machine& m) { return machine::driver_of(x(m).drive); }
axis::BeltAxis& drive(Machine& m) { return machine::belt_drive(x(m)); }
AxisState state(const Machine& m) { return check::state_of(m, m.axes.front()); }

Finding found(const Machine& m, const std::string& key) {
  return testing::row(check::duty_findings(state(m)), key);
}

// Torques of the three stretches by hand: P t/eta while the motor pushes, P t eta while the load
// pushes the motor, and J a/t for what is on the shaft.
struct Torques {
  double up, cruise, down;
};
Torques torques(const AxisState& s) {
  const double t = in_metres_per_radian(s.seen.transmission);
  const double eta = s.seen.efficiency.value();
  const double friction = in_newtons(s.seen.friction);
  const double mass = in_kilograms(s.seen.mass);
  const double inertia = in_kilogram_square_metres(s.seen.motor_side_inertia);
  const double a = 2;
  // At a higher friction than m a the load would not push.
  const double slowing = friction - mass * a;
  return {(friction + mass * a) * t / eta + inertia * a / t, friction * t / eta,
          slowing * t * (slowing > 0 ? 1 / eta : eta) - inertia * a / t};
}

TEST_CASE("the torque of a cycle is the root mean square of its stretches", "[check][property]") {
  const Machine m = loft();
  const AxisState s = state(m);
  const auto [up, cruise, down] = torques(s);
  const double rms =
      std::sqrt((up * up * 0.15 + cruise * cruise * 0.85 + down * down * 0.15) / 2.35);
  const Finding f = found(m, "cycle_torque");
  CHECK_THAT(f.value.coherent(), WithinRel(rms, 1e-9));
  CHECK_THAT(f.limit.coherent(), WithinRel(in_newton_metres(s.at_speed.torque), 1e-9));
  CHECK_THAT(detail(f, "largest torque"), WithinRel(up, 1e-9));
  CHECK(f.verdict == Verdict::holds);
}

TEST_CASE("a stretch that the motor cannot drive fails the cycle", "[check][property]") {
  Machine m = loft();
  const AxisState s = state(m);
  // The acceleration at which speeding up asks for 99 % or 101 % of what is dependable.
  const double t = in_metres_per_radian(s.seen.transmission);
  const double moved = in_kilograms(s.seen.mass) * t / s.seen.efficiency.value() +
                       in_kilogram_square_metres(s.seen.motor_side_inertia) / t;
  const double spare = in_newton_metres(s.at_speed.torque);
  const auto at = [&](double share) {
    x(m).cycle.front().acceleration =
        metres_per_second_squared((share * spare - torques(s).cruise) / moved);
    return found(m, "cycle_torque");
  };
  CHECK(at(0.99).verdict == Verdict::holds);  // the RMS is far below
  CHECK_THAT(detail(at(0.99), "least torque over what a stretch asks"), WithinRel(1 / 0.99, 1e-6));
  CHECK(at(1.01).verdict == Verdict::fails);
  CHECK_THAT(at(1.01).margin, WithinRel(1 / 1.01, 1e-6));
  CHECK_THAT(at(1.01).remedy, Contains("more motor"));
}

TEST_CASE("a stretch at a speed without torque fails the cycle and says so", "[check][property]") {
  Machine m = loft();
  x(m).cycle.front().speed = metres_per_second(20);
  x(m).cycle.front().acceleration = metres_per_second_squared(5000);
  const Finding f = found(m, "cycle_torque");
  CHECK(f.verdict == Verdict::fails);
  CHECK(f.margin == 0.0);
  CHECK_THAT(f.reason, Contains("at the speed of one stretch none is left"));
}

TEST_CASE("an RMS torque that every stretch stays below is no failure", "[check][property]") {
  Machine m = loft();
  drive(m).guide.drag = newtons(0.5);
  const AxisState s = state(m);
  const double t = in_metres_per_radian(s.seen.transmission);
  const auto dependable = [&](double speed) {
    return in_newton_metres(
        s.curve.for_verdict(metres_per_second(speed) / s.seen.transmission).torque);
  };
  // Hard steps of 50 um, triangles below 60 mm/s with nine tenths of the torque there, and one
  // gentle move at 1 m/s, where there is less.
  const double moved = in_kilograms(s.seen.mass) * t / s.seen.efficiency.value() +
                       in_kilogram_square_metres(s.seen.motor_side_inertia) / t;
  const double a = (0.9 * dependable(0.06) - torques(s).cruise) / moved;
  REQUIRE(std::sqrt(50e-6 * a) < 0.06);
  x(m).cycle = {CycleMove{.stroke = micrometres(50),
                          .acceleration = metres_per_second_squared(a),
                          .times = 100'000},
                CycleMove{.stroke = metres(1.2),
                          .speed = metres_per_second(1),
                          .acceleration = metres_per_second_squared(1)}};
  const Finding f = found(m, "cycle_torque");
  CHECK_THAT(f.limit.coherent(), WithinRel(dependable(1), 1e-9));
  CHECK(f.margin < 1.0);
  CHECK(detail(f, "least torque over what a stretch asks") > 1.0);
  CHECK(f.verdict == Verdict::unsure);
}

TEST_CASE("the current of a cycle falls at rest where the driver lowers it", "[check][property]") {
  Machine m = loft();
  Finding f = found(m, "cycle_current");
  CHECK_THAT(f.value.coherent(), WithinRel(2.0, 1e-12));  // not reduced
  CHECK(f.verdict == Verdict::holds);                     // what a motor is rated for it may have
  driver(m).at_rest = amperes(1);
  f = found(m, "cycle_current");
  const double rms = std::sqrt((4 * 1.15 + 1 * 1.2) / 2.35);
  CHECK_THAT(f.value.coherent(), WithinRel(rms, 1e-9));
  CHECK_THAT(f.limit.coherent(), WithinRel(2.0, 1e-12));
  CHECK_THAT(detail(f, "time in motion"), WithinRel(23.0, 1e-9));
  // The setting at rest is a peak value where the other is.
  driver(m).current_is = parts::CurrentIs::peak;
  CHECK_THAT(found(m, "cycle_current").value.coherent(), WithinRel(rms / std::sqrt(2.0), 1e-9));
  driver(m) = {.current = amperes(2.5), .pulses_per_turn = pulses(3200)};
  CHECK(found(m, "cycle_current").verdict == Verdict::fails);
  driver(m).at_rest = amperes(0);
  CHECK_THAT(found(m, "cycle_current").value.coherent(),
             WithinRel(2.5 * std::sqrt(1.15 / 2.35), 1e-9));
  CHECK(found(m, "cycle_current").verdict == Verdict::holds);
}

TEST_CASE("the winding settles where the current of the cycle leaves it", "[check][property]") {
  Machine m = loft();
  driver(m).at_rest = amperes(1);
  // Rated: 80 K at 2*2^2*1.4 W times 1 + 0.00393*80. Of the cycle: P = 2 I^2 1.4 W cold.
  const double resistance = 80 / (11.2 * (1 + 0.00393 * 80));
  const double copper = 2 * (4 * 1.15 + 1.2) / 2.35 * 1.4;
  const double rise = resistance * copper / (1 - 0.00393 * resistance * copper);
  Finding f = found(m, "cycle_heat");
  CHECK_THAT(f.value.coherent(), WithinRel(rise, 1e-9));
  CHECK_THAT(detail(f, "copper loss, cold"), WithinRel(copper, 1e-9));
  CHECK(f.verdict == Verdict::holds);
  driver(m).at_rest = amperes(1.9);
  CHECK(found(m, "cycle_heat").verdict == Verdict::tight);
  driver(m).current = amperes(2.4);
  driver(m).at_rest = unset<Current>();
  f = found(m, "cycle_heat");
  CHECK(f.verdict == Verdict::unsure);  // the thermal resistance is a ceiling
  CHECK_FALSE(f.remedy.empty());
  driver(m).current = amperes(5);
  CHECK(found(m, "cycle_heat").value_text == "runs away");
}

TEST_CASE("a cycle longer than the motor takes to warm up is not averaged", "[check][property]") {
  Machine m = loft();
  driver(m).at_rest = amperes(0.5);
  x(m).cycle.front().times = 127;  // 596.9 s, below the 600 s of the thermal time constant
  CHECK(found(m, "cycle_current").value.coherent() < 1.5);
  x(m).cycle.front().times = 128;  // 601.6 s
  CHECK_THAT(found(m, "cycle_current").value.coherent(), WithinRel(2.0, 1e-12));
  CHECK_THAT(found(m, "cycle_heat").reason, Contains("throughout"));
}

TEST_CASE("time and power of a cycle stand in a row without a limit", "[check][property]") {
  Machine m = loft();
  drive(m).guide.drag = newtons(0.5);
  driver(m).at_rest = amperes(1);
  const auto [up, cruise, down] = torques(state(m));
  REQUIRE(down < 0);  // braking: nothing is credited
  const double speed = 0.3 / in_metres_per_radian(state(m).seen.transmission);
  const double shaft = (up * speed / 2 * 0.15 + cruise * speed * 0.85) / 2.35;
  const double copper = 2 * (4 * 1.15 + 1.2) / 2.35 * 1.4;
  const Finding f = found(m, "cycle_time");
  CHECK_THAT(f.value.coherent(), WithinRel(47.0, 1e-9));
  CHECK_THAT(detail(f, "mean power, shaft"), WithinRel(shaft, 1e-9));
  CHECK_THAT(detail(f, "mean power, copper"), WithinRel(copper, 1e-9));
  CHECK_THAT(detail(f, "mean power"), WithinRel(shaft + copper, 1e-9));
  CHECK_THAT(detail(f, "peak power"), WithinRel(up * speed + 11.2, 1e-9));
  CHECK(f.verdict == Verdict::holds);
  CHECK(std::isinf(f.margin));
  // 20 strokes, each 0.05 s longer.
  x(m).want.jerk_time = seconds(0.05);
  CHECK_THAT(found(m, "cycle_time").value.coherent(), WithinRel(48.0, 1e-9));
  CHECK_THAT(detail(found(m, "cycle_time"), "time in motion"), WithinRel(24.0, 1e-9));
}

TEST_CASE("both motors of an axis take power", "[check][property]") {
  Machine m = loft();
  const auto copper = [&] { return detail(found(m, "cycle_time"), "mean power, copper"); };
  const double one = copper();
  drive(m).motors = 2;
  CHECK_THAT(copper(), WithinRel(2 * one, 1e-9));
}

TEST_CASE("a raster is a duty of its own", "[check][property]") {
  Machine m = loft();
  m.axes.push_back(m.axes.front());
  m.axes.back().name = "y";
  x(m).raster = machine::Raster{.line = millimetres(500),
                                .speed = millimetres_per_second(200),
                                .height = millimetres(2),
                                .line_pitch = millimetres(0.2),
                                .across = "y"};
  x(m).want.position_error = millimetres(5);  // nothing to settle
  driver(m).at_rest = amperes(1);
  CHECK(check::duty_findings(state(m)).size() == 8);
  // 11 lines of 520 mm at 0.2 m/s with a ramp of 0.1 s, 10 steps of a triangle of 2*0.01 s.
  CHECK_THAT(found(m, "raster_time").value.coherent(), WithinRel(11 * 2.7 + 10 * 0.02, 1e-9));
  CHECK_THAT(found(m, "raster_current").value.coherent(),
             WithinRel(std::sqrt((4 * 29.7 + 0.2) / 29.9), 1e-9));
  const auto [up, cruise, down] = torques(state(m));
  CHECK_THAT(
      found(m, "raster_torque").value.coherent(),
      WithinRel(std::sqrt(11 * (up * up * 0.1 + cruise * cruise * 2.5 + down * down * 0.1) / 29.9),
                1e-9));
  x(m).cycle.clear();
  CHECK(check::duty_findings(state(m)).size() == 4);
  x(m).raster->across = "z";
  CHECK_THROWS_MATCHES(check::duty_findings(state(m)), InvalidInput,
                       Message("axes named \"z\" must be one, got 0"));
}

TEST_CASE("an axis that does nothing over and over has no rows of it", "[check][property]") {
  CHECK(check::duty_findings(state(testing::kite_loft())).empty());
}

TEST_CASE("rows of a duty refuse numbers outside their range", "[check][error]") {
  Machine m = loft();
  x(m).cycle.front().stroke = unset<Length>();
  CHECK_THROWS_AS(check::duty_findings(state(m)), InvalidInput);
  m = loft();
  x(m).cycle.front().times = 0;
  CHECK_THROWS_AS(check::duty_findings(state(m)), InvalidInput);
  m = loft();
  x(m).cycle.front().pause = seconds(-1);
  CHECK_THROWS_AS(check::duty_findings(state(m)), InvalidInput);
  m = loft();
  x(m).cycle.front().speed = metres_per_second(0);
  CHECK_THROWS_AS(check::duty_findings(state(m)), InvalidInput);
  m = loft();
  driver(m).at_rest = amperes(-1);
  CHECK_THROWS_MATCHES(check::duty_findings(state(m)), InvalidInput,
                       Message("driver current at rest must be >= 0, got -1 A"));
}

}  // namespace
}  // namespace pitchline
