#pragma once

#include <charconv>
#include <string>
#include <string_view>
#include <vector>

#include "command_line.hpp"
#include "pitchline/tune/estimate.hpp"

namespace pitchline::tools {

/// What was typed after the word, as it was typed; empty where it was left out.
struct TuneOptions {
  std::string file;
  std::string steps_per_mm;
  std::vector<std::string> commanded;
  std::vector<std::string> measured;
  std::string resolution;
  std::string zero;
  std::string teeth;
  std::string pulses_per_turn;
  std::string starts;
  std::string along_beam;
  std::string along_rails;
  std::vector<std::string> left_to_right;
  std::vector<std::string> right_to_left;
  std::string between_rails;
  std::string allowed;
  std::string profile;
  std::string width;
  std::string mass_per_length;
  std::vector<std::string> span;
  std::vector<std::string> frequency;
  std::string wanted;
  std::string frequency_resolution;
  std::string span_resolution;
  std::string bending_stiffness;
  std::string axis;
  std::string runs;
  std::vector<std::string> held;
  std::vector<std::string> lost;
  std::string lead;
  std::string confidence;
  std::string catalogue_file;
  bool explain = false;
  bool json = false;
};

/// True for a table of comma-separated values, by the ending of its name.
inline bool is_csv(const std::string& file) {
  return file.size() > 4 && (file.ends_with(".csv") || file.ends_with(".CSV"));
}

/// Refuses an option that the file of measurements already answers.
inline void require_absent(std::string_view option, const std::string& text,
                           const std::string& file) {
  if (!text.empty())
    throw UnusableOptions(fmt::format("{} does not go with {}", option, file),
                          "the file says it: leave one out");
}

/// A plain number within limits.
inline double number_of(std::string_view option, const std::string& text, std::string_view rule,
                        bool (*holds)(double)) {
  double value = 0.0;
  const auto [end, wrong] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (wrong == std::errc{} && end == text.data() + text.size() && holds(value)) return value;
  throw UnusableOptions(fmt::format("{} must be {}, got \"{}\"", option, rule, text));
}

inline tune::Confidence confidence_of(const TuneOptions& o) {
  if (o.confidence.empty()) return tune::Confidence(0.95);
  return tune::Confidence(number_of("--confidence", o.confidence, "a number >= 0.5 and <= 0.999",
                                    [](double x) { return x >= 0.5 && x <= 0.999; }));
}

}  // namespace pitchline::tools
