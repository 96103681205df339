#pragma once

#include <optional>
#include <vector>

#include "pitchline/axis/tying_belt.hpp"
#include "pitchline/parts/belt.hpp"
#include "pitchline/screw/end_fixity.hpp"

namespace pitchline::machine {

/// The belt that ties the screws of a lift to its one motor.
struct LiftBelt {
  parts::Belt belt{};
  axis::TyingBelt tying{};
  int motor_teeth = 0;
  int screw_teeth = 0;
  Force tension = unset<Force>();            ///< set at rest; unset: it is worked out
  std::optional<belt::SettingLine> slide{};  ///< of the pulley that tightens it
};

/// How the screws of an axis are held, and the nuts on them.
struct ScrewFit {
  screw::EndFixity bearings = screw::EndFixity::supported_supported;
  bool hangs = false;                   ///< thrust bearing above the nut: the screw is pulled
  Length nut_length = unset<Length>();  ///< unset: `usual_nut_length` of outer diameters
  Length life = unset<Length>();        ///< travel that they shall last; unset: not asked
};

/// What is wanted of an axis that lifts a bed, and how its screws are held.
struct Lift {
  Length height_step = unset<Length>();  ///< finest change of height that is wanted
  bool stays_up = false;                 ///< whether it must stay up without power
  screw::EndFixity bearings = screw::EndFixity::supported_supported;
  bool hangs = false;                   ///< thrust bearing above the nut: the screw is pulled
  Length nut_length = unset<Length>();  ///< unset: `usual_nut_length` of outer diameters
  Length lead_error = unset<Length>();  ///< of two screws apart over the travel; unset: not known
  Length level = unset<Length>();       ///< within which the bed shall stay; unset: not asked
  Length life = unset<Length>();   ///< travel that screws and nuts shall last; unset: not asked
  Torque brake{};                  ///< that closes without power, on each motor
  std::optional<LiftBelt> belt{};  ///< nothing where it is not described
};

/// Length of a nut over the outer diameter of its screw where the file does not say it. Common
/// practice, no source.
inline constexpr double usual_nut_length = 1.5;

}  // namespace pitchline::machine
