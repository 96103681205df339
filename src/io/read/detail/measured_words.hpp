#pragma once

#include <string_view>
#include <vector>

namespace pitchline::io::detail {

/// The words of measurements, the same in tables of a file and in tables of comma-separated
/// values.
inline const std::vector<std::string_view> approaches{"forward", "backward"};
inline const std::vector<std::string_view> results{"held", "lost"};

}  // namespace pitchline::io::detail
