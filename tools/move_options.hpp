#pragma once

#include <string>

#include "command_line.hpp"

namespace pitchline::tools {

/// What was typed, as it was typed; empty where it was left out.
struct MoveOptions {
  std::string machine_file;
  std::string catalogue_file;
  std::string axis;
  std::string speed;
  std::string acceleration;
  std::string stroke;
  std::string jerk_time;
  std::string dwell;
  std::string repeats;
  std::string place;
  std::string from;
  std::string up_to;
  std::string threads;
  std::string svg_file;
  std::string csv_file;
  std::string trace_file;
  bool onward = false;
  bool raster = false;
  bool pulses = false;
  bool switching = false;
  bool ideal_motor = false;
  bool largest = false;
  bool map = false;
  bool json = false;
  bool overwrite = false;

  [[nodiscard]] bool searches() const { return largest || map; }
};

void add_options(CommandLine& line, MoveOptions& o);

/// Refuses every combination that would leave an option without effect, and outputs that cannot be
/// written: said before a long run, and not after it.
/// \throws io::UnusableOptions, io::UnusableInput
void require_usable(const MoveOptions& o);

}  // namespace pitchline::tools
