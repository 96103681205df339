#include "pitchline/check/rows/lift.hpp"

#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/holding.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"
#include "support/is_near.hpp"
#include "support/lift.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using machine::Machine;
using report::Finding;
using report::Verdict;
using testing::IsNear;
using testing::kite_loft_bed;
using testing::screws_of;
using testing::trapezoidal_screw;

check::AxisState state(const Machine& m) { return check::state_of(m, m.axes.front()); }
Finding staying_up(const Machine& m) {
  return check::staying_up_finding(state(m), *m.axes.front().lift);
}
const double weight = 10 * 9.80665;

TEST_CASE("a screw is said to stay up by the friction at which it locks", "[check][published]") {
  // Worked out apart from this library, by the secant form, which is 0.4 % off on so steep a lead:
  // Tr 8x2 locks above 0.0878, Tr 8x8 in four starts above 0.351: for no friction that it has.
  Finding f = staying_up(kite_loft_bed(trapezoidal_screw(8, 2, 1), 0.15));
  CHECK_THAT(f.value.coherent(), WithinRel(0.0878, 0.005));
  CHECK(f.value_text == "holds by friction");
  CHECK_THAT(f.margin, WithinRel(0.8 * 0.15 / 0.0878, 1e-3));
  CHECK(f.verdict == Verdict::holds);
  f = staying_up(kite_loft_bed(trapezoidal_screw(8, 2, 4), 0.15));
  CHECK_THAT(f.value.coherent(), WithinRel(0.351, 0.006));
  CHECK(f.value_text == "back-drives");
}

TEST_CASE(
    "a bed that must stay up fails on a screw that back-drives and is unsure where it may creep",
    "[check]") {
  // 0.8 of 0.10 is below 0.0878, and 0.2 is above it.
  Machine creeps = kite_loft_bed(trapezoidal_screw(8, 2, 1), 0.10);
  Machine drops = kite_loft_bed(trapezoidal_screw(8, 2, 4), 0.15);
  for (Machine* m : {&creeps, &drops}) {
    const Finding not_asked = staying_up(*m);
    CHECK(not_asked.verdict == Verdict::holds);
    CHECK_THAT(not_asked.reason, Contains("does not ask that it stays up"));
    m->axes.front().lift->stays_up = true;
  }
  CHECK(staying_up(creeps).value_text == "may creep");
  CHECK(staying_up(creeps).verdict == Verdict::unsure);
  CHECK(staying_up(drops).verdict == Verdict::fails);
  CHECK_THAT(staying_up(drops).remedy, Contains("brake"));
}

TEST_CASE("a bed that back-drives turns its motor with what the least friction leaves",
          "[check][published]") {
  // Worked out apart from this library: Tr 8x8 in four starts at 0.15 turns back with 0.6907 N*mm
  // for each newton; 0.8 of 0.1875 is that friction. Behind 2 to 1 half of it reaches the motor.
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 4), 0.1875);
  m.axes.front().lift->stays_up = true;
  const double back = 0.6907e-3 * weight;
  Finding f = staying_up(m);
  CHECK_THAT(testing::detail(f, "torque on each motor without power"), WithinRel(back, 0.005));
  CHECK_THAT(testing::detail(f, "brake on each motor that holds it"), WithinRel(2 * back, 0.005));
  // A brake of twice that holds, one of less is tight, one that is too weak fails.
  for (const auto& [brake, verdict] :
       {std::pair{2.02, Verdict::holds}, std::pair{1.5, Verdict::tight},
        std::pair{0.9, Verdict::fails}}) {
    m.axes.front().lift->brake = newton_metres(brake * back);
    CHECK(staying_up(m).verdict == verdict);
    CHECK_THAT(staying_up(m).margin, WithinRel(brake, 0.005));
  }
  // Not asked for, a weak brake is no failure and no promise either.
  m.axes.front().lift->stays_up = false;
  CHECK(staying_up(m).verdict == Verdict::unsure);
  screws_of(m).motor_turns_per_screw_turn = Fraction(2);
  CHECK_THAT(testing::detail(staying_up(m), "torque on each motor without power"),
             WithinRel(back / 2, 0.005));
}

