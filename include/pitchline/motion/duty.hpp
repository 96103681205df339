#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "pitchline/units.hpp"

namespace pitchline::motion {

/// A stretch of a cycle in which the torque is constant and the speed changes evenly.
struct DutySegment {
  Time duration = unset<Time>();     ///< ≥ 0, of one occurrence
  Torque torque = unset<Torque>();   ///< at the motor shaft, above zero where it drives the motion
  AngularSpeed speed_at_start{};     ///< ≥ 0, whichever way the motion goes
  AngularSpeed speed_at_end{};       ///< ≥ 0
  std::optional<Current> current{};  ///< of one phase, RMS; where it is known
  int times = 1;                     ///< ≥ 0, how often it occurs in the cycle
};

namespace detail {

inline void require_valid(const DutySegment& segment) {
  require_not_negative("duration", segment.duration);
  require_finite("torque", segment.torque);
  for (const AngularSpeed& speed : {segment.speed_at_start, segment.speed_at_end})
    require_not_negative("speed of the shaft", speed);
  if (segment.current && !(*segment.current >= amperes(0) && is_finite(*segment.current)))
    throw InvalidInput("current", ">= 0", in_amperes(*segment.current), "A");
  require_at_least("times", segment.times, 0);
}

inline Time whole(const DutySegment& segment) {
  return segment.duration * static_cast<double>(segment.times);
}
// Work of the shaft in all occurrences; its sign is that of the torque.
inline Energy work(const DutySegment& segment) {
  return segment.torque * ((segment.speed_at_start + segment.speed_at_end) / 2.0) * whole(segment);
}
// Power where the segment is fastest.
inline Power peak(const DutySegment& segment) {
  return segment.torque * std::max(segment.speed_at_start, segment.speed_at_end);
}

}  // namespace detail

/// Duration of a cycle.
///
/// \throws InvalidInput  a field of a segment outside its range, or never set; no time at all
inline Time cycle_time(const std::vector<DutySegment>& cycle) {
  Time all{};
  for (const DutySegment& segment : cycle) {
    detail::require_valid(segment);
    all += detail::whole(segment);
  }
  require_positive("cycle time", all);
  return all;
}

/// Torque of a cycle that heats a motor whose current follows its torque as the cycle does.
///
///     T = √(Σ Tᵢ² tᵢ / Σ tᵢ)
///
///     Tᵢ  torque             N·m  finite
///     tᵢ  duration × times   s    ≥ 0
///     T   result             N·m  ≥ 0
///
/// For servo motors, and to compare with a continuous torque. The current of a stepper does not
/// follow its torque: for its heat see `rms_current`. Valid where the cycle is short against the
/// thermal time constant.
///
/// \throws InvalidInput  as `cycle_time`
///
/// Source: [Dubey] ex. 4.2 and reference/published/duty.csv.
inline Torque rms_torque(const std::vector<DutySegment>& cycle) {
  const Time all = cycle_time(cycle);
  double squares = 0.0;
  for (const DutySegment& segment : cycle) {
    const double torque = number(segment.torque / newton_metres(1));
    squares += torque * torque * number(detail::whole(segment) / all);
  }
  return newton_metres(std::sqrt(squares));
}

/// Largest torque of a cycle without its sign: a brake needs it as much as a start.
///
/// \throws InvalidInput  as `cycle_time`
inline Torque peak_torque(const std::vector<DutySegment>& cycle) {
  static_cast<void>(cycle_time(cycle));
  Torque peak{};
  for (const DutySegment& segment : cycle)
    if (segment.times > 0) peak = std::max({peak, segment.torque, Torque(-segment.torque)});
  return peak;
}

/// Energy that passed the motor shaft in a cycle.
struct DutyEnergy {
  Energy driving{};   ///< given by the motor
  Energy returned{};  ///< taken back in braking, ≥ 0
};

/// Work of the shaft in a cycle, given and returned.
///
///     E = Σ Tᵢ (ω₀ᵢ + ω₁ᵢ)/2 tᵢ       apart for Tᵢ above and below zero
///
/// Symbols as in `rms_torque`, ω₀ and ω₁ the speeds at the ends of a segment, rad/s. What is
/// returned comes back to the driver less the copper loss, see `bus_voltage.hpp`.
///
/// \throws InvalidInput  as `cycle_time`
///
/// Source: definition of work.
inline DutyEnergy shaft_energy(const std::vector<DutySegment>& cycle) {
  static_cast<void>(cycle_time(cycle));
  DutyEnergy energy;
  for (const DutySegment& segment : cycle) {
    const Energy work = detail::work(segment);
    energy.driving += std::max(Energy{}, work);
    energy.returned += std::max(Energy{}, Energy(-work));
  }
  return energy;
}

/// Mean power of the shaft over a cycle, returned energy deducted.
///
/// \throws InvalidInput  as `cycle_time`
inline Power mean_power(const std::vector<DutySegment>& cycle) {
  const DutyEnergy energy = shaft_energy(cycle);
  return (energy.driving - energy.returned) / cycle_time(cycle);
}

/// Largest power that the motor gives at its shaft; 0 where it never drives.
///
/// \throws InvalidInput  as `cycle_time`
inline Power peak_power(const std::vector<DutySegment>& cycle) {
  static_cast<void>(cycle_time(cycle));
  Power peak{};
  for (const DutySegment& segment : cycle)
    if (segment.times > 0) peak = std::max(peak, detail::peak(segment));
  return peak;
}

/// Largest power that the load gives back at the shaft, ≥ 0; 0 where it never does.
///
/// \throws InvalidInput  as `cycle_time`
inline Power peak_braking_power(const std::vector<DutySegment>& cycle) {
  static_cast<void>(cycle_time(cycle));
  Power peak{};
  for (const DutySegment& segment : cycle)
    if (segment.times > 0) peak = std::max(peak, Power(-detail::peak(segment)));
  return peak;
}

/// The current that heats a motor over a cycle, from the current of each segment.
///
///     I = √(Σ Iᵢ² tᵢ / Σ tᵢ)       symbols as in `rms_torque`
///
/// \throws InvalidInput  as `cycle_time`; a segment without a current
///
/// Source: definition of the RMS value; copper loss is R I².
inline Current rms_current(const std::vector<DutySegment>& cycle) {
  const Time all = cycle_time(cycle);
  double squares = 0.0;
  for (const DutySegment& segment : cycle) {
    const Current current = segment.current.value_or(unset<Current>());
    require_not_negative("current of each segment", current);
    squares += in_amperes(current) * in_amperes(current) * number(detail::whole(segment) / all);
  }
  return amperes(std::sqrt(squares));
}

/// The phase current of a stepper over a cycle: the driver forces what is set, whatever the load.
struct StepperCurrent {
  Current running = unset<Current>();  ///< ≥ 0, RMS, set for motion
  Current at_rest = unset<Current>();  ///< ≥ 0, RMS, after the driver has reduced it at standstill
  Time moving = unset<Time>();         ///< ≥ 0, with the delay of the reduction
  Time resting = unset<Time>();        ///< ≥ 0; one of the two above zero
};

/// The current that heats a stepper over a cycle of motion and rest.
///
///     I = √((I_r² t_m + I_s² t_s)/(t_m + t_s))
///
///     I_r  running  A  ≥ 0          t_m  moving   s  ≥ 0
///     I_s  at_rest  A  ≥ 0          t_s  resting  s  ≥ 0
///
/// Valid below the speed at which the driver still forces its current; above it the current is
/// smaller. Iron loss is apart.
///
/// \throws InvalidInput  a number outside the table, or never set; no time at all
///
/// Source: definition of the RMS value; copper loss is R I².
inline Current rms_current(const StepperCurrent& use) {
  return rms_current(std::vector<DutySegment>{
      {.duration = use.moving, .torque = newton_metres(0), .current = use.running},
      {.duration = use.resting, .torque = newton_metres(0), .current = use.at_rest}});
}

}  // namespace pitchline::motion
