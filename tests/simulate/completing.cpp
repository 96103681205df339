#include "pitchline/simulate/completing.hpp"

#include <string>

#include "support/catch.hpp"
#include "support/simulate_axes.hpp"

namespace pitchline {
namespace {

using simulate::AccelerationSearch;
using simulate::SimulatedAxis;

const motion::RunningMove tabled_move{.speed = metres_per_second(0.5), .stroke = metres(0.3)};
const motion::RunningMove short_move{.speed = metres_per_second(0.3), .stroke = millimetres(30)};

AccelerationSearch between(double from, double up_to) {
  return {.from = metres_per_second_squared(from), .up_to = metres_per_second_squared(up_to)};
}

TEST_CASE("axes lose steps at the acceleration that other simulations found",
          "[simulate][published]") {
  int met = 0;
  for (const testing::CsvRow& row : testing::published("axis_step_loss.csv")) {
    if (row.text("drive_model") != "avg_saturated") continue;
    CAPTURE(row.text("case"), row.text("jerk_time_over_accel_time"));
    ++met;
    const double a = row.number("a_sim_max_m_s2");
    AccelerationSearch search = between(0.91 * a, 1.2 * a);
    search.jerk_time_over_ramp_time = row.number("jerk_time_over_accel_time");
    // Coarse, for the time it takes: 4 % of tolerance in 10 %.
    search.scan = 0.04;
    search.tolerance = 0.05;
    const auto found = simulate::largest_completing_acceleration(
        testing::tabled_axis(row), tabled_move, search, {}, milliseconds(50));
    REQUIRE(found.completes.has_value());
    REQUIRE(found.fails.has_value());
    CHECK(in_metres_per_second_squared(*found.fails) < 1.1 * a);
    CHECK(in_metres_per_second_squared(*found.completes) > 0.9 * a);
  }
  CHECK(met == 12);
}

TEST_CASE("the search ends between a move that completes and one that fails",
          "[simulate][property]") {
  const SimulatedAxis axis = testing::first_tabled_axis();
  AccelerationSearch search = between(18, 60);
  search.scan = 0.2;
  search.tolerance = 0.02;
  const Time settling = milliseconds(30);
  const auto found =
      simulate::largest_completing_acceleration(axis, short_move, search, {}, settling);
  REQUIRE(found.completes.has_value());
  REQUIRE(found.fails.has_value());
  CHECK(*found.completes < *found.fails);
  CHECK(*found.fails - *found.completes <= 0.02 * *found.completes);
  motion::RunningMove move = short_move;
  move.acceleration = *found.completes;
  CHECK(simulate::completes(axis, move, {}, settling));
  move.acceleration = *found.fails;
  CHECK_FALSE(simulate::completes(axis, move, {}, settling));
}

TEST_CASE("the search says where it found no limit on one side", "[simulate][property]") {
  const SimulatedAxis axis = testing::first_tabled_axis();
  const Time settling = milliseconds(30);
  const auto all =
      simulate::largest_completing_acceleration(axis, short_move, between(5, 5.2), {}, settling);
  CHECK(all.completes.has_value());
  CHECK_FALSE(all.fails.has_value());
  // The rigid axis needs 0.7 N·m for 100 m/s², and the motor has 0.32.
  const auto none =
      simulate::largest_completing_acceleration(axis, short_move, between(100, 120), {}, settling);
  CHECK_FALSE(none.completes.has_value());
  REQUIRE(none.fails.has_value());
  CHECK(*none.fails == metres_per_second_squared(100));
}

TEST_CASE("a motor that holds the whole load does not fall out", "[simulate][property]") {
  const SimulatedAxis axis = testing::spinning_motor("NEMA17", amperes(1.5), volts(24));
  CHECK_FALSE(
      simulate::falling_out_torque(axis, metres_per_second(0.2), seconds(0.1), newton_metres(0.2))
          .has_value());
}

TEST_CASE("the searches refuse what their tables exclude", "[simulate][error]") {
  const SimulatedAxis axis = testing::first_tabled_axis();
  const auto search = [&](const AccelerationSearch& s) {
    return simulate::largest_completing_acceleration(axis, short_move, s);
  };
  CHECK_THROWS_AS(search({}), InvalidInput);
  CHECK_THROWS_AS(search(between(0, 1)), InvalidInput);
  CHECK_THROWS_AS(search(between(2, 1)), InvalidInput);
  AccelerationSearch wrong = between(1, 2);
  wrong.scan = 0.0;
  CHECK_THROWS_AS(search(wrong), InvalidInput);
  wrong = between(1, 2);
  wrong.tolerance = 0.0;
  CHECK_THROWS_AS(search(wrong), InvalidInput);
  wrong = between(1, 2);
  wrong.jerk_time_over_ramp_time = -1.0;
  CHECK_THROWS_AS(search(wrong), InvalidInput);
  CHECK_THROWS_AS(
      simulate::falling_out_torque(axis, metres_per_second(0), seconds(1), newton_metres(1)),
      InvalidInput);
  CHECK_THROWS_AS(
      simulate::falling_out_torque(axis, metres_per_second(1), seconds(1), newton_metres(0)),
      InvalidInput);
  CHECK_THROWS_AS(
      simulate::falling_out_torque(axis, metres_per_second(1), seconds(0), newton_metres(1)),
      InvalidInput);
}

}  // namespace
}  // namespace pitchline
