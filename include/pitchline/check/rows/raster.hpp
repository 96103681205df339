#pragma once

#include <optional>
#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/rows/raster_swing.hpp"
#include "pitchline/motion/smoothed_raster.hpp"

namespace pitchline::check {

/// A raster as its axis will run it.
struct RasterRun {
  motion::RasterLines lines{};         ///< with the overrun that is needed, as far as it is known
  motion::RasterTime time{};           ///< with that overrun
  Length ramps{};                      ///< overrun that the ramp alone needs
  Length tolerance{};                  ///< the wanted position error, or half the line pitch
  bool asked = false;                  ///< the former
  std::optional<RasterSwing> swing{};  ///< after the ramp; nothing where not known
  std::optional<Time> settling{};      ///< nothing where not known, or where it never settles
};

/// Works out the raster of an axis: lines to cover the height, the overrun beside each, the times.
///
/// The swing after a ramp is that of these lines, `raster_swing`; the step to the next line is the
/// rest between two. Its settling is that of the envelope, to the position error where one is
/// wanted, else to half the line pitch.
///
/// \throws InvalidInput  the axis has no raster; a number of it, or of what is wanted of the two
///                       axes, outside its range or never set
RasterRun raster_run(const AxisState& s, const machine::Axis& across);

/// Offset between the lines worked one way and the other, at the speed of the raster.
///
/// Lag under the friction of the drive alone: a weight on an incline pulls the same way in both
/// directions. Judged against the wanted position error, else against half the line pitch, which
/// nobody asked for: beyond that the row is `unsure`.
///
/// \throws InvalidInput  as `position_error`
Finding raster_offset_finding(const AxisState& s, const RasterRun& run);

/// Overrun that is needed beside a line, against what is left of the travel there.
///
/// Where not even the ramp fits, the row fails. Where the ramp fits and the settling does not, it
/// is `unsure`: the stiffness may lie anywhere in an assumed range, and the damping is assumed.
///
/// \throws InvalidInput  travel not above zero, or never set
Finding raster_overrun_finding(const AxisState& s, const RasterRun& run, Length travel);

/// The rows of an axis that works lines; none where it works none. `across` is the axis that steps
/// from line to line, `travel` that of the axis along the lines.
///
/// \throws InvalidInput  as `raster_run` and the rows
std::vector<Finding> raster_findings(const AxisState& s, const machine::Axis& across,
                                     Length travel);

}  // namespace pitchline::check
