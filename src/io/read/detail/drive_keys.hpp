#pragma once

// Keys that drives of several kinds have.

#include <optional>
#include <string_view>
#include <vector>

#include "read/detail/read_drives.hpp"

namespace pitchline::io::detail {

// Bounds that no machine of this kind reaches; beyond them stands a slip of the unit.
inline const Force strongest = newtons(20'000);
inline const Length thickest_workpiece = metres(2);
inline const Inertia largest_inertia = kilogram_square_metres(1);

/// Of a belt stage whose efficiency is not given. Source: [SDP handbook] p. T-22: more than 95 %.
inline constexpr double usual_belt_efficiency = 0.95;

/// A quantity that is zero where the file leaves it out; then `what` is named with its key.
template <class Q>
void read_or_none(TableReader& reader, std::string_view key, const Q& most, Q& into,
                  std::string_view what, std::vector<std::string>& assumed) {
  if (const auto q = reader.not_negative<Q>(key, false, most)) {
    into = *q;
  } else if (!reader.has(key)) {
    assumed.push_back(fmt::format("{} ({}.{})", what,
                                  reader.path().substr(reader.path().rfind(".drive") + 1), key));
  }
}

/// Reads a length without rounding and with a bound.
std::optional<Fraction> read_exact(TableReader& reader, std::string_view key, const Length& most);

/// Reads a distance between supports, which must hold the travel of the axis.
std::optional<Length> read_distance(TableReader& reader, std::string_view key, bool required,
                                    const Length& travel, std::string_view meaning);

/// Reads the bore of something round; whether it is left out or right.
bool read_bore(TableReader& reader, std::optional<Length> diameter, Length& bore);

/// Reads two pulleys of which only the ratio counts: turns of the motor per turn of what it drives.
std::optional<Fraction> read_ratio(TableReader& reader);

/// Pulses per length or angle are counted exactly, numerator over denominator, and kept as a
/// decimal: an error where whole numbers of that many digits do not fit.
void require_countable(TableReader& reader, std::string_view key, double numerator,
                       double denominator);
inline double numerator(const Fraction& f) { return static_cast<double>(f.numerator()); }
inline double denominator(const Fraction& f) { return static_cast<double>(f.denominator()); }

/// Reads the keys of a drive by screw; needs travel, motors and driver of the axis.
void read_screw_drive(TableReader& reader, machine::Axis& axis, const Catalogue& catalogue,
                      OpenScrew open);

/// Reads the keys of a chuck or of driven rollers; needs the driver of the axis.
void read_turning_drive(TableReader& reader, machine::Axis& axis);

}  // namespace pitchline::io::detail
