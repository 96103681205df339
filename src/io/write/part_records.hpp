#pragma once

// Parts as records, and what looks wrong in them.

#include <string>
#include <vector>

#include "detail/listed_record.hpp"
#include "pitchline/parts/odd_figures.hpp"
#include "pitchline/parts/plausibility.hpp"

namespace pitchline::io::detail {

Record record_of_part(const parts::StepperMotor& motor);
Record record_of_part(const parts::BeltProfile& profile);
Record record_of_part(const parts::Screw& screw);
template <class Part>
Record record_of_part(const Part& part) {
  return listed_record(part);
}

std::vector<std::string> questions_of(const parts::StepperMotor& motor);
/// Their figures are held by their readers.
inline std::vector<std::string> questions_of(const parts::BeltProfile& /*belt*/) { return {}; }
inline std::vector<std::string> questions_of(const parts::Screw& /*screw*/) { return {}; }
template <class Part>
std::vector<std::string> questions_of(const Part& part) {
  return parts::questions(part);
}

}  // namespace pitchline::io::detail
