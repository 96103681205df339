#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/check/search/what_binds.hpp"
#include "pitchline/machine/machine.hpp"
#include "pitchline/report/machine_report.hpp"

namespace pitchline::check {

using report::Influence;

/// Something of an axis that a builder can change.
struct Changeable {
  std::string what{};  ///< "moving mass"
  /// Changes it to about `factor` times what it is; what it is then, in words, or nothing where it
  /// does not change.
  std::function<std::optional<std::string>(machine::Machine&, machine::Axis&, double factor)>
      change{};
};

namespace detail {

using ChangedText = std::optional<std::string>;

// Things that only a belt axis has.
Changeable of_belt(std::string what,
                   std::function<ChangedText(machine::Axis&, axis::BeltAxis&, double)> change);

}  // namespace detail

/// How far the acceleration that an axis may be asked for moves with each thing that a builder can
/// change, a tenth less and a tenth more, largest first.
///
/// Every figure is worked out anew from the changed machine; nothing is extrapolated. Things that
/// are not set are left out (no belt tension in the file, no jerk time).
///
/// \param place  of the axis in the machine
/// \param now    its answer as it is
/// \param first  what binds the axis of a changed machine first, sought near an acceleration
///
/// \throws InvalidInput  a field of the machine outside its range, or never set
std::vector<Influence> influences(
    const machine::Machine& machine, std::size_t place, Acceleration now,
    const std::function<FirstToBind(const machine::Machine&, std::size_t, Acceleration)>& first);

}  // namespace pitchline::check
