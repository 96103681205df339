// An axis whose static friction is far above its running friction: a slow load sticks again and
// again and swings, so that small accelerations lose steps where larger ones do not.

#include "pitchline/check/rows/drive.hpp"
#include "pitchline/check/search/what_binds.hpp"
#include "pitchline/prove/as_simulated.hpp"
#include "pitchline/simulate/completing.hpp"
#include "support/catch.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

// 11.8 N of running friction and 18.8 N more to break away; some 40 N of torque at the load.
machine::Machine sticking() {
  machine::Machine m = testing::kite_loft();
  machine::Axis& x = m.axes.front();
  axis::BeltAxis& drive = machine::belt_drive(x);
  drive.guide = {
      .friction = FrictionCoefficient(0), .drag = newtons(11.8), .breakaway = newtons(18.8)};
  drive.driver.current = 0.35 * drive.motor.rated_current;
  x.want.stroke = millimetres(200);
  x.want.speed = metres_per_second(0.4);
  return m;
}

bool completes(check::AxisState& s, Acceleration a, double damping) {
  s.axis.want.acceleration = a;
  simulate::SimulatedAxis axis = prove::as_simulated(s);
  axis.belt_damping = DampingRatio(damping);
  motion::RunningMove move = check::wanted_move(s.axis.want);
  move.in_succession = 2;
  move.dwell = seconds(0.1);
  return simulate::completes(axis, move, {.step = seconds(60e-6)}, seconds(0.1));
}

TEST_CASE("an axis that sticks is allowed no acceleration at which it loses steps",
          "[check][property]") {
  const machine::Machine m = sticking();
  check::AxisState s = check::state_of(m, m.axes.front());
  const motion::HeldRange range = check::accelerations_by_torque(s, check::hardest_looked_for);
  CAPTURE(in_metres_per_second_squared(range.least), in_metres_per_second_squared(range.most));
  // Small ones are not safe: at the largest of them some place of the band loses.
  bool lost = false;
  for (const double a : {0.05, 0.1, 0.25})
    lost = lost || !completes(s, metres_per_second_squared(a), 0.005);
  CHECK(lost);
  // So either nothing is allowed, or only what lies above them.
  if (range.most > Acceleration{}) {
    CHECK(range.least > metres_per_second_squared(0.25));
    for (const double share : {0.0, 0.5, 1.0})
      for (const double damping : {0.005, 0.05})
        CHECK(completes(s, range.least + share * (range.most - range.least), damping));
  }
  s.axis.want.acceleration = metres_per_second_squared(0.1);
  CHECK(check::torque_margin_finding(s).verdict == report::Verdict::fails);
  CHECK(check::acceleration_finding(s).verdict == report::Verdict::fails);
}

}  // namespace
}  // namespace pitchline
