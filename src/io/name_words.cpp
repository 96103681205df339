#include "detail/name_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>

namespace pitchline::io::detail {
namespace {

struct NameUnit {
  std::string_view symbol;
  std::string_view kind;
  double scale;
};
// As labels and shops write them, in small letters. "3M" of a belt reads as metres, of which only
// the number counts there.
constexpr std::array units{NameUnit{"mm", "length", 1},
                           NameUnit{"cm", "length", 10},
                           NameUnit{"m", "length", 1000},
                           NameUnit{"in", "length", 25.4},
                           NameUnit{"inch", "length", 25.4},
                           NameUnit{"\"", "length", 25.4},
                           NameUnit{"km", "length", 1e6},
                           NameUnit{"a", "current", 1},
                           NameUnit{"amp", "current", 1},
                           NameUnit{"amps", "current", 1},
                           NameUnit{"ma", "current", 1e-3},
                           NameUnit{"nm", "torque", 1},
                           NameUnit{"n*m", "torque", 1},
                           NameUnit{"n.m", "torque", 1},
                           NameUnit{"ncm", "torque", 0.01},
                           NameUnit{"n*cm", "torque", 0.01},
                           NameUnit{"n.cm", "torque", 0.01},
                           NameUnit{"oz-in", "torque", 0.00706155},
                           NameUnit{"ozin", "torque", 0.00706155},
                           NameUnit{"oz*in", "torque", 0.00706155},
                           NameUnit{"kgcm", "torque", 0.0980665},
                           NameUnit{"kg-cm", "torque", 0.0980665},
                           NameUnit{"kg*cm", "torque", 0.0980665},
                           NameUnit{"ohm", "resistance", 1},
                           NameUnit{"ohms", "resistance", 1},
                           NameUnit{"mh", "inductance", 1},
                           NameUnit{"g*cm^2", "inertia", 1},
                           NameUnit{"gcm2", "inertia", 1},
                           NameUnit{"v", "voltage", 1},
                           NameUnit{"w", "power", 1},
                           NameUnit{"kw", "power", 1000},
                           NameUnit{"n", "force", 1},
                           NameUnit{"kn", "force", 1000},
                           NameUnit{"kg", "mass", 1},
                           NameUnit{"g", "mass", 1e-3},
                           NameUnit{"kg/m", "mass per length", 1},
                           NameUnit{"mm^4", "second moment", 1},
                           NameUnit{"deg", "angle", 1},
                           NameUnit{"degree", "angle", 1},
                           NameUnit{"degrees", "angle", 1},
                           NameUnit{"\xc2\xb0", "angle", 1},
                           NameUnit{"teeth", "teeth", 1},
                           NameUnit{"tooth", "teeth", 1},
                           NameUnit{"t", "teeth", 1},
                           NameUnit{"khz", "pulse rate", 1}};

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }
bool is_digit(char c) { return c >= '0' && c <= '9'; }
// Letters, and what is not ASCII: a Greek letter, the sign of a degree.
bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (static_cast<unsigned char>(c) & 0x80U) != 0;
}

// The longest unit that stands at the front and is not the beginning of a longer word.
const NameUnit* unit_at(std::string_view text) {
  const NameUnit* best = nullptr;
  for (const NameUnit& unit : units) {
    if (!text.starts_with(unit.symbol)) continue;
    const std::string_view rest = text.substr(unit.symbol.size());
    if (!rest.empty() && is_letter(rest.front())) continue;
    if (best == nullptr || unit.symbol.size() > best->symbol.size()) best = &unit;
  }
  return best;
}

// What shops call the same.
std::string usual_word(std::string word) {
  constexpr std::array<std::pair<std::string_view, std::string_view>, 10> same{
      {{"mgt", "gt"},
       {"powergrip", ""},
       {"trapezoidal", "tr"},
       {"trapez", "tr"},
       {"ballscrew", "ball"},
       {"sfu", "ball"},
       {"extrusion", "slot"},
       {"x", ""},
       {"of", ""},
       {"with", ""}}};
  const auto* found =
      std::find_if(same.begin(), same.end(), [&](const auto& each) { return each.first == word; });
  return found == same.end() ? word : std::string(found->second);
}

class Splitter {
 public:
  explicit Splitter(std::string_view name) {
    for (const char c : name) text_ += lower(c);
    rest_ = text_;
  }
  std::vector<NameWord> words() {
    while (!rest_.empty()) {
      if (is_digit(rest_.front()))
        take_figure();
      else if (is_letter(rest_.front()))
        take_word();
      else
        rest_.remove_prefix(1);
    }
    return std::move(words_);
  }

 private:
  void take_figure() {
    NameWord figure;
    const char* const end = rest_.data() + rest_.size();
    const auto read = std::from_chars(rest_.data(), end, figure.number, std::chars_format::fixed);
    const auto length = static_cast<std::size_t>(read.ptr - rest_.data());
    const std::string_view digits = rest_.substr(0, length);
    const std::size_t point = digits.find('.');
    const double last = point == std::string_view::npos
                            ? 1.0
                            : std::pow(10.0, -static_cast<double>(length - point - 1));
    figure.slack = last / 2;
    rest_.remove_prefix(length);
    // A frame is a word: nema 17 is no longer or shorter than another.
    if (!words_.empty() && words_.back().text == "nema") {
      words_.back().text += std::string(digits);
      return;
    }
    std::string_view behind = rest_;
    while (behind.starts_with(" ") || behind.starts_with("-")) behind.remove_prefix(1);
    if (const NameUnit* unit = unit_at(behind)) {
      figure.kind = unit->kind;
      figure.value = figure.number * unit->scale;
      rest_ = behind.substr(unit->symbol.size());
    }
    words_.push_back(std::move(figure));
  }
  void take_word() {
    std::size_t length = 0;
    while (length < rest_.size() && is_letter(rest_[length])) ++length;
    std::string word = usual_word(std::string(rest_.substr(0, length)));
    rest_.remove_prefix(length);
    if (!word.empty()) words_.push_back({.text = std::move(word)});
  }

  std::string text_;
  std::string_view rest_;
  std::vector<NameWord> words_;
};

}  // namespace

std::vector<NameWord> name_words(std::string_view name) { return Splitter(name).words(); }

bool same_word(const NameWord& asked, const NameWord& had) {
  if (asked.is_figure() != had.is_figure()) return false;
  if (!asked.is_figure()) return asked.text == had.text;
  // As near as it was written, but no rounder than three parts in a hundred.
  const auto near = [](double a, double b, double slack) {
    return std::fabs(a - b) <= std::min(slack, 0.03 * std::fabs(a)) * (1 + 1e-9) + 1e-12;
  };
  if (asked.kind.empty() || had.kind.empty()) return near(asked.number, had.number, 0.0);
  if (asked.kind != had.kind) return false;
  const double scale = asked.number == 0 ? 1.0 : asked.value / asked.number;
  return near(asked.value, had.value, asked.slack * scale);
}

}  // namespace pitchline::io::detail
