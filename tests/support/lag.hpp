#pragma once

#include <cmath>
#include <complex>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motor/lossy_winding.hpp"
#include "pitchline/motor/unstable_bands.hpp"

namespace pitchline::testing {

/// The lag of a rotor at the shaft under a torque, in rad, by hand and below the speed at which the
/// driver meets its voltage limit: a sine of current behind a gain of L over 5 µs, the torque
/// scaled to that of the verdict, what iron and bearings take included.
///
///     (g + R + jX) i = g I e^{jδ} − jE,   T = K Im i
inline double lag_of_forced_current(const check::AxisState& s, AngularSpeed speed, Torque torque) {
  const motor::DrivenWinding w = motor::lossy_winding(
      s.motor(), {s.machine.supply.voltage, parts::current_amplitude(s.driver())},
      s.curve.losses());
  const double turning = in_radians_per_second(speed);
  const double gain = in_henries(w.inductance) / 5e-6;
  const std::complex<double> z(gain + in_ohms(w.resistance),
                               w.pole_pairs * turning * in_henries(w.inductance));
  const double K = in_newton_metres_per_ampere(w.torque_constant);
  const double amplitude = K * gain * in_amperes(w.amplitude) / std::abs(z);
  const double against = K * std::real(K * turning / z);
  const Torque lost = motor::drag_torque(s.motor(), s.curve.losses()) +
                      motor::assumed_motor_damping(s.motor()) * speed;
  const double share =
      in_newton_metres(s.curve.for_verdict(speed).torque + lost) / (amplitude - against);
  const double sine = (in_newton_metres(torque + lost) / share + against) / amplitude;
  return (std::asin(sine) + std::arg(z)) / w.pole_pairs;
}

}  // namespace pitchline::testing
