#pragma once

#include "pitchline/motion/torque_demand.hpp"

namespace pitchline::testing {

/// A small belt axis with all of friction, gravity, reduction and loss.
inline motion::AxisAtMotor inclined_axis() {
  return {.transmission = millimetres(20) / revolution,
          .mass = kilograms(2.0),
          .motor_side_inertia = kilogram_square_metres(8e-6),
          .driven_side_inertia = kilogram_square_metres(3e-6),
          .friction = newtons(6),
          .gravity = newtons(9),
          .efficiency = Efficiency(0.9)};
}

}  // namespace pitchline::testing
