#pragma once

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <memory>
#include <optional>
#include <stdexcept>
#include <utility>

#include "pitchline/simulate/run.hpp"

namespace pitchline::testing {

/// The model of `simulate::run` once more, from the equations of its documentation, with smooth
/// friction and a driver that is averaged, or whose voltages are given.
///
/// All in SI. Of each motor: both currents, rotor, its speed, the load on its belt, its speed. Then
/// the tool on its beam, its speed, and the voltage of the bus.
class SecondModel {
 public:
  static constexpr std::size_t most = 15;
  using State = std::array<double, most>;

  SecondModel(const simulate::SimulatedAxis& axis, const simulate::Command& command)
      : a_(axis), command_(command) {
    if (a_.loss) {
      driving_ = a_.loss->driving;
      driven_ = a_.loss->driven;
    } else {
      driving_ = 1.0 / a_.axis.efficiency.value() - 1.0;
      driven_ = 1.0 - a_.axis.efficiency.value();
    }
    bend_mass_ = a_.beam ? in_kilograms(a_.beam->mass) : 0.0;
    double moved = in_kilograms(a_.axis.mass);
    if (a_.gantry) {
      moved = in_kilograms(a_.gantry->travelling + a_.gantry->beam) / 2.0;
      gravity_ = {in_newtons(a_.gantry->near_gravity), in_newtons(a_.gantry->far_gravity)};
      rubbing_ = {in_newtons(a_.gantry->near_friction), in_newtons(a_.gantry->far_friction)};
    } else {
      gravity_ = {in_newtons(a_.axis.gravity), 0.0};
      rubbing_ = {in_newtons(a_.axis.friction), 0.0};
    }
    c_ = 2.0 * a_.belt_damping.value() * std::sqrt(k_ * moved);
    motors_ = a_.gantry ? 2 : 1;
  }

  [[nodiscard]] bool rigid() const { return !std::isfinite(k_); }
  void part(std::size_t n) { part_ = n; }
  // Of a command that jumps, and of a driver that switches.
  void field(double angle) { held_angle_ = angle; }
  void voltage(std::size_t phase, double volts) { given_.at(phase) = volts; }

  // At the speed with which the command begins: the belt under weight and friction, and the field
  // as far ahead as it must be.
  [[nodiscard]] State start() const {
    const double speed = in_metres_per_second(command_.parts.front().start.speed);
    const double sense = speed > 0.0 ? 1.0 : speed < 0.0 ? -1.0 : 0.0;
    State y{};
    for (std::size_t n = 0; n < motors_; ++n) {
      double* own = &y[6 * n];
      const double pull = gravity_[n] + sense * rubbing_[n];
      const double lost = t_ * std::fabs(pull) * (pull * sense > 0.0 ? driving_ : driven_);
      const double torque = t_ * pull + sense * (in_newton_metres(a_.iron_torque) + lost) +
                            in_newton_metre_seconds_per_radian(a_.motor_drag) * speed / t_;
      own[0] = I_ * gain_ / (gain_ + R_);
      own[2] = -std::asin(torque / (K_ * own[0])) / N_;
      own[3] = speed / t_;
      own[4] = t_ * own[2] - (rigid() ? 0.0 : pull / k_);
      own[5] = speed;
    }
    y[12] = mix(y[4], y[10]);
    y[13] = speed;
    y[14] = a_.bus ? in_volts(a_.bus->no_load) : in_volts(a_.winding.voltage);
    return y;
  }

