#include "pitchline/check/rows/raster.hpp"

#include "pitchline/check/rows/accuracy.hpp"
#include "pitchline/motion/residual_vibration.hpp"
#include "pitchline/motion/swing_on_lines.hpp"
#include "pitchline/prove/move_proof.hpp"
#include "pitchline/settings/controller_values.hpp"

#include <cmath>
#include <numbers>
#include <stdexcept>

#include "support/catch.hpp"
#include "support/findings.hpp"
#include "support/is_near.hpp"
#include "support/kite_loft.hpp"
#include "support/lag.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using check::AxisState;
using machine::Machine;
using report::Finding;
using report::Verdict;
using testing::detail;

// The kite loft works lines of 1 m; an axis of the same parts steps across.
Machine loft() {
  Machine m = testing::kite_loft();
  m.axes.push_back(m.axes.front());
  m.axes.back().name = "y";
  m.axes.back().want.speed = millimetres_per_second(100);
  m.axes.front().raster = machine::Raster{.line = metres(1),
                                          .speed = millimetres_per_second(200),
                                          .height = metres(0),
                                          .line_pitch = millimetres(0.2),
                                          .across = "y"};
  return m;
}
machine::Axis& x(Machine& m) { return m.axes.front(); }
AxisState state(const Machine& m) { return check::state_of(m, m.axes.front()); }

Finding found(const Machine& m, const std::string& key, Length travel = metres(10)) {
  return testing::row(check::raster_findings(state(m), m.axes.back(), travel), key);
}

// Rotor and stretch of one way by hand; the lag with what it is taken larger.
double rotor(const AxisState& s) {
  const Torque torque = s.seen.friction * s.seen.transmission / s.seen.efficiency.value();
  const AngularSpeed speed = metres_per_second(0.2) / s.seen.transmission;
  return check::lag_allowance * testing::lag_of_forced_current(s, speed, torque) *
         in_metres_per_radian(s.seen.transmission);
}
// The lag is found to a part in 10^5: pull-out from its parabola, the angle by halving.
constexpr double solved = 1e-4;
double stretch(const AxisState& s) {
  return in_newtons(s.seen.friction) / in_newtons_per_metre(s.stiffness);
}

TEST_CASE("the offset of a raster is twice the lag of rotor and drive", "[check][property]") {
  const Machine m = loft();
  const AxisState s = state(m);
  const Finding f = found(m, "raster_offset");
  CHECK_THAT(f.value.coherent(), WithinRel(2 * (rotor(s) + stretch(s)), solved));
  CHECK_THAT(detail(f, "rotor behind the field"), WithinRel(rotor(s), solved));
  CHECK_THAT(detail(f, "stretch under the friction"), WithinRel(stretch(s), 1e-12));
  CHECK_THAT(f.reason, Contains("of the rotor") && Contains("of stretch") &&
                           Contains("taken out in the controller"));
  CHECK_FALSE(f.formula.empty());
}

TEST_CASE("the offset is judged against the wanted position error", "[check][property]") {
  Machine m = loft();
  const double offset = found(m, "raster_offset").value.coherent();
  x(m).want.position_error = metres(1.2 * offset);
  CHECK(found(m, "raster_offset").verdict == Verdict::holds);
  CHECK(found(m, "raster_offset").remedy.empty());
  x(m).want.position_error = metres(1.1 * offset);
  CHECK(found(m, "raster_offset").verdict == Verdict::tight);
  x(m).want.position_error = metres(0.99 * offset);
  CHECK(found(m, "raster_offset").verdict == Verdict::fails);
  CHECK_THAT(found(m, "raster_offset").remedy, Contains("stiffer drive"));
}

TEST_CASE("half a line pitch that nobody asked for makes no failure", "[check][property]") {
  Machine m = loft();
  const double offset = found(m, "raster_offset").value.coherent();
  x(m).want.position_error = unset<Length>();
  x(m).raster->line_pitch = metres(1.98 * offset);
  Finding f = found(m, "raster_offset");
  CHECK(f.verdict == Verdict::unsure);
  CHECK_THAT(f.margin, WithinRel(0.99, 1e-9));
  CHECK_THAT(f.reason, Contains("half the line pitch"));
  x(m).raster->line_pitch = metres(2.4 * offset);
  CHECK(found(m, "raster_offset").verdict == Verdict::holds);
}

