#pragma once

#include <string>

namespace pitchline::io {

/// The reference of the machine file, in Markdown: every key with its kind, bounds and meaning, and
/// what counts where it is left out. Made from the entries by which files are read.
std::string machine_file_reference();

/// The same of a catalogue: every key of the entries whose keys are listed.
std::string catalogue_reference();

}  // namespace pitchline::io