  void rates(double time, const double* y, double* rate) const {
    const motion::MotionSegment& part = command_.parts[part_];
    const double s = time - in_seconds(part.from);
    const double x0 = in_metres(part.start.position);
    const double v0 = in_metres_per_second(part.start.speed);
    const double a0 = in_metres_per_second_squared(part.start.acceleration);
    const double j0 = in_metres_per_second_cubed(part.start.jerk);
    const double commanded_speed = (v0 + a0 * s + j0 * s * s / 2.0) / t_;
    const double g =
        held_angle_.value_or(N_ / t_ * (x0 + v0 * s + a0 * s * s / 2.0 + j0 * s * s * s / 6.0));
    const double load =
        in_newton_metres(command_.load_at_end) * time / in_seconds(command_.duration());
    for (std::size_t i = 0; i < most; ++i) rate[i] = 0.0;
    const double limit = y[14] - in_volts(a_.driver.drop);
    std::array<double, 2> on_end{};
    double drawn = 0.0;
    for (std::size_t n = 0; n < motors_; ++n) {
      const double* own = y + 6 * n;
      double* d = rate + 6 * n;
      const double phi = N_ * own[2];
      const double turning = own[3];
      const double u_a =
          given_[0].value_or(std::clamp(gain_ * (I_ * std::cos(g) - own[0]), -limit, limit));
      const double u_b =
          given_[1].value_or(std::clamp(gain_ * (I_ * std::sin(g) - own[1]), -limit, limit));
      d[0] = (u_a - R_ * own[0] + K_ * turning * std::sin(phi)) / L_;
      d[1] = (u_b - R_ * own[1] - K_ * turning * std::cos(phi)) / L_;
      drawn += u_a * own[0] + u_b * own[1] +
               in_volts(a_.driver.drop) * (std::fabs(own[0]) + std::fabs(own[1]));
      const double torque =
          K_ * (own[1] * std::cos(phi) - own[0] * std::sin(phi)) -
          in_newton_metres(a_.detent_torque) * std::sin(4.0 * phi) -
          in_newton_metre_seconds_per_radian(a_.motor_drag) * turning -
          in_newton_metre_seconds_per_radian(a_.swing_damping) * (turning - commanded_speed) - load;
      const double iron = in_newton_metres(a_.iron_torque);
      const double reversal = std::tanh(turning * t_ / in_metres_per_second(a_.friction_speed));
      d[2] = turning;
      d[4] = own[5];
      if (rigid()) {
        const double all = J_ + in_kilograms(a_.axis.mass) * t_ * t_;
        d[3] = (torque - (iron + t_ * rubbing_[n]) * reversal - t_ * gravity_[n]) / all;
        d[5] = t_ * d[3];
        continue;
      }
      const double pull = spring(t_ * own[2] - own[4]) + c_ * (t_ * turning - own[5]);
      const double lost = t_ * std::fabs(pull) * (pull * turning > 0.0 ? driving_ : driven_);
      d[3] = (torque - (iron + lost) * reversal - t_ * pull) / J_;
      on_end[n] = pull - gravity_[n] -
                  rubbing_[n] * std::tanh(own[5] / in_metres_per_second(a_.friction_speed));
    }
    if (a_.beam) {
      const double k = in_newtons_per_metre(a_.beam->stiffness);
      const double c = 2.0 * a_.beam->damping.value() * std::sqrt(k * bend_mass_);
      const double pull = k * (mix(y[4], y[10]) - y[12]) + c * (mix(y[5], y[11]) - y[13]);
      rate[12] = y[13];
      rate[13] = pull / bend_mass_;
      on_end[0] -= pull * (a_.gantry ? 1.0 - a_.gantry->place : 1.0);
      on_end[1] -= pull * (a_.gantry ? a_.gantry->place : 0.0);
    }
    if (a_.gantry) {
      const double skew = in_newtons_per_metre(a_.gantry->squaring) * (y[4] - y[10]);
      on_end[0] -= skew;
      on_end[1] += skew;
      // Kinetic energy of the carriage at its place and of the bar, by Simpson's rule over it.
      const double p = a_.gantry->place;
      const double carriage = in_kilograms(a_.gantry->travelling) - bend_mass_;
      const double bar = in_kilograms(a_.gantry->beam);
      double near = carriage * (1 - p) * (1 - p);
      double both = carriage * (1 - p) * p;
      double far = carriage * p * p;
      for (const auto& [at, weight] : {std::pair{0.0, 1.0}, {0.5, 4.0}, {1.0, 1.0}}) {
        near += bar * weight / 6.0 * (1 - at) * (1 - at);
        both += bar * weight / 6.0 * (1 - at) * at;
        far += bar * weight / 6.0 * at * at;
      }
      // By elimination of the far end.
      rate[5] = (on_end[0] - both / far * on_end[1]) / (near - both * both / far);
      rate[11] = (on_end[1] - both * rate[5]) / far;
    } else if (!rigid()) {
      rate[5] = on_end[0] / (in_kilograms(a_.axis.mass) - bend_mass_);
    }
    if (a_.bus) {
      const double from_supply =
          std::max(0.0, (in_volts(a_.bus->no_load) - y[14]) / in_ohms(a_.bus->resistance));
      rate[14] = (from_supply - drawn / y[14]) / in_farads(a_.bus->capacitance);
    }
  }

