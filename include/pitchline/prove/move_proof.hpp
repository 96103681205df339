#pragma once

#include <cstddef>
#include <functional>
#include <optional>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/rows/motor_condition.hpp"
#include "pitchline/check/rows/raster.hpp"
#include "pitchline/check/search/what_binds.hpp"
#include "pitchline/prove/as_simulated.hpp"
#include "pitchline/report/move_report.hpp"

namespace pitchline::prove {

using check::RasterRun;
using report::LargestProof;
using report::LineErrors;
using report::LineProof;
using report::MoveProof;

/// The wanted move of an axis as it is simulated: where no stroke is given, over all the travel.
motion::RunningMove move_to_simulate(const AxisState& s);

/// Stroke over which a search runs the moves of one speed: the wanted one; where none is given, the
/// shortest that reaches the speed with the least acceleration tried, v²/a + v t_j, as far as the
/// travel goes. A longer one only lets the swing of the first ramp die away before the second.
Length stroke_to_search(const AxisState& s, Speed speed, Acceleration least);

/// How long an axis is watched after the end of its command: until the swing of the load is down to
/// a twentieth, 3/(2π f ζ), but no less than `simulate::usual_settling`. Watching for more than a
/// second tells nothing new: friction stops what is left. Common practice, no source.
Time time_to_watch(const AxisState& s);

/// What to run.
struct MoveQuestion {
  motion::RunningMove move{};  ///< with a stroke
  simulate::Succession succession{};
  std::size_t trace_points = 0;  ///< 0: no trace
  std::optional<RasterRun> raster{};
};

/// Lines that are run of a raster: to, fro, and to again with the swings of both.
inline constexpr int lines_to_simulate = 3;

/// The lines of a raster as a move: with the overrun on both sides, and the step to the next line
/// between two.
MoveQuestion lines_of(const RasterRun& run, Time jerk_time);

/// Points of a trace that show the swing of the rotor in its field: twenty a swing, evenly over the
/// run, no fewer than 2000 and no more than 100 000. Common practice, no source.
///
/// \throws InvalidInput  as `simulate::command_of`
std::size_t trace_points(const AxisState& s, const MoveQuestion& question);

/// Runs a move in time and says what became of it, at a step that is proved by halving.
///
/// \throws InvalidInput     a move without stroke, or as `simulate::command_of`
/// \throws OutsideValidity  as `simulate::run`; no step down to a 256th of the usual one proves it
MoveProof prove_move(const AxisState& s, const simulate::SimulatedAxis& axis,
                     const MoveQuestion& question);

namespace detail {

void require_takes_in(Acceleration from, Acceleration up_to, Acceleration wanted);

}  // namespace detail

/// What a search for the acceleration that completes lies around.
struct SearchedPlace {
  Acceleration allowed = unset<Acceleration>();
  Acceleration wanted = unset<Acceleration>();
};

/// Where to look for the acceleration at which a step is first lost: from half of what the check
/// allows, or of the wanted one where that is less, to eight times what it allows and over the
/// wanted one; around the latter where it allows none. Bounds that are set stay.
///
/// \throws InvalidInput  bounds between which the wanted acceleration does not lie
simulate::AccelerationSearch search_around(const SearchedPlace& place,
                                           simulate::AccelerationSearch search = {});

/// Tries that a search takes at most, before the halving of the last gap.
std::size_t tries_at_most(const simulate::AccelerationSearch& search);

/// The acceleration that torque allows for the wanted move of an axis; as in the check.
Acceleration allowed_by_torque(const AxisState& s);

/// Finds the largest acceleration with which the wanted move completes, beside the one that the
/// check allows. `before_try` is called before each try of the scan.
///
/// \throws InvalidInput     the search, or a number of the move
/// \throws OutsideValidity  as `simulate::proved_completing_acceleration`
LargestProof prove_largest(const AxisState& s, const simulate::SimulatedAxis& axis,
                           Acceleration allowed, const simulate::AccelerationSearch& search,
                           const std::function<void()>& before_try);

}  // namespace pitchline::prove
