#pragma once

#include <fmt/format.h>

#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/units.hpp"

namespace pitchline::tools {

/// What was typed after the word, as it was typed; empty where it was left out.
struct BeltOptions {
  std::string profile;
  std::string pitch;
  std::vector<std::string> two_teeth;
  std::string teeth;
  std::string distance;
  std::string length;
  std::string belt_teeth;
  std::string wanted;
  std::string take_up;
  std::string width;
  std::string mass_per_length;
  std::string span;
  std::string frequency;
  std::string tension;
  std::string bending_stiffness;
  std::string speed;
  std::string wrap;
  std::string second_teeth;
  std::string pulses_per_turn;
  std::string microsteps;
  std::string full_steps;
  std::string reduction;
  std::string travel;
  std::string decimals;
  std::string file;
  std::string catalogue_file;
  bool explain = false;
  bool json = false;
};

/// A command line that cannot be used, with what helps. `what()` is ready to be shown.
class UnusableOptions : public std::runtime_error {
 public:
  UnusableOptions(const std::string& what, const std::string& help, const std::string& file = {})
      : std::runtime_error(fmt::format("{}error: {}\n{}", file.empty() ? "" : file + ": ", what,
                                       help.empty() ? "" : fmt::format("  help: {}\n", help))) {}
};

/// Reads an option; shows what was typed with a mark under what is wrong.
inline double coherent_of(std::string_view option, const std::string& text, const Kind& kind) {
  if (text.empty())
    throw UnusableOptions(fmt::format("{} is missing", option),
                          fmt::format("for example {} \"{}\"", option, kind.example));
  try {
    const double value = read_coherent(text, kind);
    if (value > 0.0 && value <= 1e9) return value;
  } catch (const UnreadableQuantity& e) {
    throw UnusableOptions(fmt::format("{}: {}\n  {}\n  {}^", option, e.what(), text,
                                      std::string(e.column() - 1, ' ')),
                          "");
  }
  throw UnusableOptions(fmt::format("{} must be > 0, got \"{}\"", option, text),
                        fmt::format("for example {} \"{}\"", option, kind.example));
}
template <class Q>
Q quantity_of(std::string_view option, const std::string& text) {
  return read_quantity<Q>(
      fmt::format("{} {}", coherent_of(option, text, *kind_of<Q>), kind_of<Q>->si_unit));
}

/// A whole number from 1 or 0 on.
inline int whole_of(std::string_view option, const std::string& text, int least, int most,
                    std::string_view example) {
  const std::string help = fmt::format("for example {} {}", option, example);
  if (text.empty()) throw UnusableOptions(fmt::format("{} is missing", option), help);
  const bool digits = text.find_first_not_of("0123456789") == std::string::npos;
  const int value = digits && text.size() < 9 ? std::stoi(text) : -1;
  if (value < least || value > most)
    throw UnusableOptions(fmt::format("{} must be a whole number from {} to {}, got \"{}\"", option,
                                      least, most, text),
                          help);
  return value;
}

}  // namespace pitchline::tools
