#pragma once

#include <algorithm>
#include <cstddef>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::tune {

/// Strength at which the search ends. The loss-free torque is at most some twice the dependable
/// one, and a move with its swings at their best asks for half of what it asks with them at their
/// worst.
inline constexpr double strongest_looked_for = 4.0;

/// The axis with another drag of its guide; nothing where it has no guide.
inline std::optional<machine::Drive> with_drag(machine::Drive drive, Force drag) {
  const auto straight = machine::straight_fields(drive);
  if (!straight) return std::nullopt;
  straight->guide.drag = drag;
  return drive;
}

namespace detail {

// One move of an axis, whose strength needed is asked for at any drag.
class NeededStrength {
 public:
  NeededStrength(const machine::Machine& machine, const machine::Axis& axis)
      : state_(check::state_of(machine, axis)) {}

  // Least strength at which the move is held: torque asked over torque dependable, at its tightest
  // moment. Infinite where the dependable torque is gone.
  [[nodiscard]] double at(Force drag) const {
    const auto seen = machine::axis_at_motor(*with_drag(state_.axis.drive, drag));
    const double margin =
        check::asked_of(state_, seen, check::wanted_move(state_.axis.want)).tightest.margin;
    return margin > 0.0 ? 1.0 / margin : std::numeric_limits<double>::infinity();
  }

 private:
  check::AxisState state_;
};

struct AskedRuns {
  std::vector<NeededStrength> held{};
  std::vector<NeededStrength> lost{};

  // Between these two the strength lies at a drag; the first is not below the second where nothing
  // explains the runs.
  [[nodiscard]] std::pair<double, double> bounds(Force drag) const {
    double least = 0.0;
    double most = strongest_looked_for;
    for (const NeededStrength& run : held) least = std::max(least, run.at(drag));
    for (const NeededStrength& run : lost) most = std::min(most, run.at(drag));
    return {least, most};
  }
  [[nodiscard]] bool explained(Force drag) const {
    const auto [least, most] = bounds(drag);
    return least < most;
  }
};

inline constexpr int drags_looked_at = 200;

// Largest drag with which the held runs need no more than the strongest motor.
inline Force largest_drag(const AskedRuns& runs) {
  const auto possible = [&](Force drag) {
    return std::all_of(runs.held.begin(), runs.held.end(), [&](const NeededStrength& run) {
      return run.at(drag) < strongest_looked_for;
    });
  };
  if (!possible(newtons(0))) return newtons(0);
  Force good{};
  Force bad = newtons(1);
  while (possible(bad)) {
    good = bad;
    bad *= 2.0;
  }
  for (int i = 0; i < 40; ++i) {
    const Force middle = (good + bad) / 2.0;
    (possible(middle) ? good : bad) = middle;
  }
  return good;
}

// The edge between a drag that explains the runs and one that does not.
inline Force edge(const AskedRuns& runs, Force explained, Force unexplained) {
  for (int i = 0; i < 40; ++i) {
    const Force middle = (explained + unexplained) / 2.0;
    (runs.explained(middle) ? explained : unexplained) = middle;
  }
  return explained;
}

// Drags that explain the runs, by rising drag, both edges among them.
inline std::vector<Force> explaining_drags(const AskedRuns& runs) {
  const Force end = largest_drag(runs);
  std::vector<Force> tried;
  std::vector<bool> explains;
  std::size_t nearest = 0;
  double nearest_gap = std::numeric_limits<double>::infinity();
  for (int i = 0; i <= drags_looked_at; ++i) {
    tried.push_back(static_cast<double>(i) / drags_looked_at * end);
    const auto [least, most] = runs.bounds(tried.back());
    explains.push_back(least < most);
    if (least / most < nearest_gap) {
      nearest_gap = least / most;
      nearest = tried.size() - 1;
    }
  }
  std::vector<Force> found;
  for (std::size_t i = 0; i < tried.size(); ++i) {
    if (!explains[i]) continue;
    if (i > 0 && !explains[i - 1]) found.push_back(edge(runs, tried[i], tried[i - 1]));
    found.push_back(tried[i]);
    if (i + 1 < tried.size() && !explains[i + 1])
      found.push_back(edge(runs, tried[i], tried[i + 1]));
  }
  if (!found.empty()) return found;
  // What explains them may be narrower than the scan: close in on where least and most are nearest.
  Force low = tried[nearest > 0 ? nearest - 1 : 0];
  Force high = tried[std::min(nearest + 1, tried.size() - 1)];
  const auto gap = [&](Force drag) {
    const auto [least, most] = runs.bounds(drag);
    return least / most;
  };
  for (int i = 0; i < 60 && high > low; ++i) {
    const Force left = low + (high - low) / 3.0;
    const Force right = high - (high - low) / 3.0;
    (gap(left) < gap(right) ? high : low) = gap(left) < gap(right) ? right : left;
  }
  const Force middle = (low + high) / 2.0;
  if (!runs.explained(middle)) return {};
  return {edge(runs, middle, tried[nearest > 0 ? nearest - 1 : 0]), middle,
          edge(runs, middle, tried[std::min(nearest + 1, tried.size() - 1)])};
}

}  // namespace detail

}  // namespace pitchline::tune
