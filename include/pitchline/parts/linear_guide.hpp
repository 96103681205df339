#pragma once

#include <optional>
#include <string>

#include "pitchline/parts/notes.hpp"
#include "pitchline/units.hpp"

namespace pitchline::parts {

/// One block on a profile rail, by the table of its maker. What is unset is not published.
struct Rail {
  std::string name{};
  std::string source{};
  std::string type{};  ///< "miniature", "wide miniature", "full size", "low", ...
  Length size = unset<Length>();
  Force dynamic_rating = unset<Force>();  ///< C, for `rated_travel`
  Force static_rating = unset<Force>();   ///< C0
  Length rated_travel = unset<Length>();
  Torque roll_moment = unset<Torque>();   ///< static, round the rail
  Torque pitch_moment = unset<Torque>();  ///< static, the block nods along the rail
  Torque yaw_moment = unset<Torque>();    ///< static, round what stands upright on the block
  Mass block_mass = unset<Mass>();
  LinearDensity rail_mass = unset<LinearDensity>();
  Length height = unset<Length>();  ///< of rail and block together
  Length block_width = unset<Length>();
  Length block_length = unset<Length>();
  Length bearing_length = unset<Length>();  ///< of the steel body of the block
  Length hole_pitch = unset<Length>();      ///< of the rail
  Force seal_drag = unset<Force>();         ///< of one block with its seals
  std::optional<FrictionCoefficient> friction{};
  Notes notes{};
};

/// A roller, or a carriage on rollers.
struct Roller {
  std::string name{};
  std::string source{};
  std::string type{};
  Length diameter = unset<Length>();
  Length width = unset<Length>();
  Length shaft = unset<Length>();         ///< round shaft that its groove runs on
  Force dynamic_rating = unset<Force>();  ///< for 10⁶ revolutions of the roller
  Force static_rating = unset<Force>();
  Force radial_load = unset<Force>();  ///< that a carriage bears
  Force axial_load = unset<Force>();   ///< likewise
  Mass mass = unset<Mass>();
  Notes notes{};
};

/// A ball bush, or a block with one, on a round shaft.
struct Bush {
  std::string name{};
  std::string source{};
  std::string type{};
  Length shaft = unset<Length>();
  Force dynamic_rating = unset<Force>();
  Force static_rating = unset<Force>();
  Mass mass = unset<Mass>();
  Length height = unset<Length>();  ///< outer diameter of a bush
  Length width = unset<Length>();
  Length length = unset<Length>();
  Force least_seal_drag = unset<Force>();
  Force most_seal_drag = unset<Force>();
  Notes notes{};
};

}  // namespace pitchline::parts
