// Machines are drawn, and what several programs print of them is held to one another: what
// pitchline-check, -values, -belt, -motor and -move say rests on the functions asked here.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>

#include "pitchline/belt/plucked_span.hpp"
#include "pitchline/belt/tension.hpp"
#include "pitchline/belt/tension_to_set.hpp"
#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/check_machine.hpp"
#include "pitchline/check/make_motor_sheet.hpp"
#include "pitchline/check/motor_use.hpp"
#include "pitchline/check/rows/raster.hpp"
#include "pitchline/check/to_order.hpp"
#include "pitchline/prove/as_simulated.hpp"
#include "pitchline/prove/move_proof.hpp"
#include "pitchline/settings/controller_values.hpp"
#include "support/catch.hpp"
#include "support/chance.hpp"
#include "support/findings.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::WithinRel;

// The kite loft with other loads, speeds, belts, drivers and supplies: x works lines, y steps.
machine::Machine drawn(testing::Chance& chance) {
  machine::Machine m = testing::kite_loft();
  m.supply.voltage = volts(chance.between(24, 60));
  machine::Axis& axis = m.axes.front();
  axis::BeltAxis& belt = machine::belt_drive(axis);
  belt.moving.front().mass = kilograms(std::exp(chance.between(std::log(0.4), std::log(6.0))));
  belt.guide.drag = newtons(chance.between(1, 15));
  belt.pulley_teeth = 14 + static_cast<int>(chance.between(0, 26));
  belt.driver.current = chance.between(0.5, 1.0) * belt.motor.rated_current;
  belt.driver.pulses_per_turn = pulses(std::pow(2.0, std::floor(chance.between(1, 7))) * 200.0);
  belt.span = metres(chance.between(1.6, 3.0));
  belt.belt.profile.start_tension = {.rows = {{millimetres(9), newtons(chance.between(10, 90))}},
                                     .source = "invented"};
  belt.belt.profile.least_tension = {.rows = {{millimetres(9), newtons(chance.between(3, 30))}},
                                     .source = "invented"};
  belt.belt.profile.open_ended_tension = {
      .rows = {{millimetres(9), newtons(chance.between(40, 400))}}, .source = "invented"};
  belt.motor.shaft_load = newtons(chance.between(40, 300));
  axis.want.speed = metres_per_second(chance.between(0.05, 0.6));
  axis.want.acceleration = metres_per_second_squared(chance.between(0.3, 4));
  axis.want.jerk_time = seconds(chance.between(0, 1) < 0.5 ? 0.0 : chance.between(0.01, 0.1));
  machine::Axis across = axis;
  across.name = "y";
  axis.raster = machine::Raster{.line = millimetres(chance.between(200, 1000)),
                                .speed = axis.want.speed,
                                .height = millimetres(chance.between(1, 200)),
                                .line_pitch = millimetres(chance.between(0.05, 1)),
                                .across = "y"};
  m.axes.push_back(across);
  return m;
}

template <class Hold>
void hold_all(Hold&& hold) {
  testing::Chance chance(14);
  for (int n = 0; n < 20; ++n) {
    const machine::Machine m = drawn(chance);
    const machine::Axis& axis = m.axes.front();
    CAPTURE(n, in_metres_per_second(axis.want.speed), in_volts(m.supply.voltage));
    hold(m, axis, check::state_of(m, axis));
  }
}

TEST_CASE("check and values set the same steps and currents", "[check][property]") {
  hold_all([](const machine::Machine& m, const machine::Axis& axis, const check::AxisState& s) {
    const report::ToSet set = check::to_set(s);
    const report::AxisValues values = settings::axis_values(m, axis);
    CHECK(set.pulses.exact == machine::pulses_per_millimetre(axis.drive).factor);
    CHECK(set.pulses.kept == values.pulses_per_mm.kept);
    CHECK(set.rms == values.rms);
    CHECK_THAT(in_amperes(set.peak), WithinRel(in_amperes(values.peak), 1e-12));
    const report::MotorSheet sheet = check::motor_sheet(check::motor_use(m, axis));
    CHECK_THAT(in_amperes(sheet.rms), WithinRel(in_amperes(values.rms), 1e-12));
  });
}

