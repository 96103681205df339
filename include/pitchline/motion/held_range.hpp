#pragma once

#include <concepts>
#include <vector>

#include "pitchline/motion/move_demand.hpp"

namespace pitchline::motion {

/// Accelerations between which a condition holds: above `least` and up to `most`.
struct HeldRange {
  Acceleration least{};  ///< 0 where every smaller one that is scanned holds
  Acceleration most{};   ///< 0 where none holds; `end` of the scan where it holds up to there
};

/// The ladder of accelerations that `largest_holding` and `widest_holding` climb up to an end.
inline std::vector<Acceleration> accelerations_up_to(Acceleration end) {
  std::vector<Acceleration> ladder;
  largest_holding(end, [&](Acceleration a) {
    ladder.push_back(a);
    return true;
  });
  return ladder;
}

/// The widest stretch of accelerations up to `end` all of whose scanned ones satisfy a condition;
/// either end is halved to a part in a million. For an axis whose load sticks: at a small
/// acceleration it may stop again and again, and ask for more than at a larger one.
template <std::predicate<Acceleration> Holds>
HeldRange widest_holding(Acceleration end, Holds&& holds) {
  const std::vector<Acceleration> ladder = accelerations_up_to(end);
  HeldRange widest;
  std::vector<char> good;
  good.reserve(ladder.size());
  for (const Acceleration& a : ladder) good.push_back(holds(a) ? 1 : 0);
  for (std::size_t from = 0; from < ladder.size(); ++from) {
    if (good[from] == 0) continue;
    std::size_t to = from;
    while (to + 1 < ladder.size() && good[to + 1] != 0) ++to;
    HeldRange found{.most = ladder[to]};
    if (to + 1 < ladder.size()) found.most = halved_between(ladder[to], ladder[to + 1], holds);
    if (from > 0) {
      // The other way round: what is good lies above.
      Acceleration bad = ladder[from - 1];
      found.least = ladder[from];
      while (found.least - bad > 1e-6 * found.least) {
        const Acceleration middle = (found.least + bad) / 2.0;
        (holds(middle) ? found.least : bad) = middle;
      }
    }
    if (found.most - found.least > widest.most - widest.least) widest = found;
    from = to;
  }
  return widest;
}

}  // namespace pitchline::motion
