#pragma once

#include <string>

#include "pitchline/answer/answer.hpp"

namespace pitchline::io {

/// An answer for people: at most 80 columns. `explain` adds the formula, its symbols with their
/// numbers and the source.
std::string print_answer(const answer::Answer& answer, bool explain);

/// An answer as one JSON object, in coherent SI units with all digits; null where a figure is not
/// known or has no end. Keys are only ever added.
std::string answer_as_json(const answer::Answer& answer);

}  // namespace pitchline::io