TEST_CASE("a bed without power runs down as its energy allows", "[check][property]") {
  // m g h goes into the bed, all that turns, and the friction of the thread: so it is slower than
  // sqrt(2 g h) by far, and the time is twice the travel over the end speed.
  const Finding f = staying_up(kite_loft_bed(trapezoidal_screw(8, 2, 4), 0.15));
  const double speed = testing::detail(f, "and arrive with, no faster than");
  CHECK(speed < std::sqrt(2 * 9.80665 * 0.2));
  CHECK_THAT(testing::detail(f, "after"), WithinRel(2 * 0.2 / speed, 1e-9));
  CHECK_THAT(testing::detail(f, "it would run down with"), WithinRel(speed * speed / 0.4, 1e-9));
  // A screw that holds does not run.
  for (const report::Detail& d :
       staying_up(kite_loft_bed(trapezoidal_screw(8, 2, 1), 0.15)).details)
    CHECK(d.label != "after");
}

TEST_CASE("a screw by its efficiency back-drives above a half, and is not known below", "[check]") {
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 4));
  m.axes.front().lift->stays_up = true;
  screws_of(m).loss = Efficiency(0.9);
  CHECK(staying_up(m).verdict == Verdict::fails);
  // Of an unknown thread the load counts without friction: 8 mm a turn.
  CHECK_THAT(testing::detail(staying_up(m), "torque on each motor without power"),
             WithinRel(weight * 8e-3 / (2 * std::numbers::pi), 1e-9));
  screws_of(m).screw.thread = parts::ThreadKind::ball;
  CHECK_THAT(testing::detail(staying_up(m), "torque on each motor without power"),
             WithinRel(0.95 * weight * 8e-3 / (2 * std::numbers::pi), 1e-9));
  screws_of(m).loss = Efficiency(0.4);
  CHECK(staying_up(m).verdict == Verdict::unsure);
  CHECK(staying_up(m).value_text == "not known");
  m.axes.front().lift->stays_up = false;
  CHECK(staying_up(m).verdict == Verdict::holds);
}

TEST_CASE("a collar that slides helps to hold with its least friction only", "[check]") {
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 4), 0.15);
  const Torque bare = check::turning_back_torque(state(m));
  auto& thread = std::get<axis::ThreadFriction>(screws_of(m).loss);
  thread.collar_mean_diameter = millimetres(12);
  thread.collar_friction = FrictionCoefficient(0.15);
  CHECK(check::turning_back_torque(state(m)) == bare);
  thread.least_collar_friction = FrictionCoefficient(0.05);
  CHECK(check::turning_back_torque(state(m)) < bare);
}

TEST_CASE("the push in a screw is judged by the column that it is", "[check]") {
  // Tr 8x2, core 5.5 mm, from the bearing to the nut at its farthest 250 mm, both ends let it tilt:
  // half of pi^3 206 GPa d^4/(64 L^2). Each of four nuts bears a quarter, at a standstill and at a
  // slow start.
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  const double euler = std::pow(std::numbers::pi, 3) * 206e9 * std::pow(5.5e-3, 4) / (64 * 0.0625);
  const Finding f = check::column_finding(state(m));
  CHECK_THAT(f.limit.coherent(), WithinRel(euler / 2, 1e-9));
  CHECK_THAT(testing::detail(f, "standing"), WithinRel(weight / 4, 1e-9));
  CHECK(f.value.coherent() >= weight / 4);
  CHECK(f.value.coherent() < 1.05 * weight / 4);
  // A fixed bearing doubles it, by the figure of makers; hung up, 147 MPa in the core bound it.
  m.axes.front().lift->bearings = screw::EndFixity::fixed_fixed;
  const double core = 147e6 * std::numbers::pi / 4 * 5.5e-3 * 5.5e-3;
  CHECK_THAT(check::column_finding(state(m)).limit.coherent(),
             WithinRel(std::min(euler, core), 1e-9));
  m.axes.front().lift->hangs = true;
  CHECK_THAT(check::column_finding(state(m)).limit.coherent(), WithinRel(core, 1e-9));
  CHECK(check::column_finding(state(m)).what == "tension in a screw");
}

