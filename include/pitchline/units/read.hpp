#pragma once

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/units/kind.hpp"
#include "pitchline/units/nearest.hpp"
#include "pitchline/units/unit_table.hpp"

namespace pitchline {

/// A text that is no quantity of the kind wanted. `what()` says what was met, what is wanted and,
/// where one is close, the nearest known unit; `column()` is the 1-based place in the text, counted
/// in characters.
class UnreadableQuantity : public std::invalid_argument {
 public:
  UnreadableQuantity(const std::string& what, std::size_t column)
      : std::invalid_argument(what), column_(column) {}
  [[nodiscard]] std::size_t column() const { return column_; }

 private:
  std::size_t column_;
};

namespace detail {

/// A number with the unit it was written in, not yet matched against what is wanted.
struct WrittenQuantity {
  double value = 0.0;  // coherent units
  Exponents exponents;
  bool names_energy = false;  // J, W or hp stand in the unit
};

/// The dimension of `kind` as people write it, without the radians they leave out.
constexpr Exponents without_silent_radians(const Kind& kind) {
  Exponents e = kind.exponents;
  e.power[radian_power] = static_cast<std::int8_t>(e.power[radian_power] - kind.silent_radians);
  return e;
}

/// True where `written` is what `kind` means: its dimension, or its dimension but for the radians
/// that people leave out ("N*m" for a torque). Who writes J or W means an energy, so nothing is
/// taken as left out there; "N*m/rad" is a torsional stiffness written short, and only "J/rad" a
/// torque.
constexpr bool passes_for(const WrittenQuantity& written, const Kind& kind) {
  if (written.exponents == kind.exponents) {
    if (kind.silent_radians == 0 || written.names_energy) return true;
    for (const Kind* other : all_kinds) {
      if (other->silent_radians != 0 && other != &kind &&
          written.exponents == without_silent_radians(*other))
        return false;
    }
    return true;
  }
  return kind.silent_radians != 0 && !written.names_energy &&
         written.exponents == without_silent_radians(kind);
}

/// True where `written` may be read as `kind`. Makers of controllers give pulse rates in Hz.
constexpr bool may_be_read_as(const WrittenQuantity& written, const Kind& kind) {
  return passes_for(written, kind) || (kind.exponents == exponents_of<PulseRate> &&
                                       written.exponents == exponents_of<Frequency>);
}

/// What a dimension is in words: "a force", "a torque or an energy", "of no kind that is used
/// here".
inline std::string in_words(const WrittenQuantity& written) {
  std::string words;
  for (const Kind* kind : all_kinds) {
    if (!passes_for(written, *kind)) continue;
    if (!words.empty()) words += " or ";
    words += kind->name;
  }
  return words.empty() ? "of no kind that is used here" : words;
}

class QuantityReader {
 public:
  QuantityReader(std::string_view text, const Kind& wanted) : text_(text), wanted_(wanted) {}

  WrittenQuantity read() {
    skip_spaces();
    WrittenQuantity result;
    const double number = read_number();
    skip_spaces();
    if (at_end())
      fail(fmt::format("missing unit: {} is written like \"{}\"", wanted_.name, wanted_.example));
    unit_start_ = position_;
    Scale scale = scale::one;
    read_factor(result, scale, 1);
    for (skip_spaces(); !at_end(); skip_spaces()) {
      const int sign = read_operator();
      skip_spaces();
      read_factor(result, scale, sign);
    }
    result.value = scale.to_coherent(number);
    if (!std::isfinite(result.value)) fail_at(0, "expected a finite number");
    if (result.value == 0.0 && number != 0.0) fail_at(0, too_small);
    return result;
  }

  [[noreturn]] void fail_at(std::size_t byte, const std::string& message) const {
    std::size_t column = 1;
    for (std::size_t i = 0; i < byte && i < text_.size(); ++i) {
      if ((static_cast<unsigned char>(text_[i]) & 0xC0U) != 0x80U) ++column;
    }
    throw UnreadableQuantity(message, column);
  }
  [[nodiscard]] std::size_t unit_start() const { return unit_start_; }

 private:
  static constexpr const char* too_small = "this number is too close to zero";

