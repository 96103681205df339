#pragma once

#include <algorithm>
#include <cmath>
#include <concepts>
#include <optional>
#include <utility>
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
inline double change_between(const MoveAnswer& coarse, const MoveAnswer& fine) {
  const Outcome& a = coarse.outcome;
  const Outcome& b = fine.outcome;
  double most = 0.0;
  const auto compare = [&](auto x, auto y, auto scale) {
    if (scale > decltype(scale){}) most = std::max(most, std::fabs(number((x - y) / scale)));
  };
  const auto own = [&](auto x, auto y) { compare(x, y, y); };
  own(a.largest_load_angle, b.largest_load_angle);
  own(a.largest_following_error, b.largest_following_error);
  own(a.peak_belt_force, b.peak_belt_force);
  own(a.peak_current, b.peak_current);
  own(a.lowest_bus, b.lowest_bus);
  own(a.highest_bus, b.highest_bus);
  own(a.energy.electrical, b.energy.electrical);
  own(a.energy.copper, b.energy.copper);
  const Length error = b.largest_following_error;
  compare(a.largest_skew, b.largest_skew, error);
  compare(coarse.cruising_error, fine.cruising_error, error);
  compare(coarse.overshoot, fine.overshoot, error);
  compare(coarse.ringing, fine.ringing, error);
  compare(coarse.rest_error, fine.rest_error, error);
  return most;
}

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
inline ProvedAnswer answer_to_tolerance(const SimulatedAxis& axis, const Command& command,
                                        AnswerSettings settings, double tolerance) {
  if (!(tolerance >= 1e-7) || !std::isfinite(tolerance))
    throw InvalidInput("tolerance", ">= 1e-7", tolerance, "");
  MoveAnswer coarse = answer(axis, command, settings);
  constexpr int halvings = 5;
  double change = 0.0;
  int agree = 1;
  for (int n = 0; n < halvings; ++n) {
    settings.run.step /= 2.0;
    MoveAnswer fine = answer(axis, command, settings);
    change = change_between(coarse, fine);
    agree = coarse.outcome.lost_step == fine.outcome.lost_step ? agree + 1 : 1;
    const bool lost = fine.outcome.lost_step;
    if (coarse.outcome.lost_step == lost && (lost || change <= tolerance))
      return {.answer = std::move(fine), .step = settings.run.step, .change = change};
    coarse = std::move(fine);
  }
  if (agree >= 3) return {.answer = std::move(coarse), .step = settings.run.step, .change = change};
  throw OutsideValidity(
      fmt::format("halving the step to {:.3g} s still changes whether steps are lost: this move "
                  "stands on its edge",
                  in_seconds(settings.run.step)));
}

/// What a search found, and half the step finds too.
struct ProvedAcceleration {
  CompletingAcceleration found{};
  Time step{};          ///< of it
  double change = 0.0;  ///< of `found.completes`, against the same at twice the step
};

/// The accelerations that a search tries one after the other until one fails.
///
/// \throws InvalidInput  as `largest_completing_acceleration`
inline std::vector<Acceleration> tries_of(const AccelerationSearch& search) {
  require_positive("start of the search", search.from);
  if (!(search.up_to >= search.from) || !is_finite(search.up_to))
    throw InvalidInput("end of the search", "not below its start",
                       in_metres_per_second_squared(search.up_to), "m/s^2");
  require_positive("scan", search.scan);
  std::vector<Acceleration> list;
  for (Acceleration a = search.from; a <= search.up_to; a *= 1.0 + search.scan) list.push_back(a);
  return list;
}

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
template <std::invocable<> BeforeTry>
ProvedAcceleration proved_completing_acceleration(const SimulatedAxis& axis,
                                                  const motion::RunningMove& move,
                                                  const AccelerationSearch& search,
                                                  double change_allowed, BeforeTry&& before_try,
                                                  Settings settings = {}) {
  if (!(change_allowed > search.tolerance) || !std::isfinite(change_allowed))
    throw InvalidInput("change allowed", "> the tolerance of the search", change_allowed, "");
  const std::vector<Acceleration> tries = tries_of(search);
  const auto holds = [&](Acceleration a, const Settings& at) {
    motion::RunningMove tried = move;
    tried.acceleration = a;
    if (search.jerk_time_over_ramp_time)
      tried.jerk_time = *search.jerk_time_over_ramp_time * (move.speed / a);
    return completes(axis, tried, at);
  };
  const auto watched = [&] {
    before_try();
    return true;
  };
  constexpr int halvings = 3;
  std::optional<CompletingAcceleration> least;
  Acceleration most{};
  const auto found = [&](const CompletingAcceleration& each) {
    const Acceleration completing = each.completes.value_or(Acceleration{});
    most = std::max(most, completing);
    if (!least || completing < least->completes.value_or(Acceleration{})) least = each;
  };
  for (int n = 0; n < halvings; ++n, settings.step /= 2.0) {
    const MapColumn scan = try_speed(axis, move, move.speed, tries, search.jerk_time_over_ramp_time,
                                     watched, settings);
    const Settings finer{.step = settings.step / 2.0};
    found({.completes = scan.completes, .fails = scan.fails});
    if (scan.completes && !holds(*scan.completes, finer)) continue;
    if (scan.fails && holds(*scan.fails, finer)) continue;
    if (!scan.completes || !scan.fails)
      return {.found = {.completes = scan.completes, .fails = scan.fails}, .step = finer.step};
    struct Gap {
      Acceleration good{}, bad{};
    };
    const auto halved = [&](const Settings& at) {
      Gap gap{.good = *scan.completes, .bad = *scan.fails};
      while (gap.bad - gap.good > search.tolerance * gap.good) {
        const Acceleration middle = (gap.bad + gap.good) / 2.0;
        (holds(middle, at) ? gap.good : gap.bad) = middle;
      }
      return gap;
    };
    const Gap coarse = halved(settings);
    const Gap fine = halved(finer);
    const double change = std::fabs(number(coarse.good / fine.good) - 1.0);
    if (change <= change_allowed)
      return {.found = {.completes = fine.good, .fails = fine.bad},
              .step = finer.step,
              .change = change};
    found({.completes = fine.good, .fails = fine.bad});
  }
  const Acceleration completing = least->completes.value_or(Acceleration{});
  return {.found = *least,
          .step = settings.step,
          .change = most > Acceleration{} ? 1.0 - number(completing / most) : 0.0};
}

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
template <std::invocable<> BeforeTry>
ProvedColumn proved_column(const SimulatedAxis& axis, motion::RunningMove move, Speed speed,
                           const std::vector<Acceleration>& accelerations, BeforeTry&& before_try,
                           Settings settings = {}) {
  const auto watched = [&] {
    before_try();
    return true;
  };
  constexpr int halvings = 4;
  move.speed = speed;
  std::optional<MapColumn> least;
  for (int n = 0; n < halvings; ++n, settings.step /= 2.0) {
    const MapColumn column =
        try_speed(axis, move, speed, accelerations, std::nullopt, watched, settings);
    if (!least ||
        column.completes.value_or(Acceleration{}) < least->completes.value_or(Acceleration{}))
      least = column;
    const Settings finer{.step = settings.step / 2.0};
    const auto holds = [&](Acceleration a) {
      move.acceleration = a;
      return completes(axis, move, finer);
    };
    if (column.completes && !holds(*column.completes)) continue;
    if (column.fails && holds(*column.fails)) continue;
    return {.column = column, .step = finer.step};
  }
  return {.column = *least, .step = settings.step, .proved = false};
}

}  // namespace pitchline::simulate
