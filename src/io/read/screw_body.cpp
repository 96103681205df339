// What a file says of a screw itself: a name of the catalogue, or its thread.

#include <algorithm>
#include <array>

#include "pitchline/io/part_names.hpp"
#include "pitchline/screw/trapezoidal_thread.hpp"
#include "pitchline/units/nearest.hpp"
#include "read/detail/drive_keys.hpp"
#include "read/detail/read_parts.hpp"
#include "read/keys/screw_drive.hpp"

namespace pitchline::io::detail {
namespace {

// Keys by which a file describes a screw itself.
const std::array<const Key*, 6> body_keys{
    &keys::screw_drive::lead,          &keys::screw_drive::starts,
    &keys::screw_drive::thread,        &keys::screw_drive::outer_diameter,
    &keys::screw_drive::mean_diameter, &keys::screw_drive::minor_diameter};

// A screw of the catalogue, which says what the keys below it would.
void read_named_screw(TableReader& reader, axis::ScrewBody& body, const Catalogue& catalogue) {
  const TextKey& key = keys::screw_drive::screw;
  const auto name = reader.read(key);
  for (const Key* each : body_keys) {
    if (reader.has(*each))
      reader.error(reader.at(*each), fmt::format("screw and {} do not go together", each->name),
                   "the screw of the catalogue says it: leave one of them out");
  }
  if (!name) return;
  Named found = named(*name, "screw", catalogue.screws);
  if (!found.name) {
    reader.error(reader.at(key), found.message,
                 found.help + "; others are described by lead, thread and outer_diameter");
    return;
  }
  axis::take_screw(body, catalogue.screws.at(*found.name));
}

// The diameters of the standard thread, which count where the file leaves them out; nothing, with
// an error, where no standard has such a thread.
std::optional<screw::TrapezoidalDiameters> standard_diameters(TableReader& reader,
                                                              const axis::ScrewBody& screw) {
  try {
    return screw::trapezoidal_diameters(
        {.outer_diameter = screw.outer_diameter,
         .pitch = millimetres(to_double(screw.lead_millimetres / Fraction(screw.starts)))});
  } catch (const OutsideValidity& e) {
    // Who gives both diameters has a thread of his own.
    if (!reader.has(keys::screw_drive::mean_diameter) ||
        !reader.has(keys::screw_drive::minor_diameter))
      reader.error(reader.at(keys::screw_drive::thread), e.what(),
                   "correct outer_diameter, lead or starts, or give mean_diameter and "
                   "minor_diameter; pitch is lead over starts");
    return std::nullopt;
  }
}

// What the file gives beside the name of a thread is that of the thread, within its tolerance: of
// class 7e a screw is up to 0.5 mm thinner at its core and much less at the mean diameter, as
// `screw::trapezoidal_diameters` says; more of coarse pitches, in proportion (common practice, no
// source).
void require_like_standard(TableReader& reader, const QuantityKey<Length>& key, Length given,
                           Length standard, Length thinner, Length thicker) {
  if (!reader.has(key) || is_unset(given)) return;
  if (given >= standard - thinner && given <= standard + thicker) return;
  reader.error(reader.at(key),
               fmt::format("{} of {} is not that of the thread that is named, {}", key.name,
                           print_plain(given), print_plain(standard)),
               "leave it out, or correct it, outer_diameter, lead or starts");
}

// Whether the diameters lie in their order; an error where not.
bool in_order(TableReader& reader, const axis::ScrewBody& screw) {
  const auto ordered = [&](const Key& thin, const Length& thinner, const Key& thick,
                           const Length& thicker) {
    // One that is not known has its own error.
    if (is_unset(thinner) || is_unset(thicker) || thinner <= thicker) return true;
    reader.error(reader.at(reader.has(thin) ? thin : thick),
                 fmt::format("{} must be at most {} of {}, got {}", thin.name, thick.name,
                             print_plain(thicker), print_plain(thinner)));
    return false;
  };
  const bool core = ordered(keys::screw_drive::minor_diameter, screw.minor_diameter,
                            keys::screw_drive::mean_diameter, screw.mean_diameter);
  return ordered(keys::screw_drive::mean_diameter, screw.mean_diameter,
                 keys::screw_drive::outer_diameter, screw.outer_diameter) &&
         core;
}

// Diameters under the thread: as given, else those of the thread where the file names one.
void read_diameters(TableReader& reader, axis::ScrewBody& screw) {
  const auto thread = reader.read(keys::screw_drive::thread);
  if (thread) screw.thread = *thread;
  reader.into(keys::screw_drive::outer_diameter, screw.outer_diameter);
  const bool by_thread = reader.has(keys::screw_drive::thread);
  const auto read = [&](const QuantityKey<Length>& key, Length& into) {
    reader.into(key, into);
    if (!by_thread && !reader.has(key)) reader.missing(key);
  };
  read(keys::screw_drive::mean_diameter, screw.mean_diameter);
  read(keys::screw_drive::minor_diameter, screw.minor_diameter);
  std::optional<screw::TrapezoidalDiameters> standard;
  if (thread && !is_unset(screw.outer_diameter) && screw.lead_millimetres > Fraction(0))
    standard = standard_diameters(reader, screw);
  if (standard) {
    if (!reader.has(keys::screw_drive::mean_diameter)) screw.mean_diameter = standard->mean;
    if (!reader.has(keys::screw_drive::minor_diameter)) screw.minor_diameter = standard->minor;
  }
  if (!in_order(reader, screw) || !standard) return;
  const Length pitch = millimetres(to_double(screw.lead_millimetres / Fraction(screw.starts)));
  require_like_standard(reader, keys::screw_drive::mean_diameter, screw.mean_diameter,
                        standard->mean, std::max<Length>(millimetres(0.2), 0.1 * pitch),
                        millimetres(0.05));
  require_like_standard(reader, keys::screw_drive::minor_diameter, screw.minor_diameter,
                        standard->minor, std::max<Length>(millimetres(0.6), 0.2 * pitch),
                        std::max<Length>(millimetres(0.2), 0.1 * pitch));
}

// A thread whose pitch is longer than the screw is thick: of a sliding thread, half as deep as its
// pitch, no core is left, and no screw is listed that has one. Steep screws of balls have a lead of
// up to three times their diameter, in several starts (common practice, no source).
void require_possible_pitch(TableReader& reader, const axis::ScrewBody& screw) {
  if (screw.lead_millimetres <= Fraction(0) || is_unset(screw.outer_diameter)) return;
  const bool slides =
      reader.has(keys::screw_drive::friction) || (screw.thread && parts::slides(*screw.thread));
  const double most = slides ? 1.0 : 3.0;
  const Length pitch = millimetres(to_double(screw.lead_millimetres / Fraction(screw.starts)));
  if (pitch <= most * screw.outer_diameter) return;
  reader.error(
      reader.at(keys::screw_drive::lead),
      fmt::format("a pitch of {} does not fit on a screw of {}: of one that {} it is at "
                  "most {}",
                  print_plain(pitch), print_plain(screw.outer_diameter),
                  slides ? "slides" : "rolls", print_plain(Length(most * screw.outer_diameter))),
      "pitch is lead over starts: give the starts of a steep thread, or correct lead or "
      "outer_diameter");
}

}  // namespace

void read_screw_body(TableReader& reader, axis::ScrewBody& screw, const Catalogue& catalogue) {
  if (reader.has(keys::screw_drive::screw)) {
    read_named_screw(reader, screw, catalogue);
    return;
  }
  reader.into(keys::screw_drive::lead, screw.lead_millimetres);
  reader.into(keys::screw_drive::starts, screw.starts);
  read_diameters(reader, screw);
  require_possible_pitch(reader, screw);
}

bool is_open(TableReader& reader, OpenScrew open) {
  if (open == OpenScrew::unknown || reader.has(keys::screw_drive::screw)) return false;
  if (std::any_of(body_keys.begin(), body_keys.end(),
                  [&](const Key* key) { return reader.has(*key); }))
    return false;
  if (open == OpenScrew::refused)
    reader.diagnostics().add(
        reader.source(), fmt::format("{} leaves its screw open", reader.path()),
        "pitchline-lift chooses it for this lift; then name it here, for example screw = \"Tr "
        "10x2\"");
  return true;
}

}  // namespace pitchline::io::detail
