#pragma once

#include <vector>

#include "pitchline/motion/move_demand.hpp"
#include "pitchline/motion/move_profile.hpp"
#include "pitchline/units.hpp"

namespace pitchline::simulate {

/// Where moves in succession lead.
enum class Succession { to_and_fro, onward };

/// What the controller asks of an axis over time, in parts with one jerk each.
struct Command {
  std::vector<motion::MotionSegment> parts;
  /// Torque on the rotor against positive turning, which grows evenly from zero to this at the end.
  Torque load_at_end{};

  [[nodiscard]] Time duration() const {
    return parts.empty() ? Time{} : parts.back().from + parts.back().length;
  }
};

/// One move, with a rest after it in which the swing settles.
///
/// \throws InvalidInput  a negative rest, or the profile as in `motion::acceleration_steps`
Command command_of(const motion::MoveProfile& profile, Time rest = {});

/// Moves in a row, the first upwards, with their dwell between them and a rest at the end. A stroke
/// too short for the speed gives triangles.
///
///     speed, acceleration  > 0
///     stroke               > 0; here it must be set
///     jerk_time, dwell     ≥ 0
///     in_succession        ≥ 1
///
/// \throws InvalidInput  a number outside the table, or a negative rest
Command command_of(const motion::RunningMove& move, Time rest = {},
                   Succession succession = Succession::to_and_fro);

/// Constant speed from the first moment, against a torque that grows evenly from zero to `load`.
///
///     speed  m/s  finite, either sense
///     time   s    > 0
///     load   N·m  finite
///
/// \throws InvalidInput  a number outside the table
Command constant_speed(Speed speed, Time time, Torque load = {});

}  // namespace pitchline::simulate