TEST_CASE("the swing of a raster is that of its lines, at the stiffness at which it settles last",
          "[check][property]") {
  Machine m = loft();
  x(m).want.position_error = micrometres(10);
  const AxisState s = state(m);
  const check::RasterRun run = check::raster_run(s, m.axes.back());
  REQUIRE(run.swing);
  CHECK(run.swing->stiffness_share >= check::least_drive_stiffness);
  CHECK(run.swing->stiffness_share <= check::most_drive_stiffness);
  const double w = 2 * std::numbers::pi * in_hertz(run.swing->mode.natural_frequency);
  CHECK_THAT(in_seconds(run.settling.value()),
             WithinRel(std::log(in_metres(run.swing->amplitude) / 10e-6) /
                           (run.swing->mode.damping_ratio.value() * w),
                       1e-9));
  // At no stiffness in between does it take longer.
  for (const double share : {0.6, 0.75, 1.0, 1.3, 1.6}) {
    AxisState other = s;
    other.stiffness = share * s.stiffness;
    const auto mode = check::line_mode(other, other.stiffness, run.lines.speed,
                                       s.seen.friction * s.seen.transmission / 0.95);
    REQUIRE(mode);
    const Length swing =
        motion::largest_swing_on_lines(mode->mode, {.speed = run.lines.speed,
                                                    .acceleration = run.lines.acceleration,
                                                    .cruise = run.lines.line / run.lines.speed});
    CHECK(motion::settling_time(mode->mode, {.amplitude = swing, .tolerance = micrometres(10)}) <
          run.settling.value());
  }
}

TEST_CASE("check, values and move have the same overrun of a raster", "[check][property]") {
  Machine m = loft();
  x(m).want.position_error = micrometres(10);
  const check::RasterRun run = check::raster_run(state(m), m.axes.back());
  CHECK(found(m, "raster_overrun").value.coherent() == in_metres(run.lines.overrun));
  bool listed = false;
  for (const report::OverrunAt& at : settings::overruns(m, m.axes.front()))
    if (at.speed == x(m).raster->speed) {
      listed = true;
      CHECK(at.settled == run.lines.overrun);
    }
  CHECK(listed);
  const prove::MoveQuestion lines = prove::lines_of(run, x(m).want.jerk_time);
  CHECK(lines.move.stroke == run.lines.line + 2.0 * run.lines.overrun);
}

TEST_CASE("a jerk time of a swing or more makes an overrun no longer", "[check][property]") {
  Machine m = loft();
  x(m).want.position_error = micrometres(10);
  const double at_once = found(m, "raster_overrun").value.coherent();
  // The slowest swing takes 44 ms.
  for (const double jerk_time : {0.044, 0.06, 0.08, 0.1, 0.12}) {
    x(m).want.jerk_time = seconds(jerk_time);
    CHECK(found(m, "raster_overrun").value.coherent() < at_once);
  }
}

TEST_CASE("a motor that cannot hold the raster's speed fails", "[check][property]") {
  Machine m = loft();
  x(m).raster->speed = metres_per_second(20);
  const Finding f = found(m, "raster_offset", metres(1e6));
  CHECK(f.verdict == Verdict::fails);
  CHECK(f.value_text == "lost");
}

TEST_CASE("a weight on an incline makes no offset but has to be held", "[check][property]") {
  Machine m = loft();
  const double level = found(m, "raster_offset").value.coherent();
  machine::belt_drive(x(m)).incline = degrees(90);
  // Upright the rail carries no weight: 4 N of drag alone.
  const AxisState s = state(m);
  CHECK(s.seen.gravity > newtons(8));
  CHECK_THAT(found(m, "raster_offset").value.coherent(),
             WithinRel(2 * (rotor(s) + stretch(s)), solved));
  CHECK(found(m, "raster_offset").value.coherent() <= level);
  machine::belt_drive(x(m)).moving.front().mass = kilograms(30);
  CHECK(found(m, "raster_offset").value_text == "lost");
}

TEST_CASE("without the stiffness the offset is unknown, and the overrun at least the ramp",
          "[check][property]") {
  Machine m = loft();
  machine::belt_drive(x(m)).belt.profile.stiffness_per_width =
      unset<decltype(parts::BeltProfile::stiffness_per_width)>();
  REQUIRE_FALSE(state(m).swing);
  Finding f = found(m, "raster_offset");
  CHECK(f.verdict == Verdict::unsure);
  CHECK(f.value_text == "unknown");
  CHECK_THAT(f.remedy, Contains("stiffness"));
  f = found(m, "raster_overrun", metres(2));
  CHECK(f.verdict == Verdict::unsure);
  CHECK(f.margin != f.margin);
  CHECK_THAT(f.value.coherent(), WithinRel(0.2 * 0.2 / 4, 1e-12));
  CHECK_THAT(f.remedy, Contains("stiffness"));
  // 10 mm of ramp do not fit beside 1 m on 1.019 m, whatever swings.
  CHECK(found(m, "raster_overrun", metres(1.019)).verdict == Verdict::fails);
}