  [[nodiscard]] bool at_end() const { return position_ >= text_.size(); }
  [[nodiscard]] bool next_is(std::string_view s) const {
    return text_.substr(position_).starts_with(s);
  }
  void skip_spaces() {
    while (!at_end() && (text_[position_] == ' ' || text_[position_] == '\t')) ++position_;
  }
  [[noreturn]] void fail(const std::string& message) const { fail_at(position_, message); }

  double read_plain_number() {
    const char* first = text_.data() + position_;
    const char* last = text_.data() + text_.size();
    double value = 0.0;
    const auto [end, error] = std::from_chars(first, last, value);
    if (error == std::errc::result_out_of_range) {
      // Both ends of the range give this error. Only a negative power of ten, or a point at the
      // very front, goes with the small end.
      const std::string_view digits(first, static_cast<std::size_t>(end - first));
      const std::size_t mark = digits.find_first_of("eE");
      const bool small = mark == std::string_view::npos ? digits.find('.') <= 2
                                                        : digits.substr(mark + 1).starts_with('-');
      fail(small ? too_small : "expected a finite number");
    }
    if (error == std::errc() && !std::isfinite(value)) fail("expected a finite number");
    if (error != std::errc())
      fail(fmt::format("expected a number with a unit, {} is written like \"{}\"", wanted_.name,
                       wanted_.example));
    position_ += static_cast<std::size_t>(end - first);
    return value;
  }

  double read_number() {
    if (next_is("+") && !next_is("+-")) ++position_;
    const std::size_t start = position_;
    double value = read_plain_number();
    if (next_is(",")) fail("a decimal point is wanted, not a comma");
    // A fraction is a number right after a slash: "3/4 in". A unit after it stays a unit.
    if (next_is("/") && position_ + 1 < text_.size() && text_[position_ + 1] >= '0' &&
        text_[position_ + 1] <= '9') {
      ++position_;
      const double divisor = read_plain_number();
      if (divisor == 0.0) fail_at(start, "division by zero");
      value /= divisor;
    }
    return value;
  }

  int read_operator() {
    if (next_is("/")) {
      ++position_;
      return -1;
    }
    for (const std::string_view dot : {"*", "\u00b7", "\u22c5"}) {
      if (!next_is(dot)) continue;
      position_ += dot.size();
      return 1;
    }
    fail("expected * or / between units");
  }

  int read_power() {
    if (next_is("\u00b2")) {
      position_ += 2;
      return 2;
    }
    if (next_is("\u00b3")) {
      position_ += 2;
      return 3;
    }
    if (!next_is("^")) return 1;
    ++position_;
    const char digit = at_end() ? '\0' : text_[position_];
    if (digit < '1' || digit > '4') fail("a power of a unit is a digit from 1 to 4");
    ++position_;
    return digit - '0';
  }

  // True where the text, with `unit` in place of what stands at `start`, is of the wanted kind.
  [[nodiscard]] bool reads_with(std::string_view unit, std::size_t start, std::size_t size) const {
    const std::string changed =
        fmt::format("{}{}{}", text_.substr(0, start), unit, text_.substr(start + size));
    QuantityReader probe(changed, wanted_);
    probe.suggests_ = false;
    try {
      return may_be_read_as(probe.read(), wanted_);
    } catch (const UnreadableQuantity&) {
      return false;
    }
  }

  // What an unknown unit was most likely meant to be. One that makes the text a quantity of the
  // wanted kind goes first, so "Nm" is no misspelt nanometre where a torque is wanted, and "MPA"
  // no millipascal.
  [[nodiscard]] std::optional<std::string> suggestion(std::string_view symbol,
                                                      std::size_t start) const {
    if (!suggests_) return std::nullopt;
    std::vector<std::string> known;
    for (const UnitSymbol& u : unit_symbols) {
      known.emplace_back(u.symbol);
      if (!u.takes_prefix) continue;
      for (const UnitPrefix& p : unit_prefixes)
        known.push_back(fmt::format("{}{}", p.symbol, u.symbol));
    }
    std::vector<std::string> fitting;
    for (std::size_t i = 1; i < symbol.size(); ++i) {
      if (find_unit(symbol.substr(0, i)) && find_unit(symbol.substr(i)))
        fitting.push_back(fmt::format("{}*{}", symbol.substr(0, i), symbol.substr(i)));
    }
    fitting.emplace_back(wanted_.unit);
    fitting.insert(fitting.end(), known.begin(), known.end());
    const std::string* best = nullptr;
    std::size_t best_changes = 0;
    for (const std::string& unit : fitting) {
      const std::size_t distance = spelling_distance(symbol, unit);
      const std::size_t changes = distance / 4;  // a mere change of case makes no difference here
      if (!is_close(distance, symbol, unit) || (best && changes >= best_changes)) continue;
      if (!reads_with(unit, start, symbol.size())) continue;
      best = &unit;
      best_changes = changes;
    }
    return best ? *best : nearest_word(symbol, known);
  }

