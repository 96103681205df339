#pragma once

#include <cstddef>
#include <functional>

#include "pitchline/prove/as_simulated.hpp"
#include "pitchline/report/move_report.hpp"

namespace pitchline::prove {

using report::TrustColumn;
using report::TrustMap;

/// Which accelerations a map tries; set what is to differ from the usual.
struct MapBounds {
  Acceleration from = unset<Acceleration>();
  Acceleration up_to = unset<Acceleration>();
};

/// A map to fill: its speeds and accelerations, and what the check allows.
///
/// The speeds go in eighths of the wanted one up to 1.5 times, or to where the torque that a
/// verdict rests on no longer moves the axis. The accelerations grow by at most 8 % from one to the
/// next, from half of the least that the check allows at any of the speeds, but no less than a
/// tenth of what it allows at the wanted one, to four times the latter, and at least over the
/// wanted acceleration, which is among them. The strokes are those of `stroke_to_search`.
///
/// \throws InvalidInput  as `state_of`; bounds between which the wanted acceleration does not lie
TrustMap map_to_fill(const AxisState& s, const MapBounds& bounds = {});

/// One column of a map. Columns are independent of each other: they may run at once. `before_try`
/// is called before each try.
///
/// \throws OutsideValidity  as `simulate::proved_column`
TrustColumn trust_column(const simulate::SimulatedAxis& axis, const TrustMap& map,
                         std::size_t number_of_speed, const std::function<void()>& before_try);

}  // namespace pitchline::prove
