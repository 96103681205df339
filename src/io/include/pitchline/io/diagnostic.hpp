#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace pitchline::io {

/// One thing wrong in an input file, with its place and, where one is known, the remedy.
struct Diagnostic {
  std::size_t line = 0;    ///< 1-based; 0 where the whole file is meant
  std::size_t column = 0;  ///< 1-based, counted in characters
  std::size_t length = 1;  ///< characters to underline
  std::string message;
  std::string help;  ///< empty where none is known
};

/// Diagnostics as they are shown: "file:line:column: error: ...", the line itself, a marker under
/// the place, and the help.
std::string render(const std::vector<Diagnostic>& diagnostics, std::string_view file,
                   std::string_view text);

/// An input file that cannot be used. `what()` is the rendered text of all its diagnostics.
class UnusableInput : public std::runtime_error {
 public:
  UnusableInput(std::vector<Diagnostic> diagnostics, std::string_view file, std::string_view text);
  [[nodiscard]] const std::vector<Diagnostic>& diagnostics() const { return diagnostics_; }

 private:
  std::vector<Diagnostic> diagnostics_;
};

}  // namespace pitchline::io
