#include "pitchline/check/check_machine.hpp"
#include "pitchline/check/rows/accuracy.hpp"
#include "pitchline/motor/pull_out_curve.hpp"

#include <functional>
#include <set>

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
using check::check_machine;
using machine::Machine;
using report::AxisReport;
using report::Finding;
using report::Report;
using report::Verdict;
using testing::detail;
using testing::kite_loft;

Finding found(const Report& report, const std::string& key) { return testing::row(report, key); }

Finding found(const Machine& machine, const std::string& key) {
  return found(check_machine(machine), key);
}

machine::Want& want(Machine& machine) { return machine.axes.front().want; }
axis::BeltAxis& drive(Machine& machine) { return machine::belt_drive(machine.axes.front()); }

TEST_CASE("the kite loft is checked in full and holds", "[check][property]") {
  const Machine loft = kite_loft();
  const Report report = check_machine(loft);
  CHECK(report.machine == "Kite loft");
  REQUIRE(report.axes.size() == 1);
  std::set<std::string> keys;
  for (const Finding& f : report.axes.front().findings) {
    CAPTURE(f.key);
    CHECK(keys.insert(f.key).second);
    CHECK_FALSE(f.what.empty());
    CHECK_FALSE(f.reason.empty());
    CHECK_FALSE(f.source.empty());
    CHECK(f.verdict != Verdict::fails);
    CHECK(f.verdict != Verdict::unsure);
    if (f.verdict == Verdict::holds) CHECK(f.remedy.empty());
  }
  CHECK(keys == std::set<std::string>{"inertia",
                                      "constant_speed_torque",
                                      "accelerating_torque",
                                      "pull_out_torque",
                                      "torque_margin",
                                      "acceleration",
                                      "position_error",
                                      "corner_error",
                                      "steps_per_mm",
                                      "pulse_rate",
                                      "driver_current",
                                      "winding_heat",
                                      "belt_tension",
                                      "tooth_mesh",
                                      "smallest_pulley",
                                      "pulley_bore",
                                      "shaft_load",
                                      "microsteps",
                                      "stability",
                                      "supply_voltage",
                                      "residual_vibration"});
  CHECK(report.worst() < Verdict::unsure);
  // Errors that nobody asked for are not judged.
  Machine silent = loft;
  want(silent).position_error = unset<Length>();
  want(silent).corner_error = unset<Length>();
  CHECK(check_machine(silent).axes.front().findings.size() == keys.size() - 2);
}

// One thing of a machine that a finding judges: `spoil` makes its margin `x` times larger.
struct Turn {
  std::string key;
  std::function<void(Machine&, double)> set_margin;
};

TEST_CASE("each verdict turns exactly where its margin passes one", "[check][property]") {
  const Turn turn = GENERATE(values<Turn>({
      {"acceleration",
       [](Machine& m, double x) {
         want(m).acceleration =
             metres_per_second_squared(found(m, "acceleration").value.coherent()) / x;
       }},
      {"position_error",
       [](Machine& m, double x) {
         want(m).position_error = x * metres(found(m, "position_error").value.coherent());
       }},
      {"corner_error",
       [](Machine& m, double x) {
         want(m).corner_error = x * metres(found(m, "corner_error").value.coherent());
       }},
      {"pulse_rate",
       [](Machine& m, double x) {
         m.controller.pulse_rate = x * pulses_per_second(found(m, "pulse_rate").value.coherent());
       }},
      {"pull_out_torque",
       [](Machine& m, double x) {
         // Drag is all the torque at constant speed, friction and efficiency apart.
         drive(m).guide.friction = FrictionCoefficient(0);
         const double now = found(m, "pull_out_torque").margin;
         drive(m).guide.drag = now / x * drive(m).guide.drag;
       }},
      {"constant_speed_torque",
       [](Machine& m, double x) {
         drive(m).guide.friction = FrictionCoefficient(0);
         const double now = found(m, "constant_speed_torque").margin;
         drive(m).guide.drag = now / x * drive(m).guide.drag;
       }},
  }));
  CAPTURE(turn.key);
  const auto verdict = [&](double margin) {
    Machine m = kite_loft();
    turn.set_margin(m, margin);
    const Finding f = found(m, turn.key);
    CHECK_THAT(f.margin, WithinRel(margin, 1e-9));
    if (f.verdict != Verdict::holds) CHECK_FALSE(f.reason.empty());
    if (f.verdict == Verdict::fails) CHECK_FALSE(f.remedy.empty());
    return f.verdict;
  };
  CHECK(verdict(1 - 1e-8) == Verdict::fails);
  CHECK(verdict(1 + 1e-8) == Verdict::tight);
  CHECK(verdict(1.15 - 1e-8) == Verdict::tight);
  CHECK(verdict(1.15 + 1e-8) == Verdict::holds);
}

