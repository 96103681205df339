#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "pitchline/motor/stability.hpp"
#include "pitchline/motor/unstable_bands.hpp"

namespace pitchline::motor {

/// The swing about a working point that dies last, or grows fastest.
struct Mode {
  Frequency growth{};       ///< natural logarithm of the amplitude per second; negative: dies out
  Frequency oscillation{};  ///< 0 for one that only creeps
};

/// Least damped eigenvalue of the linear model of `critical_damping`, with `damping` on the shaft.
/// Nothing where there is no working point or the driver still forces its current.
///
/// \throws InvalidInput  damping below zero; as `critical_damping`
std::optional<Mode> least_damped_mode(const DrivenWinding& w, const ShaftState& at,
                                      RotaryDrag damping);

/// Fills in how fast the swing grows at the worst speed of each band. Arguments as for
/// `unstable_bands`, which found them.
///
/// \throws InvalidInput  as `least_damped_mode`
void fill_growth(std::vector<UnstableBand>& bands, const DrivenWinding& w,
                 const SwingingShaft& shaft, const std::function<Torque(AngularSpeed)>& torque_at);

}  // namespace pitchline::motor
