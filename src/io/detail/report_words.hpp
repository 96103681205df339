#pragma once

#include <fmt/format.h>

#include <string>
#include <vector>

#include "pitchline/motion/kept_figure.hpp"
#include "pitchline/report/machine_report.hpp"
#include "pitchline/units.hpp"

namespace pitchline::io::detail {

/// "2 times belt GT 3 mm, 15 mm wide, 2451 mm long, clamps included".
inline std::string in_words(const std::vector<report::BeltToOrder>& belts) {
  std::string text;
  for (const report::BeltToOrder& b : belts) {
    text += fmt::format("{}{}belt {}, {} wide, {} long, clamps included", text.empty() ? "" : "; ",
                        b.pieces > 1 ? fmt::format("{} times ", b.pieces) : "", b.profile,
                        print_plain(b.width), b.length);
  }
  return text;
}

/// "steps per mm 80.000; driver 1.700 A RMS = 2.404 A peak; tension of each strand 71.17 N (34.70 N
/// to 142.3 N): plucked over its 400 mm it sounds at 65.60 Hz".
inline std::string in_words(const report::ToSet& set) {
  const report::PulsesToSet& pulses = set.pulses;
  std::string text = fmt::format(
      "{} {}; driver {} RMS = {} peak", pulses.per_degree ? "pulses per degree" : "steps per mm",
      motion::print_kept(pulses.exact, pulses.kept, pulses.decimals), set.rms, set.peak);
  if (!set.strand_tension) return text;
  text += fmt::format("; tension of each strand {}", *set.strand_tension);
  if (set.strand_tension_least && set.strand_tension_most &&
      *set.strand_tension_least < *set.strand_tension_most)
    text += fmt::format(" ({} to {})", *set.strand_tension_least, *set.strand_tension_most);
  if (!set.note) return text;
  const std::string span = print_plain(set.note->span);
  text += set.note->whole
              ? fmt::format(": plucked over its {} it sounds at {}", span, set.note->note)
              : fmt::format(": held still {} from the pulley and plucked there it sounds at {}",
                            span, set.note->note);
  return text;
}

}  // namespace pitchline::io::detail
