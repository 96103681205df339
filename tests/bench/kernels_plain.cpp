#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

#include "kernels.hpp"

namespace bench {
namespace {

double demand(const PlainAxis& axis) {
  const double load =
      axis.friction * axis.mass * gravity + axis.process_force + axis.mass * axis.acceleration;
  return load * axis.transmission / axis.efficiency +
         axis.motor_side_inertia * axis.acceleration / axis.transmission;
}

double pull_out(const PlainStepper& s) {
  const double reactance = s.rotor_teeth * s.speed * s.inductance;
  const double back_emf = s.torque_constant * s.speed;
  const double limit_squared = s.voltage_limit * s.voltage_limit;
  const double across = reactance * s.current_limit;
  const double along = s.resistance * s.current_limit + back_emf;
  if (across * across + along * along <= limit_squared) {  // the current alone limits
    return s.torque_constant * s.current_limit;
  }
  const double impedance_squared = s.resistance * s.resistance + reactance * reactance;
  const double impedance = std::sqrt(impedance_squared);
  const double limit_current_squared = s.current_limit * s.current_limit;
  const double iq = s.voltage_limit / impedance - s.resistance * back_emf / impedance_squared;
  const double id = reactance * back_emf / impedance_squared;
  if (id * id + iq * iq <= limit_current_squared) {  // the voltage alone limits
    return std::max(0.0, s.torque_constant * iq);
  }
  const double h =
      (limit_squared - back_emf * back_emf - impedance_squared * limit_current_squared) /
      (2.0 * back_emf * impedance);
  const double rest = limit_current_squared - h * h;
  if (rest < 0.0) return 0.0;
  const double both = (s.resistance * h + reactance * std::sqrt(rest)) / impedance;
  return std::max(0.0, s.torque_constant * both);
}

double move_time(const PlainMove& move) {
  const double ramp = move.speed_limit / move.acceleration;
  if (move.distance < move.speed_limit * ramp) {  // up and down again before the limit
    return 2.0 * std::sqrt(move.distance / move.acceleration);
  }
  return move.distance / move.speed_limit + ramp;
}

}  // namespace

void counted_demand_plain(std::span<const PlainAxis> axes, std::span<double> torque) {
  for (std::size_t i = 0; i < axes.size(); ++i) torque[i] = demand(axes[i]);
}

void counted_demand_arrays_plain(const PlainAxes& axes, double friction, double efficiency,
                                 std::span<double> torque) {
  const PlainAxes a = axes;
  for (std::size_t i = 0; i < torque.size(); ++i) {
    torque[i] = demand({.mass = a.mass[i],
                        .acceleration = a.acceleration[i],
                        .process_force = a.process_force[i],
                        .transmission = a.transmission[i],
                        .motor_side_inertia = a.motor_side_inertia[i],
                        .friction = friction,
                        .efficiency = efficiency});
  }
}

void counted_demand_column_plain(const PlainColumns& axes, double friction, double efficiency,
                                 Eigen::ArrayXd& torque) {
  torque = (axes.mass * (friction * gravity) + axes.process_force + axes.mass * axes.acceleration) *
               axes.transmission * (1.0 / efficiency) +
           axes.motor_side_inertia * axes.acceleration / axes.transmission;
}

void counted_pull_out_plain(std::span<const PlainStepper> steppers, std::span<double> torque) {
  for (std::size_t i = 0; i < steppers.size(); ++i) torque[i] = pull_out(steppers[i]);
}

void counted_margin_plain(std::span<const PlainAxis> axes, std::span<const double> available,
                          double& smallest) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < axes.size(); ++i) {
    least = std::min(least, available[i] - demand(axes[i]));
  }
  smallest = least;
}

void counted_move_time_plain(std::span<const PlainMove> moves, std::span<double> time) {
  for (std::size_t i = 0; i < moves.size(); ++i) time[i] = move_time(moves[i]);
}

void counted_call_by_value_plain(const PlainAxes& axes, double drag, double speed,
                                 std::span<double> torque) {
  const PlainAxes a = axes;
  for (std::size_t i = 0; i < torque.size(); ++i) {
    torque[i] = called_demand_plain(a.mass[i], a.acceleration[i], a.process_force[i],
                                    a.transmission[i], a.motor_side_inertia[i], drag, speed);
  }
}

void counted_call_by_struct_plain(std::span<const PlainAxis> axes, std::span<double> torque) {
  for (std::size_t i = 0; i < axes.size(); ++i) torque[i] = called_axis_demand_plain(axes[i]);
}

}  // namespace bench
