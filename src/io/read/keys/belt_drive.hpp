#pragma once

// Keys of a drive by belt, its stage and its cross shaft.

#include "pitchline/belt/service_factor.hpp"
#include "pitchline/parts/belt.hpp"
#include "read/detail/bounds.hpp"
#include "read/detail/key.hpp"
#include "read/keys/drive.hpp"

namespace pitchline::io::detail::keys {

namespace belt_stage {
inline constexpr QuantityKey<Length> width{
    {.name = "width", .example = "\"6 mm\"", .doc = "of its belt", .required = true},
    narrowest_belt,
    widest_belt};
inline constexpr WholeKey motor_teeth = drive_stage::motor_teeth;
inline constexpr WholeKey driven_teeth = drive_stage::driven_teeth;
inline constexpr QuantityKey<Length> centre_distance{{.name = "centre_distance",
                                                      .example = "\"90 mm\"",
                                                      .doc = "of its two pulleys",
                                                      .required = true},
                                                     millimetres(1),
                                                     longest_centre_distance};
inline constexpr QuantityKey<Length> take_up{
    {.name = "take_up",
     .example = "\"5 mm\"",
     .doc = "by which the centre distance can be set; then a listed belt is looked for",
     .otherwise = "not known",
     .weight = Otherwise::unknown},
    shortest,
    longest_centre_distance};
inline constexpr std::array rows{row(drive::profile), row(width),           row(motor_teeth),
                                 row(driven_teeth),   row(centre_distance), row(take_up)};
inline constexpr KeyTable table{"[axis.NAME.drive.stage], kind = \"belt\"",
                                "A reduction before the drive pulley.", rows};
}  // namespace belt_stage

namespace cross_shaft {
inline constexpr QuantityKey<Length> diameter{
    {.name = "diameter", .example = "\"12 mm\"", .doc = "of the shaft", .required = true},
    thinnest,
    thickest_shaft};
inline constexpr QuantityKey<Length> bore = drive::bore_of("a solid shaft");
inline constexpr QuantityKey<Length> length{{.name = "length",
                                             .example = "\"1150 mm\"",
                                             .doc = "between its couplings or pulleys",
                                             .required = true},
                                            millimetres(1),
                                            longest};
/// 0 steel, 1 aluminium.
inline constexpr ChoiceKey<int, 2> material{
    {.name = "material", .example = "\"steel\"", .doc = "of the shaft", .required = true},
    {{{"steel", 0}, {"aluminium", 1}}}};
inline constexpr WholeKey couplings{
    {.name = "couplings", .example = "2", .doc = "along the shaft", .required = true}, 0, 8};
inline constexpr QuantityKey<TorsionalStiffness> coupling_stiffness{
    {.name = "coupling_stiffness",
     .example = "\"900 N*m/rad\"",
     .doc = "of each",
     .otherwise = "couplings that do not give",
     .weight = Otherwise::worded},
    newton_metres_per_radian(0.001),
    newton_metres_per_radian(1e7)};
inline constexpr QuantityKey<Inertia> coupling_inertia{{.name = "coupling_inertia",
                                                        .example = "\"60 g*cm^2\"",
                                                        .doc = "of each",
                                                        .otherwise = "couplings without inertia",
                                                        .weight = Otherwise::worded},
                                                       kilogram_square_metres(0),
                                                       largest_inertia,
                                                       Least::zero_too};
inline constexpr std::array rows{row(diameter),        row(bore),      row(length),
                                 row(material),        row(couplings), row(coupling_stiffness),
                                 row(coupling_inertia)};
inline constexpr KeyTable table{"[axis.NAME.drive.cross_shaft]",
                                "It takes the turning of one motor to the far belt of a gantry.",
                                rows};
}  // namespace cross_shaft

namespace belt_drive {
inline constexpr QuantityKey<Length> width{
    {.name = "width", .example = "\"9 mm\"", .doc = "of the belt", .required = true},
    narrowest_belt,
    widest_belt};
inline constexpr WholeKey pulley_teeth{{.name = "pulley_teeth",
                                        .example = "20",
                                        .doc = "of the pulley that drives the belt",
                                        .required = true},
                                       fewest_teeth,
                                       most_teeth};
inline constexpr ChoiceKey<parts::BeltEnds, 3> belt{{.name = "belt",
                                                     .example = "\"open ended\"",
                                                     .doc = "how its ends are joined",
                                                     .otherwise = "an open ended belt",
                                                     .weight = Otherwise::decides},
                                                    {{{"open ended", parts::BeltEnds::open},
                                                      {"closed loop", parts::BeltEnds::closed_loop},
                                                      {"welded", parts::BeltEnds::welded}}}};
inline constexpr QuantityKey<Force> tension_per_strain{
    {.name = "tension_per_strain",
     .example = "\"40 kN\"",
     .doc = "of the whole width, from the maker's data",
     .otherwise = "that of the catalogue, where it knows it"},
    weakest,
    newtons(1e8)};
inline constexpr QuantityKey<Force> tension{
    {.name = "tension",
     .example = "\"60 N\"",
     .doc = "set in each strand",
     .otherwise = "a belt set as tight as the slack strand needs",
     .weight = Otherwise::decides},
    weakest,
    strongest};
inline constexpr RatioKey<pitchline::belt::ServiceFactor> service_factor{
    {.name = "service_factor",
     .example = "1.6",
     .doc = "of the belt, for shocks and hours",
     .otherwise = "the usual service factor of the belt's makers",
     .weight = Otherwise::decides}};
inline constexpr QuantityKey<Length> bore{{.name = "bore",
                                           .example = "\"5 mm\"",
                                           .doc = "of the pulley on the motor's shaft",
                                           .otherwise = "not known",
                                           .weight = Otherwise::unknown},
                                          thinnest,
                                          thickest_shaft};
inline constexpr NodeKey stage{
    {.name = "stage",
     .example = "{ profile = \"GT 2 mm\", width = \"6 mm\", motor_teeth = 20, driven_teeth = 60, "
                "centre_distance = \"90 mm\" }",
     .doc = "a reduction before the drive pulley"},
    "a table"};
inline constexpr QuantityKey<Length> span{{.name = "span",
                                           .example = "\"1660 mm\"",
                                           .doc = "centre of drive pulley to centre of idler",
                                           .otherwise = "travel and 200 mm",
                                           .weight = Otherwise::worded},
                                          millimetres(1),
                                          longest};
inline constexpr QuantityKey<Length> belt_distance{{.name = "belt_distance",
                                                    .example = "\"1200 mm\"",
                                                    .doc = "between the two belts of a gantry",
                                                    .otherwise = "not known",
                                                    .weight = Otherwise::unknown},
                                                   millimetres(1),
                                                   longest};
/// 0 together, 1 each side.
inline constexpr ChoiceKey<int, 2> homed{
    {.name = "homed",
     .example = "\"together\"",
     .doc = "of a pair of motors, or each side on a switch of its own",
     .otherwise = "both sides homed together",
     .weight = Otherwise::decides},
    {{{"together", 0}, {"each side", 1}}}};
inline constexpr NodeKey cross_shaft{
    {.name = "cross_shaft",
     .example = "{ diameter = \"12 mm\", length = \"1150 mm\", material = \"steel\", couplings = 2 "
                "}",
     .doc = "to a second belt on the far side"},
    "a table"};
inline constexpr RatioKey<Efficiency> efficiency{{.name = "efficiency",
                                                  .example = "0.95",
                                                  .doc = "of all belts between motor and load",
                                                  .otherwise = "0.98 for each",
                                                  .weight = Otherwise::worded}};
inline constexpr RatioKey<DampingRatio> damping_ratio{
    {.name = "damping_ratio",
     .example = "0.03",
     .doc = "of the load on its belt",
     .otherwise = "0.03, and 0.01 for the swings of the motor",
     .weight = Otherwise::worded}};
inline constexpr RatioKey<StiffnessShare> stiffness_share{
    {.name = "stiffness_share",
     .example = "0.7",
     .doc = "stiffness of the whole axis over that of its belts: pitchline-tune measures it",
     .otherwise = "0.7",
     .weight = Otherwise::worded}};
inline constexpr QuantityKey<Force> belt_drag{
    {.name = "belt_drag",
     .example = "\"3 N\"",
     .doc = "of one belt run, at any speed: pitchline-tune measures it",
     .otherwise = "3 N for a belt of 7.5 mm, in proportion to width and tension",
     .weight = Otherwise::worded},
    newtons(0),
    strongest,
    Least::zero_too};
inline constexpr QuantityKey<Inertia> pulley_inertia{{.name = "pulley_inertia",
                                                      .example = "\"12 g*cm^2\"",
                                                      .doc = "of drive pulley and idler, each",
                                                      .otherwise = "that of a solid aluminium one",
                                                      .weight = Otherwise::worded},
                                                     kilogram_square_metres(0),
                                                     largest_inertia,
                                                     Least::zero_too};
inline constexpr std::array rows{row(drive::kind),
                                 row(drive::profile),
                                 row(width),
                                 row(pulley_teeth),
                                 row(belt),
                                 row(span),
                                 row(tension_per_strain),
                                 row(tension),
                                 row(service_factor),
                                 row(bore),
                                 row(efficiency),
                                 row(damping_ratio),
                                 row(stiffness_share),
                                 row(belt_drag),
                                 row(pulley_inertia),
                                 row(stage),
                                 row(belt_distance),
                                 row(homed),
                                 row(cross_shaft)};
inline constexpr KeyTable table{"[axis.NAME.drive], kind = \"belt\"", "", rows};
}  // namespace belt_drive

}  // namespace pitchline::io::detail::keys
