#pragma once

#include <map>
#include <string>
#include <string_view>

#include "pitchline/parts/belt.hpp"
#include "pitchline/parts/screw.hpp"
#include "pitchline/parts/stepper_motor.hpp"

namespace pitchline::io {

/// Parts that a machine file may call by name.
struct Catalogue {
  std::map<std::string, parts::StepperMotor, std::less<>> motors;
  std::map<std::string, parts::BeltProfile, std::less<>> belts;
  std::map<std::string, parts::Screw, std::less<>> screws;
};

/// The catalogue that comes with the programs: reference/catalogue/, built in.
///
/// \throws UnusableInput  the built-in files are wrong, which a test rules out
const Catalogue& standard_catalogue();

/// Adds the motors, belts and screws of a catalogue file to `catalogue`, replacing those of the
/// same name.
///
/// \throws UnusableInput  all errors of the file at once, with line and column
void read_catalogue(std::string_view text, std::string_view file, Catalogue& catalogue);

}  // namespace pitchline::io
