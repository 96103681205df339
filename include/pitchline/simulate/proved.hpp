#pragma once

#include <functional>
#include <vector>

#include "pitchline/simulate/answer.hpp"
#include "pitchline/simulate/trust_map.hpp"

namespace pitchline::simulate {

/// An answer of which half the step changes nothing that counts.
struct ProvedAnswer {
  MoveAnswer answer{};
  Time step{};          ///< of it
  double change = 0.0;  ///< of its figures, against those at twice the step
};

/// By how much the figures of two answers differ: peaks and energies as a share of the finer ones,
/// what is left at the tool after the end as a share of its largest following error. Moments are
/// not compared: when a swing is within a tolerance may change by a whole period.
double change_between(const MoveAnswer& coarse, const MoveAnswer& fine);

/// Answers at the step of the settings, at half of it, and so on, until no figure changes by more
/// than the tolerance; see `change_between`. The trace is that of the last run. Of a move that
/// loses steps it is enough that it does so twice: where the rotor ends then is chance. After five
/// halvings an answer on whose verdict the last three agree is given with the change that is left,
/// above the tolerance: a driver that switches is not the same twice.
///
///     tolerance  –  > 0, not below 1e-7
///
/// \throws InvalidInput     as `answer`, or the tolerance
/// \throws OutsideValidity  as `answer`; the verdict itself still changes
ProvedAnswer answer_to_tolerance(const SimulatedAxis& axis, const Command& command,
                                 AnswerSettings settings, double tolerance);

/// What a search found, and half the step finds too.
struct ProvedAcceleration {
  CompletingAcceleration found{};
  Time step{};          ///< of it
  double change = 0.0;  ///< of `found.completes`, against the same at twice the step
};

/// The accelerations that a search tries one after the other until one fails.
///
/// \throws InvalidInput  as `largest_completing_acceleration`
std::vector<Acceleration> tries_of(const AccelerationSearch& search);

/// As `largest_completing_acceleration`, proved: the last try that completes and the first that
/// does not do the same at half the step, and so does the halving between them, to the change
/// allowed; else all is done again at half the step. `before_try` is called before each try of the
/// scan. Where three halvings do not do, the least of what they found stands, with the change
/// between them.
///
///     change_allowed  –  > 0, above `search.tolerance`
///
/// \throws InvalidInput     as `largest_completing_acceleration`, or the change allowed
/// \throws OutsideValidity  as `run`
ProvedAcceleration proved_completing_acceleration(
    const SimulatedAxis& axis, const motion::RunningMove& move, const AccelerationSearch& search,
    double change_allowed, const std::function<void()>& before_try, Settings settings = {});

/// A column of a map, and the step at which it was proved.
struct ProvedColumn {
  MapColumn column{};
  Time step{};
  bool proved = true;  ///< false: the halvings do not agree, and the least of them stands
};

/// As `try_speed`, proved: its last cell that completes and its first that fails do the same at
/// half the step, else the column is tried again at half the step. `before_try` is called before
/// each try. Where four halvings do not do, as with a driver that switches, the column that
/// completes least stands, marked as not proved.
///
/// \throws InvalidInput     as `try_speed`
/// \throws OutsideValidity  as `run`
ProvedColumn proved_column(const SimulatedAxis& axis, motion::RunningMove move, Speed speed,
                           const std::vector<Acceleration>& accelerations,
                           const std::function<void()>& before_try, Settings settings = {});

}  // namespace pitchline::simulate
