#include "pitchline/prove/move_proof.hpp"

#include <algorithm>
#include <cmath>

#include "pitchline/check/rows/drive.hpp"
#include "pitchline/check/search/capability.hpp"
#include "pitchline/motor/resonance.hpp"
#include "pitchline/prove/move_report.hpp"
#include "pitchline/prove/trust_map.hpp"
#include "support/catch.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

// Two motors and rasters are tested where a file gives them; here one axis, moved for a short way.
machine::Machine loft_with(Length stroke) {
  machine::Machine loft = testing::kite_loft();
  loft.axes.front().want.stroke = stroke;
  return loft;
}

TEST_CASE("an axis without a wanted stroke is moved over all its travel", "[check]") {
  const machine::Machine loft = testing::kite_loft();
  const check::AxisState state = check::state_of(loft, loft.axes.front());
  CHECK(prove::move_to_simulate(state).stroke == millimetres(1500));
  const machine::Machine other = loft_with(millimetres(60));
  CHECK(prove::move_to_simulate(check::state_of(other, other.axes.front())).stroke ==
        millimetres(60));
}

TEST_CASE("a search runs the shortest stroke that reaches the speed", "[check][property]") {
  machine::Machine loft = testing::kite_loft();
  loft.axes.front().want.jerk_time = milliseconds(40);
  const check::AxisState state = check::state_of(loft, loft.axes.front());
  // 0.3 m/s: 0.09/2 m of ramps and 12 mm more for the jerk time.
  const auto stroke = [&](double speed, double a) {
    return in_millimetres(
        prove::stroke_to_search(state, metres_per_second(speed), metres_per_second_squared(a)));
  };
  CHECK_THAT(stroke(0.3, 2.0), WithinRel(57.0, 1e-12));
  CHECK(stroke(3.0, 1.0) == 1500.0);  // no more than the travel
  const machine::Machine given = loft_with(millimetres(33));
  const check::AxisState other = check::state_of(given, given.axes.front());
  CHECK(prove::stroke_to_search(other, metres_per_second(3), metres_per_second_squared(1)) ==
        millimetres(33));
}

TEST_CASE("a swing is watched until it is down to a twentieth, within bounds",
          "[check][property]") {
  const machine::Machine loft = testing::kite_loft();
  check::AxisState state = check::state_of(loft, loft.axes.front());
  state.swing =
      motion::ElasticMode{.natural_frequency = hertz(20), .damping_ratio = DampingRatio(0.05)};
  const Time watched = prove::time_to_watch(state);
  CHECK_THAT(std::exp(-0.05 * 2.0 * std::numbers::pi * 20.0 * in_seconds(watched)),
             WithinRel(std::exp(-3.0), 1e-12));
  state.swing->damping_ratio = DampingRatio(0.5);
  CHECK(prove::time_to_watch(state) == simulate::usual_settling);
  state.swing->damping_ratio = DampingRatio(0.0);
  CHECK(prove::time_to_watch(state) == seconds(1));
  state.swing.reset();
  CHECK(prove::time_to_watch(state) == simulate::usual_settling);
}