 private:
  [[nodiscard]] double mix(double near, double far) const {
    return a_.gantry ? near + a_.gantry->place * (far - near) : near;
  }
  // Each strand pulls with its tension and its stiffness, and never pushes.
  [[nodiscard]] double spring(double stretch) const {
    if (!a_.strands) return k_ * stretch;
    const double tension = in_newtons(a_.strands->tension);
    return std::max(0.0, tension + in_newtons_per_metre(a_.strands->up) * stretch) -
           std::max(0.0, tension - in_newtons_per_metre(a_.strands->down) * stretch);
  }

  const simulate::SimulatedAxis a_;
  const simulate::Command command_;
  std::size_t part_ = 0;
  std::optional<double> held_angle_;
  std::array<std::optional<double>, 2> given_{};
  std::size_t motors_ = 1;
  double K_ = in_newton_metres_per_ampere(a_.winding.torque_constant);
  double R_ = in_ohms(a_.winding.resistance);
  double L_ = in_henries(a_.winding.inductance);
  double N_ = a_.winding.pole_pairs;
  double I_ = in_amperes(a_.winding.amplitude);
  double gain_ = L_ / in_seconds(a_.driver.current_time_constant);
  double t_ = in_metres_per_radian(a_.axis.transmission);
  double J_ = in_kilogram_square_metres(a_.axis.motor_side_inertia + a_.axis.driven_side_inertia);
  double k_ = in_newtons_per_metre(a_.belt_stiffness);
  double c_ = 0.0;
  double driving_ = 0.0, driven_ = 0.0, bend_mass_ = 0.0;
  std::array<double, 2> gravity_{}, rubbing_{};
};

inline int rates_for_gsl(double time, const double* y, double* rate, void* model) {
  static_cast<const SecondModel*>(model)->rates(time, y, rate);
  return GSL_SUCCESS;
}

/// Follows a command to any later moment with an eighth-order method of the GNU Scientific Library,
/// which knows nothing of decays and events.
class SecondRun {
 public:
  SecondRun(const simulate::SimulatedAxis& axis, const simulate::Command& command, double tolerance)
      : y(SecondModel(axis, command).start()),
        model_(axis, command),
        command_(command),
        system_{rates_for_gsl, nullptr, SecondModel::most, &model_},
        driver_(gsl_odeiv2_driver_alloc_y_new(&system_, gsl_odeiv2_step_rk8pd, 1e-7, tolerance,
                                              tolerance)) {}
  void to(double until) {
    while (time_ < until) {
      const motion::MotionSegment& part = command_.parts[part_];
      const double end = in_seconds(part.from + part.length);
      const bool last = part_ + 1 == command_.parts.size();
      const double next = last ? until : std::min(until, end);
      model_.part(part_);
      if (next > time_) {
        gsl_odeiv2_driver_reset_hstart(driver_.get(), 1e-7);
        if (gsl_odeiv2_driver_apply(driver_.get(), &time_, next, y.data()) != GSL_SUCCESS)
          throw std::runtime_error("GSL gave up");
      }
      if (!last && time_ >= end) ++part_;
    }
  }

  [[nodiscard]] double time() const { return time_; }
  // Back to a moment of the same part.
  void back(double time, const SecondModel::State& state) {
    time_ = time;
    y = state;
  }
  [[nodiscard]] SecondModel& model() { return model_; }

  SecondModel::State y;

 private:
  struct Free {
    void operator()(gsl_odeiv2_driver* d) const { gsl_odeiv2_driver_free(d); }
  };
  SecondModel model_;
  const simulate::Command command_;
  gsl_odeiv2_system system_;
  std::unique_ptr<gsl_odeiv2_driver, Free> driver_;
  double time_ = 0.0;
  std::size_t part_ = 0;
};

}  // namespace pitchline::testing
