#pragma once

// Keys that stand under an axis, whatever drives it.

#include "read/detail/bounds.hpp"
#include "read/detail/key.hpp"

namespace pitchline::io::detail::keys {

namespace driver {
inline constexpr QuantityKey<Current> current{
    {.name = "current", .example = "\"2.0 A\"", .doc = "the setting", .required = true},
    least_current,
    most_current};
/// 0 RMS, 1 peak.
inline constexpr ChoiceKey<int, 2> current_is{
    {.name = "current_is",
     .example = "\"rms\"",
     .doc = "what the setting means; where a driver says only A, `peak` is the smaller "
            "reading and the safe one",
     .required = true},
    {{{"rms", 0}, {"peak", 1}}}};
inline constexpr WholeKey pulses_per_turn{
    {.name = "pulses_per_turn",
     .example = "3200",
     .doc = "of the motor; this or `microsteps`, as the driver's switches name it"},
    4,
    1'000'000};
inline constexpr WholeKey microsteps{
    {.name = "microsteps", .example = "16", .doc = "pulses to a full step"}, 1, 5120};
inline constexpr QuantityKey<Current> standstill{
    {.name = "standstill",
     .example = "\"1.0 A\"",
     .doc = "the reduced setting at rest, in the same sense as `current`",
     .otherwise = "current at rest not reduced",
     .weight = Otherwise::decides},
    least_current,
    most_current};
inline constexpr QuantityKey<Voltage> highest_voltage{{.name = "highest_voltage",
                                                       .example = "\"48 V\"",
                                                       .doc = "that the driver is rated for",
                                                       .otherwise = "not known",
                                                       .weight = Otherwise::unknown},
                                                      least_voltage,
                                                      most_voltage};
inline constexpr std::array rows{row(current),    row(current_is), row(pulses_per_turn),
                                 row(microsteps), row(standstill), row(highest_voltage)};
inline constexpr KeyTable table{"[axis.NAME.driver]", "", rows};
}  // namespace driver

namespace want {
inline constexpr QuantityKey<Speed> speed{
    {.name = "speed",
     .example = "\"600 mm/s\"",
     .doc = "of the carriage; of a turning axis at the surface of the heaviest workpiece",
     .required = true},
    slowest,
    fastest};
inline constexpr QuantityKey<Acceleration> acceleration{
    {.name = "acceleration", .example = "\"5 m/s^2\"", .doc = "likewise", .required = true},
    softest,
    hardest};
inline constexpr QuantityKey<Length> position_error{
    {.name = "position_error",
     .example = "\"0.2 mm\"",
     .doc = "must hold at rest and at constant speed",
     .otherwise = "not asked",
     .weight = Otherwise::unknown},
    finest_error,
    largest_error};
inline constexpr QuantityKey<Length> corner_error{{.name = "corner_error",
                                                   .example = "\"0.5 mm\"",
                                                   .doc = "must hold while accelerating",
                                                   .otherwise = "not asked",
                                                   .weight = Otherwise::unknown},
                                                  finest_error,
                                                  largest_error};
inline constexpr std::array rows{row(speed), row(acceleration), row(position_error),
                                 row(corner_error)};
inline constexpr KeyTable table{"[axis.NAME.want]", "", rows};
}  // namespace want

namespace guide {
/// The place among the words.
inline constexpr ChoiceKey<int, 4> kind{
    {.name = "kind", .example = "\"profile rail\"", .doc = "what it runs on", .required = true},
    {{{"profile rail", 0}, {"wheels", 1}, {"round shaft", 2}, {"plain", 3}}}};
inline constexpr WholeKey blocks{{.name = "blocks",
                                  .example = "2",
                                  .doc = "bearing blocks or wheel sets; no row judges by it yet",
                                  .otherwise = "not known",
                                  .weight = Otherwise::unknown},
                                 1,
                                 64};
inline constexpr RatioKey<FrictionCoefficient> friction{
    {.name = "friction", .example = "0.004", .doc = "running, over the load", .required = true}};
inline constexpr QuantityKey<Force> drag{
    {.name = "drag",
     .example = "\"4 N\"",
     .doc = "of the whole axis, of seals and hoses, always against the motion",
     .otherwise = "no drag of the guide",
     .weight = Otherwise::decides},
    newtons(0),
    strongest,
    Least::zero_too};
inline constexpr QuantityKey<Force> breakaway{
    {.name = "breakaway",
     .example = "\"3 N\"",
     .doc = "static friction beyond the running one, until the axis moves",
     .otherwise = "1.1 of the running one on rails and round shafts, 1.3 on wheels, 1.5 plain",
     .weight = Otherwise::worded},
    newtons(0),
    strongest,
    Least::zero_too};
inline constexpr std::array rows{row(kind), row(blocks), row(friction), row(drag), row(breakaway)};
inline constexpr KeyTable table{"[axis.NAME.guide]", "Of an axis that moves straight.", rows};
}  // namespace guide

namespace beam {
inline constexpr QuantityKey<Length> span{{.name = "span",
                                           .example = "\"1300 mm\"",
                                           .doc = "between the guides that carry its two ends",
                                           .required = true},
                                          millimetres(1),
                                          longest};
inline constexpr QuantityKey<Pressure> elastic_modulus{
    {.name = "elastic_modulus",
     .example = "\"70 GPa\"",
     .doc = "of its material: 70 GPa of aluminium, 210 GPa of steel",
     .required = true},
    megapascals(1'000),
    megapascals(1'000'000),
    Least::given,
    "from 1 GPa to 1000 GPa"};
inline constexpr QuantityKey<SecondMoment> second_moment{
    {.name = "second_moment",
     .example = "\"20e4 mm^4\"",
     .doc = "of its section against bending along the travel; a flat profile has another one "
            "upright",
     .required = true},
    millimetres_to_the_fourth(0.01),
    millimetres_to_the_fourth(1e9),
    Least::above_zero,
    "> 0 and at most 1e9 mm^4"};
inline constexpr QuantityKey<Mass> mass{
    {.name = "mass",
     .example = "\"3.9 kg\"",
     .doc = "of the whole beam; a part of `moving_mass`, which counts it too",
     .required = true},
    lightest,
    heaviest};
inline constexpr NodeKey carries{
    {.name = "carries",
     .example = "[\"carriage\"]",
     .doc = "parts of `moving_mass` that travel along the beam; required unless another axis rides "
            "on this one"},
    "a list of texts"};
inline constexpr RatioKey<DampingRatio> damping{{.name = "damping",
                                                 .example = "0.01",
                                                 .doc = "ratio of the beam's first swing",
                                                 .otherwise = "0.01",
                                                 .weight = Otherwise::worded}};
inline constexpr std::array rows{row(span), row(elastic_modulus), row(second_moment),
                                 row(mass), row(carries),         row(damping)};
inline constexpr KeyTable table{
    "[axis.NAME.beam]",
    "The beam that a straight axis moves: its bending along the travel of that axis, what travels "
    "along it standing in the middle. Left out, its bending is not looked at.",
    rows};
}  // namespace beam

namespace axis {
inline constexpr NodeKey motor{{.name = "motor",
                                .example = "\"nema17 48mm 2A\"",
                                .doc = "a name of the catalogue; or a table, see below",
                                .required = true},
                               "a text or a table"};
inline constexpr NodeKey driver{
    {.name = "driver",
     .example = "{ current = \"2.0 A\", current_is = \"rms\", microsteps = 16 }",
     .doc = "current and pulses",
     .required = true},
    "a table"};
inline constexpr NodeKey drive{
    {.name = "drive",
     .example = "{ kind = \"belt\", profile = \"GT 2 mm\", width = \"9 mm\", pulley_teeth = 20 }",
     .doc = "what moves the axis, by its `kind`",
     .required = true},
    "a table"};
inline constexpr NodeKey want{{.name = "want",
                               .example = "{ speed = \"600 mm/s\", acceleration = \"5 m/s^2\" }",
                               .doc = "what the axis shall do",
                               .required = true},
                              "a table"};
inline constexpr NodeKey move{
    {.name = "move",
     .example = "{ stroke = \"300 mm\", repeats = 10, dwell = \"0.1 s\", jerk_time = \"20 ms\" }",
     .doc = "the move that really runs",
     .otherwise = "a single move of any length, acceleration at once",
     .weight = Otherwise::decides},
    "a table"};
inline constexpr NodeKey cycle{
    {.name = "cycle",
     .example = "[{ stroke = \"300 mm\", pause = \"0.5 s\", times = 4, there_and_back = true }]",
     .doc = "strokes that the axis repeats over and over",
     .otherwise = "none is described: averages over a cycle are not looked at",
     .weight = Otherwise::unknown},
    "a list of tables"};
inline constexpr NodeKey raster{
    {.name = "raster",
     .example = "{ line = \"300 mm\", speed = \"250 mm/s\", height = \"200 mm\", pitch = \"0.1 "
                "mm\", across = \"y\" }",
     .doc = "lines to and fro, of an axis that moves straight",
     .otherwise = "not asked",
     .weight = Otherwise::unknown},
    "a table"};

// Of an axis that moves straight.
inline constexpr QuantityKey<Length> travel{
    {.name = "travel",
     .example = "\"900 mm\"",
     .doc = "from end to end, of an axis that moves straight",
     .required = true},
    thinnest,
    longest};
inline constexpr QuantityKey<Angle> incline{
    {.name = "incline",
     .example = "\"90 deg\"",
     .doc = "0 level to 90 deg straight up. Required of an axis with a lift, of one that is called "
            "z beside an x or a y, and of one that carries a turning axis with an `axle_height`",
     .otherwise = "a level axis",
     .weight = Otherwise::decides},
    degrees(0),
    degrees(90),
    Least::given};
inline constexpr NodeKey moving_mass{
    {.name = "moving_mass",
     .example = "\"1.9 kg\", or { beam = \"2.1 kg\", ends = \"1.6 kg\" }",
     .doc = "one mass, or a table of named parts that the report adds up, 1 mg to 2000 kg together",
     .required = true},
    "a mass or a table of masses"};
inline constexpr QuantityKey<Mass> mass{
    {.name = "mass", .example = "\"1.9 kg\"", .doc = "a part of moving_mass", .required = true},
    lightest,
    heaviest};
inline constexpr NodeKey carries{
    {.name = "carries",
     .example = "[\"x\"]",
     .doc = "the axes that ride on this one; their mass is added, and counts as standing over one "
            "end"},
    "a list of texts"};
inline constexpr NodeKey guide{
    {.name = "guide",
     .example = "{ kind = \"profile rail\", friction = 0.004, drag = \"4 N\" }",
     .doc = "friction of an axis that moves straight",
     .required = true},
    "a table"};
inline constexpr NodeKey beam{
    {.name = "beam",
     .example =
         "{ span = \"1300 mm\", elastic_modulus = \"70 GPa\", second_moment = \"20e4 mm^4\", "
         "mass = \"3.9 kg\" }",
     .doc = "that this axis moves",
     .otherwise = "not looked at",
     .weight = Otherwise::unknown},
    "a table"};
inline constexpr WholeKey motors{{.name = "motors",
                                  .example = "2",
                                  .doc = "1 or 2 of a belt axis, 1 to 4 of a screw axis",
                                  .otherwise = "one motor",
                                  .weight = Otherwise::decides},
                                 1,
                                 4};
inline constexpr NodeKey lift{
    {.name = "lift",
     .example = "{ work = \"6 kg\", height_step = \"0.05 mm\", stays_up = true }",
     .doc = "what is wanted of a bed that screws lift",
     .otherwise = "not asked",
     .weight = Otherwise::unknown},
    "a table"};
inline constexpr std::array rows{row(motor),   row(driver),      row(drive),   row(want),
                                 row(move),    row(cycle),       row(raster),  row(travel),
                                 row(incline), row(moving_mass), row(carries), row(guide),
                                 row(beam),    row(motors),      row(lift)};
inline constexpr KeyTable table{
    "[axis.NAME]",
    "The name has letters, digits, _ and -, and begins with a letter: so it can be typed, stands "
    "in "
    "tables and templates, and no spreadsheet takes it for a formula. From `travel` on the keys "
    "are those of axes that move straight. A turning axis has none of "
    "them: its workpiece says what turns.",
    rows};
}  // namespace axis

}  // namespace pitchline::io::detail::keys
