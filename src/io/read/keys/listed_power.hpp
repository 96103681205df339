#pragma once

// Keys of drivers, supplies, cable carriers and tubes, in a catalogue.

#include "pitchline/parts/carrier.hpp"
#include "pitchline/parts/listed_driver.hpp"
#include "read/keys/listed.hpp"

namespace pitchline::io::detail {
namespace keys {

namespace driver_of_stock {
inline constexpr ChoiceKey<int, 4> type{
    said({"type", "\"boxed\"", "build", true}),
    {{{"boxed", 0}, {"closed loop", 1}, {"closed loop, on the motor", 2}, {"chip", 3}}}};
inline constexpr auto lowest_voltage = voltage_key({"lowest_voltage", "\"20 V\"", "of the supply"});
inline constexpr auto highest_voltage =
    voltage_key({"highest_voltage", "\"50 V\"", "of the supply", true});
inline constexpr auto least_current =
    current_key({"least_current", "\"1.8 A\"", "that can be set"});
inline constexpr auto most_current =
    current_key({"most_current", "\"5.6 A\"", "that can be set", true});
inline constexpr ChoiceKey<int, 2> current_is{
    said({"current_is", "\"peak\"", "what the maker's numbers mean", true}),
    {{{"rms", 0}, {"peak", 1}}}};
inline constexpr auto most_current_rms =
    current_key({"most_current_rms", "\"4 A\"", "where the manual says both"});
inline constexpr WholeKey most_microsteps{said({"most_microsteps", "256", "to a full step"}), 1,
                                          65'536};
inline constexpr WholeKey most_pulses_per_turn{
    said({"most_pulses_per_turn", "51200", "of a motor of 1.8 deg"}), 200, 10'000'000};
inline constexpr auto pulse_width =
    time_key({"pulse_width", "\"2.5 us\"", "least time that a pulse stays on"});
inline constexpr auto pulse_gap =
    time_key({"pulse_gap", "\"2.5 us\"", "least time between two pulses"});
inline constexpr auto direction_setup =
    time_key({"direction_setup", "\"5 us\"", "from a change of direction to the next pulse"});
inline constexpr QuantityKey<PulseRate> pulse_rate{
    said({"pulse_rate", "\"200 kHz\"", "most that it counts"}), pulses_per_second(1),
    pulses_per_second(1e9)};
inline constexpr auto over_voltage_trip =
    voltage_key({"over_voltage_trip", "\"60 V\"", "at which it switches off"});
}  // namespace driver_of_stock

namespace supply_of_stock {
inline constexpr auto voltage = voltage_key({"voltage", "\"48 V\"", "nominal", true});
inline constexpr auto highest_voltage =
    voltage_key({"highest_voltage", "\"56 V\"", "to which it can be set"});
inline constexpr auto current = current_key({"current", "\"7.3 A\"", "continuous", true});
inline constexpr auto power = power_key({"power", "\"350 W\"", "continuous", true});
inline constexpr auto over_voltage_trip =
    voltage_key({"over_voltage_trip", "\"60 V\"", "at which it switches off"});
inline constexpr auto inrush_current =
    current_key({"inrush_current", "\"60 A\"", "when it is switched on"});
}  // namespace supply_of_stock

namespace carrier {
inline constexpr ChoiceKey<int, 3> type{
    said({"type", "\"plastic chain\"", "build", true}),
    {{{"plastic chain", 0}, {"plastic links, aluminium stays", 1}, {"closed plastic", 2}}}};
inline constexpr auto inner_height =
    length_key({"inner_height", "\"15 mm\"", "for the cables", true});
inline constexpr auto inner_width = length_key(
    {"inner_width", "\"30 mm\"", "for the cables; the least where it comes in several", true});
inline constexpr auto most_inner_width =
    length_key({"most_inner_width", "\"280 mm\"", "where it comes in several"});
inline constexpr auto outer_height = length_key({"outer_height", "\"20 mm\"", "of the chain"});
inline constexpr auto outer_width = length_key({"outer_width", "\"40 mm\"", "of the chain"});
inline constexpr auto bend_radius =
    length_key({"bend_radius", "\"28 mm\"", "to the middle of the chain", true});
inline constexpr auto pitch = length_key({"pitch", "\"20 mm\"", "of the links"});
inline constexpr auto mass = linear_density_key({"mass", "\"0.54 kg/m\"", "without cables"});
inline constexpr auto loop_length = length_key(
    {"loop_length", "\"181 mm\"", "of the bend, which the chain needs besides half the travel"});
inline constexpr auto fill = linear_density_key({"fill", "\"8 kg/m\"", "most mass of cables"});
inline constexpr QuantityKey<Speed> highest_speed{
    said({"highest_speed", "\"10 m/s\"", "that it bears"}), metres_per_second(0.001),
    metres_per_second(1000)};
inline constexpr QuantityKey<Acceleration> highest_acceleration{
    said({"highest_acceleration", "\"50 m/s^2\"", "that it bears"}),
    metres_per_second_squared(0.001), metres_per_second_squared(1e4)};
}  // namespace carrier

namespace tube {
inline constexpr auto rated_power = power_key({"rated_power", "\"60 W\"", "of the beam", true});
inline constexpr auto peak_power = power_key({"peak_power", "\"70 W\"", "of the beam"});
inline constexpr auto length = length_key({"length", "\"1200 mm\"", "of the glass"});
inline constexpr auto diameter = length_key({"diameter", "\"55 mm\"", "of the glass"});
inline constexpr auto current = current_key({"current", "\"22 mA\"", "at which it runs"});
inline constexpr auto most_current =
    current_key({"most_current", "\"28 mA\"", "where a range is printed"});
inline constexpr WholeKey warranty_days{said({"warranty_days", "360", "of its maker"}), 1, 10'000};
}  // namespace tube
}  // namespace keys

template <>
struct ListedKind<parts::ListedDriver> {
  static constexpr std::string_view word = "driver";
  static constexpr std::string_view title = "[driver.NAME]";
  static constexpr std::string_view about = "A stepper driver.";
  static constexpr std::tuple fields{
      field(keys::driver_of_stock::type, &parts::ListedDriver::type),
      field(keys::driver_of_stock::lowest_voltage, &parts::ListedDriver::lowest_voltage),
      field(keys::driver_of_stock::highest_voltage, &parts::ListedDriver::highest_voltage),
      field(keys::driver_of_stock::least_current, &parts::ListedDriver::least_current),
      field(keys::driver_of_stock::most_current, &parts::ListedDriver::most_current),
      field(keys::driver_of_stock::current_is, &parts::ListedDriver::current_is),
      field(keys::driver_of_stock::most_current_rms, &parts::ListedDriver::most_current_rms),
      field(keys::driver_of_stock::most_microsteps, &parts::ListedDriver::most_microsteps),
      field(keys::driver_of_stock::most_pulses_per_turn,
            &parts::ListedDriver::most_pulses_per_turn),
      field(keys::driver_of_stock::pulse_width, &parts::ListedDriver::pulse_width),
      field(keys::driver_of_stock::pulse_gap, &parts::ListedDriver::pulse_gap),
      field(keys::driver_of_stock::direction_setup, &parts::ListedDriver::direction_setup),
      field(keys::driver_of_stock::pulse_rate, &parts::ListedDriver::pulse_rate),
      field(keys::driver_of_stock::over_voltage_trip, &parts::ListedDriver::over_voltage_trip)};
};

template <>
struct ListedKind<parts::ListedSupply> {
  static constexpr std::string_view word = "supply";
  static constexpr std::string_view title = "[supply.NAME]";
  static constexpr std::string_view about = "A supply.";
  static constexpr std::tuple fields{
      field(keys::supply_of_stock::voltage, &parts::ListedSupply::voltage),
      field(keys::supply_of_stock::highest_voltage, &parts::ListedSupply::highest_voltage),
      field(keys::supply_of_stock::current, &parts::ListedSupply::current),
      field(keys::supply_of_stock::power, &parts::ListedSupply::power),
      field(keys::supply_of_stock::over_voltage_trip, &parts::ListedSupply::over_voltage_trip),
      field(keys::supply_of_stock::inrush_current, &parts::ListedSupply::inrush_current)};
};

template <>
struct ListedKind<parts::Carrier> {
  static constexpr std::string_view word = "carrier";
  static constexpr std::string_view title = "[carrier.NAME]";
  static constexpr std::string_view about = "A cable carrier.";
  static constexpr std::tuple fields{
      field(keys::carrier::type, &parts::Carrier::type),
      field(keys::carrier::inner_height, &parts::Carrier::inner_height),
      field(keys::carrier::inner_width, &parts::Carrier::inner_width),
      field(keys::carrier::most_inner_width, &parts::Carrier::most_inner_width),
      field(keys::carrier::outer_height, &parts::Carrier::outer_height),
      field(keys::carrier::outer_width, &parts::Carrier::outer_width),
      field(keys::carrier::bend_radius, &parts::Carrier::bend_radius),
      field(keys::carrier::pitch, &parts::Carrier::pitch),
      field(keys::carrier::mass, &parts::Carrier::mass),
      field(keys::carrier::loop_length, &parts::Carrier::loop_length),
      field(keys::carrier::fill, &parts::Carrier::fill),
      field(keys::carrier::highest_speed, &parts::Carrier::highest_speed),
      field(keys::carrier::highest_acceleration, &parts::Carrier::highest_acceleration)};
};

template <>
struct ListedKind<parts::Tube> {
  static constexpr std::string_view word = "tube";
  static constexpr std::string_view title = "[tube.NAME]";
  static constexpr std::string_view about = "A glass tube of a laser cutter.";
  static constexpr std::tuple fields{field(keys::tube::rated_power, &parts::Tube::rated_power),
                                     field(keys::tube::peak_power, &parts::Tube::peak_power),
                                     field(keys::tube::length, &parts::Tube::length),
                                     field(keys::tube::diameter, &parts::Tube::diameter),
                                     field(keys::tube::current, &parts::Tube::current),
                                     field(keys::tube::most_current, &parts::Tube::most_current),
                                     field(keys::tube::warranty_days, &parts::Tube::warranty_days)};
};

}  // namespace pitchline::io::detail
