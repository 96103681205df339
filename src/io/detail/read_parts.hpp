#pragma once

#include <optional>
#include <string>

#include "detail/toml_reader.hpp"
#include "pitchline/parts/belt.hpp"
#include "pitchline/parts/stepper_motor.hpp"

namespace pitchline::io::detail {

/// Reads the keys of a motor; nothing where any of them is wrong. Calls `finish`.
std::optional<parts::StepperMotor> read_motor(TableReader reader, const std::string& name);

/// Reads the keys of a belt profile; nothing where any of them is wrong. Calls `finish`.
std::optional<parts::BeltProfile> read_belt_profile(TableReader reader, const std::string& name);

}  // namespace pitchline::io::detail
