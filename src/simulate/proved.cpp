#include "pitchline/simulate/proved.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <utility>
#include <vector>

namespace pitchline::simulate {

double change_between(const MoveAnswer& coarse, const MoveAnswer& fine) {
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

ProvedAnswer answer_to_tolerance(const SimulatedAxis& axis, const Command& command,
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

std::vector<Acceleration> tries_of(const AccelerationSearch& search) {
  require_positive("start of the search", search.from);
  if (!(search.up_to >= search.from) || !is_finite(search.up_to))
    throw InvalidInput("end of the search", "not below its start",
                       in_metres_per_second_squared(search.up_to), "m/s^2");
  require_positive("scan", search.scan);
  std::vector<Acceleration> list;
  for (Acceleration a = search.from; a <= search.up_to; a *= 1.0 + search.scan) list.push_back(a);
  return list;
}

ProvedAcceleration proved_completing_acceleration(
    const SimulatedAxis& axis, const motion::RunningMove& move, const AccelerationSearch& search,
    double change_allowed, const std::function<void()>& before_try, Settings settings) {
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

ProvedColumn proved_column(const SimulatedAxis& axis, motion::RunningMove move, Speed speed,
                           const std::vector<Acceleration>& accelerations,
                           const std::function<void()>& before_try, Settings settings) {
  const auto watched = [&] {
    before_try();
    return true;
  };
  constexpr int halvings = 4;
  move.speed = speed;
  std::vector<MapColumn> tried;
  tried.reserve(halvings);
  for (int n = 0; n < halvings; ++n, settings.step /= 2.0) {
    const MapColumn& column = tried.emplace_back(
        try_speed(axis, move, speed, accelerations, std::nullopt, watched, settings));
    const Settings finer{.step = settings.step / 2.0};
    const auto holds = [&](Acceleration a) {
      move.acceleration = a;
      return completes(axis, move, finer);
    };
    if (column.completes && !holds(*column.completes)) continue;
    if (column.fails && holds(*column.fails)) continue;
    return {.column = column, .step = finer.step};
  }
  const auto least =
      std::min_element(tried.begin(), tried.end(), [](const MapColumn& a, const MapColumn& b) {
        return a.completes.value_or(Acceleration{}) < b.completes.value_or(Acceleration{});
      });
  return {.column = *least, .step = settings.step, .proved = false};
}

}  // namespace pitchline::simulate