TEST_CASE("acceleration and torque margin always agree whether an axis fails",
          "[check][property]") {
  const double speed = GENERATE(0.1, 0.4, 0.8, 1.2);
  const double a = GENERATE(take(12, random(0.1, 12.0)));
  const double wanted = GENERATE(1.0, 1.1, 2.0);
  CAPTURE(speed, a, wanted);
  Machine m = kite_loft();
  m.torque_margin = TorqueMargin(wanted);
  want(m).speed = metres_per_second(speed);
  want(m).acceleration = metres_per_second_squared(a);
  const Report report = check_machine(m);
  CHECK((found(report, "acceleration").verdict == Verdict::fails) ==
        (found(report, "torque_margin").verdict == Verdict::fails));
  // The textbook figure leaves out overshoot and margin, so it asks for less.
  if (found(report, "accelerating_torque").verdict == Verdict::fails)
    CHECK(found(report, "torque_margin").verdict == Verdict::fails);
}

TEST_CASE("at the largest acceleration the torque margin is the one wanted", "[check][property]") {
  Machine m = kite_loft();
  want(m).acceleration = metres_per_second_squared(found(m, "acceleration").value.coherent());
  CHECK_THAT(found(m, "torque_margin").value.coherent(), WithinRel(1.1, 2e-6));
  CHECK_THAT(found(m, "torque_margin").margin, WithinRel(1.0, 2e-6));
}

TEST_CASE("a belt of unknown stiffness leaves the errors unsure and says what to give",
          "[check][property]") {
  Machine m = kite_loft();
  drive(m).belt.profile.stiffness_per_width = unset<Stiffness>();
  const Report report = check_machine(m);
  for (const char* key : {"position_error", "corner_error"}) {
    CAPTURE(key);
    const Finding f = found(report, key);
    CHECK(f.verdict == Verdict::unsure);
    CHECK(f.value_text == "unknown");
    CHECK_THAT(f.reason, Contains("GT 2 mm"));
    CHECK_THAT(f.remedy, Contains("tension_per_strain"));
  }
  CHECK(report.worst() == Verdict::unsure);
}

TEST_CASE("an axis too fast for its motor fails and is said to be lost", "[check][property]") {
  Machine m = kite_loft();
  want(m).speed = metres_per_second(20);
  const Report report = check_machine(m);
  for (const char* key : {"pull_out_torque", "torque_margin", "acceleration", "accelerating_torque",
                          "position_error", "corner_error", "pulse_rate"}) {
    CAPTURE(key);
    CHECK(found(report, key).verdict == Verdict::fails);
    CHECK_FALSE(found(report, key).remedy.empty());
  }
  CHECK(found(report, "position_error").value_text == "lost");
  CHECK(found(report, "corner_error").value_text == "lost");
  CHECK(found(report, "constant_speed_torque").verdict == Verdict::holds);
  CHECK(report.worst() == Verdict::fails);
}

TEST_CASE("a motor without torque fails even where nothing resists it", "[check][property]") {
  Machine m = kite_loft();
  // Little current, so that the torque ends at a finite speed; no friction and no drag.
  drive(m).driver.current = amperes(0.3);
  drive(m).guide.friction = FrictionCoefficient(0);
  drive(m).guide.drag = newtons(0);
  want(m).speed = metres_per_second(10);
  const Report report = check_machine(m);
  const Finding f = found(report, "pull_out_torque");
  CHECK(f.verdict == Verdict::fails);
  CHECK(f.margin == 0.0);
  CHECK_THAT(f.reason, Contains("no torque left"));
  CHECK(found(report, "position_error").verdict == Verdict::fails);
  CHECK(found(report, "position_error").value_text == "lost");
}

