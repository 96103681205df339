#pragma once

#include <array>
#include <optional>
#include <string_view>

#include "pitchline/units/kind.hpp"
#include "pitchline/units/scale.hpp"

namespace pitchline {

/// One unit that may be written in a file or on a command line.
struct UnitSymbol {
  std::string_view symbol;
  Scale scale;
  Exponents exponents;
  bool takes_prefix = false;  ///< n u µ m c d k M G may stand before it
};

/// Every unit symbol; an exact match goes before prefix and symbol, so "min" is a minute and "mm"
/// a millimetre. "Hz" serves pulse rates too, as makers write them: see `read_quantity`.
inline constexpr std::array unit_symbols{
    UnitSymbol{"m", scale::one, exponents_of<Length>, true},
    UnitSymbol{"in", scale::inch, exponents_of<Length>},
    UnitSymbol{"ft", scale::foot, exponents_of<Length>},
    UnitSymbol{"g", scale::gram, exponents_of<Mass>, true},
    UnitSymbol{"t", scale::tonne, exponents_of<Mass>},
    UnitSymbol{"lb", scale::pound, exponents_of<Mass>},
    UnitSymbol{"oz", scale::ounce, exponents_of<Mass>},
    UnitSymbol{"s", scale::one, exponents_of<Time>, true},
    UnitSymbol{"min", scale::minute, exponents_of<Time>},
    UnitSymbol{"h", scale::hour, exponents_of<Time>},
    UnitSymbol{"Hz", scale::one, exponents_of<Frequency>, true},
    UnitSymbol{"N", scale::one, exponents_of<Force>, true},
    UnitSymbol{"kgf", scale::kilogram_force, exponents_of<Force>},
    UnitSymbol{"lbf", scale::pound_force, exponents_of<Force>},
    UnitSymbol{"ozf", scale::ounce_force, exponents_of<Force>},
    UnitSymbol{"J", scale::one, exponents_of<Energy>, true},
    UnitSymbol{"W", scale::one, exponents_of<Power>, true},
    UnitSymbol{"hp", scale::horsepower, exponents_of<Power>},
    UnitSymbol{"Pa", scale::one, exponents_of<Pressure>, true},
    UnitSymbol{"bar", scale::bar, exponents_of<Pressure>},
    UnitSymbol{"psi", scale::psi, exponents_of<Pressure>},
    UnitSymbol{"A", scale::one, exponents_of<Current>, true},
    UnitSymbol{"V", scale::one, exponents_of<Voltage>, true},
    UnitSymbol{"ohm", scale::one, exponents_of<Resistance>, true},
    UnitSymbol{"\u03a9", scale::one, exponents_of<Resistance>, true},  // the Greek letter
    UnitSymbol{"\u2126", scale::one, exponents_of<Resistance>, true},  // the sign of its own
    UnitSymbol{"H", scale::one, exponents_of<Inductance>, true},
    UnitSymbol{"F", scale::one, exponents_of<Capacitance>, true},
    UnitSymbol{"K", scale::one, exponents_of<TemperatureRise>, true},
    UnitSymbol{"rad", scale::one, exponents_of<Angle>, true},
    UnitSymbol{"deg", scale::degree, exponents_of<Angle>},
    UnitSymbol{"rev", scale::turn, exponents_of<Angle>},
    UnitSymbol{"rpm", scale::turn_per_minute, exponents_of<AngularSpeed>},
    UnitSymbol{"step", scale::one, exponents_of<FullSteps>, true},
    UnitSymbol{"steps", scale::one, exponents_of<FullSteps>},
    UnitSymbol{"pulse", scale::one, exponents_of<Pulses>, true},
    UnitSymbol{"pulses", scale::one, exponents_of<Pulses>},
    UnitSymbol{"tooth", scale::one, exponents_of<Teeth>},
    UnitSymbol{"teeth", scale::one, exponents_of<Teeth>},
};

struct UnitPrefix {
  std::string_view symbol;
  Scale scale;
};
inline constexpr std::array unit_prefixes{
    UnitPrefix{"n", scale::nano},       UnitPrefix{"u", scale::micro},
    UnitPrefix{"\u00b5", scale::micro}, UnitPrefix{"\u03bc", scale::micro},
    UnitPrefix{"m", scale::milli},      UnitPrefix{"c", scale::centi},
    UnitPrefix{"d", scale::deci},       UnitPrefix{"k", scale::kilo},
    UnitPrefix{"M", scale::mega},       UnitPrefix{"G", scale::giga},
};

/// Finds a symbol with or without prefix.
inline std::optional<UnitSymbol> find_unit(std::string_view text) {
  for (const UnitSymbol& unit : unit_symbols) {
    if (unit.symbol == text) return unit;
  }
  for (const UnitPrefix& prefix : unit_prefixes) {
    if (!text.starts_with(prefix.symbol)) continue;
    const std::string_view rest = text.substr(prefix.symbol.size());
    for (const UnitSymbol& unit : unit_symbols) {
      if (!unit.takes_prefix || unit.symbol != rest) continue;
      UnitSymbol scaled = unit;
      scaled.scale.numerator *= prefix.scale.numerator;
      scaled.scale.denominator *= prefix.scale.denominator;
      return scaled;
    }
  }
  return std::nullopt;
}

}  // namespace pitchline
