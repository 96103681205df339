#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/report/lift_choice.hpp"

namespace pitchline::choose {

using report::lift_screw_rule;
using report::LiftChoice;
using report::LiftScrew;

/// Margins above this count alike when screws are put in order: more than double buys nothing.
inline constexpr double ample_margin = 2.0;

namespace detail {

// The axis with another screw; nothing where the file does not say what it needs.
std::optional<machine::Axis> with_screw(const machine::Axis& axis, const parts::Screw& screw,
                                        std::string& why_not);

// The rows that judge a screw in a lift, with the margins that the table of screws shows.
struct JudgedRows {
  std::vector<report::Finding> rows{};
  double torque = std::nan("");  // the margin itself, of which the verdict is over the one wanted
  double critical_speed = std::nan("");
  double column = std::nan("");
  double wear = std::nan("");
};

JudgedRows rows_of(const check::AxisState& s);

}  // namespace detail

/// Fastest lift that the motor allows with the margin that the builder wants, at the wanted
/// acceleration: the first speed at which the margin is missed, found in 48 steps up to 4000 rpm of
/// the motor and then bisected; 0 where it does not lift at all.
///
/// By torque alone: screws that whirl and pulses that a controller does not give have rows.
///
/// \throws InvalidInput  as `check::state_of`
Speed fastest_lift(const machine::Machine& machine, const machine::Axis& axis);

/// One screw in the lift of a machine, with every row that judges it.
///
/// What cannot be computed, because the screw locks when it is to raise or a nut is shorter than
/// its pitch, is a reason to reject it.
LiftScrew judged(const machine::Machine& machine, const machine::Axis& axis,
                 const parts::Screw& screw);

/// Whether one screw stands before another by `lift_screw_rule`.
///
/// Margins count to a millionth, so that the last digit of a machine does not turn the order.
bool stands_before(const LiftScrew& a, const LiftScrew& b);

/// Why the first of screws in order is first, in one sentence; empty where there is none.
std::string why_first(const std::vector<LiftScrew>& fitting);

/// Compares every screw for the lift of an axis, which must have one; its own screw may be left
/// open.
///
/// \throws InvalidInput  the axis has no lift, or is moved by no screw
LiftChoice choose_lift_screw(const machine::Machine& machine, const machine::Axis& axis,
                             const std::vector<parts::Screw>& screws);

}  // namespace pitchline::choose
