#pragma once

#include <string>
#include <string_view>

#include "pitchline/io/diagnostic.hpp"

namespace pitchline::io {

/// Writes a file, whole or not at all: a file beside it is written first and then given the name.
///
/// \throws UnusableInput  there is a file of that name and `overwrite` is false, or it cannot be
///                        written
void write_file(const std::string& path, std::string_view text, bool overwrite);

}  // namespace pitchline::io
