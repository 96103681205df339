#include "detail/csv_field.hpp"

#include <charconv>

namespace pitchline::io::detail {
namespace {

bool is_number(std::string_view text) {
  double value = 0.0;
  if (text.starts_with('+')) text.remove_prefix(1);
  const auto [stop, wrong] = std::from_chars(text.data(), text.data() + text.size(), value);
  return wrong == std::errc{} && stop == text.data() + text.size();
}

// Blanks before it do not keep every spreadsheet from computing it.
bool is_formula(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return false;
  if (text[0] == '\t' || text[0] == '\r' || text[0] == '\n') return true;
  return std::string_view("=+-@").find(text[first]) != std::string_view::npos && !is_number(text);
}

}  // namespace

std::string csv_field(std::string_view text) {
  std::string field = is_formula(text) ? "'" : "";
  field += text;
  const bool plain = field.find_first_of(",\"\r\n") == std::string::npos &&
                     !field.starts_with(' ') && !field.ends_with(' ');
  if (plain) return field;
  std::string quoted = "\"";
  for (const char c : field) {
    quoted += c;
    if (c == '"') quoted += c;
  }
  return quoted + "\"";
}

}  // namespace pitchline::io::detail
