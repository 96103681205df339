#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "pitchline/simulate/completing.hpp"

namespace pitchline::simulate {

/// Which speeds and accelerations to try.
struct MapRange {
  std::vector<Speed> speeds{};                ///< > 0, rising
  std::vector<Acceleration> accelerations{};  ///< > 0, rising
};

/// What became of one cell of the map.
enum class Trial {
  completes,    ///< and so does every smaller acceleration tried at this speed
  loses_steps,  ///< the first that does, at this speed
  above,  ///< above the first that does: not tried, since what completes there does so by chance
};

/// One speed of the map.
struct MapColumn {
  Speed speed{};
  std::optional<Acceleration> completes{};  ///< largest tried below the first failure
  std::optional<Acceleration> fails{};      ///< the first failure; nothing: none tried failed
};

/// Tries the accelerations at one speed, from the least up, to the first that loses a step.
///
/// `move` gives the rest of it; its speed and acceleration are not used. With a share set, the jerk
/// time is that share of the time of speeding up. `going_on` is asked before each run.
///
/// \throws InvalidInput     a number outside its range
/// \throws OutsideValidity  as `run`
MapColumn try_speed(const SimulatedAxis& axis, motion::RunningMove move, Speed speed,
                    const std::vector<Acceleration>& accelerations,
                    std::optional<double> jerk_time_over_ramp_time,
                    const std::function<bool()>& going_on, const Settings& settings = {});

/// What the map says of one cell.
Trial trial_of(const MapColumn& column, Acceleration acceleration);

}  // namespace pitchline::simulate
