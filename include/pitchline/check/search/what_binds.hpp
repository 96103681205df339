#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/row.hpp"
#include "pitchline/report/machine_report.hpp"

namespace pitchline::check {

using report::Binding;

/// The axis asked for another acceleration.
AxisState at_acceleration(const AxisState& s, Acceleration a);

/// Judges the supply with an axis as it is asked, the others as they are wanted.
using SupplyJudge = std::function<Finding(const AxisState&)>;

/// One thing that can stop an axis from accelerating harder, or from running as fast: a row of the
/// check, or the supply that all axes share.
struct Mechanism {
  std::string_view what{};  ///< in words, "motor torque"
  Binds binds = Binds::acceleration;
  std::function<Finding(const AxisState&)> judge{};
  std::function<bool(const AxisState&)> allows{};  ///< empty: the margin of `judge` says it
};

/// The mechanisms of an axis: its rows that bind, in their order, then the supply.
std::vector<Mechanism> mechanisms(const AxisState& s, const SupplyJudge& supply);

/// The acceleration that one mechanism allows at the wanted speed.
///
/// Asked of the row itself, so that the two cannot disagree: the largest acceleration at which the
/// row has a margin of one and has had it at all smaller ones. Of a mechanism that binds the speed:
/// everything or nothing.
///
/// \throws InvalidInput  as the row
Binding binding_of(const AxisState& s, const Mechanism& mechanism);

/// Every mechanism of an axis with the acceleration that it allows at the wanted speed, smallest
/// first; what is not known stands last.
///
/// \throws InvalidInput  as the rows
std::vector<Binding> what_binds(const AxisState& s, const SupplyJudge& supply);

/// The least acceleration that all mechanisms allow: above zero only where static friction is above
/// running friction, see `motion::widest_holding`.
Acceleration least_acceleration(const std::vector<Binding>& binds);

/// The acceleration that an axis may be asked for: what the first mechanism allows, unlimited where
/// none does, zero where that is less than `least_acceleration`.
Acceleration allowed_acceleration(const std::vector<Binding>& binds);

/// What binds an axis first, and where.
struct FirstToBind {
  Acceleration allowed = unlimited<Acceleration>();
  std::string what{};  ///< the mechanism; empty where none binds
};

/// The first of `what_binds`, found without the others: all mechanisms are asked together, first
/// near an acceleration at which a similar axis was bound.
///
/// Where static friction is above running friction a slow start may ask for more than a quick one:
/// it is the upper end of the stretch near that acceleration, or of the lowest there is.
///
/// \throws InvalidInput  as the rows
FirstToBind first_to_bind(const AxisState& s, const SupplyJudge& supply, Acceleration near);

}  // namespace pitchline::check