  void read_factor(WrittenQuantity& written, Scale& scale, int sign) {
    const std::size_t start = position_;
    constexpr std::string_view stops = " \t*/^";
    while (!at_end() && stops.find(text_[position_]) == std::string_view::npos &&
           !next_is("\u00b7") && !next_is("\u22c5") && !next_is("\u00b2") && !next_is("\u00b3"))
      ++position_;
    const std::string_view symbol = text_.substr(start, position_ - start);
    if (symbol.empty()) fail("expected a unit");
    const auto unit = find_unit(symbol);
    if (!unit) {
      const auto nearest = suggestion(symbol, start);
      fail_at(start,
              nearest ? fmt::format("unknown unit \"{}\", did you mean \"{}\"?", symbol, *nearest)
                      : fmt::format("unknown unit \"{}\", {} is written like \"{}\"", symbol,
                                    wanted_.name, wanted_.example));
    }
    const int power = read_power() * sign;
    for (int i = 0; i < std::abs(power); ++i) {
      scale.numerator *= power > 0 ? unit->scale.numerator : unit->scale.denominator;
      scale.denominator *= power > 0 ? unit->scale.denominator : unit->scale.numerator;
    }
    for (std::size_t i = 0; i < written.exponents.power.size(); ++i) {
      const int sum = written.exponents.power[i] + power * unit->exponents.power[i];
      if (std::abs(sum) > 9) fail_at(start, "this unit has too high a power");
      written.exponents.power[i] = static_cast<std::int8_t>(sum);
    }
    if (unit->exponents == exponents_of<Energy> || unit->exponents == exponents_of<Power>)
      written.names_energy = true;
  }

  std::string_view text_;
  const Kind& wanted_;
  std::size_t position_ = 0;
  std::size_t unit_start_ = 0;
  bool suggests_ = true;
};

}  // namespace detail

/// Reads "<number> <unit>" as a quantity of `kind`, in coherent units.
///
/// The number may be a fraction ("3/4 in"); units are joined by * (or a raised dot) and /, powers
/// are ^2, ^3 or raised digits, and SI prefixes n u m c d k M G go before SI units. The radian may
/// be left out where the trade does ("N*m", "kg*m^2"), but 0.5 J is no torque. A pulse rate may be
/// written in Hz, as makers of controllers do; no other kind takes Hz for something that is not a
/// frequency.
///
/// \throws UnreadableQuantity  no number, no unit, an unknown unit, another dimension, not finite
inline double read_coherent(std::string_view text, const Kind& kind) {
  detail::QuantityReader reader(text, kind);
  const detail::WrittenQuantity written = reader.read();
  if (!detail::may_be_read_as(written, kind)) {
    reader.fail_at(reader.unit_start(),
                   fmt::format("expected {} (like \"{}\"), but \"{}\" is {}", kind.name,
                               kind.example, text, detail::in_words(written)));
  }
  return written.value;
}

/// Reads a quantity of type `Q`, for example `read_quantity<Mass>("1.9 kg")`; see `read_coherent`.
///
/// \throws UnreadableQuantity  as `read_coherent`
template <Printable Q>
Q read_quantity(std::string_view text) {
  return Q::from_value(read_coherent(text, *kind_of<Q>));
}

/// The same, with an example of its own in messages, for what the kind's would not suit.
///
/// \throws UnreadableQuantity  as `read_coherent`
template <Printable Q>
Q read_quantity(std::string_view text, std::string_view example) {
  Kind kind = *kind_of<Q>;
  kind.example = example;
  return Q::from_value(read_coherent(text, kind));
}

}  // namespace pitchline
