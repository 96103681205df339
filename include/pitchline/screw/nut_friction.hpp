#pragma once

#include <array>
#include <string_view>

#include "pitchline/screw/sliding_screw.hpp"
#include "pitchline/units.hpp"

namespace pitchline::screw {

/// What a nut on a steel screw is made of.
enum class NutMaterial { bronze, brass, cast_iron, steel, acetal, filled_plastic };

enum class Lubrication { dry, oiled };

constexpr std::string_view in_words(NutMaterial nut) {
  switch (nut) {
    case NutMaterial::bronze:
      return "bronze";
    case NutMaterial::brass:
      return "brass";
    case NutMaterial::cast_iron:
      return "cast iron";
    case NutMaterial::steel:
      return "steel";
    case NutMaterial::acetal:
      return "acetal (POM)";
    case NutMaterial::filled_plastic:
      return "plastic with solid lubricant";
  }
  return "";
}

constexpr std::string_view in_words(Lubrication lubrication) {
  return lubrication == Lubrication::dry ? "dry" : "oiled";
}

/// Friction of a nut on a steel screw.
///
/// Raising counts the most, staying up the least: `unfavourable_end`.
struct NutFriction {
  NutMaterial nut = NutMaterial::bronze;
  Lubrication lubrication = Lubrication::dry;
  double least = 0.0;  ///< running, but see `most_is_starting`
  double most = 0.0;
  bool most_is_starting = false;  ///< the most is that at rest, which starting does not exceed
  std::string_view source{};
  std::string_view mark{};  ///< as in reference/sources.md: Q read, M from memory
};

/// Every pair of nut and lubrication that has a figure.
///
/// [Shigley] table 8-5 is for threads; other tables give clean dry metal at rest, up to 0.8, which
/// is no thread. Plastics: homopolymer 0.1 to 0.3 at rest ([Shackelford]), 0.15 dry and 0.125
/// lubricated ([Roton formulas]), mean 0.11 of a plastic with solid lubricant and 0.2 running in
/// guides of the same maker ([igus]), 0.125 of a lined nut ([PBC]). Where the mark says M, an end
/// of the range is from memory around the figure named.
inline constexpr std::array nut_frictions{
    NutFriction{NutMaterial::bronze, Lubrication::dry, 0.15, 0.23, false, "[Shigley] table 8-5",
                "Q"},
    NutFriction{NutMaterial::bronze, Lubrication::oiled, 0.10, 0.16, false, "[Shigley] table 8-5",
                "Q"},
    NutFriction{NutMaterial::brass, Lubrication::dry, 0.15, 0.19, false, "[Shigley] table 8-5",
                "Q"},
    NutFriction{NutMaterial::brass, Lubrication::oiled, 0.10, 0.15, false, "[Shigley] table 8-5",
                "Q"},
    NutFriction{NutMaterial::cast_iron, Lubrication::dry, 0.15, 0.25, false, "[Shigley] table 8-5",
                "Q"},
    NutFriction{NutMaterial::cast_iron, Lubrication::oiled, 0.11, 0.17, false,
                "[Shigley] table 8-5", "Q"},
    NutFriction{NutMaterial::steel, Lubrication::dry, 0.15, 0.25, false, "[Shigley] table 8-5",
                "Q"},
    NutFriction{NutMaterial::steel, Lubrication::oiled, 0.11, 0.17, false, "[Shigley] table 8-5",
                "Q"},
    NutFriction{NutMaterial::acetal, Lubrication::dry, 0.10, 0.30, true, "[Shackelford]", "Q"},
    NutFriction{NutMaterial::acetal, Lubrication::oiled, 0.06, 0.15, false,
                "[Roton formulas] 0.125, both ends from memory", "M"},
    NutFriction{NutMaterial::filled_plastic, Lubrication::dry, 0.06, 0.20, false,
                "[igus] 0.11 and 0.2, least end from memory", "M"},
};

/// The row of a pair.
///
/// \throws InvalidInput  a pair that is not in the table, such as an oiled nut with solid lubricant
inline const NutFriction& nut_friction(NutMaterial nut, Lubrication lubrication) {
  for (const NutFriction& row : nut_frictions)
    if (row.nut == nut && row.lubrication == lubrication) return row;
  throw InvalidInput("nut material and lubrication", "a pair of the table", static_cast<int>(nut),
                     "");
}

/// The running range of a row, as a screw takes it.
inline FrictionRange running(const NutFriction& row) {
  return {FrictionCoefficient(row.least), FrictionCoefficient(row.most)};
}

/// Friction at the start over running friction: from 1.25 to 1.67. Source: [Shigley] table 8-6,
/// collars of four pairs, to which `collar_frictions` gives the figures.
inline constexpr double least_starting_ratio = 1.25;
inline constexpr double most_starting_ratio = 1.67;

/// Most friction with which a nut starts: the most running times 1.67, or the most as it is where
/// that is at rest already.
///
/// \throws InvalidInput  a range whose product is not below 1
///
/// Source: ratio of [Shigley] table 8-6, which is for collars; for threads this is common practice.
inline FrictionCoefficient starting_friction(const NutFriction& row) {
  return FrictionCoefficient(row.most * (row.most_is_starting ? 1.0 : most_starting_ratio));
}

/// Friction of a plain thrust collar.
struct CollarFriction {
  std::string_view pair{};
  double running = 0.0;
  double starting = 0.0;
};

/// Source: [Shigley] table 8-6 (Q).
inline constexpr std::array collar_frictions{
    CollarFriction{"soft steel on cast iron", 0.12, 0.17},
    CollarFriction{"hard steel on cast iron", 0.09, 0.15},
    CollarFriction{"soft steel on bronze", 0.08, 0.10},
    CollarFriction{"hard steel on bronze", 0.06, 0.08},
};

}  // namespace pitchline::screw