TEST_CASE("the position error is stretch, load angle and step error by hand", "[check][property]") {
  Machine m = kite_loft();
  // A long stroke: what the first ramp leaves has died down before the second, so that the start
  // asks most.
  want(m).stroke = millimetres(1500);
  want(m).speed = millimetres_per_second(200);  // at which the driver forces its current
  const Finding f = found(m, "position_error");
  // At 200 mm/s: force 0.004*0.9*g + 4 N on 28 035 N (1/1.6 m + 1/1.8 m).
  const double force = 0.004 * 0.9 * 9.80665 + 4.0;
  const double stiffness = 28'035.0 * (1.0 / 1.6 + 1.0 / 1.8);
  CHECK_THAT(detail(f, "stretch of the drive"), WithinRel(force / stiffness, 1e-12));
  CHECK_THAT(detail(f, "stiffness of the drive, smallest"), WithinRel(stiffness, 1e-12));
  // 5 % of a full step of 40 mm / 200.
  CHECK_THAT(detail(f, "step error of the motor"), WithinRel(0.05 * 0.2e-3, 1e-12));
  const double radius = 0.04 / (2.0 * std::numbers::pi);
  const check::AxisState state = check::state_of(m, m.axes.front());
  const double lag = check::lag_allowance * radius *
                     testing::lag_of_forced_current(state, radians_per_second(0.2 / radius),
                                                    newton_metres(force * radius / 0.95));
  CHECK_THAT(detail(f, "rotor behind the field"), WithinRel(lag, 1e-4));
  // Without load the current is 5 us behind, of 50 pole pairs.
  CHECK_THAT(detail(f, "of it the driver's current behind its command"),
             WithinRel(0.2 * 5e-6, 0.3));
  CHECK_THAT(f.value.coherent(), WithinRel(force / stiffness + 0.01e-3 + lag, 1e-4));

  // The corner: M a and its overshoot on the belt, mass of carriage and belt. The drive begins with
  // what friction holds in it, so it winds up by twice the friction; a load that still slips then
  // adds 0.15 (M a)^2 to the square of what it is let go with.
  const Finding corner = found(m, "corner_error");
  const double inertial = (0.9 + 2 * 1.7 * 0.009 * 1.4) * 2.0;
  const double peak =
      force + inertial + std::sqrt(1.15 * inertial * inertial + 4.0 * inertial * force);
  CHECK_THAT(detail(corner, "stretch of the drive"), WithinRel(peak / stiffness, 1e-12));
}

TEST_CASE("steps per mm turn at the position error that is asked for", "[check][property]") {
  Machine m = kite_loft();
  drive(m).belt.profile.pitch_millimetres = Fraction(3);  // 160/3, kept 53.333: 1/160000 too few
  const double error = 1500e-3 / 160'000;
  want(m).position_error = metres(error * (1 + 1e-9));
  CHECK(found(m, "steps_per_mm").verdict == Verdict::tight);
  want(m).position_error = metres(error * (1 - 1e-9));
  CHECK(found(m, "steps_per_mm").verdict == Verdict::fails);
  CHECK_THAT(found(m, "steps_per_mm").reason, Contains("too short"));
  CHECK(found(m, "steps_per_mm").value_text == "160/3 = 53.333");
  want(m).position_error = unset<Length>();
  CHECK(found(m, "steps_per_mm").verdict == Verdict::holds);
  m.controller.decimals = 0;
  drive(m).driver.pulses_per_turn = pulses(2);
  drive(m).pulley_teeth = 200;
  CHECK(found(m, "steps_per_mm").verdict == Verdict::fails);
  CHECK_THAT(found(m, "steps_per_mm").reason, Contains("rounds to zero"));
}

