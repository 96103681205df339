#include <algorithm>
#include <cstddef>

#include "kernels.hpp"

namespace bench {
namespace {

using namespace pitchline;

Torque demand(const TypedAxis& axis) {
  const Force load = axis.friction.value() * axis.mass * standard_gravity + axis.process_force +
                     axis.mass * axis.acceleration;
  return load * axis.transmission / axis.efficiency.value() +
         axis.motor_side_inertia * axis.acceleration / axis.transmission;
}

Torque pull_out(const TypedStepper& s) {
  const Resistance reactance = s.rotor_teeth * s.speed * s.inductance / radian;
  const Voltage back_emf = s.torque_constant * s.speed;
  const auto limit_squared = s.voltage_limit * s.voltage_limit;
  const Voltage across = reactance * s.current_limit;
  const Voltage along = s.resistance * s.current_limit + back_emf;
  if (across * across + along * along <= limit_squared) {  // the current alone limits
    return s.torque_constant * s.current_limit;
  }
  const auto impedance_squared = s.resistance * s.resistance + reactance * reactance;
  const Resistance impedance = square_root(impedance_squared);
  const auto limit_current_squared = s.current_limit * s.current_limit;
  const Current iq = s.voltage_limit / impedance - s.resistance * back_emf / impedance_squared;
  const Current id = reactance * back_emf / impedance_squared;
  if (id * id + iq * iq <= limit_current_squared) {  // the voltage alone limits
    return std::max(Torque(), Torque(s.torque_constant * iq));
  }
  const Current h =
      (limit_squared - back_emf * back_emf - impedance_squared * limit_current_squared) /
      (2.0 * back_emf * impedance);
  const auto rest = limit_current_squared - h * h;
  if (rest < decltype(rest)()) return Torque();
  const Current both = (s.resistance * h + reactance * square_root(rest)) / impedance;
  return std::max(Torque(), Torque(s.torque_constant * both));
}

Time move_time(const TypedMove& move) {
  const Time ramp = move.speed_limit / move.acceleration;
  if (move.distance < move.speed_limit * ramp) {  // up and down again before the limit
    return 2.0 * square_root(move.distance / move.acceleration);
  }
  return move.distance / move.speed_limit + ramp;
}

}  // namespace

void counted_demand_typed(std::span<const TypedAxis> axes, std::span<Torque> torque) {
  for (std::size_t i = 0; i < axes.size(); ++i) torque[i] = demand(axes[i]);
}

void counted_demand_arrays_typed(const TypedAxes& axes, FrictionCoefficient friction,
                                 Efficiency efficiency, std::span<Torque> torque) {
  const TypedAxes a = axes;
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

void counted_demand_column_typed(const TypedColumns& axes, FrictionCoefficient friction,
                                 Efficiency efficiency, Column<Torque>& torque) {
  torque = (each(axes.mass) * (friction.value() * standard_gravity) + each(axes.process_force) +
            each(axes.mass) * each(axes.acceleration)) *
               each(axes.transmission) * (1.0 / efficiency.value()) +
           each(axes.motor_side_inertia) * each(axes.acceleration) / each(axes.transmission);
}

void counted_pull_out_typed(std::span<const TypedStepper> steppers, std::span<Torque> torque) {
  for (std::size_t i = 0; i < steppers.size(); ++i) torque[i] = pull_out(steppers[i]);
}

void counted_margin_typed(std::span<const TypedAxis> axes, std::span<const Torque> available,
                          Torque& smallest) {
  Torque least = unlimited<Torque>();
  for (std::size_t i = 0; i < axes.size(); ++i) {
    least = std::min(least, Torque(available[i] - demand(axes[i])));
  }
  smallest = least;
}

void counted_move_time_typed(std::span<const TypedMove> moves, std::span<Time> time) {
  for (std::size_t i = 0; i < moves.size(); ++i) time[i] = move_time(moves[i]);
}

void counted_call_by_value_typed(const TypedAxes& axes, RotaryDrag drag, AngularSpeed speed,
                                 std::span<Torque> torque) {
  const TypedAxes a = axes;
  for (std::size_t i = 0; i < torque.size(); ++i) {
    torque[i] = called_demand_typed(a.mass[i], a.acceleration[i], a.process_force[i],
                                    a.transmission[i], a.motor_side_inertia[i], drag, speed);
  }
}

void counted_call_by_struct_typed(std::span<const TypedAxis> axes, std::span<Torque> torque) {
  for (std::size_t i = 0; i < axes.size(); ++i) torque[i] = called_axis_demand_typed(axes[i]);
}

}  // namespace bench