TEST_CASE("a nut that may stand high is judged by more than its share", "[check]") {
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  const auto standing = [&] {
    return testing::detail(check::column_finding(state(m)), "standing");
  };
  const double even = standing();
  // Not known how they stand: a diagonal bears all.
  screws_of(m).stand->nut_level = unset<Length>();
  CHECK_THAT(standing(), WithinRel(2 * even, 1e-9));
  // 0.02 mm on 2 kN/mm of a nut and the core to the bearing 50 mm away, 207 GPa: a quarter of k h.
  screws_of(m).stand->nut_level = millimetres(0.02);
  const double core = 207e9 * std::numbers::pi / 4 * 5.5e-3 * 5.5e-3 / 0.05;
  const double k = 1 / (1 / core + 1 / 2e6);
  CHECK_THAT(standing(), WithinRel(even + 0.25 * k * 0.02e-3, 1e-9));
  screws_of(m).stand->nut_level = unset<Length>();
  screws_of(m).stand->load_at = {millimetres(800), millimetres(500)};
  CHECK_THAT(standing(), WithinRel(weight, 1e-9));
}

TEST_CASE("the speed of a screw stays below that at which it whirls", "[check][published]") {
  // [THK screws]: 9.7 d/L^2 times 10^7 per minute, supported at both ends, 0.8 inside; 15.1 with
  // one fixed. 4 mm/s of 2 mm lead are 120 turns a minute.
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  const auto rpm = [](double x) { return in_radians_per_second(revolutions_per_minute(x)); };
  Finding f = check::critical_speed_finding(state(m));
  CHECK_THAT(f.value.coherent(), WithinRel(rpm(120), 1e-9));
  CHECK_THAT(f.limit.coherent(), WithinRel(rpm(9.7 * 5.5 / 90000 * 1e7), 0.01));
  m.axes.front().lift->bearings = screw::EndFixity::fixed_supported;
  f = check::critical_speed_finding(state(m));
  CHECK_THAT(f.limit.coherent(), WithinRel(rpm(15.1 * 5.5 / 90000 * 1e7), 0.01));
  screws_of(m).screw.bearing_distance = metres(4);
  CHECK(check::critical_speed_finding(state(m)).verdict == Verdict::fails);
}

