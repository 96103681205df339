#include "pitchline/prove/arbitrate.hpp"

#include "pitchline/check/check_machine.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using report::Finding;
using report::Verdict;

struct Judged {
  Finding before{}, after{};
  Verdict binding = Verdict::unsure;  ///< of the same row among what binds, afterwards
};

// An axis that sticks with so much more than it slides with.
Judged judged(Force breakaway, Acceleration wanted) {
  machine::Machine m = testing::kite_loft();
  machine::Axis& x = m.axes.front();
  machine::belt_drive(x).guide.breakaway = breakaway;
  x.want.acceleration = wanted;
  x.want.stroke = millimetres(120);
  report::Report report = check::check_machine(m, {.influences = false, .capability = false});
  Judged out{.before = testing::row(report, "torque_margin")};
  prove::arbitrate(report, m);
  out.after = testing::row(report, "torque_margin");
  for (const report::Binding& b : report.axes.front().binds)
    if (b.key == "torque_margin") out.binding = b.verdict;
  return out;
}

TEST_CASE("a load that sticks harder than it slides is decided by the simulation",
          "[check][property]") {
  const Judged light = judged(newtons(2), metres_per_second_squared(2));
  CHECK(light.before.verdict == Verdict::unsure);
  CHECK_THAT(light.before.reason, Contains("let it go"));
  CHECK(light.after.verdict == report::judge(light.after.margin));
  CHECK(light.after.verdict != Verdict::fails);
  CHECK_THAT(light.after.reason, Contains("simulated: it completes"));
  CHECK(light.binding == Verdict::holds);
}

TEST_CASE("without static friction of its own nothing is simulated", "[check][property]") {
  const Judged plain = judged(Force{}, metres_per_second_squared(2));
  CHECK(plain.before.verdict == plain.after.verdict);
  CHECK(plain.before.reason == plain.after.reason);
  CHECK_THAT(plain.after.reason, !Contains("simulated"));
}

TEST_CASE("what the torque does not allow stays failed", "[check][property]") {
  const Judged much = judged(newtons(2), metres_per_second_squared(500));
  CHECK(much.before.verdict == Verdict::fails);
  CHECK(much.after.verdict == Verdict::fails);
}

TEST_CASE("a report of another machine is refused", "[check][error]") {
  machine::Machine m = testing::kite_loft();
  report::Report report = check::check_machine(m, {.influences = false, .capability = false});
  m.axes.front().name = "other";
  CHECK_THROWS_AS(prove::arbitrate(report, m), InvalidInput);
}

}  // namespace
}  // namespace pitchline
