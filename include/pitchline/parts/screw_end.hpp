#pragma once

#include <string>

#include "pitchline/parts/notes.hpp"
#include "pitchline/units.hpp"

namespace pitchline::parts {

/// A shaft coupling. What is unset is not published.
struct Coupling {
  std::string name{};
  std::string source{};
  std::string type{};
  std::string hardness{};  ///< of its spider, "98 Sh A"
  Torque nominal_torque = unset<Torque>();
  Torque highest_torque = unset<Torque>();
  Torque reversing_torque = unset<Torque>();  ///< of a drive that reverses
  TorsionalStiffness stiffness_at_quarter = unset<TorsionalStiffness>();  ///< of nominal torque
  TorsionalStiffness stiffness_at_half = unset<TorsionalStiffness>();
  TorsionalStiffness stiffness_at_three_quarters = unset<TorsionalStiffness>();
  TorsionalStiffness stiffness = unset<TorsionalStiffness>();  ///< dynamic, at nominal torque
  Length radial_offset = unset<Length>();
  Angle angular_offset = unset<Angle>();
  AngularSpeed highest_speed = unset<AngularSpeed>();
  Length outer_diameter = unset<Length>();
  Length length = unset<Length>();
  Mass mass = unset<Mass>();
  Inertia inertia = unset<Inertia>();
  Notes notes{};
};

/// A rolling bearing for idlers and ends of screws.
struct Bearing {
  std::string name{};
  std::string source{};
  std::string type{};  ///< "thrust", "deep groove"
  Length bore = unset<Length>();
  Length outer_diameter = unset<Length>();
  Length width = unset<Length>();
  Force dynamic_rating = unset<Force>();  ///< for 10⁶ revolutions
  Force static_rating = unset<Force>();
  AngularSpeed highest_speed = unset<AngularSpeed>();
  Mass mass = unset<Mass>();
  Notes notes{};
};

/// A housing with bearings for one end of a screw.
struct ScrewSupport {
  std::string name{};
  std::string source{};
  std::string type{};
  Length shaft = unset<Length>();
  Force dynamic_rating = unset<Force>();
  Force axial_load = unset<Force>();  ///< that is permitted
  Stiffness axial_stiffness = unset<Stiffness>();
  Notes notes{};
};

/// A nut of a screw.
struct Nut {
  std::string name{};
  std::string source{};
  std::string type{};   ///< "ball", "sliding"
  std::string screw{};  ///< of the catalogue, "Tr 12x2", where it is one
  Length screw_diameter = unset<Length>();
  Length lead = unset<Length>();
  Length thread_diameter = unset<Length>();  ///< of the rolled shaft, over its thread
  Force dynamic_rating = unset<Force>();     ///< of balls, for 10⁶ revolutions
  Force static_rating = unset<Force>();
  Force axial_load = unset<Force>();   ///< that a sliding nut is permitted
  Force flange_load = unset<Force>();  ///< that its flange stands at rest
  Stiffness axial_stiffness = unset<Stiffness>();
  Length axial_play = unset<Length>();
  Mass mass = unset<Mass>();
  Notes notes{};
};

}  // namespace pitchline::parts
