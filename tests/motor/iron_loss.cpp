#include "pitchline/motor/pull_out_curve.hpp"

#include "pitchline/motor/iron_loss.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using testing::IsNear;

// Nothing lost but iron and drag, so that the dependable curve is T²/(T + T_e) - T_d.
const motor::LossModel iron_alone{.current_share = MeanCurrentShare(1),
                                  .voltage_share = VoltageShare(1),
                                  .inductance = InductanceRatio(1),
                                  .hot_winding = ResistanceRatio(1),
                                  .share_at_speed = TorqueShare(1)};

TEST_CASE("eddy_loss and drag_torque are what the dependable curve takes off",
          "[motor][property]") {
  const parts::StepperMotor motor = testing::kite_loft_drive().motor;
  const motor::Feed feed{volts(36), amperes(2.4)};
  const motor::DependableCurve curve(motor, feed, iron_alone);
  const motor::DrivenWinding winding = motor::driven_winding(motor, feed);
  // Below the corner: just above it the curve is held from rising.
  const double share = GENERATE(take(30, random(0.05, 0.99)));
  const AngularSpeed speed = share * motor::corner_speed(winding);
  CAPTURE(in_revolutions_per_minute(speed));
  const motor::PullOut most = motor::loss_free_pull_out(winding, speed);
  const motor::WorkingPoint point{.direct = most.direct, .quadrature = most.quadrature};
  const Torque eddy = motor::eddy_loss(motor, point, speed, iron_alone) / speed;
  const Torque left = most.torque * number(most.torque / (most.torque + eddy)) -
                      motor::drag_torque(motor, iron_alone);
  CHECK_THAT(in_newton_metres(curve.at(speed)), WithinRel(in_newton_metres(left), 1e-12));
}

TEST_CASE("drag_torque takes the largest of share, least and detent torque", "[motor]") {
  parts::StepperMotor motor = testing::kite_loft_drive().motor;  // 0.55 N·m: 5 % are 0.0275
  CHECK_THAT(motor::drag_torque(motor), IsNear(newton_metres(0.0275), newton_metres(1e-12)));
  motor.detent_torque = newton_metres(0.04);
  CHECK(motor::drag_torque(motor) == newton_metres(0.04));
  motor.detent_torque = newton_metres(0.001);
  motor.holding_torque = newton_metres(0.14);
  CHECK(motor::drag_torque(motor) == newton_metres(0.022));
}

TEST_CASE("eddy_loss is zero at rest and refuses a speed below zero", "[motor][error]") {
  const parts::StepperMotor motor = testing::kite_loft_drive().motor;
  const motor::WorkingPoint point{.quadrature = amperes(2)};
  CHECK(motor::eddy_loss(motor, point, radians_per_second(0)) == watts(0));
  CHECK_THROWS_MATCHES(motor::eddy_loss(motor, point, radians_per_second(-1)), InvalidInput,
                       Message("speed must be >= 0, got -1 rad/s"));
}

}  // namespace
}  // namespace pitchline
