#pragma once

#include <cmath>
#include <string>
#include <vector>

#include "pitchline/parts/notes.hpp"
#include "pitchline/parts/published_curve.hpp"
#include "pitchline/units.hpp"

namespace pitchline::parts {

/// How the holding torque of a data sheet was measured. Most makers energise both phases at the
/// rated current; a slip here is 41 % of torque and of back-EMF.
enum class HoldingRating { two_phases_on, one_phase_on };

/// A two-phase hybrid stepper as its data sheet prints it, one winding per phase, connected as
/// used.
struct StepperMotor {
  std::string name{};  ///< as the catalogue or the file calls it
  FullSteps full_steps_per_turn =
      unset<FullSteps>();                   ///< 200 for 1.8°, 400 for 0.9°; 4 a tooth pair
  Torque holding_torque = unset<Torque>();  ///< at the rated current, see `holding_rating`
  HoldingRating holding_rating = HoldingRating::two_phases_on;
  Current rated_current = unset<Current>();     ///< per phase, both phases on: the RMS of a sine
  Resistance resistance = unset<Resistance>();  ///< of one phase, cold
  Inductance inductance = unset<Inductance>();  ///< of one phase
  Inertia rotor_inertia = unset<Inertia>();
  std::string source{};                    ///< where the figures come from
  Torque detent_torque = unset<Torque>();  ///< unset where the sheet gives none
  int frame = 0;                           ///< NEMA frame size, 17, 23, 24 or 34; 0 not known
  std::vector<PublishedCurve> curves{};  ///< pull-out torque as published, for the connection used
  Length shaft_diameter = unset<Length>();  ///< unset where it is not given
  Force shaft_load = unset<Force>();        ///< radial, that its bearings bear; unset: not given
  Length shaft_load_at = unset<Length>();   ///< place of that load, from the flange
  Force axial_load = unset<Force>();        ///< along the shaft
  Length shaft_length = unset<Length>();
  Length length = unset<Length>();  ///< of the body
  Mass mass = unset<Mass>();
  std::vector<std::string> lacks{};  ///< keys of figures that no source gives; such a motor is only
                                     ///< listed
  Notes notes{};
};

/// Refuses a motor with a figure that is missing or that no stepper has.
///
/// \throws InvalidInput  full_steps_per_turn not a multiple of 4 in [4, 4000]; detent torque below
///                       zero; any other figure not greater than zero, shaft diameter and load only
///                       where they are given; as `require_valid(PublishedCurve)`
inline void require_valid(const StepperMotor& motor) {
  const double steps = in_full_steps(motor.full_steps_per_turn);
  if (!(steps >= 4 && steps <= 4000 && std::fmod(steps, 4.0) == 0.0))
    throw InvalidInput("full steps per turn", "a multiple of 4 from 4 to 4000", steps, "");
  require_positive("holding torque", motor.holding_torque);
  require_positive("rated current", motor.rated_current);
  require_positive("resistance", motor.resistance);
  require_positive("inductance", motor.inductance);
  require_positive("rotor inertia", motor.rotor_inertia);
  if (!is_unset(motor.detent_torque)) require_not_negative("detent torque", motor.detent_torque);
  if (!is_unset(motor.shaft_diameter)) require_positive("shaft diameter", motor.shaft_diameter);
  if (!is_unset(motor.shaft_load)) require_positive_or_infinite("shaft load", motor.shaft_load);
  for (const PublishedCurve& curve : motor.curves) require_valid(curve);
}

}  // namespace pitchline::parts
