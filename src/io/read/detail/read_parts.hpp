#pragma once

#include <optional>
#include <string>
#include <vector>

#include "pitchline/parts/belt.hpp"
#include "pitchline/parts/driver.hpp"
#include "pitchline/parts/screw.hpp"
#include "pitchline/parts/stepper_motor.hpp"
#include "pitchline/parts/supply.hpp"
#include "read/detail/toml_reader.hpp"

namespace pitchline::io::detail {

/// The names of a map, in its order.
template <class Map>
std::vector<std::string> names_of(const Map& map) {
  std::vector<std::string> names;
  names.reserve(map.size());
  for (const auto& [name, value] : map) names.push_back(name);
  return names;
}

/// Reads the keys of a motor; nothing where any of them is wrong. Calls `finish`.
std::optional<parts::StepperMotor> read_motor(TableReader reader, const std::string& name);

/// Reads the keys of a driver; needs its motor, where that is known. Calls `finish`.
void read_driver(TableReader reader, parts::Driver& driver, const parts::StepperMotor* motor);

/// Reads the keys of a supply. Calls `finish`.
void read_supply(TableReader reader, parts::Supply& supply);

/// Reads the keys of a belt profile; nothing where any of them is wrong. Calls `finish`.
std::optional<parts::BeltProfile> read_belt_profile(TableReader reader, const std::string& name);

/// Reads the keys of a screw of a catalogue; nothing where any of them is wrong. Calls `finish`.
std::optional<parts::Screw> read_screw(TableReader reader, const std::string& name);

}  // namespace pitchline::io::detail