TEST_CASE("a proved move says how close it came and where the tool went", "[check][property]") {
  const machine::Machine loft = loft_with(millimetres(25));
  const check::AxisState state = check::state_of(loft, loft.axes.front());
  const simulate::SimulatedAxis axis = prove::as_simulated(state);
  const report::MoveProof proof =
      prove::prove_move(state, axis, {.move = prove::move_to_simulate(state), .trace_points = 50});
  const simulate::MoveAnswer& answer = proof.proved.answer;
  CHECK(proof.completes());
  CHECK(proof.proved.change <= report::proved_to);
  CHECK_THAT(proof.full_steps(),
             WithinRel(in_degrees(answer.outcome.largest_load_angle) / 90.0, 1e-12));
  CHECK_THAT(in_millimetres(proof.full_step), WithinRel(0.2, 1e-12));  // 40 mm a turn of 200 steps
  CHECK(proof.asked);
  CHECK(proof.tolerance == millimetres(0.5));
  CHECK(answer.outcome.energy.imbalance() < 1e-6);
  CHECK(answer.trace.size() >= 50);
  // At rest belt and field stand against the static friction at most.
  const auto of_field = motor::field_stiffness(motor::field_at_rest(axis.winding), Torque{});
  const Stiffness field =
      Stiffness(*of_field / (state.seen.transmission * state.seen.transmission));
  const Length most = 1.05 * axis.static_friction / belt::in_series(state.stiffness, field);
  CHECK(answer.rest_error < most);
  CHECK(-most < answer.rest_error);

  machine::Machine without = loft;
  without.axes.front().want.position_error = unset<Length>();
  const check::AxisState other = check::state_of(without, without.axes.front());
  const report::MoveProof plain =
      prove::prove_move(other, axis, {.move = prove::move_to_simulate(other)});
  CHECK_FALSE(plain.asked);
  CHECK(plain.tolerance == plain.full_step);
  CHECK(plain.proved.answer.trace.empty());
}

TEST_CASE(
    "lines of a raster run with their overrun, and the two ways lie as far apart as statics "
    "say",
    "[check][property]") {
  machine::Machine loft = testing::kite_loft();
  machine::Axis& x = loft.axes.front();
  x.raster = machine::Raster{.line = millimetres(20),
                             .speed = metres_per_second(0.1),
                             .height = millimetres(10),
                             .line_pitch = millimetres(1),
                             .across = "x"};
  x.want.jerk_time = milliseconds(50);
  const check::AxisState state = check::state_of(loft, x);
  const check::RasterRun run = check::raster_run(state, x);
  const prove::MoveQuestion question = prove::lines_of(run, x.want.jerk_time);
  CHECK_THAT(in_millimetres(question.move.stroke),
             WithinRel(20.0 + 2.0 * in_millimetres(run.lines.overrun), 1e-12));
  CHECK(question.move.in_succession == prove::lines_to_simulate);
  CHECK(question.move.dwell == run.time.step);
  const report::MoveProof proof = prove::prove_move(state, prove::as_simulated(state), question);
  REQUIRE(proof.line.has_value());
  CHECK(proof.completes());
  CHECK_THAT(in_millimetres(proof.line->room), WithinRel(740.0, 1e-12));
  // By `raster_offset_finding`, which knows nothing of time: the lag of rotor and belt each way.
  const double statics = 1e3 * check::raster_offset_finding(state, run).value.coherent();
  CHECK_THAT(in_millimetres(proof.line->errors.offset()), WithinRel(statics, 0.2));
}

TEST_CASE("errors on lines tell the offset of the two ways from wandering", "[check]") {
  const report::LineErrors errors{.up_from = millimetres(0.1),
                                  .up_to = millimetres(0.3),
                                  .down_from = millimetres(-0.2),
                                  .down_to = millimetres(-0.1)};
  CHECK_THAT(in_millimetres(errors.offset()), WithinRel(0.35, 1e-12));
  CHECK_THAT(in_millimetres(errors.wandering()), WithinRel(0.1, 1e-12));
}

TEST_CASE("a search begins below what is wanted and allowed, and ends above both",
          "[check][property]") {
  const auto a = [](double x) { return metres_per_second_squared(x); };
  const auto search = prove::search_around({.allowed = a(16), .wanted = a(3)});
  CHECK(search.from == a(1.5));
  CHECK(search.up_to == a(128));
  const auto wanted_is_more = prove::search_around({.allowed = a(4), .wanted = a(30)});
  CHECK(wanted_is_more.from == a(2));
  CHECK(wanted_is_more.up_to == a(60));
  const auto nothing_allowed = prove::search_around({.allowed = a(0), .wanted = a(3)});
  CHECK(nothing_allowed.from == a(1.5));
  CHECK(nothing_allowed.up_to == a(24));
  const auto given =
      prove::search_around({.allowed = a(16), .wanted = a(3)}, {.from = a(2), .up_to = a(5)});
  CHECK(given.from == a(2));
  CHECK(given.up_to == a(5));
}

