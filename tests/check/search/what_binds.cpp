#include "pitchline/check/search/what_binds.hpp"

#include <algorithm>
#include <cmath>

#include "pitchline/check/check_machine.hpp"
#include "pitchline/check/rows/drive.hpp"
#include "support/catch.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::WithinRel;
using machine::Machine;
using report::AxisReport;
using report::Binding;
using report::Finding;
using report::Influence;
using report::Verdict;
using testing::kite_loft;

machine::Want& want(Machine& m) { return m.axes.front().want; }

AxisReport checked(const Machine& m, const check::Effort& effort = {}) {
  return check::check_machine(m, effort).axes.front();
}
Binding bound(const AxisReport& axis, const std::string& key) {
  const auto at = std::find_if(axis.binds.begin(), axis.binds.end(),
                               [&](const Binding& b) { return b.key == key; });
  if (at == axis.binds.end()) throw std::runtime_error("nothing binds by " + key);
  return *at;
}
double row_margin(Machine m, const std::string& key, Acceleration a) {
  want(m).acceleration = a;
  const report::Report report = check::check_machine(m);
  for (const Finding& f : report.axes.front().findings)
    if (f.key == key) return f.margin;
  for (const Finding& f : report.common)
    if (f.key == key) return f.margin;
  throw std::runtime_error("no row " + key);
}

TEST_CASE("each mechanism allows exactly what its own row still holds at", "[check][property]") {
  Machine loft = kite_loft();
  loft.supply.power = watts(60);  // so that the supply binds somewhere
  machine::belt_drive(loft.axes.front()).belt.profile.open_ended_tension.rows = {
      {millimetres(9), newtons(200)}};
  const AxisReport axis = checked(loft);
  int finite = 0;
  for (const Binding& b : axis.binds) {
    CAPTURE(b.key);
    if (b.speed_limit || !is_finite(b.allowed)) continue;
    ++finite;
    CHECK(row_margin(loft, b.key, (1.0 - 1e-4) * b.allowed) >= 1.0);
    CHECK(row_margin(loft, b.key, (1.0 + 1e-4) * b.allowed) < 1.0);
    CHECK_THAT(b.margin, WithinRel(number(b.allowed / want(loft).acceleration), 1e-12));
  }
  CHECK(finite >= 5);
}

TEST_CASE("what binds stands smallest first and what is not known last", "[check][property]") {
  Machine loft = kite_loft();
  machine::belt_drive(loft.axes.front()).belt.profile.stiffness_per_width =
      unset<decltype(parts::BeltProfile::stiffness_per_width)>();
  const AxisReport axis = checked(loft);
  for (std::size_t i = 1; i < axis.binds.size(); ++i) {
    const Acceleration before = axis.binds[i - 1].allowed;
    const Acceleration here = axis.binds[i].allowed;
    CHECK((is_unset(here) || before <= here));
  }
  CHECK(is_unset(axis.binds.back().allowed));
  CHECK(axis.binds.back().verdict == Verdict::unsure);
  CHECK(is_unset(bound(axis, "corner_error").allowed));
}

