#pragma once

#include <string>

#include "pitchline/parts/notes.hpp"
#include "pitchline/units.hpp"

namespace pitchline::parts {

/// The section of a bar that beams are cut from. What is unset is not published.
struct Section {
  std::string name{};
  std::string source{};
  std::string type{};  ///< "T-slot", "steel tube"
  Length width = unset<Length>();
  Length height = unset<Length>();
  Area area = unset<Area>();
  LinearDensity mass = unset<LinearDensity>();
  SecondMoment strong_second_moment = unset<SecondMoment>();  ///< bending across the height
  SecondMoment weak_second_moment = unset<SecondMoment>();    ///< bending across the width
  SecondMoment torsion_constant = unset<SecondMoment>();
  Pressure elastic_modulus = unset<Pressure>();
  Pressure shear_modulus = unset<Pressure>();
  Density density = unset<Density>();
  Notes notes{};
};

}  // namespace pitchline::parts
