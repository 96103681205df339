#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/tune/detail/asked_runs.hpp"
#include "pitchline/tune/readings.hpp"

namespace pitchline::tune {

/// A friction and a torque that explain trial runs.
struct Explanation {
  Force drag{};           ///< of the guide, in place of that of the file
  double strength = 0.0;  ///< torque that the motor really has over the dependable one
};

/// How far trial runs settle friction and torque.
enum class TrialOutcome {
  settled,        ///< held and lost runs enclose what explains them
  none_lost,      ///< only a least strength follows
  none_held,      ///< only a largest strength follows
  contradictory,  ///< nothing explains them all
};

/// A held and a lost run of which the held one asks for more, whatever the friction.
struct Contradiction {
  std::size_t held = 0;  ///< place among the runs
  std::size_t lost = 0;
};

/// What trial runs say. Where they are not `settled` the drag is that of the file.
struct TrialResult {
  TrialOutcome outcome = TrialOutcome::contradictory;
  Explanation least{};     ///< smallest drag, and smallest strength
  Explanation most{};      ///< largest drag, and largest strength; infinite where none was lost
  Explanation cautious{};  ///< of all explanations the one that leaves the wanted move least
  /// A drag that explains the runs, with a strength of no more than 1 at which the wanted move has
  /// its least margin: what a machine file can hold. Nothing where the motor is stronger than the
  /// dependable torque whatever the drag.
  std::optional<Explanation> to_write{};
  double least_margin = 0.0;           ///< of the wanted move: torque there over torque asked
  double most_margin = 0.0;            ///< infinite where no run was lost
  bool drag_may_be_zero = false;       ///< friction may be less than that of the file without drag
  bool strength_open = false;          ///< the search ended at `strongest_looked_for`
  std::vector<Contradiction> pairs{};  ///< may be empty though the runs contradict each other
};

/// Finds the friction and the torque that explain which trial runs held and which lost steps.
///
///     a run holds where      k T(v) >= T_asked(v; d)      at every moment of it, so at the
///     that is                k >= K(d) = max T_asked(d)/T                          tightest one
///     explained by (d, k)    max K of the held runs <= k < min K of the lost ones
///
///     T        dependable torque of the deciding motor
///     T_asked  `motion::move_demand` of the real move: friction, gravity, acceleration, every
///     swing d        drag of the guide, >= 0, in place of that of the file; the friction
///     coefficient and
///              the breakaway stay as the file has them
///     k        strength, one factor at all speeds
///     margin of the wanted move = k / K_wanted(d), over all that explain the runs
///
/// Friction asks the same at all speeds and the motor has less the faster it turns, so slow and
/// hard runs settle the strength and fast and soft ones the drag. Looks at 200 drags and closes in
/// on the edges between them. The demand takes every swing at its worst; so strength and drag are
/// those with which the checks of this library are right about the runs, and no measurement of the
/// motor. Leaves out that a run may hold once and lose the next time: count a move as held after
/// ten.
///
/// \throws InvalidInput     no run; a speed or acceleration not above zero; the axis has no guide;
///                          as `check::state_of`
///
/// Source: derived from `motion::tightest_moment`, the same that decides the torque margin.
inline TrialResult explain_trials(const machine::Machine& machine, const machine::Axis& axis,
                                  const std::vector<TrialRun>& runs) {
  if (runs.empty()) throw InvalidInput("trial runs", ">= 1", 0, "");
  const parts::Guide* guide = machine::guide_of(axis.drive);
  if (guide == nullptr)
    throw InvalidInput("guides of the axis", "1, a turning axis has no drag to be found", 0, "");
  const Force of_file = guide->drag;
  detail::AskedRuns asked;
  std::vector<std::size_t> held_at;
  std::vector<std::size_t> lost_at;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const TrialRun& run = runs[i];
    require_positive("speed of a run", run.speed, shown::millimetres_per_second);
    require_positive("acceleration of a run", run.acceleration);
    machine::Axis tried = axis;
    tried.want.speed = run.speed;
    tried.want.acceleration = run.acceleration;
    if (!is_unset(run.stroke)) tried.want.stroke = run.stroke;
    (run.held ? asked.held : asked.lost).emplace_back(machine, tried);
    (run.held ? held_at : lost_at).push_back(i);
  }
  const detail::NeededStrength wanted(machine, axis);
  constexpr double without_end = std::numeric_limits<double>::infinity();
  TrialResult result;
  if (asked.held.empty() || asked.lost.empty()) {
    const bool held = asked.lost.empty();
    auto [least, most] = asked.bounds(of_file);
    if (!held) {
      most = without_end;
      for (const detail::NeededStrength& run : asked.lost) most = std::min(most, run.at(of_file));
    }
    result.outcome = held ? TrialOutcome::none_lost : TrialOutcome::none_held;
    result.least = {of_file, held ? least : 0.0};
    if (held) most = without_end;
    result.most = {of_file, most};
    result.cautious = result.least;
    result.least_margin = result.least.strength / wanted.at(of_file);
    result.most_margin = result.most.strength / wanted.at(of_file);
    result.strength_open = true;
    return result;
  }
  const std::vector<Force> drags = detail::explaining_drags(asked);
  if (drags.empty()) {
    const Force end = detail::largest_drag(asked);
    for (std::size_t i = 0; i < asked.held.size(); ++i)
      for (std::size_t j = 0; j < asked.lost.size(); ++j) {
        bool more = true;
        for (int n = 0; more && n <= detail::drags_looked_at; ++n) {
          const Force drag = static_cast<double>(n) / detail::drags_looked_at * end;
          more = asked.held[i].at(drag) >= asked.lost[j].at(drag);
        }
        if (more) result.pairs.push_back({held_at[i], lost_at[j]});
      }
    return result;
  }
  result.outcome = TrialOutcome::settled;
  result.drag_may_be_zero = !(drags.front() > newtons(0));
  result.least = {drags.front(), without_end};
  result.most = {drags.back(), 0.0};
  result.least_margin = without_end;
  for (const Force& drag : drags) {
    const auto [least, most] = asked.bounds(drag);
    const double needed = wanted.at(drag);
    result.least.strength = std::min(result.least.strength, least);
    result.most.strength = std::max(result.most.strength, most);
    result.most_margin = std::max(result.most_margin, most / needed);
    if (least / needed < result.least_margin) {
      result.least_margin = least / needed;
      result.cautious = {drag, least};
    }
  }
  result.strength_open = !(result.most.strength < strongest_looked_for);
  // The largest drag with a strength that the torque margin can stand for; the margin of the wanted
  // move is to come out the same.
  for (const Force& drag : drags)
    if (asked.bounds(drag).first <= 1.0)
      result.to_write = Explanation{drag, std::min(1.0, result.least_margin * wanted.at(drag))};
  return result;
}

/// The torque margin with which the checks come out right: the builder's own, raised where the
/// motor has less than the dependable torque.
///
///     margin = builder's / min(strength, 1)
///
///     strength  -  > 0; above 1 the margin stays, since no other move was tried
///
/// \throws InvalidInput  strength not above zero; the margin would be above 10: look for a fault
///
/// Source: dependable torque over torque asked must be what it is at the strength found.
inline TorqueMargin margin_to_write(TorqueMargin builders, double strength) {
  require_positive_or_infinite("strength", strength);
  return TorqueMargin(builders.value() / std::min(strength, 1.0));
}

}  // namespace pitchline::tune
