#pragma once

// Keys of what is wanted of an axis that lifts a bed.

#include "pitchline/screw/end_fixity.hpp"
#include "read/detail/bounds.hpp"
#include "read/detail/key.hpp"
#include "read/keys/belt_drive.hpp"

namespace pitchline::io::detail::keys {

namespace lift {
inline constexpr QuantityKey<Mass> work{
    {.name = "work",
     .example = "\"6 kg\"",
     .doc = "the heaviest that is laid on the bed; it is added to `moving_mass`",
     .required = true},
    kilograms(0),
    heaviest,
    Least::zero_too};
inline constexpr QuantityKey<Length> height_step{
    {.name = "height_step",
     .example = "\"0.05 mm\"",
     .doc = "the finest change of height that is wanted, for focus",
     .required = true},
    finest_error,
    largest_height_error};
inline constexpr FlagKey stays_up{{.name = "stays_up",
                                   .example = "true, or false",
                                   .doc = "true where the bed must stay up without power",
                                   .required = true}};
inline constexpr NodeKey screws{
    {.name = "screws",
     .example = "[[\"0 mm\", \"0 mm\"], [\"0 mm\", \"600 mm\"]]",
     .doc = "a place of x and y for each screw, seen from above; may be left out of a single one"},
    "a list of places"};
inline constexpr NodeKey load_at{{.name = "load_at",
                                  .example = "[\"300 mm\", \"280 mm\"]",
                                  .doc = "where all that is lifted acts together",
                                  .otherwise = "a load in the middle of the screws",
                                  .weight = Otherwise::worded},
                                 "a place"};
inline constexpr QuantityKey<Length> nut_level{
    {.name = "nut_level",
     .example = "\"0.05 mm\"",
     .doc = "by how much one nut may stand higher than the others",
     .otherwise = "nuts set so unevenly that one bears the most that statics leaves it",
     .weight = Otherwise::worded},
    millimetres(0),
    largest_height_error,
    Least::zero_too};
inline constexpr ChoiceKey<screw::EndFixity, 4> bearings{
    {.name = "bearings",
     .example = "\"fixed and supported\"",
     .doc = "whether the bearings of a screw let it tilt",
     .otherwise = "bearings that let the screw tilt",
     .weight = Otherwise::decides},
    {{{"fixed and free", screw::EndFixity::fixed_free},
      {"supported", screw::EndFixity::supported_supported},
      {"fixed and supported", screw::EndFixity::fixed_supported},
      {"both fixed", screw::EndFixity::fixed_fixed}}}};
/// 0 below, 1 above.
inline constexpr ChoiceKey<int, 2> thrust_bearing{
    {.name = "thrust_bearing",
     .example = "\"below\"",
     .doc = "below the nut, where the screw is pushed, or above it, where it is pulled",
     .otherwise = "a thrust bearing below, so that the screw is pushed",
     .weight = Otherwise::decides},
    {{{"below", 0}, {"above", 1}}}};
inline constexpr QuantityKey<Length> nut_length{{.name = "nut_length",
                                                 .example = "\"15 mm\"",
                                                 .doc = "of its thread",
                                                 .otherwise = "1.5 times the outer diameter",
                                                 .weight = Otherwise::worded},
                                                thinnest,
                                                metres(1)};
inline constexpr QuantityKey<Length> lead_error{
    {.name = "lead_error",
     .example = "\"0.03 mm\"",
     .doc = "by how much the leads of two screws differ over the travel",
     .otherwise = "not known",
     .weight = Otherwise::unknown},
    millimetres(0),
    largest_height_error,
    Least::zero_too};
inline constexpr QuantityKey<Length> level{
    {.name = "level",
     .example = "\"0.3 mm\"",
     .doc = "within which the heights at the screws shall stay",
     .otherwise = "not asked",
     .weight = Otherwise::unknown},
    finest_error,
    millimetres(100)};
inline constexpr QuantityKey<Length> life{
    {.name = "life",
     .example = "\"500 km\"",
     .doc =
         "travel that screws and nuts shall last. Of balls it needs `dynamic_rating`, of sliding "
         "nuts it is an estimate that only its lower end promises",
     .otherwise = "not asked",
     .weight = Otherwise::unknown},
    metres(1),
    metres(1e9),
    Least::above_zero,
    "> 0 and at most 1000000 km"};
inline constexpr QuantityKey<Torque> brake{{.name = "brake",
                                            .example = "\"0.5 N*m\"",
                                            .doc = "on each motor, that closes without power",
                                            .otherwise = "no brake",
                                            .weight = Otherwise::decides},
                                           smallest_torque,
                                           newton_metres(1000)};
inline constexpr NodeKey belt{
    {.name = "belt",
     .example = "{ profile = \"GT 3 mm\", width = \"9 mm\", pulley = [...] }",
     .doc = "that ties the screws to one motor; the teeth of motor and screws are those of "
            "`drive.stage`",
     .otherwise = "not looked at",
     .weight = Otherwise::unknown},
    "a table"};
inline constexpr std::array rows{
    row(work),      row(height_step), row(stays_up),       row(screws),     row(load_at),
    row(nut_level), row(bearings),    row(thrust_bearing), row(nut_length), row(lead_error),
    row(level),     row(life),        row(brake),          row(belt)};
inline constexpr KeyTable table{
    "[axis.NAME.lift], of an axis by screw that goes up",
    "What is wanted of a bed that screws lift, for `pitchline-lift` and for rows of its own in "
    "`pitchline-check`.",
    rows};
}  // namespace lift

namespace lift_belt {
inline constexpr TextKey profile{{.name = "profile",
                                  .example = "\"GT 3 mm\"",
                                  .doc = "a belt profile of the catalogue",
                                  .required = true}};
inline constexpr QuantityKey<Force> tension{
    {.name = "tension",
     .example = "\"60 N\"",
     .doc = "set at rest",
     .otherwise = "a belt set as tight as the slack strand needs",
     .weight = Otherwise::decides},
    weakest,
    strongest};
inline constexpr NodeKey pulley{
    {.name = "pulley",
     .example = "[[...belt.pulley]] tables",
     .doc = "one for each, in the order in which the belt meets them; those of screws stand where "
            "`screws` says, and that of the motor is called `motor`",
     .required = true},
    "a list of tables"};
inline constexpr std::array rows{row(profile), row(belt_drive::width), row(tension), row(pulley)};
inline constexpr KeyTable table{"[axis.NAME.lift.belt]", "", rows};
}  // namespace lift_belt

}  // namespace pitchline::io::detail::keys
