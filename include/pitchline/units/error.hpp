#pragma once

#include <fmt/format.h>

#include <stdexcept>
#include <string>
#include <string_view>

namespace pitchline {

/// A number that was never set, or that lies outside the range its documentation gives.
///
/// The text is always "<field> must be <rule>, got <value> <unit>", so that a caller can show it
/// as it stands. Ten digits, so that 1.0000001 does not read as 1.
class InvalidInput : public std::invalid_argument {
 public:
  InvalidInput(std::string_view field, std::string_view rule, double value, std::string_view unit)
      : std::invalid_argument(
            unit.empty() ? fmt::format("{} must be {}, got {:.10g}", field, rule, value)
                         : fmt::format("{} must be {}, got {:.10g} {}", field, rule, value, unit)) {
  }
};

/// Plausible numbers for which the formula itself does not hold. The text says what limit was met.
class OutsideValidity : public std::domain_error {
 public:
  explicit OutsideValidity(const std::string& what) : std::domain_error(what) {}
};

}  // namespace pitchline
