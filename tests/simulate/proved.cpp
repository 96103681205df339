#include "pitchline/simulate/proved.hpp"

#include <cmath>

#include "support/catch.hpp"
#include "support/simulate_axes.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using simulate::AccelerationSearch;
using simulate::MoveAnswer;
using simulate::SimulatedAxis;

const motion::RunningMove short_move{.speed = metres_per_second(0.3),
                                     .acceleration = metres_per_second_squared(10),
                                     .stroke = millimetres(20)};

AccelerationSearch between(double from, double up_to) {
  return {.from = metres_per_second_squared(from), .up_to = metres_per_second_squared(up_to)};
}

MoveAnswer some_answer() {
  MoveAnswer a;
  a.outcome.largest_load_angle = degrees(40);
  a.outcome.largest_following_error = millimetres(0.5);
  a.outcome.peak_belt_force = newtons(20);
  a.outcome.peak_current = amperes(2);
  a.outcome.lowest_bus = volts(30);
  a.outcome.highest_bus = volts(40);
  a.outcome.energy.electrical = joules(5);
  a.outcome.energy.copper = joules(4);
  a.cruising_error = millimetres(0.2);
  a.overshoot = millimetres(0.01);
  a.ringing = millimetres(0.02);
  a.rest_error = millimetres(-0.1);
  return a;
}

TEST_CASE("every figure of an answer counts in its proof", "[simulate][property]") {
  const MoveAnswer fine = some_answer();
  CHECK(simulate::change_between(fine, fine) == 0.0);
  const auto changed = [&](auto&& change) {
    MoveAnswer coarse = fine;
    change(coarse);
    return simulate::change_between(coarse, fine);
  };
  // One part in a hundred of its own size each.
  for (const double change :
       {changed([](MoveAnswer& a) { a.outcome.largest_load_angle *= 1.01; }),
        changed([](MoveAnswer& a) { a.outcome.largest_following_error *= 0.99; }),
        changed([](MoveAnswer& a) { a.outcome.peak_belt_force *= 1.01; }),
        changed([](MoveAnswer& a) { a.outcome.peak_current *= 0.99; }),
        changed([](MoveAnswer& a) { a.outcome.lowest_bus *= 1.01; }),
        changed([](MoveAnswer& a) { a.outcome.highest_bus *= 1.01; }),
        changed([](MoveAnswer& a) { a.outcome.energy.electrical *= 0.99; }),
        changed([](MoveAnswer& a) { a.outcome.energy.copper *= 1.01; })})
    CHECK_THAT(change, WithinRel(0.01, 1e-9));
  // A hundredth of the largest following error, 5 um, however small the figure itself is.
  const Length part = millimetres(0.005);
  for (const double change : {changed([&](MoveAnswer& a) { a.cruising_error += part; }),
                              changed([&](MoveAnswer& a) { a.overshoot += part; }),
                              changed([&](MoveAnswer& a) { a.ringing += part; }),
                              changed([&](MoveAnswer& a) { a.rest_error += part; }),
                              changed([&](MoveAnswer& a) { a.outcome.largest_skew += part; })})
    CHECK_THAT(change, WithinRel(0.01, 1e-9));
  CHECK(changed([](MoveAnswer& a) { a.settled = seconds(1); }) == 0.0);
}

TEST_CASE("an answer is proved where half its step says the same", "[simulate][property]") {
  const SimulatedAxis axis = testing::first_tabled_axis();
  const simulate::Command command = simulate::command_of(short_move, milliseconds(20));
  simulate::AnswerSettings settings{.tolerance = millimetres(0.1)};
  const auto proved = simulate::answer_to_tolerance(axis, command, settings, 1e-3);
  CHECK(proved.step < settings.run.step);
  CHECK(proved.change <= 1e-3);
  settings.run.step = 2.0 * proved.step;
  const MoveAnswer coarse = simulate::answer(axis, command, settings);
  CHECK(simulate::change_between(coarse, proved.answer) == proved.change);
  settings.run.step = proved.step / 8.0;
  const MoveAnswer finest = simulate::answer(axis, command, settings);
  CHECK(simulate::change_between(proved.answer, finest) < 1e-3);
}

