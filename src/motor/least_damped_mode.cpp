#include "pitchline/motor/least_damped_mode.hpp"

#include <Eigen/Eigenvalues>
#include <cmath>
#include <functional>
#include <numbers>
#include <optional>
#include <vector>

namespace pitchline::motor {

std::optional<Mode> least_damped_mode(const DrivenWinding& w, const ShaftState& at,
                                      RotaryDrag damping) {
  detail::require_valid(at);
  require_not_negative_or_infinite("damping", damping);
  const std::optional<WorkingPoint> point = working_point(w, at.speed, at.torque);
  if (!point || !is_finite(point->gain)) return std::nullopt;

  const double N = w.pole_pairs;
  const double K = in_newton_metres_per_ampere(w.torque_constant);
  const double L = in_henries(w.inductance);
  const double J = in_kilogram_square_metres(at.inertia);
  const double electrical_speed = N * in_radians_per_second(at.speed);  // rad/s
  const Eigen::Vector2d u(-number(point->quadrature_voltage / w.voltage),
                          number(point->direct_voltage / w.voltage));
  Eigen::Matrix2d impedance;                                  // 2x2, ohm
  impedance << in_ohms(w.resistance), -electrical_speed * L,  //
      electrical_speed * L, in_ohms(w.resistance);
  impedance += in_ohms(point->gain) * u * u.transpose();
  // 4x4, of the states i_d (A), i_q (A), φ (rad, electrical), ω_e (rad/s, electrical).
  Eigen::Matrix4d A = Eigen::Matrix4d::Zero();
  A.topLeftCorner<2, 2>() = -impedance / L;
  A(0, 2) = K / N * electrical_speed / L;
  A(1, 3) = -K / N / L;
  A(2, 3) = 1.0;
  A(3, 1) = N * K / J;
  A(3, 2) = -N * K / J * in_amperes(point->direct);
  A(3, 3) = -in_newton_metre_seconds_per_radian(damping) / J;
  const Eigen::Vector4cd eigenvalues = A.eigenvalues();  // 4, 1/s
  Eigen::Index least = 0;
  eigenvalues.real().maxCoeff(&least);
  return Mode{.growth = hertz(eigenvalues[least].real()),
              .oscillation = hertz(std::abs(eigenvalues[least].imag()) / (2.0 * std::numbers::pi))};
}

void fill_growth(std::vector<UnstableBand>& bands, const DrivenWinding& w,
                 const SwingingShaft& shaft, const std::function<Torque(AngularSpeed)>& torque_at) {
  for (UnstableBand& band : bands) {
    const ShaftState worst{
        .inertia = shaft.inertia, .speed = band.worst, .torque = torque_at(band.worst)};
    const auto mode = least_damped_mode(w, worst, damping_present(shaft, band.oscillation));
    if (mode) band.growth = mode->growth;
  }
}

}  // namespace pitchline::motor
