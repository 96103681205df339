#pragma once

// Keys that drives of several kinds have.

#include "read/detail/bounds.hpp"
#include "read/detail/drive_kind.hpp"
#include "read/detail/key.hpp"

namespace pitchline::io::detail::keys {

namespace drive {
inline constexpr ChoiceKey<DriveKind, 4> kind{
    {.name = "kind", .example = "\"belt\"", .doc = "what drives the axis", .required = true},
    {{{"belt", DriveKind::belt},
      {"screw", DriveKind::screw},
      {"chuck", DriveKind::chuck},
      {"rollers", DriveKind::rollers}}}};
inline constexpr NodeKey profile{{.name = "profile",
                                  .example = "\"GT 2 mm\"",
                                  .doc = "a belt profile of the catalogue, or a table as there",
                                  .required = true},
                                 "a text or a table"};
/// Bore of something round that may be solid.
constexpr QuantityKey<Length> bore_of(std::string_view solid) {
  return {{.name = "bore",
           .example = "\"6 mm\"",
           .doc = "0 where it is solid",
           .otherwise = solid,
           .weight = Otherwise::decides},
          millimetres(0),
          thickest_workpiece,
          Least::zero_too};
}
inline constexpr QuantityKey<Inertia> motor_pulley_inertia{
    {.name = "motor_pulley_inertia",
     .example = "\"20 g*cm^2\"",
     .doc = "of a coupling or pulley on the motor's shaft",
     .otherwise = "no coupling or pulley on the motor",
     .weight = Otherwise::decides},
    kilogram_square_metres(0),
    largest_inertia,
    Least::zero_too};
}  // namespace drive

namespace drive_stage {
inline constexpr WholeKey motor_teeth{
    {.name = "motor_teeth", .example = "20", .doc = "of the pulley on the motor", .required = true},
    fewest_teeth,
    most_teeth};
inline constexpr WholeKey driven_teeth{{.name = "driven_teeth",
                                        .example = "40",
                                        .doc = "of the pulley that it drives",
                                        .required = true},
                                       fewest_teeth,
                                       most_teeth};
}  // namespace drive_stage

}  // namespace pitchline::io::detail::keys
