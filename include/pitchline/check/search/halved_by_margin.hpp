#pragma once

#include <algorithm>
#include <cmath>
#include <concepts>

#include "pitchline/motion/move_demand.hpp"
#include "pitchline/units.hpp"

namespace pitchline::check {

/// Two accelerations between which what holds is parted from what does not, at one place.
struct HeldAndRefused {
  Acceleration good = unset<Acceleration>();  ///< holds
  Acceleration bad = unset<Acceleration>();   ///< does not, and is larger
};

/// What `motion::halved_between` finds for the accelerations at which a margin is not below 1, with
/// fewer of them asked: the margin says where to look, and halving then goes over what is known.
///
/// A margin whose logarithm says nothing (infinite, zero, negative, NaN) leaves the halving alone.
template <std::invocable<Acceleration> Margin>
Acceleration halved_by_margin(const HeldAndRefused& ends, Margin&& margin) {
  Acceleration holds = ends.good;
  Acceleration fails = ends.bad;
  // Nearly straight over the acceleration, and not steeper where much more is asked than allowed.
  const auto excess = [](double m) { return -std::log(m); };
  double below = excess(margin(ends.good));
  double above = excess(margin(ends.bad));
  const Acceleration near = 4e-7 * ends.bad;
  double side = 0.0;  // 1 after one that held, -1 after one that did not
  for (int n = 0; n < 12 && fails - holds > 2.0 * near; ++n) {
    if (!(below <= 0.0 && above > 0.0 && std::isfinite(below - above))) break;
    const Acceleration width = fails - holds;
    const double share = below / (below - above);
    // A little to the side that was not met last, so that the place is soon shut in.
    const Acceleration aim = holds + share * width + side * near;
    const Acceleration a =
        std::clamp(aim, Acceleration(holds + 0.01 * width), Acceleration(fails - 0.01 * width));
    const double m = margin(a);
    // An end that stays counts less, by what the other one gained (Anderson and Björck).
    const double x = excess(m);
    const auto less = [](double now, double then) { return now < then ? 1.0 - now / then : 0.5; };
    if (m < 1.0) {
      if (side < 0.0) below *= less(x, above);
      fails = a;
      above = x;
      side = -1.0;
    } else {
      if (side > 0.0) above *= less(-x, -below);
      holds = a;
      below = x;
      side = 1.0;
    }
  }
  return motion::halved_between(ends.good, ends.bad, [&](Acceleration a) {
    if (a <= holds) return true;
    if (a >= fails) return false;
    const bool held = !(margin(a) < 1.0);
    (held ? holds : fails) = a;
    return held;
  });
}

}  // namespace pitchline::check