TEST_CASE("an overrun takes the ramp and the settling of its swing", "[check][property]") {
  Machine m = loft();
  x(m).want.position_error = micrometres(10);
  const check::RasterRun run = check::raster_run(state(m), m.axes.back());
  const double settling = in_seconds(run.settling.value());
  REQUIRE(settling > 0);
  const double overrun = 0.01 + 0.2 * settling;
  const Finding f = found(m, "raster_overrun", metres(1 + 2.4 * overrun));
  CHECK_THAT(detail(f, "swing after the ramp"), WithinRel(in_metres(run.swing->amplitude), 1e-9));
  CHECK_THAT(f.value.coherent(), WithinRel(overrun, 1e-9));
  CHECK_THAT(f.limit.coherent(), WithinRel(1.2 * overrun, 1e-9));
  CHECK(f.verdict == Verdict::holds);
  CHECK(found(m, "raster_overrun", metres(1 + 2.2 * overrun)).verdict == Verdict::tight);
  // The ramp fits and the settling, at the least favourable stiffness, does not.
  const Finding unsure = found(m, "raster_overrun", metres(1 + 1.9 * overrun));
  CHECK(unsure.verdict == Verdict::unsure);
  CHECK_THAT(unsure.margin, WithinRel(0.95, 1e-9));
  CHECK(found(m, "raster_overrun", metres(1 + 0.019)).verdict == Verdict::fails);
  CHECK(found(m, "raster_overrun", metres(0.5)).verdict == Verdict::fails);
}

TEST_CASE("a swing inside the tolerance needs no settling", "[check][property]") {
  Machine m = loft();
  const Finding f = found(m, "raster_overrun");
  REQUIRE(check::raster_run(state(m), m.axes.back()).swing->amplitude < millimetres(0.5));
  CHECK_THAT(f.value.coherent(), WithinRel(0.01, 1e-9));
  CHECK(f.verdict == Verdict::holds);
}

TEST_CASE("the times of a raster stand beside its overrun", "[check][property]") {
  Machine m = loft();
  x(m).raster->height = millimetres(2);
  x(m).want.position_error = millimetres(5);
  x(m).want.jerk_time = seconds(0.05);
  // 11 lines; 0.2^2/4 + 0.2*0.05/2 = 15 mm of overrun. A line: 1.03 m at 0.2 m/s, a ramp of 0.1 s
  // and the jerk time. A step of 0.2 mm at 2 m/s^2 is a triangle of 2*0.01 s.
  const Finding f = found(m, "raster_overrun");
  CHECK_THAT(f.value.coherent(), WithinRel(0.015, 1e-9));
  CHECK_THAT(detail(f, "lines"), WithinRel(11, 1e-12));
  CHECK_THAT(detail(f, "time of one line"), WithinRel(5.15 + 0.1 + 0.05, 1e-9));
  CHECK_THAT(detail(f, "time of a step to the next"), WithinRel(0.02, 1e-9));
  CHECK_THAT(detail(f, "time of all lines"), WithinRel(11 * 5.3 + 10 * 0.02, 1e-9));
  // Each end: the smoothed ramp of 0.15 s.
  CHECK_THAT(detail(f, "share of the time in overrun"), WithinRel(11 * 0.3 / 58.5, 1e-9));
}

TEST_CASE("an axis without a raster has no rows of one", "[check][property]") {
  const Machine m = testing::kite_loft();
  CHECK(check::raster_findings(state(m), m.axes.front(), metres(1)).empty());
  CHECK_THROWS_MATCHES(check::raster_run(state(m), m.axes.front()), InvalidInput,
                       Message("lines of a raster must be described, got 0"));
}

TEST_CASE("raster rows refuse numbers outside their range", "[check][error]") {
  const Machine good = loft();
  CHECK_THROWS_MATCHES(found(good, "raster_overrun", unset<Length>()), InvalidInput,
                       Message("travel must be > 0, got nan m"));
  const auto spoiled = [&](auto&& spoil) {
    Machine m = good;
    spoil(*x(m).raster);
    return m;
  };
  using machine::Raster;
  CHECK_THROWS_AS(found(spoiled([](Raster& r) { r.speed = unset<Speed>(); }), "raster_offset"),
                  InvalidInput);
  CHECK_THROWS_AS(found(spoiled([](Raster& r) { r.line = metres(0); }), "raster_offset"),
                  InvalidInput);
  CHECK_THROWS_AS(found(spoiled([](Raster& r) { r.height = unset<Length>(); }), "raster_offset"),
                  InvalidInput);
  CHECK_THROWS_AS(
      found(spoiled([](Raster& r) { r.line_pitch = unset<Length>(); }), "raster_offset"),
      InvalidInput);
  Machine m = good;
  m.axes.back().want.speed = unset<Speed>();
  CHECK_THROWS_AS(check::raster_run(state(m), m.axes.back()), InvalidInput);
}

}  // namespace
}  // namespace pitchline
