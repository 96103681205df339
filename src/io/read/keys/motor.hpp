#pragma once

// Keys of a motor, of the catalogue or of a machine file.

#include "pitchline/parts/winding_connection.hpp"
#include "read/detail/bounds.hpp"
#include "read/detail/key.hpp"
#include "read/keys/listed.hpp"

namespace pitchline::io::detail::keys {

namespace motor {
inline constexpr QuantityKey<Length> shaft{{.name = "shaft",
                                            .example = "\"5 mm\"",
                                            .doc = "its diameter",
                                            .otherwise = "that of the frame, where it is usual",
                                            .weight = Otherwise::unknown},
                                           thinnest,
                                           thickest_shaft};
inline constexpr QuantityKey<Force> shaft_load{
    {.name = "shaft_load",
     .example = "\"40 N\"",
     .doc = "that its shaft may bear across, from its sheet",
     .otherwise = "that of the frame, where it is usual",
     .weight = Otherwise::unknown},
    weakest,
    strongest};
inline constexpr auto shaft_load_at =
    length_key({"shaft_load_at", "\"20 mm\"", "place of that load, from the flange"});
inline constexpr auto axial_load = force_key({"axial_load", "\"10 N\"", "that it bears along"});
inline constexpr auto shaft_length = length_key({"shaft_length", "\"24 mm\"", "from the flange"});
inline constexpr auto length = length_key({"length", "\"48 mm\"", "of its body"});
inline constexpr auto mass = mass_key({"mass", "\"0.35 kg\"", "of the motor"});
inline constexpr NodeKey lacks{
    {.name = "lacks",
     .example = "[\"rotor_inertia\"]",
     .doc =
         "of a catalogue: which of `resistance`, `inductance`, `rotor_inertia` no source gives; "
         "such a motor is listed, may be taken over with the figure added, and is never proposed",
     .otherwise = "none"},
    "a list of texts"};

inline constexpr QuantityKey<Angle> step_angle{
    {.name = "step_angle", .example = "\"1.8 deg\"", .doc = "of a full step", .required = true},
    degrees(0.09),
    degrees(90),
    Least::given,
    "a turn over a whole multiple of four, such as 1.8 deg or 0.9 deg"};
inline constexpr QuantityKey<Torque> holding_torque{{.name = "holding_torque",
                                                     .example = "\"0.5 N*m\"",
                                                     .doc = "at the rated current",
                                                     .required = true},
                                                    smallest_torque,
                                                    newton_metres(100)};
/// 0 two phases on, 1 one.
inline constexpr ChoiceKey<int, 2> rated{
    {.name = "rated",
     .example = "\"two phases on\"",
     .doc = "how the sheet measures the holding torque; most have two phases on",
     .required = true},
    {{{"two phases on", 0}, {"one phase on", 1}}}};
inline constexpr QuantityKey<Current> current{
    {.name = "current",
     .example = "\"2 A\"",
     .doc = "rated, of a phase with both phases on, the RMS of a sine",
     .required = true},
    least_current,
    most_current};
inline constexpr QuantityKey<Resistance> resistance{
    {.name = "resistance", .example = "\"1.6 ohm\"", .doc = "of a phase", .required = true},
    ohms(1e-6),
    ohms(1000)};
inline constexpr QuantityKey<Inductance> inductance{
    {.name = "inductance", .example = "\"3 mH\"", .doc = "of a phase", .required = true},
    henries(1e-9),
    henries(10)};
inline constexpr QuantityKey<Inertia> rotor_inertia{{.name = "rotor_inertia",
                                                     .example = "\"82 g*cm^2\"",
                                                     .doc = "of the rotor alone",
                                                     .required = true},
                                                    smallest_inertia,
                                                    largest_inertia};
inline constexpr TextKey source{{.name = "source",
                                 .example = "\"data sheet of the maker\"",
                                 .doc = "where the figures come from",
                                 .otherwise = "given in the machine file"}};
inline constexpr QuantityKey<Torque> detent_torque{{.name = "detent_torque",
                                                    .example = "\"0.02 N*m\"",
                                                    .doc = "without current, if known",
                                                    .otherwise = "not known",
                                                    .weight = Otherwise::unknown},
                                                   smallest_torque,
                                                   newton_metres(10)};
inline constexpr WholeKey frame{{.name = "frame",
                                 .example = "17",
                                 .doc = "NEMA size of the flange, 17, 23, ...",
                                 .otherwise = "not known",
                                 .weight = Otherwise::unknown},
                                8,
                                42};
inline constexpr WholeKey leads{{.name = "leads",
                                 .example = "8",
                                 .doc = "4, 6 or 8 wires",
                                 .otherwise = "the figures are those of the connection in use"},
                                4,
                                8};
inline constexpr std::array connections{
    Word<parts::Connection>{"single", parts::Connection::single},
    Word<parts::Connection>{"half coil", parts::Connection::half_coil},
    Word<parts::Connection>{"series", parts::Connection::series},
    Word<parts::Connection>{"parallel", parts::Connection::parallel}};
inline constexpr ChoiceKey<parts::Connection, 4> figures_for{
    {.name = "figures_for",
     .example = "\"series\"",
     .doc = "of 6 or 8 leads: the connection for which the sheet states its figures"},
    connections};
inline constexpr ChoiceKey<parts::Connection, 4> connected{
    {.name = "connected",
     .example = "\"parallel\"",
     .doc = "of 6 or 8 leads: the connection that is used"},
    connections};
inline constexpr NodeKey published{
    {.name = "published",
     .example = "[{ voltage = \"24 V\", current = \"2 A\", current_is = \"peak\", points = "
                "[[\"300 rpm\", \"0.41 N*m\"]], source = \"data sheet\" }]",
     .doc = "pull-out curves: one point calibrates the torque model for this motor, more points "
            "are used as they are",
     .otherwise = "the torque model of all motors"},
    "a list of tables"};
inline constexpr std::array rows{row(step_angle),    row(holding_torque), row(rated),
                                 row(current),       row(resistance),     row(inductance),
                                 row(rotor_inertia), row(source),         row(detent_torque),
                                 row(frame),         row(mass),           row(length),
                                 row(shaft),         row(shaft_length),   row(shaft_load),
                                 row(shaft_load_at), row(axial_load),     row(leads),
                                 row(figures_for),   row(connected),      row(published),
                                 row(lacks),         row(listed::like),   row(listed::mark),
                                 row(listed::doubt), row(listed::price),  row(listed::currency)};
inline constexpr KeyTable table{"[axis.NAME.motor], and [motor.NAME] of a catalogue",
                                "By the figures of its data sheet, or with `like` as a motor of "
                                "the catalogue with some of them "
                                "changed: no other key is then required. A published curve is "
                                "taken over only where no figure of "
                                "the winding is changed.",
                                rows};
}  // namespace motor

namespace published {
inline constexpr QuantityKey<Voltage> voltage{{.name = "voltage",
                                               .example = "\"24 V\"",
                                               .doc = "of the supply when it was measured",
                                               .required = true},
                                              least_voltage,
                                              most_voltage};
inline constexpr QuantityKey<Current> current{
    {.name = "current", .example = "\"2 A\"", .doc = "the driver's setting", .required = true},
    least_current,
    most_published_current};
/// 0 RMS, 1 peak.
inline constexpr ChoiceKey<int, 2> current_is{{.name = "current_is",
                                               .example = "\"peak\"",
                                               .doc = "what the setting means",
                                               .required = true},
                                              {{{"rms", 0}, {"peak", 1}}}};
inline constexpr TextKey source{{.name = "source",
                                 .example = "\"data sheet of the maker\"",
                                 .doc = "where the curve stands",
                                 .required = true}};
inline constexpr NodeKey points{{.name = "points",
                                 .example = "[[\"300 rpm\", \"0.41 N*m\"], [\"600 rpm\", \"0.36 "
                                            "N*m\"]]",
                                 .doc = "speed and pull-out torque, by rising speed",
                                 .required = true},
                                "a list of pairs"};
inline constexpr std::array rows{row(voltage), row(current), row(current_is), row(source),
                                 row(points)};
inline constexpr KeyTable table{"[[axis.NAME.motor.published]]", "", rows};
}  // namespace published

}  // namespace pitchline::io::detail::keys