TEST_CASE("a search that leaves out what is wanted is refused", "[check][error]") {
  const auto a = [](double x) { return metres_per_second_squared(x); };
  CHECK_THROWS_MATCHES(
      prove::search_around({.allowed = a(16), .wanted = a(3)}, {.from = a(4)}), InvalidInput,
      Message("least acceleration tried must be at most the wanted 3 m/s^2, got 4 m/s^2"));
  CHECK_THROWS_MATCHES(prove::search_around({.allowed = a(16), .wanted = a(3)}, {.up_to = a(2.5)}),
                       InvalidInput,
                       Message("largest acceleration tried must be above the least, and at least "
                               "the wanted 3 m/s^2, got 2.5 m/s^2"));
  CHECK_THROWS_AS(prove::search_around({.allowed = a(16), .wanted = a(3)}, {.from = a(0)}),
                  InvalidInput);
}

TEST_CASE("the largest acceleration stands beside the one that the check allows",
          "[check][property]") {
  machine::Machine loft = loft_with(millimetres(12));
  machine::Axis& x = loft.axes.front();
  x.want.speed = metres_per_second(0.25);
  const check::AxisState first = check::state_of(loft, x);
  const Acceleration allowed = prove::allowed_by_torque(first);
  // The same search as that of the check's row.
  CHECK(Measure(allowed).coherent() == check::acceleration_finding(first).value.coherent());
  x.want.acceleration = allowed;
  const check::AxisState state = check::state_of(loft, x);
  simulate::AccelerationSearch search =
      prove::search_around({.allowed = allowed, .wanted = allowed});
  search.from = allowed;
  search.scan = 0.5;
  search.tolerance = 0.004;
  const report::LargestProof proof =
      prove::prove_largest(state, prove::as_simulated(state), allowed, search, [] {});
  REQUIRE(proof.proved.found.completes.has_value());
  CHECK(proof.wanted_completes());
  CHECK(proof.ratio() >= 1.0);
  CHECK_THAT(proof.ratio(), WithinRel(number(*proof.proved.found.completes / allowed), 1e-12));
  CHECK(proof.move.stroke == millimetres(12));
  CHECK(proof.margin.value() == 1.1);
}

TEST_CASE("a jerk time longer than the ramp softens what a move reaches", "[check][property]") {
  report::LargestProof proof;
  proof.move = {
      .speed = metres_per_second(0.3), .stroke = millimetres(100), .jerk_time = milliseconds(50)};
  // The ramp of 10 ms is spread over 50: 0.3 m/s in 50 ms.
  CHECK_THAT(in_metres_per_second_squared(proof.reached(metres_per_second_squared(30))),
             WithinRel(6.0, 1e-9));
  CHECK_THAT(in_metres_per_second_squared(proof.reached(metres_per_second_squared(2))),
             WithinRel(2.0, 1e-9));
}

TEST_CASE("nothing that completes, or nothing allowed, gives no ratio", "[check]") {
  report::LargestProof proof;
  proof.move.acceleration = metres_per_second_squared(3);
  proof.allowed = metres_per_second_squared(5);
  CHECK(std::isnan(proof.ratio()));
  CHECK_FALSE(proof.wanted_completes());
  proof.proved.found.completes = metres_per_second_squared(2);
  CHECK_THAT(proof.ratio(), WithinRel(0.4, 1e-12));
  CHECK_FALSE(proof.wanted_completes());
  proof.proved.found.completes = metres_per_second_squared(3);
  CHECK(proof.wanted_completes());
  proof.allowed = metres_per_second_squared(0);
  CHECK(std::isnan(proof.ratio()));
}

