#pragma once

#include <string>
#include <string_view>

#include "pitchline/io/catalogue.hpp"
#include "pitchline/io/diagnostic.hpp"
#include "pitchline/machine/machine.hpp"

namespace pitchline::io {

/// Whether a lift may leave its screw open, for a program that chooses it.
enum class LiftScrews { named, may_be_open };

/// Reads a machine from the text of its file; the format is described in README.md.
///
/// Everything is either required or has a default that the machine names under `assumed`. Motors
/// and belts named in the text are looked up in `catalogue`. A screw that is left open where it may
/// be is one of which `axis::is_left_open` is true.
///
/// \throws UnusableInput  all errors of the file at once, with line, column and remedy
machine::Machine read_machine(std::string_view text, std::string_view file,
                              const Catalogue& catalogue, LiftScrews screws = LiftScrews::named);

/// The content of a file.
///
/// \throws UnusableInput  it cannot be read
std::string read_file(const std::string& path);

}  // namespace pitchline::io
