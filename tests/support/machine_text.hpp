#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <string>

#include "pitchline/io/read_machine.hpp"
#include "support/catch.hpp"

namespace pitchline::testing {

inline machine::Machine read(const std::string& text) {
  return io::read_machine(text, "loft.toml", io::standard_catalogue());
}

inline std::string error_of(const std::string& text) {
  try {
    read(text);
  } catch (const io::UnusableInput& e) {
    return e.what();
  }
  return "";
}

inline std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  INFO(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

/// A slip in a file, and the error that it must give.
struct Slip {
  std::string from{};     ///< in the text that is right
  std::string to{};       ///< in its place
  std::string marker{};   ///< part of `to` that the error points at, else of the whole text
  std::string message{};  ///< how it begins
};

inline void check_slip(const std::string& text, const Slip& slip) {
  const std::string spoiled = replaced(text, slip.from, slip.to);
  CAPTURE(slip.to, slip.message);
  const std::size_t in_slip = slip.to.find(slip.marker);
  const std::size_t at =
      in_slip == std::string::npos ? spoiled.find(slip.marker) : text.find(slip.from) + in_slip;
  REQUIRE(at != std::string::npos);
  const auto end = spoiled.begin() + static_cast<std::ptrdiff_t>(at);
  const auto line = 1 + std::count(spoiled.begin(), end, '\n');
  const std::size_t start = spoiled.rfind('\n', at - 1);
  const std::size_t column = start == std::string::npos ? at + 1 : at - start;
  CHECK_THAT(error_of(spoiled), Catch::Matchers::Contains(fmt::format("loft.toml:{}:{}: error: {}",
                                                                      line, column, slip.message)));
}

/// Whether one of the defaults that were filled in names a key.
inline bool names(const machine::Axis& axis, const std::string& key) {
  return std::any_of(axis.assumed.begin(), axis.assumed.end(), [&](const std::string& text) {
    return text.find("(" + key + ")") != std::string::npos;
  });
}

}  // namespace pitchline::testing
