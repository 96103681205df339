#pragma once

#include <optional>
#include <string>
#include <vector>

#include "pitchline/axis/belt_axis.hpp"
#include "pitchline/parts/supply.hpp"

namespace pitchline::machine {

/// What the builder wants of an axis.
struct Want {
  Speed speed = unset<Speed>();
  Acceleration acceleration = unset<Acceleration>();
  Length position_error = unset<Length>();  ///< at rest and at constant speed; unset: not asked
  Length corner_error = unset<Length>();    ///< while accelerating; unset: not asked
};

/// What the controller can do.
struct Controller {
  PulseRate pulse_rate = unset<PulseRate>();  ///< most pulses a second on one output
  int decimals = 3;                           ///< places it keeps of steps per mm
};

/// One axis of the machine with what is wanted of it.
struct Axis {
  std::string name{};
  axis::BeltAxis drive;
  Want want{};
  /// Values the file left out and this program filled in, each as a sentence part: "span 1700 mm".
  std::vector<std::string> assumed{};
};

/// A whole machine as its file describes it, checked and typed.
struct Machine {
  std::string name{};
  TorqueMargin torque_margin;
  parts::Supply supply{};
  Controller controller{};
  std::vector<Axis> axes{};
};

}  // namespace pitchline::machine
