#pragma once

// Keys of what all axes share.

#include "read/detail/bounds.hpp"
#include "read/detail/key.hpp"

namespace pitchline::io::detail::keys {

namespace header {
inline constexpr TextKey name{{.name = "name",
                               .example = "\"Kite loft\"",
                               .doc = "shown in the first line",
                               .required = true}};
inline constexpr RatioKey<TorqueMargin> torque_margin{
    {.name = "torque_margin",
     .example = "1.1",
     .doc = "dependable torque over the peak torque of the real move; loss and swings are counted "
            "elsewhere",
     .required = true}};
inline constexpr std::array rows{row(name), row(torque_margin)};
inline constexpr KeyTable table{"[machine]", "", rows};
}  // namespace header

namespace supply {
inline constexpr QuantityKey<Voltage> voltage{
    {.name = "voltage", .example = "\"36 V\"", .doc = "what all drivers share", .required = true},
    least_voltage,
    most_voltage};
inline constexpr QuantityKey<Power> power{
    {.name = "power", .example = "\"350 W\"", .doc = "continuous output", .required = true},
    watts(0.01),
    watts(20'000)};
inline constexpr RatioKey<Simultaneity> simultaneity{
    {.name = "simultaneity",
     .example = "1.0",
     .doc = "part of the sum of all shaft powers that is drawn at once",
     .otherwise = "all axes at their peak at once",
     .weight = Otherwise::decides}};
inline constexpr QuantityKey<Resistance> resistance{
    {.name = "resistance",
     .example = "\"0.05 ohm\"",
     .doc = "between supply and drivers, by which the bus sags",
     .otherwise = "no resistance between supply and drivers",
     .weight = Otherwise::decides},
    ohms(0),
    ohms(10),
    Least::zero_too};
inline constexpr QuantityKey<Capacitance> capacitance{
    {.name = "capacitance",
     .example = "\"4700 uF\"",
     .doc = "across the bus, into which a hard stop brakes",
     .otherwise = "not known",
     .weight = Otherwise::unknown},
    farads(1e-9),
    farads(1)};
inline constexpr std::array rows{row(voltage), row(power), row(simultaneity), row(resistance),
                                 row(capacitance)};
inline constexpr KeyTable table{"[supply]", "", rows};
}  // namespace supply

namespace controller {
inline constexpr QuantityKey<PulseRate> pulse_rate{{.name = "pulse_rate",
                                                    .example = "\"200 kHz\"",
                                                    .doc = "most pulses a second on one output",
                                                    .required = true},
                                                   pulses_per_second(1),
                                                   pulses_per_second(100e6)};
inline constexpr WholeKey decimals{{.name = "decimals",
                                    .example = "3",
                                    .doc = "places that it keeps of steps per mm",
                                    .required = true},
                                   0,
                                   9};
inline constexpr std::array rows{row(pulse_rate), row(decimals)};
inline constexpr KeyTable table{"[controller]", "", rows};
}  // namespace controller

namespace top {
inline constexpr NodeKey machine{{.name = "machine",
                                  .example = "{ name = \"Kite loft\", torque_margin = 1.1 }",
                                  .doc = "name, and the margin that is wanted",
                                  .required = true},
                                 "a table"};
inline constexpr NodeKey supply{{.name = "supply",
                                 .example = "{ voltage = \"36 V\", power = \"350 W\" }",
                                 .doc = "what feeds all drivers",
                                 .required = true},
                                "a table"};
inline constexpr NodeKey controller{{.name = "controller",
                                     .example = "{ pulse_rate = \"200 kHz\", decimals = 3 }",
                                     .doc = "what gives the pulses",
                                     .required = true},
                                    "a table"};
inline constexpr NodeKey axis{{.name = "axis",
                               .example = "{ x = { ... } }, or a table [axis.x]",
                               .doc = "a table for each axis, by its name",
                               .required = true},
                              "a table of tables"};
inline constexpr std::array rows{row(machine), row(supply), row(controller), row(axis)};
inline constexpr KeyTable table{"The file", "", rows};
}  // namespace top

}  // namespace pitchline::io::detail::keys
