#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "pitchline/units.hpp"

namespace pitchline::tune {

// What was measured, as plain data: readers fill it in, the headers beside this one work it out.

/// Which way the axis ran into the place where it was measured.
enum class Approach { forward, backward };

/// One reading: how far from the start the axis was sent, and how far it went.
struct TravelReading {
  Length commanded = unset<Length>();
  Length measured = unset<Length>();
  Approach approach = Approach::forward;
};

/// Where the gauge stood at the start.
enum class GaugeZero {
  fitted,  ///< its reading there is as uncertain as any other, so it is found with the rest
  exact,   ///< it shows nothing at the start, by a stop or because only lengths are measured
};

/// Readings of one axis with one gauge.
struct TravelReadings {
  std::vector<TravelReading> readings{};
  Length resolution = unset<Length>();  ///< smallest step that the gauge shows
  GaugeZero zero = GaugeZero::fitted;
};

/// What the value in the controller was worked out from, as far as it is known.
struct SetFrom {
  std::optional<int> pulley_teeth{};
  std::optional<std::int64_t> pulses_per_turn{};
  std::optional<int> starts{};  ///< of a screw
};

/// A rectangle that the machine was told to draw.
struct DrawnRectangle {
  Length along_beam = unset<Length>();   ///< side that the carriage draws
  Length along_rails = unset<Length>();  ///< side that the whole gantry draws
};

/// Its diagonals as they were measured, each as often as one likes.
struct DiagonalReadings {
  std::vector<Length> left_to_right{};  ///< from the near left corner to the far right one
  std::vector<Length> right_to_left{};  ///< from the near right corner to the far left one
  Length resolution = unset<Length>();  ///< smallest step that the gauge shows
};

/// A move that was tried on the finished machine.
struct TrialRun {
  Speed speed = unset<Speed>();
  Acceleration acceleration = unset<Acceleration>();
  Length stroke = unset<Length>();  ///< that of the wanted move where it is left out
  bool held = false;                ///< no step was lost
};

}  // namespace pitchline::tune
