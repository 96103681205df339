#pragma once

#include <optional>

#include "pitchline/simulate/run.hpp"

namespace pitchline::simulate {

/// How long the swing after a move may take before it is judged: two tenths of a second are many
/// periods of the axes of axis_step_loss.csv. Common practice, no source.
inline constexpr Time usual_settling = seconds(0.2);

/// True where a simulated axis makes the moves and has lost no step after settling.
///
/// \throws InvalidInput, OutsideValidity  as `command_of` and `run`
bool completes(const SimulatedAxis& axis, const motion::RunningMove& move,
               const Settings& settings = {}, Time settling = usual_settling);

/// Where to look for the acceleration at which an axis first fails.
struct AccelerationSearch {
  Acceleration from = unset<Acceleration>();   ///< > 0, where the scan begins
  Acceleration up_to = unset<Acceleration>();  ///< ≥ from, where it gives up
  /// Set: the jerk time is this share of the time of speeding up, and not the one of the move.
  std::optional<double> jerk_time_over_ramp_time{};
  double scan = 0.02;        ///< > 0, growth from one try to the next
  double tolerance = 0.001;  ///< > 0, at which the halving of the last one ends
};

/// What the search found.
struct CompletingAcceleration {
  std::optional<Acceleration> completes;  ///< the largest below the first failure; nothing where
                                          ///< the first try fails
  std::optional<Acceleration> fails;      ///< the least found to fail; nothing up to `up_to`
};

/// The largest acceleration with which an axis completes the moves: a scan upwards to the first
/// failure, then halving of the gap. The acceleration of `move` is not used.
///
/// Whether a move completes is not monotone in its acceleration: above the first failure others
/// complete by chance of the swing, which is why the scan is made. A failure that lies between two
/// tries of the scan is not seen.
///
/// \throws InvalidInput     a number outside its range
/// \throws OutsideValidity  as `run`
CompletingAcceleration largest_completing_acceleration(const SimulatedAxis& axis,
                                                       motion::RunningMove move,
                                                       const AccelerationSearch& search,
                                                       const Settings& settings = {},
                                                       Time settling = usual_settling);

/// The torque at which a motor that turns at constant speed falls out of step, while the torque
/// against it grows evenly from zero to `load` over `time`: static where the ramp is slow and
/// `swing_damping` is enough, less where the rotor swings. Nothing where it holds `load`.
///
///     speed  m/s  > 0, of the load
///     time   s    > 0
///     load   N·m  > 0, beside the drag and friction of the axis itself
///
/// \throws InvalidInput     a number outside the table
/// \throws OutsideValidity  as `run`
std::optional<Torque> falling_out_torque(const SimulatedAxis& axis, Speed speed, Time time,
                                         Torque load, const Settings& settings = {});

}  // namespace pitchline::simulate
