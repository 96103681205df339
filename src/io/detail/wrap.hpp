#pragma once

#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>

namespace pitchline::io::detail {

/// Widest line that is printed.
inline constexpr std::size_t widest_line = 80;

/// Breaks a text at blanks; every line but the first is indented.
inline std::string wrapped(std::string_view text, std::size_t first_indent, std::size_t indent,
                           std::size_t columns = widest_line) {
  std::string out;
  std::string line(first_indent, ' ');
  std::size_t used = 0;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    const std::string_view word = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    if (used > 0 && line.size() + 1 + word.size() > columns) {
      out += line + "\n";
      line.assign(indent, ' ');
      used = 0;
    }
    if (used > 0) line += ' ';
    line += word;
    ++used;
  }
  return out + line + "\n";
}

}  // namespace pitchline::io::detail
