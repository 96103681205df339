#pragma once

#include <string_view>

#include "pitchline/io/shelf.hpp"
#include "pitchline/parts/belt.hpp"
#include "pitchline/parts/carrier.hpp"
#include "pitchline/parts/linear_guide.hpp"
#include "pitchline/parts/listed_driver.hpp"
#include "pitchline/parts/screw.hpp"
#include "pitchline/parts/screw_end.hpp"
#include "pitchline/parts/section.hpp"
#include "pitchline/parts/stepper_motor.hpp"
#include "pitchline/parts/stock_pulley.hpp"

namespace pitchline::io {

/// Parts that have a name, by kind.
struct Catalogue {
  Shelf<parts::StepperMotor> motors;
  /// Motors that lack a figure: listed, taken over with the figure added, and never proposed.
  Shelf<parts::StepperMotor> motors_in_part;
  Shelf<parts::BeltProfile> belts;
  Shelf<parts::Screw> screws;
  Shelf<parts::Rail> rails;
  Shelf<parts::Roller> rollers;
  Shelf<parts::Bush> bushes;
  Shelf<parts::Section> sections;
  Shelf<parts::StockPulley> pulleys;
  Shelf<parts::ListedDriver> drivers;
  Shelf<parts::ListedSupply> supplies;
  Shelf<parts::Coupling> couplings;
  Shelf<parts::Bearing> bearings;
  Shelf<parts::ScrewSupport> supports;
  Shelf<parts::Nut> nuts;
  Shelf<parts::Carrier> carriers;
  Shelf<parts::Tube> tubes;
};

/// The catalogue that comes with the programs: reference/catalogue/, built in. Nothing of it is
/// read before it is asked for.
///
/// \throws UnusableInput  a built-in entry is wrong, which a test rules out
const Catalogue& standard_catalogue();

/// Adds the parts of a catalogue file to `catalogue`, replacing those of the same kind and name. An
/// entry with `like` takes over another one of its kind, of the file or of `catalogue`, with its
/// own keys in place of those.
///
/// \throws UnusableInput  all errors of the file at once, with line and column
void read_catalogue(std::string_view text, std::string_view file, Catalogue& catalogue);

}  // namespace pitchline::io
