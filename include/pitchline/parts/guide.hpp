#pragma once

#include <string>

#include "pitchline/units.hpp"

namespace pitchline::parts {

/// What the moving part of an axis runs on. Friction force is `friction` times the normal force of
/// the moved mass, plus a `drag` that does not depend on load: seals, wipers, cable carrier.
struct Guide {
  std::string kind{};  ///< "profile rail", "wheels", "round shaft", "plain": for the reader only
  int blocks = 0;      ///< bearing blocks or wheel sets, 0 where not given
  FrictionCoefficient friction;
  Force drag{};       ///< of the whole axis, always against the motion
  Force breakaway{};  ///< of the whole axis: static friction beyond the two, until it moves
  /// The same as a multiple of all that rubs, the drive's drag included; 1 where `breakaway` says
  /// it.
  StaticRatio static_ratio{1.0};
};

/// Static friction beyond the running one of what carries one of so many shares of an axis, and
/// itself rubs with `running`.
inline Force static_beyond_running(const Guide& guide, Force running, double shares) {
  return guide.breakaway / shares + (guide.static_ratio.value() - 1.0) * running;
}

}  // namespace pitchline::parts
