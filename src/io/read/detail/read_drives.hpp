#pragma once

#include "pitchline/io/catalogue.hpp"
#include "pitchline/machine/machine.hpp"
#include "read/detail/bounds.hpp"
#include "read/detail/drive_kind.hpp"
#include "read/detail/toml_reader.hpp"

namespace pitchline::io::detail {

/// Opens the table of the drive of an axis and reads its kind. Where that is missing or unknown,
/// which is an error, the kind that its other keys speak of: so their own errors are found in the
/// same run. Nothing where there is no table.
std::optional<TableReader> open_drive(TableReader& axis, DriveKind& kind);

/// A drive of that kind with nothing read yet.
machine::Drive empty_drive(DriveKind kind);

/// What becomes of a screw of which the file says nothing: of a plain axis its keys are missing,
/// and of a lift it may be chosen, or the error says which program chooses it.
enum class OpenScrew { unknown, refused, allowed };

/// Reads the keys of a drive, its kind already read; needs travel, motors and driver of the axis.
/// Calls `finish`.
void read_drive(TableReader& reader, DriveKind kind, machine::Axis& axis,
                const Catalogue& catalogue, OpenScrew open);

/// Reads the keys of the beam that an axis moves, and marks those of its moving parts that travel
/// along it; `carries_axis` where another axis does. Calls `finish`.
structure::Beam read_beam(TableReader reader, std::vector<axis::MovingPart>& moving,
                          bool carries_axis);

/// Reads what is wanted of an axis that lifts a bed; needs its drive.
void read_lift(TableReader reader, DriveKind kind, machine::Axis& axis, const Catalogue& catalogue);

/// Reads what the axis is to do: move, raster and cycle; needs its travel and what is wanted of it.
/// Returns the node that names the axis across the raster, or null.
const toml::node* read_work(TableReader& reader, DriveKind kind, machine::Axis& axis);

}  // namespace pitchline::io::detail
