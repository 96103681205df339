#pragma once

// What drives of several kinds have in common.

#include <optional>
#include <string_view>

#include "read/detail/read_drives.hpp"

namespace pitchline::io::detail {

/// Of a belt stage whose efficiency is not given. Source: [SDP handbook] p. T-22: more than 95 %.
inline constexpr double usual_belt_efficiency = 0.98;

/// Reads a distance between supports, which must hold the travel of the axis.
std::optional<Length> read_distance(TableReader& reader, const QuantityKey<Length>& key,
                                    const Length& travel, std::string_view meaning);

/// Reads the bore of something round; whether it is left out or right.
bool read_bore(TableReader& reader, const QuantityKey<Length>& key, std::optional<Length> diameter,
               Length& bore);

/// Reads two pulleys of which only the ratio counts: turns of the motor per turn of what it drives.
std::optional<Fraction> read_ratio(TableReader& reader);

/// Pulses per length or angle are counted exactly, numerator over denominator, and kept as a
/// decimal: an error where whole numbers of that many digits do not fit.
void require_countable(TableReader& reader, const Key& key, double numerator, double denominator);
inline double numerator(const Fraction& f) { return static_cast<double>(f.numerator()); }
inline double denominator(const Fraction& f) { return static_cast<double>(f.denominator()); }

/// Reads a belt profile, by its name in the catalogue or as a table.
std::optional<parts::BeltProfile> read_profile(TableReader& reader, const Catalogue& catalogue);

/// Reads the keys of a drive by belt; needs travel and motors of the axis.
void read_belt_drive(TableReader& reader, machine::Axis& axis, const Catalogue& catalogue);

/// Reads the keys of a drive by screw; needs travel, motors and driver of the axis.
void read_screw_drive(TableReader& reader, machine::Axis& axis, const Catalogue& catalogue,
                      OpenScrew open);

/// Reads what the file says of a screw itself: a name of the catalogue, or its thread.
void read_screw_body(TableReader& reader, axis::ScrewBody& screw, const Catalogue& catalogue);

/// Whether the file says nothing of the screw itself, and something can be made of that.
bool is_open(TableReader& reader, OpenScrew open);

/// Reads the loss of a screw: its efficiency, or its friction; exactly one of them.
void read_screw_loss(TableReader& reader, axis::ScrewAxis& drive);

/// Reads the friction of the sliding screws that are compared for one that is left open.
void read_open_loss(TableReader& reader, axis::ScrewAxis& drive);

/// Reads the belt that ties the screws of a lift to its one motor; needs its drive and its stand.
void read_tying_belt(TableReader reader, machine::Axis& axis, const Catalogue& catalogue);

/// Reads the keys of a chuck or of driven rollers; needs the driver of the axis.
void read_turning_drive(TableReader& reader, machine::Axis& axis);

}  // namespace pitchline::io::detail
