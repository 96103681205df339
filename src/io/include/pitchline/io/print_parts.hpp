#pragma once

#include <string>
#include <vector>

#include "pitchline/io/catalogue.hpp"

namespace pitchline::io {

/// What is asked of a catalogue.
struct PartsQuestion {
  std::vector<std::string> words{};  ///< all of which an entry must have; see `is_asked_for`
  std::string kind{};                ///< "rail", or a word by which it is known; empty: all kinds
  bool full = false;                 ///< every entry, with all that it says
};

/// The entries that have every word of a question, by kind, for people; without words and kind what
/// kinds there are. Where none has them all, the nearest.
///
/// \throws UnusableOptions  a kind that there is not
std::string print_parts(const PartsQuestion& question, const Catalogue& catalogue);

/// The same for programs: all that the entries say, in SI units.
///
/// \throws UnusableOptions  likewise
std::string parts_as_json(const PartsQuestion& question, const Catalogue& catalogue);

/// The same as comma-separated values, quantities with their unit.
///
/// \throws UnusableOptions  likewise; entries of more than one kind
std::string parts_as_csv(const PartsQuestion& question, const Catalogue& catalogue);

/// What looks wrong in the figures of the entries that a file of the user's added to `catalogue`,
/// for people.
std::string print_judged(const std::string& file, const Catalogue& catalogue);

}  // namespace pitchline::io
