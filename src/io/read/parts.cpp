#include "read/detail/read_parts.hpp"
#include "read/keys/axis.hpp"
#include "read/keys/machine.hpp"

namespace pitchline::io::detail {
namespace {

// Pulses per turn, by one of two keys.
void read_pulses(TableReader& reader, parts::Driver& driver, const parts::StepperMotor* motor) {
  const WholeKey& by_turn = keys::driver::pulses_per_turn;
  const WholeKey& by_step = keys::driver::microsteps;
  const auto pulses_a_turn = reader.read(by_turn);
  const auto microsteps = reader.read(by_step);
  if (reader.has(by_turn) && reader.has(by_step)) {
    reader.error(reader.at(by_step), "pulses_per_turn and microsteps are both given",
                 "keep the one that your driver's switches name");
  } else if (!reader.has(by_turn) && !reader.has(by_step)) {
    reader.missing(by_step, "16, or pulses_per_turn = 3200");
  } else if (pulses_a_turn) {
    driver.pulses_per_turn = pulses(static_cast<double>(*pulses_a_turn));
    if (motor != nullptr &&
        in_pulses(driver.pulses_per_turn) < in_full_steps(motor->full_steps_per_turn)) {
      reader.error(reader.at(by_turn),
                   fmt::format("pulses_per_turn must be at least the motor's {:.0f} full steps, "
                               "got {}",
                               in_full_steps(motor->full_steps_per_turn), *pulses_a_turn));
    }
  } else if (microsteps && motor != nullptr) {
    driver.pulses_per_turn =
        motor->full_steps_per_turn * pulses_per_full_step(static_cast<double>(*microsteps));
  }
}

}  // namespace

void read_driver(TableReader reader, parts::Driver& driver, const parts::StepperMotor* motor) {
  reader.into(keys::driver::current, driver.current);
  if (const auto is = reader.read(keys::driver::current_is))
    driver.current_is = *is == 0 ? parts::CurrentIs::rms : parts::CurrentIs::peak;
  const auto standstill = reader.read(keys::driver::standstill);
  if (standstill && !is_unset(driver.current) && *standstill > driver.current) {
    const toml::node& node = reader.at(keys::driver::standstill);
    reader.error(node,
                 fmt::format("standstill must be at most the current of {}, got {}",
                             print_plain(driver.current), TableReader::describe(node)),
                 "standstill is the reduced setting at rest, in the same sense as current");
  } else if (standstill) {
    driver.at_rest = *standstill;
  }
  reader.into(keys::driver::highest_voltage, driver.highest);
  read_pulses(reader, driver, motor);
  reader.finish();
}

void read_supply(TableReader reader, parts::Supply& supply) {
  reader.into(keys::supply::voltage, supply.voltage);
  reader.into(keys::supply::power, supply.power);
  reader.into(keys::supply::simultaneity, supply.simultaneity);
  reader.into(keys::supply::resistance, supply.resistance);
  reader.into(keys::supply::capacitance, supply.capacitance);
  reader.finish();
}

}  // namespace pitchline::io::detail
