// Puts the unit tables of the library to the program `units` and compares its answers; see
// gnu_units.cmake. `ask` prints two lines a row, what to convert and into what; `compare` reads one
// answer a row in the same order.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <iostream>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/units/make.hpp"
#include "pitchline/units/unit_table.hpp"

namespace {
using namespace pitchline;

// The program works in doubles as we do, but multiplies in another order. A horsepower goes through
// about six roundings in either, each of at most 1.1e-16; a wrong digit in any factor is far
// larger.
constexpr double tolerance = 1e-15;

struct Row {
  std::string label;
  std::string expression;  // in the words of the program
  std::string coherent;    // likewise
  double factor;           // ours
};

struct Words {
  std::string_view symbol;
  std::string_view expression;
};

// What each symbol means, in whole words where the program has them, so that a symbol which the two
// understand differently ("t", "h", "oz") shows up.
constexpr Words unit_words[] = {
    {"m", "meter"},
    {"in", "inch"},
    {"ft", "foot"},
    {"g", "gram"},
    {"t", "tonne"},
    {"lb", "pound"},
    {"oz", "ounce"},
    {"s", "second"},
    {"min", "minute"},
    {"h", "hour"},
    {"Hz", "hertz"},
    {"N", "newton"},
    {"kgf", "kilogram gravity"},
    {"lbf", "pound gravity"},
    {"ozf", "ounce gravity"},
    {"J", "joule"},
    {"W", "watt"},
    {"hp", "horsepower"},
    {"Pa", "pascal"},
    {"bar", "bar"},
    {"psi", "pound gravity / inch^2"},
    {"A", "ampere"},
    {"V", "volt"},
    {"ohm", "ohm"},
    {"\u03a9", "ohm"},
    {"\u2126", "ohm"},
    {"H", "henry"},
    {"F", "farad"},
    {"K", "kelvin"},
    {"rad", "radian"},
    {"deg", "degree"},
    {"rev", "revolution"},
    {"rpm", "revolution / minute"},
    {"step", "fullstep"},
    {"steps", "fullstep"},
    {"pulse", "pulse"},
    {"pulses", "pulse"},
    {"tooth", "toothcount"},
    {"teeth", "toothcount"},
};
constexpr Words prefix_words[] = {
    {"n", "nano"},  {"u", "micro"}, {"\u00b5", "micro"}, {"\u03bc", "micro"}, {"m", "milli"},
    {"c", "centi"}, {"d", "deci"},  {"k", "kilo"},       {"M", "mega"},       {"G", "giga"},
};

std::string coherent_unit(const Exponents& exponents) {
  constexpr std::string_view base[] = {"meter",  "kilogram", "second", "ampere",    "kelvin",
                                       "radian", "fullstep", "pulse",  "toothcount"};
  std::string text = "1";
  for (std::size_t i = 0; i < exponents.power.size(); ++i) {
    if (exponents.power[i] != 0) text += fmt::format(" {}^{}", base[i], int{exponents.power[i]});
  }
  return text;
}

template <class Table>
std::string_view words_of(std::string_view symbol, const Table& table) {
  for (const auto& row : table) {
    if (row.symbol == symbol) return row.expression;
  }
  return "no words for this symbol in gnu_units.cpp";
}

std::vector<Row> rows() {
  std::vector<Row> all;
  for (const UnitSymbol& unit : unit_symbols) {
    all.push_back({fmt::format("unit {}", unit.symbol),
                   std::string(words_of(unit.symbol, unit_words)), coherent_unit(unit.exponents),
                   unit.scale.to_coherent(1)});
  }
  for (const UnitPrefix& prefix : unit_prefixes) {
    all.push_back({fmt::format("prefix {}", prefix.symbol),
                   std::string(words_of(prefix.symbol, prefix_words)), "1",
                   prefix.scale.to_coherent(1)});
  }
  // A maker and, as the reciprocal of its factor, the reader that goes with it.
  const auto add = [&](std::string_view name, auto made, double back, std::string_view expression) {
    using Q = decltype(made);
    const std::string coherent = coherent_unit(exponents_of<Q>);
    all.push_back({fmt::format("{}", name), std::string(expression), coherent,
                   number(made / Q::from_value(1))});
    all.push_back({fmt::format("in_{}", name), coherent, std::string(expression), back});
  };
#define PITCHLINE_ROW(name, expression) \
  add(#name, name(1), in_##name(decltype(name(1))::from_value(1)), expression)
  PITCHLINE_ROW(metres, "meter");
  PITCHLINE_ROW(millimetres, "millimeter");
  PITCHLINE_ROW(micrometres, "micrometer");
  PITCHLINE_ROW(inches, "inch");
  PITCHLINE_ROW(square_metres, "meter^2");
  PITCHLINE_ROW(metres_to_the_fourth, "meter^4");
  PITCHLINE_ROW(millimetres_to_the_fourth, "millimeter^4");
  PITCHLINE_ROW(kilograms, "kilogram");
  PITCHLINE_ROW(grams, "gram");
  PITCHLINE_ROW(pounds, "pound");
  PITCHLINE_ROW(kilograms_per_cubic_metre, "kilogram / meter^3");
  PITCHLINE_ROW(seconds, "second");
  PITCHLINE_ROW(milliseconds, "millisecond");
  PITCHLINE_ROW(hertz, "hertz");
  PITCHLINE_ROW(metres_per_second, "meter / second");
  PITCHLINE_ROW(millimetres_per_second, "millimeter / second");
  PITCHLINE_ROW(metres_per_second_squared, "meter / second^2");
  PITCHLINE_ROW(millimetres_per_second_squared, "millimeter / second^2");
  PITCHLINE_ROW(metres_per_second_cubed, "meter / second^3");
  PITCHLINE_ROW(newtons, "newton");
  PITCHLINE_ROW(pounds_force, "pound gravity");
  PITCHLINE_ROW(joules, "joule");
  PITCHLINE_ROW(watts, "watt");
  PITCHLINE_ROW(pascals, "pascal");
  PITCHLINE_ROW(megapascals, "megapascal");
  PITCHLINE_ROW(megapascal_metres_per_second, "megapascal meter / second");
  PITCHLINE_ROW(cubic_millimetres_per_newton_metre, "millimeter^3 / (newton meter)");
  PITCHLINE_ROW(newtons_per_metre, "newton / meter");
  PITCHLINE_ROW(newtons_per_millimetre, "newton / millimeter");
  PITCHLINE_ROW(kilograms_per_metre, "kilogram / meter");
  PITCHLINE_ROW(radians, "radian");
  PITCHLINE_ROW(degrees, "degree");
  PITCHLINE_ROW(revolutions, "revolution");
  PITCHLINE_ROW(radians_per_second, "radian / second");
  PITCHLINE_ROW(revolutions_per_minute, "revolution / minute");
  PITCHLINE_ROW(millimetre_revolutions_per_minute, "millimeter revolution / minute");
  PITCHLINE_ROW(radians_per_second_squared, "radian / second^2");
  PITCHLINE_ROW(newton_metres, "newton meter / radian");
  PITCHLINE_ROW(kilogram_square_metres, "kilogram meter^2 / radian^2");
  PITCHLINE_ROW(gram_square_centimetres, "gram centimeter^2 / radian^2");
  PITCHLINE_ROW(newton_metres_per_radian, "newton meter / radian^2");
  PITCHLINE_ROW(newton_metre_seconds_per_radian, "newton meter second / radian^2");
  PITCHLINE_ROW(metres_per_radian, "meter / radian");
  PITCHLINE_ROW(amperes, "ampere");
  PITCHLINE_ROW(volts, "volt");
  PITCHLINE_ROW(ohms, "ohm");
  PITCHLINE_ROW(henries, "henry");
  PITCHLINE_ROW(millihenries, "millihenry");
  PITCHLINE_ROW(farads, "farad");
  PITCHLINE_ROW(microfarads, "microfarad");
  PITCHLINE_ROW(newton_metres_per_ampere, "newton meter / radian ampere");
  PITCHLINE_ROW(kelvins, "kelvin");
  PITCHLINE_ROW(kelvins_per_watt, "kelvin / watt");
  PITCHLINE_ROW(full_steps, "fullstep");
  PITCHLINE_ROW(pulses, "pulse");
  PITCHLINE_ROW(teeth, "toothcount");
  PITCHLINE_ROW(full_steps_per_radian, "fullstep / radian");
  PITCHLINE_ROW(full_steps_per_revolution, "fullstep / revolution");
  PITCHLINE_ROW(pulses_per_revolution, "pulse / revolution");
  PITCHLINE_ROW(pulses_per_full_step, "pulse / fullstep");
  PITCHLINE_ROW(pulses_per_millimetre, "pulse / millimeter");
  PITCHLINE_ROW(pulses_per_second, "pulse / second");
  PITCHLINE_ROW(full_steps_per_second, "fullstep / second");
  PITCHLINE_ROW(metres_per_tooth, "meter / toothcount");
  PITCHLINE_ROW(millimetres_per_tooth, "millimeter / toothcount");
#undef PITCHLINE_ROW
  all.push_back({"standard_gravity", "gravity", coherent_unit(exponents_of<Acceleration>),
                 in_metres_per_second_squared(standard_gravity)});
  return all;
}

int compare(const std::vector<Row>& all) {
  int wrong = 0;
  double largest = 0.0;
  for (const Row& row : all) {
    std::string line;
    std::getline(std::cin, line);
    double answer = 0.0;
    const auto [end, error] = std::from_chars(line.data(), line.data() + line.size(), answer);
    if (error != std::errc() || end != line.data() + line.size()) {
      // From here on the answers no longer stand beside their questions.
      fmt::print(stderr, "{}: cannot convert {} into {}: {}\n", row.label, row.expression,
                 row.coherent, line.empty() ? "no answer" : line);
      return 1;
    }
    const double difference = std::abs(row.factor / answer - 1.0);
    largest = std::max(largest, difference);
    if (difference <= tolerance) continue;
    ++wrong;
    fmt::print(stderr, "{}: ours {:.17g}, theirs {:.17g}\n", row.label, row.factor, answer);
  }
  fmt::print("{} factors compared, {} differ, largest relative difference {:.1e}\n", all.size(),
             wrong, largest);
  return wrong == 0 ? 0 : 1;
}
}  // namespace

int main(int argument_count, char** arguments) {
  const std::string_view what = argument_count == 2 ? arguments[1] : "";
  const std::vector<Row> all = rows();
  if (what == "compare") return compare(all);
  if (what != "ask") return 2;
  for (const Row& row : all) fmt::print("{}\n{}\n", row.expression, row.coherent);
  return 0;
}
