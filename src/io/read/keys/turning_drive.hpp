#pragma once

// Keys of a chuck and of driven rollers.

#include "read/detail/bounds.hpp"
#include "read/detail/key.hpp"
#include "read/keys/drive.hpp"

namespace pitchline::io::detail::keys {

namespace workpiece {
inline constexpr ExactLengthKey diameter{
    {.name = "diameter", .example = "\"60 mm\"", .doc = "outside", .required = true},
    nanometre,
    thickest_workpiece};
inline constexpr QuantityKey<Length> bore = drive::bore_of("a solid workpiece");
inline constexpr QuantityKey<Length> length{
    {.name = "length", .example = "\"400 mm\"", .doc = "along its axis", .required = true},
    shortest,
    longest};
inline constexpr QuantityKey<Density> density{
    {.name = "density", .example = "\"700 kg/m^3\"", .doc = "of its material", .required = true},
    lightest_material,
    densest};
inline constexpr QuantityKey<Length> eccentricity{
    {.name = "eccentricity",
     .example = "\"1 mm\"",
     .doc = "of its centre of gravity: unbalance, or a crooked bar; below the radius",
     .otherwise = "a workpiece without unbalance",
     .weight = Otherwise::decides},
    millimetres(0),
    thickest_workpiece,
    Least::zero_too};
inline constexpr std::array rows{row(diameter), row(bore), row(length), row(density),
                                 row(eccentricity)};
inline constexpr KeyTable table{"[axis.NAME.drive.workpiece]", "The heaviest one.", rows};
}  // namespace workpiece

namespace turning_stage {
inline constexpr std::array rows{row(drive_stage::motor_teeth), row(drive_stage::driven_teeth)};
inline constexpr KeyTable table{"[axis.NAME.drive.stage], kind = \"chuck\" or \"rollers\"", "",
                                rows};
}  // namespace turning_stage

namespace turning_drive {
inline constexpr NodeKey workpiece{
    {.name = "workpiece",
     .example = "{ diameter = \"60 mm\", length = \"400 mm\", density = \"700 kg/m^3\" }",
     .doc = "the heaviest that is turned",
     .required = true},
    "a table"};
inline constexpr NodeKey stage{{.name = "stage",
                                .example = "{ motor_teeth = 20, driven_teeth = 60 }",
                                .doc = "between motor and chuck or rollers",
                                .otherwise = "it sits on the motor"},
                               "a table"};
inline constexpr RatioKey<Efficiency> efficiency{{.name = "efficiency",
                                                  .example = "0.95",
                                                  .doc = "between motor and chuck or rollers",
                                                  .otherwise = "0.95 with a stage, else 1",
                                                  .weight = Otherwise::worded}};
inline constexpr QuantityKey<Angle> angle_step{
    {.name = "angle_step",
     .example = "\"0.05 deg\"",
     .doc = "the finest turn that is wanted; the report says the smallest or largest workpiece "
            "that keeps it",
     .otherwise = "not asked",
     .weight = Otherwise::unknown},
    degrees(1e-6),
    degrees(90)};
inline constexpr QuantityKey<Length> surface_step{{.name = "surface_step",
                                                   .example = "\"0.05 mm\"",
                                                   .doc = "likewise, along the surface",
                                                   .otherwise = "not asked",
                                                   .weight = Otherwise::unknown},
                                                  finest_error,
                                                  millimetres(100)};
inline constexpr QuantityKey<Length> axle_height{
    {.name = "axle_height",
     .example = "\"60 mm\"",
     .doc =
         "of the axis of chuck or rollers above the bed: the headroom that the lift must give is "
         "judged by the travel of the axis that carries it",
     .otherwise = "not asked",
     .weight = Otherwise::unknown},
    millimetres(0),
    thickest_workpiece,
    Least::zero_too};

// Of a chuck.
inline constexpr QuantityKey<Inertia> chuck_inertia{{.name = "chuck_inertia",
                                                     .example = "\"900 g*cm^2\"",
                                                     .doc = "of all that turns with the workpiece",
                                                     .otherwise = "a chuck without inertia",
                                                     .weight = Otherwise::decides},
                                                    kilogram_square_metres(0),
                                                    largest_inertia,
                                                    Least::zero_too};
inline constexpr QuantityKey<Torque> chuck_drag{
    {.name = "chuck_drag",
     .example = "\"0.05 N*m\"",
     .doc = "of its bearings and of a tailstock",
     .otherwise = "no drag of the chuck and its tailstock",
     .weight = Otherwise::decides},
    newton_metres(0),
    newton_metres(100),
    Least::zero_too};

// Of rollers.
inline constexpr ExactLengthKey roller_diameter{
    {.name = "roller_diameter", .example = "\"40 mm\"", .doc = "of each", .required = true},
    nanometre,
    thickest_workpiece};
inline constexpr QuantityKey<Length> centre_distance{{.name = "centre_distance",
                                                      .example = "\"55 mm\"",
                                                      .doc = "of the two rollers",
                                                      .required = true},
                                                     shortest,
                                                     longest};
inline constexpr WholeKey driven{{.name = "driven",
                                  .example = "1",
                                  .doc = "1 or 2 of the rollers",
                                  .otherwise = "one driven roller",
                                  .weight = Otherwise::decides},
                                 1,
                                 2};
inline constexpr RatioKey<FrictionCoefficient> grip{
    {.name = "grip",
     .example = "0.3",
     .doc = "friction between roller and workpiece at its least",
     .required = true}};
inline constexpr QuantityKey<Inertia> roller_inertia{{.name = "roller_inertia",
                                                      .example = "\"12 g*cm^2\"",
                                                      .doc = "of each",
                                                      .otherwise = "rollers without inertia",
                                                      .weight = Otherwise::decides},
                                                     kilogram_square_metres(0),
                                                     largest_inertia,
                                                     Least::zero_too};
inline constexpr QuantityKey<Force> roller_drag{{.name = "roller_drag",
                                                 .example = "\"0.4 N\"",
                                                 .doc = "at their surface",
                                                 .otherwise = "no drag of the rollers",
                                                 .weight = Otherwise::decides},
                                                newtons(0),
                                                strongest,
                                                Least::zero_too};
inline constexpr std::array chuck_rows{row(drive::kind),  row(workpiece),
                                       row(stage),        row(chuck_inertia),
                                       row(chuck_drag),   row(drive::motor_pulley_inertia),
                                       row(efficiency),   row(angle_step),
                                       row(surface_step), row(axle_height)};
inline constexpr KeyTable chuck_table{"[axis.NAME.drive], kind = \"chuck\"",
                                      "The workpiece is gripped at its end.", chuck_rows};
inline constexpr std::array rollers_rows{row(drive::kind),
                                         row(workpiece),
                                         row(stage),
                                         row(roller_diameter),
                                         row(centre_distance),
                                         row(driven),
                                         row(grip),
                                         row(roller_inertia),
                                         row(roller_drag),
                                         row(drive::motor_pulley_inertia),
                                         row(efficiency),
                                         row(angle_step),
                                         row(surface_step),
                                         row(axle_height)};
inline constexpr KeyTable rollers_table{"[axis.NAME.drive], kind = \"rollers\"",
                                        "The workpiece lies on driven rollers.", rollers_rows};
}  // namespace turning_drive

}  // namespace pitchline::io::detail::keys