TEST_CASE("the full rated current passes and more of it fails", "[check][property]") {
  Machine m = kite_loft();
  for (const double rated : {2.0, 1.42, 1.73}) {
    CAPTURE(rated);
    drive(m).motor.rated_current = amperes(rated);
    drive(m).driver = {.current = amperes(rated),
                       .current_is = parts::CurrentIs::rms,
                       .pulses_per_turn = pulses(3200)};
    CHECK(found(m, "driver_current").margin == 1.0);
    CHECK(found(m, "driver_current").verdict != Verdict::fails);
    drive(m).driver.current = amperes(rated * (1 + 1e-9));
    CHECK(found(m, "driver_current").verdict == Verdict::fails);
    drive(m).driver.current_is = parts::CurrentIs::peak;  // the same number, 0.71 of it RMS
    CHECK(found(m, "driver_current").verdict == Verdict::holds);
    CHECK_THAT(found(m, "driver_current").margin, WithinRel(std::sqrt(2.0), 1e-6));
  }
}

TEST_CASE("the supply is unsure below one and a half times its sum and fails below it",
          "[check][property]") {
  Machine m = kite_loft();
  const Power total = watts(found(m, "supply_power").value.coherent());
  m.supply.power = (1 - 1e-9) * total;
  CHECK(found(m, "supply_power").verdict == Verdict::fails);
  m.supply.power = (1 + 1e-9) * total;
  CHECK(found(m, "supply_power").verdict == Verdict::unsure);
  m.supply.power = (1.5 - 1e-9) * total;
  CHECK(found(m, "supply_power").verdict == Verdict::unsure);
  m.supply.power = (1.5 + 1e-9) * total;
  CHECK(found(m, "supply_power").verdict == Verdict::holds);

  // By hand: T w at 2 m/s2 and 0.3 m/s, and 2 I^2 R of the motor.
  const double radius = 0.04 / (2.0 * std::numbers::pi);
  const double mass = 0.9 + 2 * 1.7 * 0.009 * 1.4;
  const double force = 0.004 * 0.9 * 9.80665 + 4.0 + mass * 2.0;
  const double torque = force * radius / 0.95 + (8e-6 + 4e-7) * 2.0 / radius;
  CHECK_THAT(in_watts(total), WithinRel(torque * 0.3 / radius + 2 * 2.0 * 2.0 * 1.4, 1e-9));
  // A second axis adds its own.
  m.axes.push_back(m.axes.front());
  CHECK_THAT(found(m, "supply_power").value.coherent(), WithinRel(2.0 * in_watts(total), 1e-12));
}

TEST_CASE("a large load on a small rotor is a remark", "[check][property]") {
  Machine m = kite_loft();
  const Finding now = found(m, "inertia");
  const double radius = 0.04 / (2.0 * std::numbers::pi);
  const double load = (0.9 + 2 * 1.7 * 0.009 * 1.4) * radius * radius + 4e-7;
  CHECK_THAT(now.margin, WithinRel(11.0 * 8e-6 / (8e-6 + load), 1e-12));
  const auto verdict = [&](double margin) {
    Machine other = m;
    drive(other).motor.rotor_inertia = kilogram_square_metres(margin * load / (11.0 - margin));
    return found(other, "inertia").verdict;
  };
  // The rows of torque and of swings judge it.
  CHECK(verdict(1e-3) == Verdict::holds);
  CHECK(verdict(1.15 + 1e-9) == Verdict::holds);
  CHECK_THAT(now.reason, Contains("rule of thumb"));
}

TEST_CASE("a pair of motors is checked at the one with the carriage over it", "[check][property]") {
  Machine m = kite_loft();
  drive(m).motors = 2;
  drive(m).moving = {{.name = "beam", .mass = kilograms(1)},
                     {.name = "head", .mass = kilograms(0.4), .travels_along_beam = true}};
  drive(m).guide.drag = newtons(8);
  // Each of the pair sees 0.9 kg and 4 N: the same figures as the single motor with 0.9 kg.
  const Report pair = check_machine(m);
  const Report single = check_machine(kite_loft());
  for (const char* key : {"torque_margin", "acceleration", "position_error", "corner_error"}) {
    CAPTURE(key);
    CHECK_THAT(found(pair, key).margin, WithinRel(found(single, key).margin, 1e-12));
  }
  CHECK_THAT(found(pair, "supply_power").value.coherent(),
             WithinRel(2.0 * found(single, "supply_power").value.coherent(), 1e-12));
}

