#include "pitchline/prove/arbitrate.hpp"

#include "pitchline/check/check_machine.hpp"
#include "pitchline/prove/move_proof.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using report::Finding;
using report::Verdict;

struct Judged {
  Finding before{}, after{};
  report::Binding binding{};  ///< of the same row among what binds, afterwards
};

// The row of an axis with this break-away that is asked for a multiple of what its torque allows.
Judged judged(Force breakaway, double times_allowed, const char* key) {
  machine::Machine m = testing::kite_loft();
  machine::Axis& x = m.axes.front();
  machine::belt_drive(x).guide.breakaway = breakaway;
  x.want.stroke = millimetres(120);
  x.want.acceleration =
      times_allowed * prove::allowed_by_torque(check::state_of(m, m.axes.front()));
  report::Report report = check::check_machine(m, {.influences = false, .capability = false});
  Judged out{.before = testing::row(report, key)};
  prove::arbitrate(report, m);
  out.after = testing::row(report, key);
  for (const report::Binding& b : report.axes.front().binds)
    if (b.key == key) out.binding = b;
  return out;
}

TEST_CASE("a move that the worst phase forbids is decided by the simulation", "[check][property]") {
  for (const char* key : {"torque_margin", "acceleration"}) {
    CAPTURE(key);
    const Judged slightly = judged(Force{}, 1.1, key);
    CHECK(slightly.before.verdict == Verdict::fails);
    CHECK(slightly.after.verdict == Verdict::holds);
    CHECK_THAT(slightly.after.reason, Contains("it completes, simulated over 120 mm"));
    CHECK(slightly.after.remedy.empty());
  }
  // The wanted acceleration is allowed then, and what the worst phase allows stands beside it.
  const Judged row = judged(Force{}, 1.1, "torque_margin");
  CHECK(row.binding.margin == 1.0);
  CHECK_THAT(number(row.binding.allowed / row.binding.at_worst), WithinRel(1.1, 1e-5));
}

TEST_CASE("a move that loses steps fails and says where", "[check][property]") {
  const Judged lost = judged(Force{}, 3.2, "torque_margin");
  CHECK(lost.after.verdict == Verdict::fails);
  CHECK_THAT(lost.after.reason, Contains("lose steps, as at"));
}

TEST_CASE("what holds by the algebra is not simulated", "[check][property]") {
  for (const double breakaway : {0.0, 2.0}) {
    const Judged plain = judged(newtons(breakaway), 0.9, "torque_margin");
    CHECK(plain.before.verdict != Verdict::unsure);
    CHECK(plain.before.verdict == plain.after.verdict);
    CHECK(plain.before.reason == plain.after.reason);
    CHECK(is_unset(plain.binding.at_worst));
  }
}

TEST_CASE("what the textbook's torque does not allow is not simulated", "[check][property]") {
  const Judged much = judged(Force{}, 200.0, "torque_margin");
  CHECK(much.after.verdict == Verdict::fails);
  CHECK_THAT(much.after.reason, !Contains("simulated"));
}

TEST_CASE("a report of another machine is refused", "[check][error]") {
  machine::Machine m = testing::kite_loft();
  report::Report report = check::check_machine(m, {.influences = false, .capability = false});
  m.axes.front().name = "other";
  CHECK_THROWS_AS(prove::arbitrate(report, m), InvalidInput);
}

}  // namespace
}  // namespace pitchline
