#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

namespace detail {

std::optional<std::string> text_of(const std::vector<Finding>& findings, std::string_view key,
                                   std::string_view label);

}  // namespace detail

/// What the rows of an axis say is to be ordered beside motor and driver; empty where they say
/// nothing.
std::string to_order(const AxisState& s, const std::vector<Finding>& findings);

/// What the rows of an axis say is to be set and typed in.
std::string to_set(const AxisState& s, const std::vector<Finding>& findings);

}  // namespace pitchline::check