TEST_CASE("an inclined axis shows its way down and carries a caution", "[check][property]") {
  const std::size_t level = check_machine(kite_loft()).cautions.size();
  Machine m = kite_loft();
  drive(m).incline = degrees(90);
  drive(m).guide.drag = newtons(1);
  const Report report = check_machine(m);
  REQUIRE(report.cautions.size() == level + 1);
  CHECK_THAT(report.cautions.back(), Contains("Axis x") && Contains("falls"));
  const Finding f = found(report, "constant_speed_torque");
  CHECK_THAT(detail(f, "force at the load"), WithinRel(0.9 * 9.80665 + 1.0, 1e-9));
  CHECK_THAT(detail(f, "force going down"), WithinRel(1.0 - 0.9 * 9.80665, 1e-9));
  CHECK(detail(f, "torque going down, negative: the load drives") < 0.0);
}

TEST_CASE("a screw shows no torque going down, which its efficiency going up does not give",
          "[check][property]") {
  Machine loft = kite_loft();
  const axis::BeltAxis belt = drive(loft);
  axis::ScrewAxis lift{.motor = belt.motor,
                       .driver = belt.driver,
                       .loss = Efficiency(0.3),
                       .moving = belt.moving,
                       .guide = belt.guide,
                       .incline = degrees(90)};
  lift.travel = millimetres(100);
  lift.screw.lead_millimetres = Fraction(2);
  lift.screw.outer_diameter = millimetres(10);
  lift.screw.mean_diameter = millimetres(9);
  lift.screw.minor_diameter = millimetres(7.5);
  lift.screw.bearing_distance = millimetres(200);
  loft.axes.front().drive = lift;
  want(loft).speed = millimetres_per_second(8);
  for (const char* key : {"constant_speed_torque", "accelerating_torque"}) {
    CAPTURE(key);
    const Finding f = found(loft, key);
    for (const report::Detail& d : f.details) CHECK_FALSE(d.label.starts_with("torque going down"));
  }
}

TEST_CASE("check_machine refuses a machine with a field that was never set", "[check][error]") {
  const auto refuses = [](auto spoil, const char* text) {
    Machine bad = kite_loft();
    spoil(bad);
    CHECK_THROWS_MATCHES(check_machine(bad), InvalidInput, Message(text));
  };
  refuses([](auto& m) { want(m).speed = unset<Speed>(); }, "speed must be >= 0, got nan m/s");
  refuses([](auto& m) { want(m).acceleration = unset<Acceleration>(); },
          "acceleration must be >= 0, got nan m/s^2");
  refuses([](auto& m) { m.supply.voltage = unset<Voltage>(); }, "voltage must be > 0, got nan V");
  refuses([](auto& m) { drive(m).motor.inductance = unset<Inductance>(); },
          "inductance must be > 0, got nan H");
  refuses([](auto& m) { drive(m).driver.current = unset<Current>(); },
          "driver current must be > 0, got nan A");
  refuses([](auto& m) { m.controller.decimals = 12; }, "decimals must be from 0 to 9, got 12");
  refuses([](auto& m) { drive(m).travel = unset<Length>(); },
          "travel must be > 0 and <= span, got nan m");
}

TEST_CASE("check_machine refuses a machine without its limits", "[check][error]") {
  Machine m = kite_loft();
  m.supply.power = unset<Power>();
  CHECK_THROWS_MATCHES(check::check_machine(m), InvalidInput,
                       Message("supply power must be > 0, got nan W"));
  m = kite_loft();
  m.controller.pulse_rate = unset<PulseRate>();
  CHECK_THROWS_MATCHES(check::check_machine(m), InvalidInput,
                       Message("pulse rate must be > 0, got nan pulse/s"));
}