TEST_CASE("a map to fill takes in what is wanted, in steps of at most 8 %", "[check][property]") {
  const machine::Machine loft = testing::kite_loft();
  const check::AxisState state = check::state_of(loft, loft.axes.front());
  const report::TrustMap map = prove::map_to_fill(state);
  REQUIRE(map.range.speeds.size() == map.allowed.size());
  REQUIRE(map.range.speeds.size() == map.strokes.size());
  CHECK(map.range.speeds[7] == metres_per_second(0.3));
  for (std::size_t i = 1; i < map.range.speeds.size(); ++i) {
    CHECK(map.range.speeds[i] > map.range.speeds[i - 1]);
    CHECK(map.allowed[i] <= map.allowed[i - 1]);
  }
  // Eight eighths of the wanted speed; to reach it is to pass the seven below it.
  Acceleration least = prove::allowed_by_torque(state);
  for (int i = 1; i < 8; ++i) {
    const check::AxisState slower = check::at_speed(state, i / 8.0 * state.axis.want.speed);
    least = std::min(least, prove::allowed_by_torque(slower));
  }
  CHECK(map.allowed[7] == least);
  const auto& tried = map.range.accelerations;
  for (std::size_t i = 1; i < tried.size(); ++i) {
    CHECK(tried[i] > tried[i - 1]);
    CHECK(tried[i] <= 1.08 * tried[i - 1] * (1.0 + 1e-12));
  }
  CHECK(std::find(tried.begin(), tried.end(), metres_per_second_squared(2)) != tried.end());
  CHECK(tried.back() == 4.0 * map.allowed.front());
  CHECK(map.growth <= 1.08 * (1.0 + 1e-12));

  const report::TrustMap given = prove::map_to_fill(
      state, {.from = metres_per_second_squared(2), .up_to = metres_per_second_squared(2.1)});
  CHECK(given.range.accelerations.front() == metres_per_second_squared(2));
  CHECK(given.range.accelerations.back() == metres_per_second_squared(2.1));
  CHECK_THROWS_AS(prove::map_to_fill(state, {.from = metres_per_second_squared(2.5)}),
                  InvalidInput);
  CHECK_THROWS_AS(prove::map_to_fill(state, {.up_to = metres_per_second_squared(1.5)}),
                  InvalidInput);
}

TEST_CASE("a column of the map does not depend on when it is filled", "[check][property]") {
  const machine::Machine loft = loft_with(millimetres(10));
  const check::AxisState state = check::state_of(loft, loft.axes.front());
  const simulate::SimulatedAxis axis = prove::as_simulated(state);
  report::TrustMap map = prove::map_to_fill(
      state, {.from = metres_per_second_squared(2), .up_to = metres_per_second_squared(2.2)});
  CHECK_FALSE(map.wanted_completes().has_value());
  const auto column = [&](std::size_t i) { return prove::trust_column(axis, map, i, [] {}); };
  const report::TrustColumn early = column(7);
  column(9);
  const report::TrustColumn late = column(7);
  CHECK(early.column().completes == late.column().completes);
  CHECK(early.column().fails == late.column().fails);
  CHECK(early.stroke == millimetres(10));
  map.columns = {column(6), early};
  REQUIRE(map.wanted_completes().has_value());
  CHECK(*map.wanted_completes());
  map.columns.back().proved.column.completes.reset();
  CHECK_FALSE(*map.wanted_completes());
}

TEST_CASE("a report names what the simulation counts and assumes", "[check]") {
  const machine::Machine loft = testing::kite_loft();
  const check::AxisState state = check::state_of(loft, loft.axes.front());
  const auto words = [&](const prove::SimulationChoice& choice) {
    return fmt::format(
        "{}",
        fmt::join(prove::model_in_words(state, prove::as_simulated(state, choice), choice), "\n"));
  };
  CHECK_THAT(words({}), Contains("which is assumed") && Contains("driver as its average") &&
                            Contains("without microsteps") && Contains("an assumption unless") &&
                            Contains("no bench test") && Contains("holds its voltage"));
  CHECK_THAT(words({.pulses = true, .switching = true}),
             Contains("switches at 30000 Hz") && Contains("16 microsteps"));
}

}  // namespace
}  // namespace pitchline
