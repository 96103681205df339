#pragma once

#include "read/detail/toml_reader.hpp"
#include "pitchline/io/catalogue.hpp"
#include "pitchline/machine/machine.hpp"

namespace pitchline::io::detail {

/// Bound that no machine of this kind reaches; beyond it stands a slip of the unit.
inline const Length longest = metres(20);

/// What `drive.kind` says.
enum class DriveKind { belt, screw, chuck, rollers };

/// As the file writes it.
std::string_view in_words(DriveKind kind);

constexpr bool is_turning(DriveKind kind) {
  return kind == DriveKind::chuck || kind == DriveKind::rollers;
}

/// "travel is not used with a chuck".
std::string not_used_with(std::string_view key, DriveKind kind);

/// Reads the kind of a drive. Where it is missing or unknown, which is an error, the kind that its
/// other keys speak of: so their own errors are found in the same run.
DriveKind read_drive_kind(TableReader& reader, const toml::table& table);

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
                          bool carries_axis, std::vector<std::string>& assumed);

/// Reads what is wanted of an axis that lifts a bed; needs its drive.
void read_lift(TableReader reader, DriveKind kind, machine::Axis& axis, const Catalogue& catalogue);

/// Reads what the axis is to do: move, raster and cycle; needs its travel and what is wanted of it.
/// Returns the node that names the axis across the raster, or null.
const toml::node* read_work(TableReader& reader, DriveKind kind, machine::Axis& axis);

}  // namespace pitchline::io::detail