TEST_CASE("that a move loses steps is proved by losing them twice", "[simulate][property]") {
  motion::RunningMove move = short_move;
  move.acceleration = metres_per_second_squared(200);
  const auto proved = simulate::answer_to_tolerance(testing::first_tabled_axis(),
                                                    simulate::command_of(move, milliseconds(20)),
                                                    {.tolerance = millimetres(0.1)}, 1e-7);
  CHECK(proved.answer.outcome.lost_step);
}

TEST_CASE("answer_to_tolerance refuses a tolerance that no step gives", "[simulate][error]") {
  const SimulatedAxis axis = testing::first_tabled_axis();
  const simulate::Command command = simulate::command_of(short_move, milliseconds(1));
  const simulate::AnswerSettings settings{.tolerance = millimetres(0.1)};
  for (const double tolerance : {0.0, 1e-8, std::nan(""), HUGE_VAL})
    CHECK_THROWS_AS(simulate::answer_to_tolerance(axis, command, settings, tolerance),
                    InvalidInput);
}

TEST_CASE("the tries of a search grow by its scan up to its end", "[simulate][property]") {
  const auto tries = simulate::tries_of(between(10, 20));
  REQUIRE(tries.size() == 36);  // 1.02^35 = 1.9999
  CHECK(tries.front() == metres_per_second_squared(10));
  for (std::size_t i = 1; i < tries.size(); ++i)
    CHECK_THAT(number(tries[i] / tries[i - 1]), WithinRel(1.02, 1e-12));
  CHECK(tries.back() <= metres_per_second_squared(20));
}

TEST_CASE("a search that has no tries is refused", "[simulate][error]") {
  CHECK_THROWS_AS(simulate::tries_of({}), InvalidInput);
  CHECK_THROWS_MATCHES(simulate::tries_of(between(10, 9)), InvalidInput,
                       Message("end of the search must be not below its start, got 9 m/s^2"));
  AccelerationSearch search = between(10, 20);
  search.scan = std::nan("");
  CHECK_THROWS_AS(simulate::tries_of(search), InvalidInput);
}

TEST_CASE("the proved acceleration completes at its step, and the failing one fails there",
          "[simulate][property]") {
  const SimulatedAxis axis = testing::first_tabled_axis();
  AccelerationSearch search = between(15, 80);
  search.scan = 0.2;
  search.tolerance = 0.02;
  int tries = 0;
  const auto proved =
      simulate::proved_completing_acceleration(axis, short_move, search, 0.05, [&] { ++tries; });
  REQUIRE(proved.found.completes.has_value());
  REQUIRE(proved.found.fails.has_value());
  CHECK(*proved.found.completes < *proved.found.fails);
  CHECK(*proved.found.fails - *proved.found.completes <= 0.02 * *proved.found.completes);
  CHECK(proved.change <= 0.05);
  CHECK(tries >= 2);
  motion::RunningMove move = short_move;
  move.acceleration = *proved.found.completes;
  CHECK(simulate::completes(axis, move, {.step = proved.step}));
  move.acceleration = *proved.found.fails;
  CHECK_FALSE(simulate::completes(axis, move, {.step = proved.step}));
}

TEST_CASE("a proved search refuses a change below its own tolerance", "[simulate][error]") {
  const SimulatedAxis axis = testing::first_tabled_axis();
  for (const double change : {0.0005, std::nan("")})
    CHECK_THROWS_AS(
        simulate::proved_completing_acceleration(axis, short_move, between(5, 6), change, [] {}),
        InvalidInput);
}

TEST_CASE("a proved column is what the map says, at a step that half of it confirms",
          "[simulate][property]") {
  const SimulatedAxis axis = testing::first_tabled_axis();
  const std::vector<Acceleration> accelerations{metres_per_second_squared(20),
                                                metres_per_second_squared(150),
                                                metres_per_second_squared(160)};
  int tries = 0;
  const auto proved =
      simulate::proved_column(axis, short_move, short_move.speed, accelerations, [&] { ++tries; });
  REQUIRE(proved.column.completes.has_value());
  REQUIRE(proved.column.fails.has_value());
  CHECK(*proved.column.completes == accelerations[0]);
  CHECK(*proved.column.fails == accelerations[1]);
  CHECK(tries == 2);  // nothing above the first failure
  CHECK(proved.step == seconds(12.5e-6));
  CHECK(simulate::trial_of(proved.column, accelerations[2]) == simulate::Trial::above);
}

}  // namespace
}  // namespace pitchline
