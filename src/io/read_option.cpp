#include "pitchline/io/read_option.hpp"

#include <fmt/format.h>

#include <charconv>

#include "pitchline/units/read.hpp"

namespace pitchline::io {
namespace {

// The number that a text is from end to end.
template <class T>
bool read_whole_text(std::string_view text, T& value) {
  const char* end = text.data() + text.size();
  const auto [stop, wrong] = std::from_chars(text.data(), end, value);
  return !text.empty() && wrong == std::errc{} && stop == end;
}

}  // namespace

UnusableOptions::UnusableOptions(const std::string& what, const std::string& help,
                                 const std::string& file)
    : std::runtime_error(fmt::format("{}error: {}\n{}", file.empty() ? "" : file + ": ", what,
                                     help.empty() ? "" : fmt::format("  help: {}\n", help))) {}

double coherent_of(std::string_view option, const std::string& text, const Kind& kind,
                   double most) {
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

std::int64_t whole_of(const WholeOption& whole) {
  std::int64_t value = 0;
  const bool digits = whole.text.find_first_not_of("0123456789") == std::string_view::npos;
  if (digits && read_whole_text(whole.text, value) && value >= whole.least && value <= whole.most)
    return value;
  throw UnusableOptions(fmt::format("{} must be a whole number from {} to {}, got \"{}\"",
                                    whole.option, whole.least, whole.most, whole.text),
                        std::string(whole.help));
}

double number_of(const NumberOption& number) {
  double value = 0.0;
  if (read_whole_text(number.text, value) && number.holds(value)) return value;
  throw UnusableOptions(
      fmt::format("{} must be {}, got \"{}\"", number.option, number.rule, number.text),
      std::string(number.help));
}

void require_absent(bool typed, std::string_view what, std::string_view help) {
  if (typed) throw UnusableOptions(std::string(what), std::string(help));
}

}  // namespace pitchline::io
