#pragma once

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <exception>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/io/diagnostic.hpp"
#include "pitchline/units.hpp"
#include "pitchline/units/measure.hpp"
#include "pitchline/units/nearest.hpp"

namespace pitchline::tools {

// Exit status of every program; see README.md.
inline constexpr int all_hold = 0;
inline constexpr int something_fails = 1;
inline constexpr int unusable_input = 2;

/// A command line that cannot be used, with what helps. `what()` is ready to be shown.
class UnusableOptions : public std::runtime_error {
 public:
  explicit UnusableOptions(const std::string& what, const std::string& help = {},
                           const std::string& file = {})
      : std::runtime_error(fmt::format("{}error: {}\n{}", file.empty() ? "" : file + ": ", what,
                                       help.empty() ? "" : fmt::format("  help: {}\n", help))) {}
};

/// Largest figure that an option takes where it has no limit of its own, in coherent units.
inline constexpr double largest_figure = 1e9;

/// Reads an option as a figure above zero; shows what was typed with a mark under what is wrong.
inline double coherent_of(std::string_view option, const std::string& text, const Kind& kind,
                          double most = largest_figure) {
  const std::string help = fmt::format("for example {} \"{}\"", option, kind.example);
  if (text.empty()) throw UnusableOptions(fmt::format("{} is missing", option), help);
  double value = 0.0;
  try {
    value = read_coherent(text, kind);
  } catch (const UnreadableQuantity& e) {
    throw UnusableOptions(fmt::format("{}: {}\n  {}\n  {}^", option, e.what(), text,
                                      std::string(e.column() - 1, ' ')));
  }
  if (value > 0.0 && value <= most) return value;
  throw UnusableOptions(
      fmt::format("{} must be > 0 and at most {}, got \"{}\"", option,
                  most == largest_figure ? fmt::format("{:g} {}", most, kind.si_unit)
                                         : print_coherent(most, kind, 4),
                  text),
      help);
}
template <class Q>
Q quantity_of(std::string_view option, const std::string& text) {
  coherent_of(option, text, *kind_of<Q>);  // for its checks
  return read_quantity<Q>(text);
}
/// \throws UnusableOptions  also above `most`
template <class Q>
Q quantity_of(std::string_view option, const std::string& text, const Q& most) {
  coherent_of(option, text, *kind_of<Q>, Measure(most).coherent());
  return read_quantity<Q>(text);
}

/// Parses the command line. Returns the exit status where the program has nothing more to do: help
/// or version was printed, or the command line was refused with the nearest known option.
inline std::optional<int> parse(CLI::App& app, int argc, char** argv) {
  // Unknown options are taken up by hand: the parser would name a missing file in place of a
  // misspelt option.
  app.allow_extras();
  std::string error;
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& e) {
    if (e.get_exit_code() == 0) return app.exit(e);
    error = fmt::format("error: {}\n", e.what());
  }
  std::vector<std::string> known;
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& name : option->get_lnames()) known.push_back("--" + name);
  }
  for (const std::string& extra : app.remaining()) {
    const auto nearest = nearest_word(extra, known);
    error += fmt::format(
        "error: {} is not expected{}\n", extra,
        nearest && extra.starts_with("-") ? fmt::format(", did you mean {}?", *nearest) : "");
  }
  if (error.empty()) return std::nullopt;
  fmt::print(stderr, "{}  help: {} --help\n", error, app.get_name());
  return unusable_input;
}

/// Says that something went wrong that no message foresees, such as a lack of memory.
inline int unexpected_error() noexcept {
  std::fputs("error: unexpected, nothing was computed\n", stderr);
  return unusable_input;
}

/// Runs `work` and turns what it throws into a message on standard error and exit status 2.
template <class Work>
int run_and_report(const std::string& input, Work work) {
  try {
    const int status = work();
    // A full disk or a closed pipe shows only when the buffer is written out.
    if (std::fflush(stdout) != 0) {
      fmt::print(stderr, "error: the output could not be written\n");
      return unusable_input;
    }
    return status;
  } catch (const io::UnusableInput& e) {
    fmt::print(stderr, "{}", e.what());
  } catch (const UnusableOptions& e) {
    fmt::print(stderr, "{}", e.what());
  } catch (const std::exception& e) {
    fmt::print(stderr, "{}: error: {}\n", input, e.what());
  }
  return unusable_input;
}

}  // namespace pitchline::tools
