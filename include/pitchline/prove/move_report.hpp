#pragma once

#include <string>
#include <vector>

#include "pitchline/prove/as_simulated.hpp"
#include "pitchline/report/move_report.hpp"

namespace pitchline::prove {

using report::MoveReport;

/// What a simulated axis counts and assumes, in words.
std::vector<std::string> model_in_words(const AxisState& s, const simulate::SimulatedAxis& axis,
                                        const SimulationChoice& choice);

/// A report in which nothing was proved yet.
MoveReport move_report(const AxisState& s, const simulate::SimulatedAxis& axis,
                       const SimulationChoice& choice);

}  // namespace pitchline::prove
