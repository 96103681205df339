#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/machine/machine.hpp"
#include "pitchline/motion/kept_figure.hpp"
#include "pitchline/report/finding.hpp"

namespace pitchline::report {

/// Overrun beside a line that is worked at one speed.
struct OverrunAt {
  Speed speed{};
  Length ramp{};  ///< in which the speed is reached
  /// With the way on which the swing after the ramp settles as well; nothing where no raster is
  /// described, where the swing is not known, or where it never settles.
  std::optional<Length> settled{};
};

/// What a turning axis has beside the values of its surface.
struct TurningValues {
  Length diameter{};  ///< of the heaviest workpiece, for which surface and angle go together
  /// Pulses per degree hold for that diameter alone: it lies on rollers.
  bool of_this_diameter = false;
  motion::KeptFigure pulses_per_degree{};
  motion::KeptFigure whole_per_degree{};   ///< the nearest whole number
  motion::KeptFigure degrees_per_pulse{};  ///< for controllers that store that
  AngularSpeed speed{};
  AngularAcceleration acceleration{};
};

/// What a controller asks for about one axis.
struct AxisValues {
  std::string name{};
  std::string parts{};                 ///< what it is built of, in one line
  std::string_view drive{};            ///< "belt", "screw", "chuck" or "rollers"
  std::vector<std::string> fails{};    ///< rows of the check that fail with these values
  motion::KeptFigure pulses_per_mm{};  ///< of a turning axis at the surface of the workpiece
  motion::KeptFigure whole_per_mm{};   ///< the nearest whole number
  motion::KeptFigure um_per_pulse{};   ///< for controllers that store that
  Length travel{};                     ///< of a turning axis once round the heaviest workpiece
  std::optional<TurningValues> turning{};
  Speed speed{};                ///< wanted
  Acceleration acceleration{};  ///< wanted
  Time jerk_time{};             ///< over which the acceleration builds up; 0: at once
  Speed unramped{};             ///< below which no ramp is used: the check ramps all from rest
  std::optional<Jerk> jerk{};   ///< nothing where the acceleration comes at once
  Current rms{};
  Current peak{};
  std::optional<Current> rms_at_rest{};  ///< nothing where the driver does not reduce it
  std::int64_t pulses_per_turn = 0;
  PulsesPerFullStep microsteps{};  ///< need not be whole
  int motors = 1;
  std::string direction{};            ///< how to find which way it turns
  PulseRate needed{};                 ///< at the wanted speed
  Length room{};                      ///< of the travel beside a line; unset without a raster
  std::vector<OverrunAt> overruns{};  ///< slowest first; empty for a turning axis
};

/// What a controller asks for about a machine.
struct ControllerValues {
  std::string machine{};
  machine::Controller controller{};
  std::vector<AxisValues> axes{};
  std::vector<std::string> common_fails{};  ///< rows of all axes together that fail
  Verdict worst = Verdict::holds;           ///< of the check
};

}  // namespace pitchline::report
