#include "pitchline/tune/trial_runs.hpp"
#include "pitchline/check/axis_state.hpp"

#include "support/catch.hpp"
#include "support/chance.hpp"
#include "support/is_near.hpp"
#include "support/kite_loft.hpp"

namespace pitchline::tune {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using testing::Chance;

// A machine whose truth is known: it holds a run where at every moment of the move its motor has
// `strength` times the dependable torque and that is no less than what is asked with `drag`.
struct RealMachine {
  double drag;  // N
  double strength;

  [[nodiscard]] bool holds(const machine::Machine& file, Speed speed, Acceleration a) const {
    machine::Axis axis = file.axes.front();
    machine::belt_drive(axis).guide.drag = newtons(drag);
    axis.want.speed = speed;
    axis.want.acceleration = a;
    const check::AxisState s = check::state_of(file, axis);
    return strength * check::tightest_moment(s).margin >= 1.0;
  }
  [[nodiscard]] TrialRun run(const machine::Machine& file, double speed, double a) const {
    const Speed v = millimetres_per_second(speed);
    const auto acceleration = metres_per_second_squared(a);
    return {.speed = v, .acceleration = acceleration, .held = holds(file, v, acceleration)};
  }
  // Margin of the wanted move, from the same moments.
  [[nodiscard]] double margin(const machine::Machine& file) const {
    machine::Axis axis = file.axes.front();
    machine::belt_drive(axis).guide.drag = newtons(drag);
    const check::AxisState s = check::state_of(file, axis);
    return strength * check::tightest_moment(s).margin;
  }
};

// Raises the acceleration at some speeds until a step is lost, as a builder does.
std::vector<TrialRun> raised_until_lost(const RealMachine& real, const machine::Machine& file,
                                        const std::vector<double>& speeds, double growth) {
  std::vector<TrialRun> runs;
  for (const double speed : speeds) {
    for (double a = 0.3; a < 60.0; a *= growth) {
      runs.push_back(real.run(file, speed, a));
      if (!runs.back().held) break;
      if (runs.size() > 1 && runs[runs.size() - 2].speed == runs.back().speed)
        runs.erase(runs.end() - 2);  // the last held one says all
    }
  }
  return runs;
}

TEST_CASE("trial runs always enclose the truth that made them", "[tune][property]") {
  const machine::Machine file = testing::kite_loft();
  Chance chance(41);
  int settled = 0;
  for (int i = 0; i < 60; ++i) {
    const RealMachine real{chance.between(0.5, 20.0), chance.between(0.6, 1.6)};
    std::vector<TrialRun> runs;
    for (int n = 0; n < 8; ++n) {
      // One after the other: compilers differ in the order of what stands in a call.
      const double speed = chance.between(50, 700);
      const double acceleration = chance.between(3.0, 30.0);
      runs.push_back(real.run(file, speed, acceleration));
    }
    CAPTURE(i, real.drag, real.strength);
    const TrialResult r = explain_trials(file, file.axes.front(), runs);
    CHECK(r.outcome != TrialOutcome::contradictory);
    if (r.outcome != TrialOutcome::settled) continue;
    ++settled;
    CHECK(r.least.drag <= newtons(real.drag));
    CHECK(r.most.drag >= newtons(real.drag));
    CHECK(r.least.strength <= real.strength);
    CHECK(r.most.strength >= real.strength);
    // The margin is a ratio along the curve of one drag; between the drags looked at it may lie a
    // little outside.
    CHECK(r.least_margin <= 1.001 * real.margin(file));
    CHECK(r.most_margin >= 0.999 * real.margin(file));
    CHECK(r.cautious.strength >= r.least.strength);
  }
  CHECK(settled >= 40);
}

TEST_CASE("runs raised until they lose steps settle drag and strength narrowly",
          "[tune][property]") {
  const machine::Machine file = testing::kite_loft();
  const RealMachine real{9.0, 0.85};
  const auto runs = raised_until_lost(real, file, {40, 250, 450, 600, 700}, 1.02);
  const TrialResult r = explain_trials(file, file.axes.front(), runs);
  REQUIRE(r.outcome == TrialOutcome::settled);
  CAPTURE(r.least.drag, r.most.drag, r.least.strength, r.most.strength);
  CHECK(r.least.drag <= newtons(9.0));
  CHECK(r.most.drag >= newtons(9.0));
  CHECK(r.most.drag - r.least.drag < newtons(4.0));
  CHECK(r.least.strength <= 0.85);
  CHECK(r.most.strength >= 0.85);
  CHECK(r.most.strength - r.least.strength < 0.12);
  CHECK_FALSE(r.drag_may_be_zero);
  CHECK_FALSE(r.strength_open);
  // The margin of the wanted move is known better than either.
  CHECK(r.most_margin / r.least_margin < 1.06);
  CHECK(r.least_margin <= real.margin(file));
  CHECK(r.most_margin >= real.margin(file));
}

TEST_CASE("what is written to the file makes the check come out as the machine does",
          "[tune][property]") {
  // A weak motor with much friction, one with little, and one as strong as it is reckoned.
  for (const RealMachine& real :
       {RealMachine{9.0, 0.85}, RealMachine{2.0, 0.7}, RealMachine{6.0, 1.0}}) {
    machine::Machine file = testing::kite_loft();
    const auto runs = raised_until_lost(real, file, {40, 250, 450, 600, 700}, 1.05);
    const TrialResult r = explain_trials(file, file.axes.front(), runs);
    CAPTURE(real.drag, real.strength);
    REQUIRE(r.outcome == TrialOutcome::settled);
    REQUIRE(r.to_write);
    CHECK(r.to_write->strength <= 1.0);
    CHECK(r.to_write->drag >= r.least.drag);
    CHECK(r.to_write->drag <= r.most.drag);
    machine::belt_drive(file.axes.front()).guide.drag = r.to_write->drag;
    const check::AxisState s = check::state_of(file, file.axes.front());
    const double dependable_over_asked = check::tightest_moment(s).margin;
    const TorqueMargin margin = margin_to_write(TorqueMargin(1.1), r.to_write->strength);
    // Check and machine agree: what is over the written margin is over the builder's on the
    // machine, and never more than the machine really has.
    CHECK_THAT(dependable_over_asked / margin.value(), WithinRel(r.least_margin / 1.1, 1e-6));
    CHECK(dependable_over_asked / margin.value() <=
          1.001 * real.margin(testing::kite_loft()) / 1.1);
  }
}

TEST_CASE("a motor stronger than reckoned leaves nothing to write", "[tune][property]") {
  const machine::Machine file = testing::kite_loft();
  const auto runs = raised_until_lost({4.0, 1.6}, file, {40, 250, 450, 600, 700}, 1.02);
  const TrialResult r = explain_trials(file, file.axes.front(), runs);
  REQUIRE(r.outcome == TrialOutcome::settled);
  CHECK(r.least.strength > 1.0);
  CHECK_FALSE(r.to_write);
}

TEST_CASE("runs that all held or all lost bound one side", "[tune][property]") {
  const machine::Machine file = testing::kite_loft();
  const machine::Axis& axis = file.axes.front();
  const RealMachine real{4.0, 1.0};  // the drag of the file
  const auto both = raised_until_lost(real, file, {300}, 1.01);
  REQUIRE(both.size() == 2);
  const TrialResult held = explain_trials(file, axis, {both[0]});
  CHECK(held.outcome == TrialOutcome::none_lost);
  CHECK(held.least.strength <= 1.0);
  CHECK(held.least.strength > 0.98);
  CHECK(std::isinf(held.most.strength));
  CHECK(std::isinf(held.most_margin));
  CHECK(held.least.drag == newtons(4));
  CHECK(held.least_margin <= real.margin(file));
  const TrialResult lost = explain_trials(file, axis, {both[1]});
  CHECK(lost.outcome == TrialOutcome::none_held);
  CHECK(lost.least.strength == 0.0);
  CHECK(lost.most.strength > 1.0);
  CHECK(lost.most.strength < 1.02);
  CHECK(lost.most_margin >= real.margin(file));
}

TEST_CASE("runs that contradict each other are named", "[tune][property]") {
  const machine::Machine file = testing::kite_loft();
  const std::vector<TrialRun> runs{{.speed = millimetres_per_second(200),
                                    .acceleration = metres_per_second_squared(1),
                                    .held = true},
                                   {.speed = millimetres_per_second(300),
                                    .acceleration = metres_per_second_squared(2),
                                    .held = false},
                                   {.speed = millimetres_per_second(400),
                                    .acceleration = metres_per_second_squared(3),
                                    .held = true}};
  const TrialResult r = explain_trials(file, file.axes.front(), runs);
  CHECK(r.outcome == TrialOutcome::contradictory);
  REQUIRE(r.pairs.size() == 1);
  CHECK(r.pairs[0].held == 2);
  CHECK(r.pairs[0].lost == 1);
}

TEST_CASE("the stroke of a run counts in place of the wanted one", "[tune][property]") {
  const machine::Machine file = testing::kite_loft();
  TrialRun run{.speed = millimetres_per_second(300),
               .acceleration = metres_per_second_squared(3),
               .held = true};
  const auto needed = [&] { return explain_trials(file, file.axes.front(), {run}).least.strength; };
  const double any = needed();
  run.stroke = millimetres(1000);  // the swings of the start die down on the way
  CHECK(needed() < any);
}

TEST_CASE("margin_to_write raises the margin of a weak motor alone", "[tune][property]") {
  CHECK_THAT(margin_to_write(TorqueMargin(1.1), 0.55).value(), WithinRel(2.0, 1e-12));
  CHECK(margin_to_write(TorqueMargin(1.1), 1.3) == TorqueMargin(1.1));
}

TEST_CASE("explain_trials refuses what its table excludes", "[tune][error]") {
  machine::Machine file = testing::kite_loft();
  const machine::Axis& axis = file.axes.front();
  CHECK_THROWS_MATCHES(explain_trials(file, axis, {}), InvalidInput,
                       Message("trial runs must be >= 1, got 0"));
  CHECK_THROWS_MATCHES(explain_trials(file, axis, {{.acceleration = metres_per_second_squared(1)}}),
                       InvalidInput, Message("speed of a run must be > 0, got nan mm/s"));
  CHECK_THROWS_MATCHES(explain_trials(file, axis, {{.speed = metres_per_second(1)}}), InvalidInput,
                       Message("acceleration of a run must be > 0, got nan m/s^2"));
  CHECK_THROWS_MATCHES(margin_to_write(TorqueMargin(1.1), 0.0), InvalidInput,
                       Message("strength must be > 0, got 0"));
  CHECK_THROWS_AS(margin_to_write(TorqueMargin(1.1), 0.1), InvalidInput);
  CHECK_FALSE(with_drag(axis::RotaryAxis{.hold = axis::Chuck{}}, newtons(1)));
}

}  // namespace
}  // namespace pitchline::tune
