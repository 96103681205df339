#pragma once

#include "pitchline/screw/power_screw.hpp"
#include "pitchline/units.hpp"

namespace pitchline::screw {

/// Friction that is known only from least to most.
struct FrictionRange {
  FrictionCoefficient least;
  FrictionCoefficient most;
};

/// A screw with sliding flanks whose friction is a range: a `PowerScrew` for each end of it.
struct SlidingScrew {
  Length mean_diameter = unset<Length>();  ///< d_m, at mid thread depth
  Length lead = unset<Length>();           ///< travel per turn: starts × pitch
  Angle flank_half_angle = unset<Angle>();
  FrictionRange thread_friction;  ///< running
  Length collar_mean_diameter{};  ///< 0 where the thrust bearing rolls
  FrictionRange collar_friction{FrictionCoefficient(0), FrictionCoefficient(0)};
};

/// Which end of a range of friction a figure is taken at.
enum class FrictionEnd { least, most };

/// What a screw is asked to do.
enum class ScrewDuty {
  raise,         ///< by the motor, against the load
  drive_down,    ///< by the motor, a screw that locks
  stay_up,       ///< without current, by its friction alone
  be_held_back,  ///< by motor, detent or brake, against the load that drives it
};

/// The end of the friction range that is unfavourable for a duty: the most for what the motor has
/// to turn, the least for what friction has to hold.
constexpr FrictionEnd unfavourable_end(ScrewDuty duty) {
  return duty == ScrewDuty::raise || duty == ScrewDuty::drive_down ? FrictionEnd::most
                                                                   : FrictionEnd::least;
}

namespace detail {
inline void require_range(const FrictionRange& range) {
  if (!(range.least.value() <= range.most.value()))
    throw InvalidInput("least friction", "<= most friction", range.least.value(), "");
}
}  // namespace detail

/// The screw with the friction of one end, in thread and collar, times a factor.
///
/// \throws InvalidInput  least friction above most; factor below zero; friction times the factor
///                       not below 1
inline PowerScrew at_friction(const SlidingScrew& screw, FrictionEnd end, double factor = 1.0) {
  detail::require_range(screw.thread_friction);
  detail::require_range(screw.collar_friction);
  require_not_negative("factor of friction", factor);
  const auto pick = [&](const FrictionRange& range) {
    return FrictionCoefficient(
        factor * (end == FrictionEnd::least ? range.least.value() : range.most.value()));
  };
  return {.mean_diameter = screw.mean_diameter,
          .lead = screw.lead,
          .flank_half_angle = screw.flank_half_angle,
          .thread_friction = pick(screw.thread_friction),
          .collar_mean_diameter = screw.collar_mean_diameter,
          .collar_friction = pick(screw.collar_friction)};
}

/// The screw at the end of its friction that is unfavourable for a duty.
///
/// \throws InvalidInput  least friction above most
inline PowerScrew at_unfavourable_friction(const SlidingScrew& screw, ScrewDuty duty) {
  return at_friction(screw, unfavourable_end(duty));
}

}  // namespace pitchline::screw
