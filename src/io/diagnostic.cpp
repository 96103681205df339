#include "pitchline/io/diagnostic.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "pitchline/io/harmless.hpp"

namespace pitchline::io {
namespace {

std::string_view line_of(std::string_view text, std::size_t line) {
  for (std::size_t i = 1; i < line; ++i) {
    const std::size_t end = text.find('\n');
    if (end == std::string_view::npos) return {};
    text.remove_prefix(end + 1);
  }
  text = text.substr(0, text.find('\n'));
  if (text.ends_with('\r')) text.remove_suffix(1);
  return text;
}

// What stands before the marker: blanks, but tabs stay tabs so that the marker falls in place.
std::string indent_like(std::string_view line, std::size_t columns) {
  std::string indent;
  for (const char c : line) {
    if (columns == 0) break;
    if ((static_cast<unsigned char>(c) & 0xC0U) == 0x80U) continue;  // inside a character
    indent += c == '\t' ? '\t' : ' ';
    --columns;
  }
  return indent + std::string(columns, ' ');
}

}  // namespace

std::string render(const std::vector<Diagnostic>& diagnostics, std::string_view file,
                   std::string_view text) {
  std::string out;
  const std::string name = harmless(file);
  for (const Diagnostic& d : diagnostics) {
    const std::string message = harmless(d.message);
    if (d.line == 0) {
      out += fmt::format("{}: error: {}\n", name, message);
    } else {
      const std::string_view line = line_of(text, d.line);
      const std::string number = std::to_string(d.line);
      out += fmt::format("{}:{}:{}: error: {}\n", name, d.line, d.column, message);
      out += fmt::format("  {} | {}\n", number, harmless(line));
      out += fmt::format("  {} | {}^{}\n", std::string(number.size(), ' '),
                         indent_like(line, d.column - 1),
                         std::string(std::max<std::size_t>(d.length, 1) - 1, '~'));
    }
    if (!d.help.empty()) out += fmt::format("  help: {}\n", harmless(d.help));
  }
  return out;
}

UnusableInput::UnusableInput(std::vector<Diagnostic> diagnostics, std::string_view file,
                             std::string_view text)
    : std::runtime_error(render(diagnostics, file, text)), diagnostics_(std::move(diagnostics)) {}

}  // namespace pitchline::io
