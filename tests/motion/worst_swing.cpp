#include "pitchline/motion/worst_swing.hpp"

#include <cmath>
#include <numbers>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using motion::ElasticMode;
using motion::MovePhase;
using motion::RunningMove;
using motion::worst_swing;
using testing::IsNear;

// 2 kg without anything that turns; w = 100 rad/s, so that 1 m/s^2 stretches by 0.1 mm.
motion::AxisAtMotor slide(double friction) {
  return {.transmission = metres_per_radian(0.01),
          .mass = kilograms(2),
          .friction = newtons(friction),
          .gravity = newtons(3)};
}
ElasticMode mode(double zeta) {
  return {.natural_frequency = hertz(100 / (2 * std::numbers::pi)),
          .damping_ratio = DampingRatio(zeta)};
}
const RunningMove move{.speed = metres_per_second(0.5),
                       .acceleration = metres_per_second_squared(5),
                       .stroke = metres(0.25)};
const Length tolerance = micrometres(1e-6);

TEST_CASE("without friction and damping each corner adds a/w^2", "[motion][property]") {
  CHECK_THAT(worst_swing(slide(0), mode(0), move, MovePhase::running),
             IsNear(millimetres(2 * 0.5), tolerance));
  CHECK_THAT(worst_swing(slide(0), mode(0), move, MovePhase::stopped),
             IsNear(millimetres(4 * 0.5), tolerance));
}

TEST_CASE("friction that winds the drive up before a start adds to it", "[motion][property]") {
  // F/M = 3 m/s^2: the start swings with sqrt(5^2 + 2*5*3) = sqrt(55) m/s^2 in place of 5.
  CHECK_THAT(worst_swing(slide(6), mode(0), move, MovePhase::running),
             IsNear(millimetres((std::sqrt(55.0) + 5.0) * 0.1), tolerance));
}

TEST_CASE("what is swinging dies down between the corners", "[motion][property]") {
  // zeta w = 2/s. Corners 0.1, 0.4 and 0.1 s apart: 0.5 m/s take 0.1 s, and 0.2 m at full speed.
  const double at_stop = std::exp(-2 * 0.6) + std::exp(-2 * 0.5) + std::exp(-2 * 0.1) + 1.0;
  CHECK_THAT(worst_swing(slide(0), mode(0.02), move, MovePhase::stopped),
             IsNear(millimetres(0.5 * at_stop), tolerance));
}

TEST_CASE("worst_swing refuses a phase in which the load accelerates", "[motion][error]") {
  CHECK_THROWS_MATCHES(worst_swing(slide(0), mode(0), move, MovePhase::speeding_up), InvalidInput,
                       Message("phase must be running or stopped, got 1"));
  RunningMove bad = move;
  bad.speed = unset<Speed>();
  CHECK_THROWS_AS(worst_swing(slide(0), mode(0), bad, MovePhase::running), InvalidInput);
}

}  // namespace
}  // namespace pitchline
