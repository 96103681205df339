#pragma once

#include <variant>
#include <vector>

#include "pitchline/axis/belt_axis.hpp"
#include "pitchline/axis/rotary_axis.hpp"
#include "pitchline/axis/screw_axis.hpp"

namespace pitchline::machine {

/// What moves an axis.
using Drive = std::variant<axis::BeltAxis, axis::ScrewAxis, axis::RotaryAxis>;

inline const parts::StepperMotor& motor_of(const Drive& drive) {
  return std::visit([](const auto& d) -> const parts::StepperMotor& { return d.motor; }, drive);
}
inline const parts::Driver& driver_of(const Drive& drive) {
  return std::visit([](const auto& d) -> const parts::Driver& { return d.driver; }, drive);
}
inline parts::Driver& driver_of(Drive& drive) {
  return std::visit([](auto& d) -> parts::Driver& { return d.driver; }, drive);
}

/// Motors that move the axis together; a turning attachment has one.
inline int motors_of(const Drive& drive) {
  return std::visit(
      [](const auto& d) {
        if constexpr (requires { d.motors; }) return d.motors;
        return 1;
      },
      drive);
}

/// The axis as its deciding motor sees it.
///
/// \throws InvalidInput  a field outside its range, or never set
inline motion::AxisAtMotor axis_at_motor(const Drive& drive) {
  return std::visit([](const auto& d) { return axis::axis_at_motor(d); }, drive);
}

/// Stiffness between motor and load at its smallest; unset where it is not known. A turning
/// attachment counts as rigid: what gives there is the workpiece.
///
/// \throws InvalidInput  a field outside its range, or never set
inline Stiffness smallest_stiffness(const Drive& drive) {
  return std::visit(
      [](const auto& d) {
        if constexpr (requires { axis::smallest_stiffness(d); }) return axis::smallest_stiffness(d);
        return unlimited<Stiffness>();
      },
      drive);
}

/// Damping of the load as it swings on its drive: the belt's, or the same for other drives, of
/// which no measurement was found either.
inline DampingRatio damping_of(const Drive& drive) {
  const auto* belt = std::get_if<axis::BeltAxis>(&drive);
  return belt ? belt->belt_damping
              : axis::BeltAxis{.guide = {.friction = FrictionCoefficient(0)}}.belt_damping;
}

/// The same where less of it is the danger.
inline DampingRatio least_damping_of(const Drive& drive) {
  const auto* belt = std::get_if<axis::BeltAxis>(&drive);
  return belt ? belt->least_belt_damping
              : axis::BeltAxis{.guide = {.friction = FrictionCoefficient(0)}}.least_belt_damping;
}

/// Travel of the axis; of a turning attachment one turn at the surface of the heaviest workpiece.
inline Length travel_of(const Drive& drive) {
  return std::visit(
      [](const auto& d) {
        if constexpr (requires { d.travel; })
          return d.travel;
        else
          return std::numbers::pi * d.heaviest.diameter;
      },
      drive);
}

/// Everything that moves along the axis; empty for a turning attachment.
inline std::vector<axis::MovingPart> moving_parts(const Drive& drive) {
  return std::visit(
      [](const auto& d) -> std::vector<axis::MovingPart> {
        if constexpr (requires { d.moving; })
          return d.moving;
        else
          return {};
      },
      drive);
}

/// Sum of all that moves along the axis, or turns with a turning attachment.
inline Mass moving_mass(const Drive& drive) {
  return std::visit(
      [](const auto& d) {
        if constexpr (requires { d.moving; })
          return axis::moving_mass(d);
        else
          return axis::mass(d.heaviest);
      },
      drive);
}

/// Incline of the axis: 0 level, 90° straight up.
inline Angle incline_of(const Drive& drive) {
  return std::visit(
      [](const auto& d) {
        if constexpr (requires { d.incline; })
          return d.incline;
        else
          return Angle{};
      },
      drive);
}

}  // namespace pitchline::machine
