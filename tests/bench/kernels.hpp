#pragma once

#include <Eigen/Core>
#include <span>

#include "pitchline/units/column.hpp"
#include "pitchline/units/quantity.hpp"
#include "pitchline/units/ratio.hpp"

// What is counted: each function of this file exists twice, in plain doubles and in quantities, and
// does the same operations in the same order. They stand in files of their own, so that no compiler
// sees the data, the caller or the other version.
//
// Names of counted functions start with `counted_` and end with `_plain` or `_typed`; units_cost.sh
// finds them by that. They are no library: the formulas are short forms for counting.

namespace bench {

inline constexpr double gravity = 9.80665;  // the plain twin of pitchline::standard_gravity

/// A straight axis seen from its motor; coherent units in the plain version.
struct PlainAxis {
  double mass, acceleration, process_force, transmission, motor_side_inertia;
  double friction, efficiency;
};
struct TypedAxis {
  pitchline::Mass mass;
  pitchline::Acceleration acceleration;
  pitchline::Force process_force;
  pitchline::Transmission transmission;
  pitchline::Inertia motor_side_inertia;
  pitchline::FrictionCoefficient friction;
  pitchline::Efficiency efficiency;
};

/// The same, an array a field.
struct PlainAxes {
  std::span<const double> mass, acceleration, process_force, transmission, motor_side_inertia;
};
struct TypedAxes {
  std::span<const pitchline::Mass> mass;
  std::span<const pitchline::Acceleration> acceleration;
  std::span<const pitchline::Force> process_force;
  std::span<const pitchline::Transmission> transmission;
  std::span<const pitchline::Inertia> motor_side_inertia;
};
struct PlainColumns {
  Eigen::ArrayXd mass, acceleration, process_force, transmission, motor_side_inertia;
};
struct TypedColumns {
  pitchline::Column<pitchline::Mass> mass;
  pitchline::Column<pitchline::Acceleration> acceleration;
  pitchline::Column<pitchline::Force> process_force;
  pitchline::Column<pitchline::Transmission> transmission;
  pitchline::Column<pitchline::Inertia> motor_side_inertia;
};

/// A two-phase stepper on its drive at one speed.
struct PlainStepper {
  double torque_constant, resistance, inductance, current_limit, voltage_limit, speed;
  double rotor_teeth;
};
struct TypedStepper {
  pitchline::TorqueConstant torque_constant;
  pitchline::Resistance resistance;
  pitchline::Inductance inductance;
  pitchline::Current current_limit;
  pitchline::Voltage voltage_limit;
  pitchline::AngularSpeed speed;
  double rotor_teeth;
};

struct PlainMove {
  double distance, speed_limit, acceleration;
};
struct TypedMove {
  pitchline::Length distance;
  pitchline::Speed speed_limit;
  pitchline::Acceleration acceleration;
};

/// The functions that are not inlined, in called.cpp: seven numbers by value, or one struct by
/// reference.
double called_demand_plain(double mass, double acceleration, double process_force,
                           double transmission, double motor_side_inertia, double drag,
                           double speed);
pitchline::Torque called_demand_typed(pitchline::Mass mass, pitchline::Acceleration acceleration,
                                      pitchline::Force process_force,
                                      pitchline::Transmission transmission,
                                      pitchline::Inertia motor_side_inertia,
                                      pitchline::RotaryDrag drag, pitchline::AngularSpeed speed);
double called_axis_demand_plain(const PlainAxis& axis);
pitchline::Torque called_axis_demand_typed(const TypedAxis& axis);

extern "C" {
// Demand of each candidate, ((mu m g + F + m a) r / eta + J a / r): an array of structs.
void counted_demand_plain(std::span<const PlainAxis> axes, std::span<double> torque);
void counted_demand_typed(std::span<const TypedAxis> axes, std::span<pitchline::Torque> torque);

// The same from an array a field, friction and efficiency the same for all.
void counted_demand_arrays_plain(const PlainAxes& axes, double friction, double efficiency,
                                 std::span<double> torque);
void counted_demand_arrays_typed(const TypedAxes& axes, pitchline::FrictionCoefficient friction,
                                 pitchline::Efficiency efficiency,
                                 std::span<pitchline::Torque> torque);

// The same through Eigen.
void counted_demand_column_plain(const PlainColumns& axes, double friction, double efficiency,
                                 Eigen::ArrayXd& torque);
void counted_demand_column_typed(const TypedColumns& axes, pitchline::FrictionCoefficient friction,
                                 pitchline::Efficiency efficiency,
                                 pitchline::Column<pitchline::Torque>& torque);

// Loss-free pull-out torque of each stepper within its current and its voltage limit.
void counted_pull_out_plain(std::span<const PlainStepper> steppers, std::span<double> torque);
void counted_pull_out_typed(std::span<const TypedStepper> steppers,
                            std::span<pitchline::Torque> torque);

// Smallest of available torque minus demand over all candidates.
void counted_margin_plain(std::span<const PlainAxis> axes, std::span<const double> available,
                          double& smallest);
void counted_margin_typed(std::span<const TypedAxis> axes,
                          std::span<const pitchline::Torque> available,
                          pitchline::Torque& smallest);

// Time of each move with a trapezoid or triangle of speed.
void counted_move_time_plain(std::span<const PlainMove> moves, std::span<double> time);
void counted_move_time_typed(std::span<const TypedMove> moves, std::span<pitchline::Time> time);

// Demand through a function of another file: by value with drag in place of friction, by reference.
void counted_call_by_value_plain(const PlainAxes& axes, double drag, double speed,
                                 std::span<double> torque);
void counted_call_by_value_typed(const TypedAxes& axes, pitchline::RotaryDrag drag,
                                 pitchline::AngularSpeed speed,
                                 std::span<pitchline::Torque> torque);
void counted_call_by_struct_plain(std::span<const PlainAxis> axes, std::span<double> torque);
void counted_call_by_struct_typed(std::span<const TypedAxis> axes,
                                  std::span<pitchline::Torque> torque);
}

}  // namespace bench
