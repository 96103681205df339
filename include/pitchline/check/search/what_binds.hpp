#pragma once

#include <functional>
#include <string>
#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/report/machine_report.hpp"

namespace pitchline::check {

using report::Binding;

/// One thing that can stop an axis from accelerating harder: the row of the check that judges it,
/// asked again at other accelerations.
struct Mechanism {
  std::string what{};  ///< in words, "motor torque"
  std::function<Finding(const AxisState&)> judge{};
};

namespace detail {

// A row that is not known does not stop the search: it is named as not known.
bool allows(const Finding& f);

}  // namespace detail

/// The acceleration that one mechanism allows at the wanted speed.
///
/// Asked of the row itself, so that the two cannot disagree: the largest acceleration at which the
/// row has a margin of one and has had it at all smaller ones.
///
/// \throws InvalidInput  as the row
Binding binding_of(const AxisState& s, const Mechanism& mechanism);

/// What limits the speed and not the acceleration: nothing is allowed where the wanted speed is
/// above `limit`.
Binding speed_binding(const AxisState& s, const Finding& row, std::string what, Speed limit);

/// The largest acceleration at which no unstable band is found up to the wanted speed; a mechanism
/// of its own, because its row has no margin.
Binding stability_binding(const AxisState& s);

/// The mechanisms of an axis whose rows depend on the acceleration, apart from the swings of the
/// motor.
std::vector<Mechanism> mechanisms(const AxisState& s);

/// Every mechanism of an axis with the acceleration that it allows at the wanted speed, smallest
/// first; what is not known stands last.
///
/// \param supply  judges the supply with this axis as it is asked, the others as wanted
///
/// \throws InvalidInput  as the rows
std::vector<Binding> what_binds(const AxisState& s,
                                const std::function<Finding(const AxisState&)>& supply);

/// The acceleration that an axis may be asked for: what the first mechanism allows, unlimited where
/// none does.
Acceleration allowed_acceleration(const std::vector<Binding>& binds);

/// The axis asked for another acceleration.
AxisState at_acceleration(const AxisState& s, Acceleration a);

}  // namespace pitchline::check
