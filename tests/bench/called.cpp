#include "kernels.hpp"

// A file of its own, so that the calls are real. A quantity has a copy constructor written by hand,
// hence the calling convention passes it by hidden reference: the caller stores it, the function
// loads it, and the result travels through memory too. A struct goes by reference in both versions,
// which leaves the result.

namespace bench {

double called_demand_plain(double mass, double acceleration, double process_force,
                           double transmission, double motor_side_inertia, double drag,
                           double speed) {
  return (mass * acceleration + process_force) * transmission +
         motor_side_inertia * acceleration / transmission + drag * speed;
}

pitchline::Torque called_demand_typed(pitchline::Mass mass, pitchline::Acceleration acceleration,
                                      pitchline::Force process_force,
                                      pitchline::Transmission transmission,
                                      pitchline::Inertia motor_side_inertia,
                                      pitchline::RotaryDrag drag, pitchline::AngularSpeed speed) {
  return (mass * acceleration + process_force) * transmission +
         motor_side_inertia * acceleration / transmission + drag * speed;
}

double called_axis_demand_plain(const PlainAxis& axis) {
  const double load =
      axis.friction * axis.mass * gravity + axis.process_force + axis.mass * axis.acceleration;
  return load * axis.transmission / axis.efficiency +
         axis.motor_side_inertia * axis.acceleration / axis.transmission;
}

pitchline::Torque called_axis_demand_typed(const TypedAxis& axis) {
  const pitchline::Force load = axis.friction.value() * axis.mass * pitchline::standard_gravity +
                                axis.process_force + axis.mass * axis.acceleration;
  return load * axis.transmission / axis.efficiency.value() +
         axis.motor_side_inertia * axis.acceleration / axis.transmission;
}

}  // namespace bench