TEST_CASE("a controller that is too slow allows no acceleration at the wanted speed",
          "[check][property]") {
  // 3200 pulses a turn of 40 mm: 80 pulses a mm, 24 000 a second at 300 mm/s.
  Machine loft = kite_loft();
  loft.controller.pulse_rate = pulses_per_second(12'000);
  const Binding b = bound(checked(loft), "pulse_rate");
  REQUIRE(b.speed_limit);
  CHECK_THAT(in_millimetres_per_second(*b.speed_limit), WithinRel(150.0, 1e-12));
  CHECK(b.allowed == Acceleration{});
  CHECK(b.verdict == Verdict::fails);
  CHECK(checked(loft).binds.front().allowed == Acceleration{});
  loft.controller.pulse_rate = pulses_per_second(24'000.001);
  CHECK(is_finite(bound(checked(loft), "pulse_rate").allowed) == false);
}

TEST_CASE("the motor's row and the acceleration row give the same acceleration",
          "[check][property]") {
  const double jerk = GENERATE(0.0, 0.01, 0.05);
  const int repeats = GENERATE(1, 5);
  Machine loft = kite_loft();
  want(loft).jerk_time = seconds(jerk);
  want(loft).repeats = repeats;
  const AxisReport axis = checked(loft);
  const auto row = std::find_if(axis.findings.begin(), axis.findings.end(),
                                [](const Finding& f) { return f.key == "acceleration"; });
  // What nothing binds comes to what the jerk time lets it.
  const Acceleration allowed = std::min(bound(axis, "torque_margin").allowed, axis.reachable);
  CHECK_THAT(row->value.coherent(), WithinRel(in_metres_per_second_squared(allowed), 1e-5));
  // The plain textbook figure, with neither swings nor margin, is never the smaller one.
  CHECK(axis.textbook >= allowed);
}

TEST_CASE("the acceleration by torque stays under the bounds of a single start",
          "[check][property]") {
  // Without a jerk time the wanted move begins with that start, so it allows no more than the
  // elastic bound and that no more than the rigid one; both are published cases of their headers.
  const double speed = GENERATE(0.1, 0.4, 0.9);
  Machine loft = kite_loft();
  want(loft).speed = metres_per_second(speed);
  const check::AxisState s = check::state_of(loft, loft.axes.front());
  const Acceleration allowed = check::acceleration_by_torque(s, check::hardest_looked_for);
  const Torque usable = s.at_rest.torque / loft.torque_margin.value();
  CHECK(allowed <= motion::soft_belt_acceleration(s.seen, usable));
  CHECK(allowed <= motion::rigid_belt_acceleration(s.seen, usable));
}

TEST_CASE("a longer jerk time, a shorter row of moves and a longer rest never allow less",
          "[check][property]") {
  const auto allowed = [](double jerk, int repeats, double dwell) {
    Machine loft = kite_loft();
    want(loft).stroke = millimetres(200);
    want(loft).jerk_time = seconds(jerk);
    want(loft).repeats = repeats;
    want(loft).dwell = seconds(dwell);
    return bound(checked(loft), "torque_margin").allowed;
  };
  CHECK(allowed(0.02, 1, 0) > allowed(0.0, 1, 0));
  CHECK(allowed(0.06, 1, 0) >= allowed(0.02, 1, 0));
  CHECK(allowed(0.02, 6, 0) < allowed(0.02, 1, 0));
  CHECK(allowed(0.02, 6, 0.5) > allowed(0.02, 6, 0));
}

TEST_CASE("the time of a stroke lasts the jerk time longer than its trapezoid",
          "[check][property]") {
  Machine loft = kite_loft();
  want(loft).stroke = metres(0.3);
  want(loft).jerk_time = seconds(0.05);
  const AxisReport axis = checked(loft, {.capability = true});
  REQUIRE(axis.capability.has_value());
  REQUIRE_FALSE(axis.capability->move_time.empty());
  for (const report::MoveTimePoint& point : axis.capability->move_time) {
    const double v = in_metres_per_second(point.speed);
    const double a = in_metres_per_second_squared(point.acceleration);
    CAPTURE(v, a);
    CHECK_THAT(in_seconds(point.time), WithinRel(0.3 / v + v / a + 0.05, 1e-9));
  }
}

TEST_CASE("what only some drives have binds like any other row", "[check][property]") {
  const auto binds_at_its_row = [](Machine m, const std::string& key) {
    const Binding b = bound(checked(m), key);
    REQUIRE(is_finite(b.allowed));
    CHECK(row_margin(m, key, (1.0 - 1e-4) * b.allowed) >= 1.0);
    CHECK(row_margin(m, key, (1.0 + 1e-4) * b.allowed) < 1.0);
  };
  Machine gantry = kite_loft();
  axis::BeltAxis& drive = machine::belt_drive(gantry.axes.front());
  drive.belt_distance = metres(1.1);
  drive.cross_shaft = axis::ShaftToFarBelt{.shaft = {.diameter = millimetres(8),
                                                     .length = metres(1),
                                                     .shear_modulus = parts::steel_shear_modulus},
                                           .density = kilograms_per_cubic_metre(7850)};
  binds_at_its_row(gantry, "cross_shaft");
  want(gantry).corner_error = unset<Length>();
  CHECK_THROWS(bound(checked(gantry), "cross_shaft"));

  Machine spar = kite_loft();
  spar.axes.front().drive =
      axis::RotaryAxis{.motor = drive.motor,
                       .driver = drive.driver,
                       .hold = axis::Rollers{.motor_turns_per_roller_turn = Fraction(1),
                                             .diameter_millimetres = Fraction(40),
                                             .centre_distance = millimetres(80),
                                             .grip = FrictionCoefficient(0.3)},
                       .heaviest = {.diameter = millimetres(100),
                                    .length = metres(1),
                                    .density = kilograms_per_cubic_metre(400)},
                       .heaviest_diameter_millimetres = Fraction(100)};
  binds_at_its_row(spar, "roller_grip");
}

TEST_CASE("an acceleration harder than any looked for fails what binds as it fails its row",
          "[check][property]") {
  Machine loft = kite_loft();
  want(loft).acceleration = metres_per_second_squared(400);
  want(loft).stroke = millimetres(1);
  axis::BeltAxis& drive = machine::belt_drive(loft.axes.front());
  drive.motor.holding_torque = newton_metres(9);
  drive.moving.front().mass = kilograms(0.05);
  // Supply: the row turns between the hardest looked for and what is wanted.
  const double enough = 350.0 / row_margin(loft, "supply_power", metres_per_second_squared(250));
  loft.supply.power = watts(enough);
  CHECK(row_margin(loft, "supply_power", metres_per_second_squared(400)) < 1.0);
  const Binding b = bound(checked(loft), "supply_power");
  CHECK_THAT(in_metres_per_second_squared(b.allowed), WithinRel(250.0, 1e-5));
  CHECK(b.verdict == Verdict::fails);
}

TEST_CASE("every influence is the answer of the machine changed by hand", "[check][property]") {
  const Machine loft = kite_loft();
  const AxisReport axis = checked(loft, {.influences = true});
  const Acceleration now = axis.binds.front().allowed;
  const auto influence = [&](const std::string& what) {
    for (const Influence& i : axis.influences)
      if (i.what == what) return i;
    throw std::runtime_error("no influence of " + what);
  };
  const auto first = [](const Machine& m) { return checked(m).binds.front().allowed; };

  Machine lighter = loft;
  for (auto& part : machine::belt_drive(lighter.axes.front()).moving) part.mass *= 0.9;
  CHECK(influence("moving mass").allowed_less == first(lighter));
  CHECK_THAT(influence("moving mass").change_less,
             WithinRel(number(first(lighter) / now) - 1.0, 1e-12));
  CHECK(influence("moving mass").change_less > 0.0);
  CHECK(influence("moving mass").change_more < 0.0);

  Machine toothed = loft;
  machine::belt_drive(toothed.axes.front()).pulley_teeth = 22;
  CHECK(influence("pulley teeth").more == "22");
  CHECK(influence("pulley teeth").less == "18");
  CHECK(influence("pulley teeth").allowed_more == first(toothed));

  Machine weaker = loft;
  weaker.supply.voltage *= 0.9;
  CHECK(influence("supply voltage").allowed_less == first(weaker));
  Machine rougher = loft;
  machine::belt_drive(rougher.axes.front()).guide.drag *= 1.1;
  machine::belt_drive(rougher.axes.front()).guide.friction = FrictionCoefficient(1.1 * 0.004);
  CHECK(influence("friction and drag").allowed_more == first(rougher));

  const auto size = [](const Influence& i) {
    return std::max(std::fabs(i.change_less), std::fabs(i.change_more));
  };
  for (std::size_t i = 1; i < axis.influences.size(); ++i) {
    if (!std::isnan(size(axis.influences[i])))
      CHECK(size(axis.influences[i]) <= size(axis.influences[i - 1]));
  }
  // What is not set cannot be changed.
  CHECK_THROWS(influence("belt tension"));
  CHECK_THROWS(influence("jerk time"));
}

TEST_CASE("nothing is worked out that nobody asked for", "[check][property]") {
  const AxisReport axis = checked(kite_loft());
  CHECK(axis.influences.empty());
  CHECK_FALSE(axis.capability);
}

TEST_CASE("the curves of an axis fall, and its fastest move is the least of all that are allowed",
          "[check][property]") {
  Machine loft = kite_loft();
  want(loft).speed = metres_per_second(1.2);
  want(loft).stroke = millimetres(400);
  const auto c = *checked(loft, {.capability = true}).capability;
  REQUIRE(c.over_speed.size() > 20);
  for (std::size_t i = 1; i < c.over_speed.size(); ++i) {
    CHECK(c.over_speed[i].allowed <= c.over_speed[i - 1].allowed);
    CHECK(c.over_speed[i].textbook <= (1.0 + 1e-9) * c.over_speed[i - 1].textbook);
    CHECK(c.over_speed[i].allowed < c.over_speed[i].textbook);
  }
  // Against every pair of speed and acceleration on the curve: t = s/v + v/a, or a triangle.
  for (const report::SpeedPoint& p : c.over_speed) {
    if (p.speed > want(loft).speed || !(p.allowed > Acceleration{})) continue;
    const double v = std::min(in_metres_per_second(p.speed),
                              std::sqrt(0.4 * in_metres_per_second_squared(p.allowed)));
    const double time = 0.4 / v + v / in_metres_per_second_squared(p.allowed);
    CHECK(in_seconds(c.fastest.time) <= 1.01 * time);
  }
  CHECK(c.nearly.acceleration <= c.fastest.acceleration);
  CHECK(c.nearly.time <= 1.05 * c.fastest.time);
  CHECK(c.nearly.acceleration < 0.9 * c.fastest.acceleration);
}

}  // namespace
}  // namespace pitchline