TEST_CASE("check, belt and the row of the tension recommend one tension", "[check][property]") {
  int as_listed = 0;
  hold_all([&](const machine::Machine& m, const machine::Axis&, const check::AxisState& s) {
    const report::ToSet set = check::to_set(s);
    REQUIRE(set.strand_tension);
    REQUIRE(set.strand_tension_least);
    REQUIRE(set.strand_tension_most);
    CHECK(*set.strand_tension >= *set.strand_tension_least);
    CHECK(*set.strand_tension <= *set.strand_tension_most);
    const report::Finding row = testing::row(check::check_machine(m), "belt_tension");
    CHECK(testing::detail(row, "tension to set, each strand") == in_newtons(*set.strand_tension));
    CHECK(testing::detail(row, "of it at least") == in_newtons(*set.strand_tension_least));
    CHECK(testing::detail(row, "of it at most") == in_newtons(*set.strand_tension_most));
    // What the belt alone recommends stands wherever the machine needs no more and bears it.
    const belt::TensionToSet alone = belt::tension_to_set(s.belt().belt);
    if (alone.value >= *set.strand_tension_least && alone.value <= *set.strand_tension_most) {
      ++as_listed;
      CHECK(alone.value == *set.strand_tension);
    }
    REQUIRE(set.note);
    const LinearDensity mass = parts::mass_per_length(s.belt().belt);
    CHECK(belt::plucked_frequency({.free_length = set.note->span, .mass_per_length = mass},
                                  *set.strand_tension) == set.note->note);
    CHECK(set.note->note >= hertz(60));
  });
  CHECK(as_listed >= 5);
}

TEST_CASE("check, motor sheet and simulation count on one torque at the wanted speed",
          "[check][property]") {
  hold_all([](const machine::Machine& m, const machine::Axis& axis, const check::AxisState& s) {
    const report::MotorSheet sheet = check::motor_sheet(check::motor_use(m, axis));
    CHECK_THAT(in_newton_metres(sheet.at_reference.verdict.torque),
               WithinRel(in_newton_metres(s.at_speed.torque), 1e-9));
    const simulate::SimulatedAxis simulated = prove::as_simulated(s);
    CHECK(simulated.axis.friction == s.seen.friction);
    CHECK(simulated.belt_stiffness == s.stiffness);
    CHECK(simulated.share);
  });
}

TEST_CASE("no table gives less torque at more voltage", "[check][property]") {
  hold_all([](const machine::Machine& m, const machine::Axis& axis, const check::AxisState&) {
    const report::MotorSheet sheet = check::motor_sheet(check::motor_use(m, axis));
    REQUIRE(sheet.voltage.verdict.size() > 1);
    for (const auto* table : {&sheet.voltage.loss_free, &sheet.voltage.verdict})
      for (std::size_t i = 1; i < table->size(); ++i)
        CHECK(table->at(i).torque >= 0.999999 * table->at(i - 1).torque);
  });
}

TEST_CASE("check and move allow one acceleration by torque", "[check][property]") {
  hold_all([](const machine::Machine& m, const machine::Axis&, const check::AxisState& s) {
    const report::Report report = check::check_machine(m);
    const auto& binds = report.axes.front().binds;
    const auto torque = std::find_if(binds.begin(), binds.end(), [](const report::Binding& each) {
      return each.key == "torque_margin";
    });
    REQUIRE(torque != binds.end());
    if (is_finite(torque->allowed))
      CHECK_THAT(in_metres_per_second_squared(torque->allowed),
                 WithinRel(in_metres_per_second_squared(prove::allowed_by_torque(s)), 1e-4));
  });
}

TEST_CASE("check, values and move have one overrun and one time of a raster", "[check][property]") {
  hold_all([](const machine::Machine& m, const machine::Axis& axis, const check::AxisState& s) {
    const report::Finding row = testing::row(check::check_machine(m), "raster_overrun");
    const check::RasterRun run = check::raster_run(s, m.axes.back());
    // The lag of the rotor is found to a millionth of the torque, from whichever answer is near:
    // the last digits depend on what was asked before.
    CHECK_THAT(row.value.coherent(), WithinRel(in_metres(run.lines.overrun), 1e-6));
    CHECK_THAT(testing::detail(row, "time of all lines"),
               WithinRel(in_seconds(run.time.all), 1e-6));
    CHECK(prove::lines_of(run, axis.want.jerk_time).move.stroke ==
          run.lines.line + 2.0 * run.lines.overrun);
    for (const report::OverrunAt& at : settings::overruns(m, axis))
      if (at.speed == axis.raster->speed && run.settling) CHECK(at.settled == run.lines.overrun);
  });
}

}  // namespace
}  // namespace pitchline
