#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "pitchline/simulate/run.hpp"

namespace pitchline::simulate {

/// The tool against its command at a moment.
struct TracePoint {
  Time time{};
  Length commanded{};
  Length error{};  ///< commanded less tool, against where both began
  Angle load_angle{};
  Force belt_force{};
  Current current{};  ///< the larger of the two phases
};

/// What a move does to the tool.
struct MoveAnswer {
  Outcome outcome{};
  Time command_ends{};            ///< when the last move ends
  Length cruising_error{};        ///< largest while the command neither speeds up nor slows down
  Length overshoot{};             ///< farthest beyond the place commanded, after the end
  Length ringing{};               ///< half of what it swings from side to side after the end
  std::optional<Time> settled{};  ///< after the end; within the tolerance from then on; nothing:
                                  ///< not in the time looked at
  /// How far short of the place commanded it comes to rest, in the sense of the last move; below
  /// zero: beyond it.
  Length rest_error{};
  std::vector<TracePoint> trace{};
};

/// What to look for.
struct AnswerSettings {
  Settings run{};
  Length tolerance = unset<Length>();  ///< of `settled`; > 0
  std::size_t trace_points = 0;        ///< ≥ 0, evenly over the run; 0: no trace
};

/// Runs a command that ends in a rest and says what became of the tool.
///
/// The sense of the last move is that in which its last part with speed goes.
///
/// \throws InvalidInput     as `run`; a tolerance not above zero; a command that does not end in a
///                          rest
/// \throws OutsideValidity  as `run`
MoveAnswer answer(const SimulatedAxis& axis, const Command& command,
                  const AnswerSettings& settings);

}  // namespace pitchline::simulate
