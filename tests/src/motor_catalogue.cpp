#include <algorithm>
#include <numbers>
#include <vector>

#include "pitchline/io/catalogue.hpp"
#include "pitchline/motor/heat.hpp"
#include "pitchline/motor/iron_loss.hpp"
#include "pitchline/motor/least_damped_mode.hpp"
#include "pitchline/motor/microstep.hpp"
#include "pitchline/motor/pull_out_curve.hpp"
#include "pitchline/motor/resonance.hpp"
#include "pitchline/motor/supply_voltage.hpp"
#include "pitchline/motor/unstable_bands.hpp"
#include "pitchline/motor/zero_torque_speed.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {

// Where the table of a motor ends: past its corner, but not where no torque is left.
AngularSpeed top_of(const motor::DrivenWinding& w) {
  AngularSpeed top = 4.0 * motor::corner_speed(w);
  if (!(top > radians_per_second(0))) top = w.voltage / w.torque_constant;
  const auto zero = motor::zero_torque_speed(w);
  return zero ? std::min(top, AngularSpeed(1.1 * *zero)) : top;
}

void check_curve(const parts::StepperMotor& motor, const motor::Feed& feed) {
  const motor::PullOutCurve curve(motor, feed);
  const motor::DrivenWinding& w = curve.winding();
  const AngularSpeed top = top_of(w);
  CHECK(is_finite(top));
  for (int i = 0; i <= 12; ++i) {
    const AngularSpeed speed = top * (i / 12.0);
    CHECK(is_finite(curve.loss_free(speed).torque));
    CHECK(is_finite(curve.dependable(speed)));
    CHECK(is_finite(curve.for_verdict(speed).torque));
    CHECK(is_finite(curve.calibrated(speed).value_or(newton_metres(0))));
    CHECK(is_finite(curve.measured(speed).value_or(newton_metres(0))));
    CHECK(is_finite(motor::voltage_for_current(w, speed).all));
    // At the pull-out edge itself, where roots are of nothing but rounding.
    const Torque most = curve.loss_free(speed).torque;
    if (const auto point = motor::working_point(w, speed, most)) {
      CHECK(is_finite(point->direct));
      CHECK(is_finite(point->load_angle));
      CHECK(is_finite(motor::eddy_loss(motor, *point, speed)));
      CHECK(is_finite(motor::phase_amplitude(*point)));
    }
  }
}

void check_bands(const parts::StepperMotor& motor, const motor::Feed& feed,
                 const std::optional<motor::BeltAtMotor>& belt) {
  motor::DrivenWinding w = motor::driven_winding(motor, feed);
  const AngularSpeed top = top_of(w);
  w.voltage *= 4.0 / std::numbers::pi;  // a bridge that switches in full
  const motor::SwingingShaft shaft{.inertia = motor.rotor_inertia,
                                   .viscous_damping = motor::assumed_motor_damping(motor),
                                   .belt = belt};
  // The heaviest of them runs into the pull-out edge, where a band ends.
  for (const Torque& load :
       {motor::drag_torque(motor), 0.135 * motor.holding_torque, 0.375 * motor.holding_torque}) {
    CAPTURE(in_newton_metres(load));
    const auto torque_at = [&](AngularSpeed) { return load; };
    auto bands = motor::unstable_bands(w, shaft, top, torque_at);
    motor::fill_growth(bands, w, shaft, torque_at);
    for (const motor::UnstableBand& band : bands) {
      CHECK(is_finite(band.from));
      CHECK(is_finite(band.to));
      CHECK(is_finite(band.worst));
      CHECK(is_finite(band.needed));
      CHECK(is_finite(band.missing));
      CHECK(is_finite(band.oscillation));
      CHECK(is_finite(band.growth));
    }
  }
}

TEST_CASE("every motor of the catalogue has finite figures from 5 to 60 V", "[io][motor]") {
  const motor::BeltAtMotor belt{.stiffness = newtons_per_millimetre(40),
                                .damping_ratio = DampingRatio(0.03),
                                .transmission = millimetres(40) / revolution};
  for (const auto& [name, motor] : io::standard_catalogue().motors)
    for (int voltage = 5; voltage <= 60; voltage += 2) {
      CAPTURE(name, voltage);
      const motor::Feed feed{volts(voltage), std::numbers::sqrt2 * motor.rated_current};
      CHECK_NOTHROW(check_curve(motor, feed));
      // Every second with a belt: the two differ in what damps, and it is half the time.
      CHECK_NOTHROW(
          check_bands(motor, feed, voltage % 4 == 1 ? std::optional(belt) : std::nullopt));
    }
}

}  // namespace
}  // namespace pitchline
