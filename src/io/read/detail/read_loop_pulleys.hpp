#pragma once

#include <string_view>

#include "pitchline/io/read_belt_layout.hpp"
#include "read/detail/toml_reader.hpp"

namespace pitchline::io::detail {

/// Reads the pulleys of a loop, whose profile is known, in the order in which the belt meets them.
/// `path` names them in messages, with their number.
void read_loop_pulleys(const toml::array& list, std::string_view path, Diagnostics& diagnostics,
                       BeltLayout& layout);

}  // namespace pitchline::io::detail
