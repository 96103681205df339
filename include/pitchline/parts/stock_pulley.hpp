#pragma once

#include <string>

#include "pitchline/parts/notes.hpp"
#include "pitchline/units.hpp"

namespace pitchline::parts {

/// A toothed pulley as a list of stock sizes has it. What is unset is not published.
struct StockPulley {
  std::string name{};
  std::string source{};
  std::string profile{};  ///< of the catalogue of belts, "HTD 5M"
  int teeth = 0;
  Length belt_width = unset<Length>();
  Length outer_diameter = unset<Length>();  ///< over the teeth
  Length flange_diameter = unset<Length>();
  Length face_width = unset<Length>();
  Length length = unset<Length>();      ///< with the hub
  Length pilot_bore = unset<Length>();  ///< as delivered, to be bored out
  std::string usual_bores{};            ///< "5 mm, 8 mm", where they come bored
  Mass mass = unset<Mass>();
  bool listed = true;  ///< false: no source lists it, the size is usual
  Notes notes{};
};

/// Most that the inertia of the pulley can be: all its mass in a solid cylinder over its teeth.
///
///     J = m d²/8
///
///     m  mass            kg
///     d  outer_diameter  m
///     J  result          kg·m²/rad²   unset where either is
///
/// Source: moment of inertia of a solid cylinder; a hub thinner than the teeth, or a bore, has less
/// only as far as the mass goes with it, so this is an upper estimate.
inline Inertia most_inertia(const StockPulley& pulley) {
  return pulley.mass * pulley.outer_diameter * pulley.outer_diameter / 8.0 / (radian * radian);
}

}  // namespace pitchline::parts
