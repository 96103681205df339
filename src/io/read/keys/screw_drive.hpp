#pragma once

// Keys of a drive by screw, its stage and its friction.

#include "pitchline/axis/screw_axis.hpp"
#include "pitchline/screw/nut_friction.hpp"
#include "read/detail/bounds.hpp"
#include "read/detail/key.hpp"
#include "read/keys/drive.hpp"

namespace pitchline::io::detail::keys {

namespace friction {
inline constexpr RatioKey<FrictionCoefficient> least{
    {.name = "least",
     .example = "0.10",
     .doc =
         "friction of the thread; the unfavourable end decides. `least` and `most`, or `nut` and "
         "`lubrication`"}};
inline constexpr RatioKey<FrictionCoefficient> most{
    {.name = "most", .example = "0.20", .doc = "likewise"}};
inline constexpr ChoiceKey<screw::NutMaterial, 6> nut{
    {.name = "nut",
     .example = "\"bronze\"",
     .doc = "alone, beside `least` and `most`, it says what wears",
     .otherwise = "not known",
     .weight = Otherwise::unknown},
    {{{"bronze", screw::NutMaterial::bronze},
      {"brass", screw::NutMaterial::brass},
      {"cast iron", screw::NutMaterial::cast_iron},
      {"steel", screw::NutMaterial::steel},
      {"acetal", screw::NutMaterial::acetal},
      {"filled plastic", screw::NutMaterial::filled_plastic}}}};
inline constexpr ChoiceKey<screw::Lubrication, 2> lubrication{
    {.name = "lubrication",
     .example = "\"oiled\"",
     .doc = "with `nut`, in place of `least` and `most`"},
    {{{"dry", screw::Lubrication::dry}, {"oiled", screw::Lubrication::oiled}}}};
inline constexpr QuantityKey<Angle> thread_angle{
    {.name = "thread_angle",
     .example = "\"30 deg\" of a trapezoidal thread, \"29 deg\" of an Acme one, \"0 deg\" of a "
                "square one",
     .doc = "included angle of the groove, between both flanks; where no thread is named",
     .otherwise = "that of the named thread"},
    degrees(0),
    degrees(90),
    Least::given};
inline constexpr QuantityKey<Length> collar_diameter{
    {.name = "collar_diameter",
     .example = "\"16 mm\", the mean one of the sliding face",
     .doc = "mean diameter of a thrust bearing that slides",
     .otherwise = "a thrust bearing that rolls freely",
     .weight = Otherwise::worded},
    thinnest,
    thickest_screw};
inline constexpr RatioKey<FrictionCoefficient> collar{
    {.name = "collar", .example = "0.15", .doc = "friction of a thrust bearing that slides"}};
inline constexpr std::array rows{row(least),       row(most),         row(nut),
                                 row(lubrication), row(thread_angle), row(collar_diameter),
                                 row(collar)};
inline constexpr std::array retired{RetiredKey{
    "flank_angle",
    "flank_angle is no key any more: give thread_angle, the angle between both flanks",
    "thread_angle = \"30 deg\" of a trapezoidal thread, \"29 deg\" of an Acme one; leave it out "
    "where drive.thread or drive.screw names the thread"}};
inline constexpr KeyTable table{"[axis.NAME.drive.friction]", "Of a sliding thread.", rows,
                                retired};
}  // namespace friction

namespace screw_stage {
inline constexpr RatioKey<Efficiency> efficiency{{.name = "efficiency",
                                                  .example = "0.95",
                                                  .doc = "of the stage alone",
                                                  .otherwise = "0.95",
                                                  .weight = Otherwise::worded}};
inline constexpr std::array rows{row(drive_stage::motor_teeth), row(drive_stage::driven_teeth),
                                 row(efficiency)};
inline constexpr KeyTable table{"[axis.NAME.drive.stage], kind = \"screw\"", "", rows};
}  // namespace screw_stage

namespace screw_drive {
inline constexpr TextKey screw{
    {.name = "screw",
     .example = "\"Tr 10x2\"",
     .doc = "a name of the catalogue, in place of `lead` to `minor_diameter`. A lift may leave out "
            "all of them: `pitchline-lift` then chooses the screw, and the other programs say so "
            "and stop"}};
inline constexpr ExactLengthKey lead{{.name = "lead",
                                      .example = "\"2 mm\"",
                                      .doc = "travel per turn, starts times pitch",
                                      .required = true},
                                     nanometre,
                                     longest_lead};
inline constexpr WholeKey starts{{.name = "starts",
                                  .example = "4",
                                  .doc = "pitch is lead over starts",
                                  .otherwise = "a thread of one start",
                                  .weight = Otherwise::decides},
                                 1,
                                 most_starts};
inline constexpr ChoiceKey<parts::ThreadKind, 1> thread{
    {.name = "thread",
     .example = "\"trapezoidal\"",
     .doc = "then the two diameters below are those of the standard"},
    {{{"trapezoidal", parts::ThreadKind::trapezoidal}}}};
inline constexpr QuantityKey<Length> outer_diameter{
    {.name = "outer_diameter", .example = "\"10 mm\"", .doc = "of the thread", .required = true},
    thinnest,
    thickest_screw};
inline constexpr QuantityKey<Length> mean_diameter{
    {.name = "mean_diameter",
     .example = "\"9 mm\", or thread = \"trapezoidal\" for that of the standard",
     .doc = "where friction acts",
     .otherwise = "that of the standard thread"},
    thinnest,
    thickest_screw};
inline constexpr QuantityKey<Length> minor_diameter{
    {.name = "minor_diameter",
     .example = "\"7.5 mm\", or thread = \"trapezoidal\" for that of the standard",
     .doc = "of the core",
     .otherwise = "that of the standard thread"},
    thinnest,
    thickest_screw};
inline constexpr QuantityKey<Density> density{{.name = "density",
                                               .example = "\"7850 kg/m^3\"",
                                               .doc = "of the screw",
                                               .otherwise = "7850 kg/m^3, steel",
                                               .weight = Otherwise::worded},
                                              lightest_material,
                                              densest};
inline constexpr QuantityKey<Length> bearing_distance{
    {.name = "bearing_distance",
     .example = "\"300 mm\"",
     .doc = "free length of the screw between its two bearings, at least the travel",
     .required = true},
    thinnest,
    longest};
inline constexpr ChoiceKey<pitchline::axis::ScrewEnds, 2> ends{
    {.name = "ends",
     .example = "\"one end held\"",
     .doc = "which ends are held along the screw",
     .otherwise = "one end of the screw held along its axis",
     .weight = Otherwise::decides},
    {{{"one end held", pitchline::axis::ScrewEnds::one_end_held},
      {"both ends held", pitchline::axis::ScrewEnds::both_ends_held}}}};
inline constexpr RatioKey<Efficiency> efficiency{
    {.name = "efficiency",
     .example = "0.9",
     .doc = "of the screw; this or `friction`",
     .otherwise = "0.85 of a ball screw of the catalogue",
     .weight = Otherwise::worded}};
inline constexpr NodeKey friction{
    {.name = "friction",
     .example = "{ least = 0.10, most = 0.20 }",
     .doc = "of a sliding thread; this or `efficiency`. Of a lift that leaves its screw open, that "
            "of the sliding screws that are compared: a bronze nut, oiled, assumed"},
    "a table"};
inline constexpr QuantityKey<Force> dynamic_rating{
    {.name = "dynamic_rating",
     .example = "\"5.2 kN\"",
     .doc = "of a ball screw, from its maker",
     .otherwise = "that of the catalogue row, where it has one",
     .weight = Otherwise::unknown},
    newtons(1),
    highest_rating};
inline constexpr QuantityKey<Force> static_rating{
    {.name = "static_rating",
     .example = "\"9.5 kN\"",
     .doc = "likewise",
     .otherwise = "that of the catalogue row, where it has one",
     .weight = Otherwise::unknown},
    newtons(1),
    highest_rating};
inline constexpr WholeKey screws_per_motor{{.name = "screws_per_motor",
                                            .example = "4",
                                            .doc = "tied together to turn as one",
                                            .otherwise = "one screw on each motor",
                                            .weight = Otherwise::decides},
                                           1,
                                           8};
inline constexpr NodeKey stage{{.name = "stage",
                                .example = "{ motor_teeth = 20, driven_teeth = 40 }",
                                .doc = "between motor and screw",
                                .otherwise = "the screw is coupled to the motor"},
                               "a table"};
inline constexpr QuantityKey<Inertia> screw_pulley_inertia{
    {.name = "screw_pulley_inertia",
     .example = "\"35 g*cm^2\"",
     .doc = "of what turns with each screw beside it",
     .otherwise = "nothing that turns with the screw beside it",
     .weight = Otherwise::decides},
    kilogram_square_metres(0),
    largest_inertia,
    Least::zero_too};
inline constexpr QuantityKey<Stiffness> nut_stiffness{
    {.name = "nut_stiffness",
     .example = "\"100 kN/mm\"",
     .doc = "along the axis, of each screw with its bearing",
     .otherwise = "nut and bearing that do not give",
     .weight = Otherwise::decides},
    newtons_per_metre(1),
    newtons_per_metre(1e11)};
inline constexpr std::array rows{row(drive::kind),
                                 row(screw),
                                 row(lead),
                                 row(starts),
                                 row(thread),
                                 row(outer_diameter),
                                 row(mean_diameter),
                                 row(minor_diameter),
                                 row(density),
                                 row(bearing_distance),
                                 row(ends),
                                 row(efficiency),
                                 row(friction),
                                 row(dynamic_rating),
                                 row(static_rating),
                                 row(screws_per_motor),
                                 row(stage),
                                 row(drive::motor_pulley_inertia),
                                 row(screw_pulley_inertia),
                                 row(nut_stiffness)};
inline constexpr KeyTable table{
    "[axis.NAME.drive], kind = \"screw\"",
    "With `motors` above 1 each motor has its own screw or screws; they lose their common level "
    "when power goes, and the programs say so.",
    rows};
}  // namespace screw_drive

}  // namespace pitchline::io::detail::keys