TEST_CASE("the belt is judged at the peak of the start by hand", "[check][property]") {
  Machine m = kite_loft();
  want(m).stroke = millimetres(1500);  // long enough that the start asks most
  const double friction = 0.004 * 0.9 * 9.80665 + 4.0;
  const double inertial = (0.9 + 2 * 1.7 * 0.009 * 1.4) * 2.0;
  // Wound up by twice the friction, as after another move.
  const double peak =
      friction + inertial + std::sqrt(1.15 * inertial * inertial + 4.0 * inertial * friction);
  // Nearest to the drive pulley, 0.1 m of 3.4 m, the far strand takes nearly nothing of the pull.
  const double tension = peak * (1.0 - 0.1 / 3.4);
  const Finding strand = found(m, "belt_tension");
  CHECK_THAT(detail(strand, "tension to set, each strand"), WithinRel(tension, 1e-9));
  CHECK_THAT(detail(strand, "without service factor"), WithinRel(2.0 * tension, 1e-9));
  CHECK_THAT(strand.margin, WithinRel(39.0 / (2.0 * tension), 1e-9));
  const Finding teeth = found(m, "tooth_mesh");
  CHECK_THAT(detail(teeth, "without service factor"), WithinRel(peak, 1e-9));
  CHECK_THAT(teeth.limit.coherent(), WithinRel(39.0, 1e-9));  // ten teeth mesh: no deduction

  drive(m).belt.profile.open_ended_tension.rows.front().value = newtons(2.0 * tension - 0.01);
  CHECK(found(m, "belt_tension").verdict == Verdict::fails);
}

TEST_CASE("what is not known of a belt is unsure and asks for it", "[check][property]") {
  Machine m = kite_loft();
  drive(m).belt.profile.open_ended_tension = {};
  drive(m).belt.profile.smallest_pulley = {};
  for (const char* key : {"belt_tension", "tooth_mesh", "smallest_pulley"}) {
    CAPTURE(key);
    const Finding f = found(m, key);
    CHECK(f.verdict == Verdict::unsure);
    CHECK_FALSE(f.remedy.empty());
    CHECK(std::isnan(f.margin));
  }
}

TEST_CASE("a pulley below the smallest fails and the smallest itself holds", "[check][property]") {
  Machine m = kite_loft();
  drive(m).pulley_teeth = 12;
  CHECK(found(m, "smallest_pulley").verdict == Verdict::holds);
  drive(m).pulley_teeth = 11;
  CHECK(found(m, "smallest_pulley").verdict == Verdict::fails);
}

TEST_CASE("an axis above saturation is unsure of its swings, one below it holds",
          "[check][property]") {
  Machine m = kite_loft();
  CHECK(found(m, "stability").verdict == Verdict::holds);
  want(m).speed = millimetres_per_second(900);
  const Finding fast = found(m, "stability");
  CHECK(fast.verdict == Verdict::unsure);
  CHECK_FALSE(fast.remedy.empty());
}

TEST_CASE("a motor whose figures do not fit together is questioned", "[check][property]") {
  Machine m = kite_loft();
  const auto questions = [&] {
    std::size_t count = 0;
    // Kept: a range over part of a temporary outlives it before C++23.
    const Report report = check_machine(m);
    for (const Finding& f : report.axes.front().findings)
      count += f.key == "motor_figures" ? 1U : 0U;
    return count;
  };
  CHECK(questions() == 0);
  drive(m).motor.inductance = henries(2.6);  // H for mH
  CHECK(questions() > 0);
}

TEST_CASE("the winding is as warm at its rating as the rating allows", "[check][property]") {
  Machine m = kite_loft();
  drive(m).driver.current = drive(m).motor.rated_current;
  const Finding f = found(m, "winding_heat");
  CHECK_THAT(f.value.coherent(), WithinRel(80.0, 1e-9));
  CHECK(f.verdict == Verdict::tight);
  drive(m).driver.current = 1.5 * drive(m).motor.rated_current;
  CHECK(found(m, "winding_heat").verdict == Verdict::unsure);
}

}  // namespace
}  // namespace pitchline
