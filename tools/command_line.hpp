#pragma once

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <exception>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/io/diagnostic.hpp"
#include "pitchline/units/nearest.hpp"

namespace pitchline::tools {

// Exit status of every program; see README.md.
inline constexpr int all_hold = 0;
inline constexpr int something_fails = 1;
inline constexpr int unusable_input = 2;

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
  } catch (const std::exception& e) {
    fmt::print(stderr, "{}: error: {}\n", input, e.what());
  }
  return unusable_input;
}

}  // namespace pitchline::tools
