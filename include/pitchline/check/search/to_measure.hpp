#pragma once

#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/report/machine_report.hpp"

namespace pitchline::check {

/// The figures of an axis that were assumed and decide: those at an end of whose range some row
/// fails that holds now, or holds that fails now.
///
/// | figure | assumed | range |
/// | --- | --- | --- |
/// | stiffness of the axis over its belt's | 0.7 | 0.4 to 1 |
/// | damping ratio of the load on its belt | 0.03 | 0.01 to 0.07 |
/// | drag of a belt run of 6 to 9 mm | 3 N | 1 to 9 N |
/// | static over running friction | by kind of guide | 1 to 1.5; 2 on wheels, 2.3 on plain guides |
///
/// Rows that hold over a band of stiffness and damping by themselves are not asked for these two.
///
/// \param now  what the rows find as assumed
/// \throws InvalidInput, OutsideValidity  as `state_of`
///
/// Source: reference/sources.md, [axis stiffness], [axis damping], [belt drag], [static friction].
std::vector<report::FigureToMeasure> to_measure(const AxisState& s,
                                                const std::vector<Finding>& now);

}  // namespace pitchline::check
