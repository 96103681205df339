#pragma once

#include <string>

#include "pitchline/parts/notes.hpp"
#include "pitchline/units.hpp"

namespace pitchline::parts {

/// A stepper driver that can be bought, by its manual. What is unset or 0 is not published.
struct ListedDriver {
  std::string name{};
  std::string source{};
  std::string type{};  ///< "boxed", "closed loop", "closed loop, on the motor", "chip"
  Voltage lowest_voltage = unset<Voltage>();
  Voltage highest_voltage = unset<Voltage>();
  Current least_current = unset<Current>();
  Current most_current = unset<Current>();
  std::string current_is{};  ///< "rms" or "peak": what its numbers mean
  Current most_current_rms = unset<Current>();
  int most_microsteps = 0;
  int most_pulses_per_turn = 0;
  Time pulse_width = unset<Time>();  ///< least time that a pulse stays on
  Time pulse_gap = unset<Time>();    ///< least time between two pulses
  Time direction_setup = unset<Time>();
  PulseRate pulse_rate = unset<PulseRate>();  ///< most that it counts
  Voltage over_voltage_trip = unset<Voltage>();
  Notes notes{};
};

/// A supply that can be bought, by its sheet or by its class.
struct ListedSupply {
  std::string name{};
  std::string source{};
  Voltage voltage = unset<Voltage>();
  Voltage highest_voltage = unset<Voltage>();  ///< to which it can be set
  Current current = unset<Current>();
  Power power = unset<Power>();
  Voltage over_voltage_trip = unset<Voltage>();
  Current inrush_current = unset<Current>();
  Notes notes{};
};

}  // namespace pitchline::parts
