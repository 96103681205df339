#pragma once

#include <string>

#include "pitchline/report/lift_choice.hpp"

namespace pitchline::io {

/// Screws compared for a lift, as tables for people: at most 80 columns, no colour, verdicts in
/// words, the rule of the order, why the first is first and why each rejected one was rejected.
///
/// Shows the first screws only; with `in_full` all, and the rows of the first with their figures.
std::string print_lift_choice(const report::LiftChoice& choice, bool in_full);

/// The same as one JSON object, in coherent SI units with all digits. Keys are only ever added.
std::string lift_choice_as_json(const report::LiftChoice& choice);

}  // namespace pitchline::io