TEST_CASE("balls are judged by diameter times speed", "[check]") {
  // 8 mm at 120 turns a minute are 960 of 50 000 mm*rpm.
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  screws_of(m).screw.mean_diameter = millimetres(8);
  CHECK_THAT(check::ball_speed_finding(state(m)).margin, WithinRel(50'000.0 / 960, 1e-9));
}

TEST_CASE("a nut is judged by the pressure on its flanks and by what it rubs", "[check]") {
  // A quarter of the weight on 8 threads of 2 mm, 7 mm mean, 1 mm deep: mean F/(pi 7 1 8) MPa; the
  // first thread bears 0.38 of F. It rubs pi 7 mm by 2 mm along its thread, twice a second.
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  const std::vector<Finding> rows = check::nut_findings(state(m));
  REQUIRE(rows.size() == 2);
  const double mean = weight / 4 / (std::numbers::pi * 7e-3 * 1e-3 * 8);
  CHECK(rows[0].key == "nut_pressure");
  CHECK_THAT(rows[0].value.coherent(), WithinRel(0.38 * 8 * mean, 1e-9));
  CHECK_THAT(rows[0].limit.coherent(), WithinRel(7.8e6, 1e-9));
  const double rubs = 2 * std::hypot(std::numbers::pi * 7e-3, 2e-3);
  CHECK(rows[1].key == "nut_wear");
  CHECK_THAT(rows[1].value.coherent(), WithinRel(mean * rubs, 1e-9));
  CHECK_THAT(testing::detail(rows[1], "rubbing speed"), WithinRel(rubs, 1e-9));
  CHECK(rows[1].verdict == Verdict::holds);
  // What it wears above an assumed limit is unsure; what nobody named is unsure, too.
  screws_of(m).moving.front().mass = kilograms(3000);
  CHECK(check::nut_findings(state(m))[0].verdict == Verdict::fails);
  CHECK(check::nut_findings(state(m))[1].verdict == Verdict::unsure);
  // Beyond 0.2032 m/s of rubbing a figure from memory counts, 1.0 MPa: above it is no failure.
  screws_of(m).moving.front().mass = kilograms(30);
  m.axes.front().want.speed = millimetres_per_second(20);
  CHECK_THAT(check::nut_findings(state(m))[0].limit.coherent(), WithinRel(1.0e6, 1e-9));
  CHECK(check::nut_findings(state(m))[0].margin < 1.0);
  CHECK(check::nut_findings(state(m))[0].verdict == Verdict::unsure);
  std::get<axis::ThreadFriction>(screws_of(m).loss).nut.reset();
  CHECK(check::nut_findings(state(m)).size() == 1);
  CHECK(check::nut_findings(state(m))[0].verdict == Verdict::unsure);
}

TEST_CASE("a nut of a named pair has a life with both ends of an estimate", "[check]") {
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  std::get<axis::ThreadFriction>(screws_of(m).loss).lubrication = screw::Lubrication::oiled;
  const Finding wear = check::nut_findings(state(m)).back();
  CHECK(testing::detail(wear, "travel until worn, at least, an estimate") <
        testing::detail(wear, "and at most"));
}

TEST_CASE("to start a lift takes the friction of a thread that stood still", "[check]") {
  // Shigley eq. 8-5 with f = 0.2 * 1.67 = 0.334 on Tr 8x2: F d/2 (l + pi f d sec a)/(pi d - f l sec
  // a), sec 15 deg = 1.03528; the exact form is within 1 %.
  const Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  const double fs = 0.334 * 1.03528;
  const double expected =
      weight * 3.5e-3 * (2 + std::numbers::pi * fs * 7) / (std::numbers::pi * 7 - fs * 2);
  const Finding f = check::starting_torque_finding(state(m));
  CHECK_THAT(f.value.coherent(), WithinRel(expected, 0.01));
  CHECK(f.value.coherent() > testing::detail(f, "running, at the most friction"));
  // A pair by its name starts with its own ratio: bronze, oiled, 0.16 * 1.67.
  Machine named = m;
  auto& thread = std::get<axis::ThreadFriction>(screws_of(named).loss);
  thread.lubrication = screw::Lubrication::oiled;
  CHECK_THAT(check::starting_torque_finding(state(named)).reason, Contains("0.267"));
  // Friction that does not let it start at all.
  thread.lubrication.reset();
  thread.most = FrictionCoefficient(0.7);
  CHECK(check::starting_torque_finding(state(named)).verdict == Verdict::fails);
}

TEST_CASE("a height step is sure where a full step is as fine", "[check]") {
  // 2 mm over 200 full steps and 3200 pulses: 0.01 and 0.000625 mm.
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  const auto row = [&](double step) {
    m.axes.front().lift->height_step = millimetres(step);
    return check::height_step_finding(state(m));
  };
  CHECK_THAT(row(0.05).value.coherent(), WithinRel(0.625e-6, 1e-9));
  CHECK_THAT(testing::detail(row(0.05), "height of a full step"), WithinRel(1e-5, 1e-9));
  CHECK(row(0.0101).verdict == Verdict::holds);
  CHECK(row(0.0099).verdict == Verdict::unsure);
  CHECK(row(0.0006).verdict == Verdict::fails);
}

// The bed with its tying belt: an idler on the back beside the motor, as one would build it.
Machine with_belt() {
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  machine::LiftBelt belt{.motor_teeth = 20, .screw_teeth = 20};
  belt.belt = testing::kite_loft_drive().belt;
  belt.belt.profile.least_tension = {.rows = {{millimetres(9), newtons(5)}}, .source = "invented"};
  const Length r = millimetres(20 / std::numbers::pi);
  const auto pulley = [&](const char* name, double x, double y, bool back = false) {
    return belt::LoopPulley{.name = name,
                            .x = millimetres(x),
                            .y = millimetres(y),
                            .pitch_line_radius = r,
                            .side = back ? belt::BeltSide::back : belt::BeltSide::inside};
  };
  belt.tying = {.loop = {.profile = belt.belt.profile,
                         .pulleys = {pulley("a", 0, 0), pulley("b", 800, 0), pulley("c", 800, 500),
                                     pulley("idler", 440, 520, true), pulley("motor", 400, 640),
                                     pulley("d", 0, 500)}},
                .motor = 4,
                .screws = {0, 1, 2, 5}};
  belt.slide = belt::SettingLine{
      .pulley = 3, .direction = degrees(-90), .least = millimetres(-5), .most = millimetres(20)};
  m.axes.front().lift->belt = std::move(belt);
  return m;
}

TEST_CASE("the tying belt pulls the torque of the motor over the radius of its pulley",
          "[check][property]") {
  const Machine m = with_belt();
  const check::AxisState s = state(m);
  const check::LiftBeltState belt = check::lift_belt_state(s);
  CHECK_THAT(in_newtons(belt.pull),
             WithinRel(in_newton_metres(check::peak_torque(s)) / (20e-3 / std::numbers::pi), 1e-9));
  for (const Force& each : belt.pulls) CHECK_THAT(each, IsNear(belt.pull / 4.0, newtons(1e-9)));
  CHECK(belt.tension >= belt.slack_free);
  CHECK(belt.tension >= newtons(5));
  // At rest with what keeps it tight, the tightest span has no more than that and the whole pull.
  CHECK(belt.largest <= belt.tension + belt.pull);
  CHECK(belt.largest > belt.tension);
  const Finding f = check::lift_belt_tension_finding(s);
  CHECK(f.verdict != Verdict::fails);
  CHECK_THAT(f.limit.coherent(), WithinRel(39.0, 1e-9));
}

TEST_CASE("a tying belt that is set too slack fails, whatever it bears", "[check]") {
  Machine m = with_belt();
  const Force needed = check::lift_belt_state(state(m)).slack_free;
  m.axes.front().lift->belt->tension = 0.9 * needed;
  const Finding f = check::lift_belt_tension_finding(state(m));
  CHECK(f.verdict == Verdict::fails);
  CHECK_THAT(f.margin, WithinRel(0.9, 1e-9));
  CHECK_THAT(f.reason, Contains("goes slack"));
}

TEST_CASE("a tying belt gets a whole number of teeth by its slide", "[check]") {
  Machine m = with_belt();
  const Finding set = check::lift_belt_length_finding(state(m));
  CHECK(set.verdict == Verdict::holds);
  CHECK_THAT(set.reason, Contains("with \"idler\" at x 440"));
  m.axes.front().lift->belt->slide.reset();
  CHECK(check::lift_belt_length_finding(state(m)).verdict == Verdict::unsure);
  CHECK_THAT(check::lift_belt_length_finding(state(m)).remedy, Contains("slide"));
}

TEST_CASE("the motor of a tying belt needs teeth in mesh", "[check]") {
  Machine m = with_belt();
  CAPTURE(check::lift_belt_mesh_finding(state(m)).reason);
  CHECK(check::lift_belt_mesh_finding(state(m)).verdict != Verdict::fails);
  // Moved down onto the side of the bed it is barely touched: fewer than two teeth bear nothing.
  auto& pulleys = m.axes.front().lift->belt->tying.loop.pulleys;
  pulleys[4].y = millimetres(501);
  pulleys.erase(pulleys.begin() + 3);
  m.axes.front().lift->belt->tying.motor = 3;
  m.axes.front().lift->belt->tying.screws = {0, 1, 2, 4};
  CHECK(check::lift_belt_mesh_finding(state(m)).verdict == Verdict::fails);
}

TEST_CASE("the bed stays level by load, stretch and leads, and each is counted", "[check]") {
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  // Nothing asked: a row without a limit.
  CHECK(check::level_finding(state(m)).verdict == Verdict::holds);
  m.axes.front().lift->level = millimetres(0.2);
  CHECK(check::level_finding(state(m)).verdict == Verdict::unsure);
  CHECK_THAT(check::level_finding(state(m)).remedy, Contains("lead_error"));
  m.axes.front().lift->lead_error = millimetres(0.05);
  // A centred load sinks all screws alike.
  CHECK_THAT(check::level_finding(state(m)).value.coherent(), WithinRel(0.05e-3, 1e-9));
  CHECK(check::level_finding(state(m)).verdict == Verdict::holds);
  // 80 mm off along 800: shares differ by 2 * 400 * 80/800^2 = 0.1 of the weight.
  screws_of(m).stand->load_at = {millimetres(480), millimetres(250)};
  const double k = in_newtons_per_metre(axis::screw_stiffness(screws_of(m)).smallest);
  CHECK_THAT(check::level_finding(state(m)).value.coherent(),
             WithinRel(0.05e-3 + 0.1 * weight / k, 1e-9));
  m.axes.front().lift->lead_error = millimetres(0.25);
  CHECK(check::level_finding(state(m)).verdict == Verdict::fails);
  // A micrometre at one corner tilts by half of it along each side.
  CHECK_THAT(
      testing::detail(check::level_finding(state(m)), "tilt for each 0.001 mm between two leads"),
      WithinRel(std::hypot(0.5e-6 / 0.8, 0.5e-6 / 0.5), 1e-9));
  const Finding tied = check::level_finding(state(with_belt()));
  CHECK_THAT(testing::detail(tied, "a screw belted a tooth wrong is off by"),
             WithinRel(1e-4, 1e-9));
}

TEST_CASE("a motor a screw loses its level when power goes, and is told so", "[check]") {
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  screws_of(m).motors = 4;
  screws_of(m).screws_per_motor = 1;
  // Four full steps of 0.01 mm.
  CHECK_THAT(
      testing::detail(check::level_finding(state(m)), "screws apart once power was lost, at most"),
      WithinRel(4e-5, 1e-9));
  const std::vector<std::string> said = check::lift_cautions(state(m));
  REQUIRE(said.size() == 2);
  CHECK_THAT(said[0], Contains("by friction alone"));
  CHECK_THAT(said[1], Contains("lose their common level"));
  const std::vector<std::string> falls =
      check::lift_cautions(state(kite_loft_bed(trapezoidal_screw(8, 2, 4))));
  REQUIRE(falls.size() == 1);
  CHECK_THAT(falls[0], Contains("back-drives, so the bed falls when power goes"));
}

// The bed on four ball screws of 4 mm lead.
Machine on_balls() {
  Machine m = kite_loft_bed({.name = "Ball 12x4",
                             .thread = parts::ThreadKind::ball,
                             .lead_millimetres = Fraction(4),
                             .outer_diameter = millimetres(12),
                             .mean_diameter = millimetres(12),
                             .minor_diameter = millimetres(9.5),
                             .ball_diameter = millimetres(2.5),
                             .dynamic_rating = newtons(300),
                             .static_rating = newtons(500),
                             .source = "by hand"});
  screws_of(m).loss = Efficiency(0.85);
  return m;
}

TEST_CASE("balls live by the cube of their rating over what loads them", "[check]") {
  // A quarter of the weight, 24.517 N; 300 N over 1.5 and 1.2 times that, cubed, times 10^6 turns
  // of 4 mm.
  Machine m = on_balls();
  const double load = weight / 4;
  const auto life = [&](double factor) { return std::pow(300 / (factor * load), 3) * 1e6 * 4e-3; };
  Finding f = check::ball_life_finding(state(m));
  CHECK_THAT(f.value.coherent(), WithinRel(life(1.5), 1e-9));
  CHECK(f.value_text == "2170 km");
  CHECK(f.verdict == Verdict::holds);
  CHECK_THAT(testing::detail(f, "mean load on the most loaded nut"), WithinRel(load, 1e-9));
  CHECK_THAT(testing::detail(f, "life at the most load factor"), WithinRel(life(1.5), 1e-9));
  CHECK_THAT(testing::detail(f, "life at the least"), WithinRel(life(1.2), 1e-9));
  // A wanted life is judged by the rating that it needs: its margin is one of load.
  m.axes.front().lift->life = metres(1e6);
  f = check::ball_life_finding(state(m));
  CHECK_THAT(f.value.coherent(), WithinRel(1.5 * load * std::cbrt(1e6 / 4e-3 / 1e6), 1e-9));
  CHECK_THAT(f.limit.coherent(), WithinRel(300.0, 1e-9));
  CHECK_THAT(f.margin, WithinRel(std::cbrt(life(1.5) / 1e6), 1e-9));
  CHECK(f.verdict == Verdict::holds);
  m.axes.front().lift->life = metres(1.01 * life(1.5));
  CHECK(check::ball_life_finding(state(m)).verdict == Verdict::fails);
  CHECK_FALSE(check::ball_life_finding(state(m)).remedy.empty());
  m.axes.front().lift->life = metres(0.99 * life(1.5));
  CHECK(check::ball_life_finding(state(m)).verdict == Verdict::tight);
}

TEST_CASE("friction of the guide loads the balls more on the way up than down", "[check]") {
  // 40 N of drag, a quarter of it each: 24.517 N and 10 N more or less, half of the way each.
  Machine m = on_balls();
  screws_of(m).guide.drag = newtons(40);
  const double up = weight / 4 + 10;
  const double down = weight / 4 - 10;
  CHECK_THAT(in_newtons(check::mean_ball_load(state(m))),
             WithinRel(std::cbrt((up * up * up + down * down * down) / 2), 1e-9));
  // Where it is more than the weight, the motor drives the bed down, too.
  screws_of(m).guide.drag = newtons(200);
  const double pushed = 50 - weight / 4;
  CHECK_THAT(in_newtons(check::mean_ball_load(state(m))),
             WithinRel(std::cbrt((std::pow(weight / 4 + 50, 3) + std::pow(pushed, 3)) / 2), 1e-9));
}

TEST_CASE("without a rating the life of balls is not known, which matters where one is wanted",
          "[check]") {
  Machine m = on_balls();
  screws_of(m).screw.dynamic_rating = unset<Force>();
  Finding f = check::ball_life_finding(state(m));
  CHECK(f.value_text == "not known");
  CHECK(f.verdict == Verdict::holds);
  CHECK(f.remedy.empty());
  m.axes.front().lift->life = metres(1000);
  f = check::ball_life_finding(state(m));
  CHECK(f.verdict == Verdict::unsure);
  CHECK(std::isnan(f.margin));
  CHECK_THAT(f.remedy, Contains("drive.dynamic_rating"));
}

TEST_CASE("above half of its rating no life of a ball screw is promised", "[check]") {
  // 24.517 N of 48; for a metre of life the law would call that enough.
  Machine m = on_balls();
  screws_of(m).screw.dynamic_rating = newtons(48);
  CHECK(check::ball_life_finding(state(m)).verdict == Verdict::unsure);
  CHECK(check::ball_life_finding(state(m)).value_text == "not known");
  m.axes.front().lift->life = metres(1);
  CHECK(check::ball_life_finding(state(m)).margin > 1.0);
  CHECK(check::ball_life_finding(state(m)).verdict == Verdict::unsure);
  CHECK_THAT(check::ball_life_finding(state(m)).reason, Contains("above half"));
  m.axes.front().lift->life = metres(1e6);
  CHECK(check::ball_life_finding(state(m)).verdict == Verdict::fails);
  screws_of(m).screw.dynamic_rating = newtons(50);
  m.axes.front().lift->life = metres(1);
  CHECK(check::ball_life_finding(state(m)).verdict == Verdict::holds);
}

TEST_CASE("balls that nothing loads live without end", "[check]") {
  Machine m = on_balls();
  screws_of(m).moving.front().mass = kilograms(0);
  CHECK(check::ball_life_finding(state(m)).value_text == "without end");
  CHECK(check::ball_life_finding(state(m)).verdict == Verdict::holds);
}

TEST_CASE("the static rating of balls is twice the most that loads them", "[check]") {
  Machine m = on_balls();
  const double peak = in_newtons(check::nut_peak_force(state(m)));
  const Finding f = check::ball_static_finding(state(m));
  CHECK_THAT(f.value.coherent(), WithinRel(500 / peak, 1e-9));
  CHECK_THAT(f.margin, WithinRel(250 / peak, 1e-9));
  CHECK(f.verdict == Verdict::holds);
  screws_of(m).screw.static_rating = newtons(1.99 * peak);
  CHECK(check::ball_static_finding(state(m)).verdict == Verdict::fails);
  screws_of(m).screw.static_rating = newtons(2.01 * peak);
  CHECK(check::ball_static_finding(state(m)).verdict == Verdict::tight);
  screws_of(m).screw.static_rating = unset<Force>();
  CHECK_THROWS_AS(check::ball_static_finding(state(m)), InvalidInput);
}

TEST_CASE("a wanted life of a sliding nut is promised by the lower end of its estimate",
          "[check]") {
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  machine::Lift& lift = *m.axes.front().lift;
  lift.life = metres(1);
  // Nobody says how it is oiled: no wear is known.
  CHECK(check::nut_findings(state(m)).back().verdict == Verdict::unsure);
  CHECK_THAT(check::nut_findings(state(m)).back().reason, Contains("is not known"));
  std::get<axis::ThreadFriction>(screws_of(m).loss).lubrication = screw::Lubrication::oiled;
  CHECK(check::nut_findings(state(m)).back().verdict == Verdict::holds);
  const double least = testing::detail(check::nut_findings(state(m)).back(),
                                       "travel until worn, at least, an estimate");
  lift.life = metres(0.99 * least);
  CHECK(check::nut_findings(state(m)).back().verdict == Verdict::holds);
  lift.life = metres(1.01 * least);
  CHECK(check::nut_findings(state(m)).back().verdict == Verdict::unsure);
  CHECK_THAT(check::nut_findings(state(m)).back().reason, Contains("may be worn after"));
}

TEST_CASE("a lift has its rows once, and those of a belt where it has one", "[check]") {
  const auto keys = [](const Machine& m) {
    std::vector<std::string> list;
    for (const auto& rows : {check::screw_rows(), check::lift_belt_rows()})
      for (const Finding& f : check::judged_by(rows, state(m))) list.push_back(f.key);
    return list;
  };
  CHECK(keys(kite_loft_bed(trapezoidal_screw(8, 2, 1))) ==
        std::vector<std::string>{"staying_up", "starting_torque", "column", "critical_speed",
                                 "nut_pressure", "nut_wear", "height_step", "level"});
  Machine balls = on_balls();
  CHECK(keys(balls) == std::vector<std::string>{"staying_up", "column", "critical_speed",
                                                "ball_speed", "ball_life", "ball_static",
                                                "height_step", "level"});
  screws_of(balls).screw.static_rating = unset<Force>();
  const std::vector<std::string> unrated = keys(balls);
  CHECK(std::count(unrated.begin(), unrated.end(), "ball_static") == 0);
  CHECK(std::count(unrated.begin(), unrated.end(), "ball_life") == 1);
  const std::vector<std::string> tied = keys(with_belt());
  CHECK(std::count(tied.begin(), tied.end(), "lift_belt_tension") == 1);
  CHECK(std::count(tied.begin(), tied.end(), "lift_belt_length") == 1);
}

TEST_CASE("friction is asked of a screw that has an efficiency alone", "[check][error]") {
  Machine m = kite_loft_bed(trapezoidal_screw(8, 2, 1));
  screws_of(m).loss = Efficiency(0.9);
  CHECK_THROWS_AS(check::sliding_screw(screws_of(m)), InvalidInput);
}

}  // namespace
}  // namespace pitchline
