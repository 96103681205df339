#pragma once

#include <string>

#include "pitchline/parts/notes.hpp"
#include "pitchline/units.hpp"

namespace pitchline::parts {

/// A cable carrier. What is unset is not published.
struct Carrier {
  std::string name{};
  std::string source{};
  std::string type{};
  Length inner_height = unset<Length>();
  Length inner_width = unset<Length>();
  Length most_inner_width = unset<Length>();  ///< where it comes in several widths
  Length outer_height = unset<Length>();
  Length outer_width = unset<Length>();
  Length bend_radius = unset<Length>();
  Length pitch = unset<Length>();
  LinearDensity mass = unset<LinearDensity>();
  Length loop_length = unset<Length>();  ///< of the bend alone
  LinearDensity fill = unset<LinearDensity>();
  Speed highest_speed = unset<Speed>();
  Acceleration highest_acceleration = unset<Acceleration>();
  Notes notes{};
};

/// A glass tube of a laser cutter: what the machine has to carry, feed and cool.
struct Tube {
  std::string name{};
  std::string source{};
  Power rated_power = unset<Power>();
  Power peak_power = unset<Power>();
  Length length = unset<Length>();
  Length diameter = unset<Length>();
  Current current = unset<Current>();
  Current most_current = unset<Current>();
  int warranty_days = 0;
  Notes notes{};
};

}  // namespace pitchline::parts
