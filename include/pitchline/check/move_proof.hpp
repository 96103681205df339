#pragma once

#include <algorithm>
#include <cmath>
#include <concepts>
#include <cstddef>
#include <numbers>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "pitchline/check/as_simulated.hpp"
#include "pitchline/check/drive.hpp"
#include "pitchline/check/motor_condition.hpp"
#include "pitchline/check/raster.hpp"
#include "pitchline/check/what_binds.hpp"
#include "pitchline/simulate/proved.hpp"

namespace pitchline::check {

/// Change of a figure by half the step up to which it counts as proved.
inline constexpr double proved_to = 1e-3;
/// The same of the acceleration at which a step is first lost. The search itself ends at a part in
/// a thousand, and where it ends depends on the last swing.
inline constexpr double acceleration_proved_to = 5e-3;

/// The wanted move of an axis as it is simulated: where no stroke is given, over all the travel.
inline motion::RunningMove move_to_simulate(const AxisState& s) {
  motion::RunningMove move = wanted_move(s.axis.want);
  if (is_unset(move.stroke)) move.stroke = machine::travel_of(s.axis.drive);
  return move;
}

/// Stroke over which a search runs the moves of one speed: the wanted one; where none is given, the
/// shortest that reaches the speed with the least acceleration tried, v²/a + v t_j, as far as the
/// travel goes. A longer one only lets the swing of the first ramp die away before the second.
inline Length stroke_to_search(const AxisState& s, Speed speed, Acceleration least) {
  const machine::Want& want = s.axis.want;
  if (!is_unset(want.stroke)) return want.stroke;
  return std::min(machine::travel_of(s.axis.drive),
                  Length(speed * speed / least + speed * want.jerk_time));
}

/// How long an axis is watched after the end of its command: until the swing of the load is down to
/// a twentieth, 3/(2π f ζ), but no less than `simulate::usual_settling`. Watching for more than a
/// second tells nothing new: friction stops what is left. Common practice, no source.
inline Time time_to_watch(const AxisState& s) {
  if (!s.swing) return simulate::usual_settling;
  const double decay = 2.0 * std::numbers::pi * s.swing->damping_ratio.value();
  const Time settling = 3.0 / decay / s.swing->natural_frequency;
  return std::clamp(settling, simulate::usual_settling, seconds(1));
}

namespace detail {
inline motion::MovePeaks peaks_of(const motion::RunningMove& move) {
  return motion::peaks(
      {.trapezoid = motion::fastest_trapezoid(move.stroke, {.speed = move.speed,
                                                            .acceleration = move.acceleration,
                                                            .deceleration = move.acceleration}),
       .up_jerk_time = move.jerk_time,
       .down_jerk_time = move.jerk_time});
}
}  // namespace detail

/// What the tool is off by while it works a line, of all the lines of a run: commanded less tool.
struct LineErrors {
  Length up_from{}, up_to{};      ///< least and most of the lines upwards
  Length down_from{}, down_to{};  ///< of those downwards

  /// By how much the middle of the lines one way lies beside that of the lines the other way.
  [[nodiscard]] Length offset() const {
    const Length apart = (up_from + up_to - down_from - down_to) / 2.0;
    return apart < metres(0) ? Length(-apart) : apart;
  }
  /// Half of what a line varies by along itself, the worse way.
  [[nodiscard]] Length wandering() const {
    return std::max(up_to - up_from, down_to - down_from) / 2.0;
  }
};

/// Lines of a raster as they run.
struct LineProof {
  Length line{};
  Length overrun{};     ///< on each side
  Length room{};        ///< that the travel leaves there
  Length line_pitch{};  ///< from line to line
  LineErrors errors{};
};

/// One run of a move and what became of the tool.
struct MoveProof {
  motion::RunningMove move{};
  simulate::Succession succession{};
  simulate::ProvedAnswer proved{};
  Time watched{};         ///< after the end
  Length tolerance{};     ///< for settling
  bool asked = false;     ///< the tolerance is the wanted position error, else a full step
  Length full_step{};     ///< travel of one
  Speed top_speed{};      ///< that the move reaches
  double load_share = 0;  ///< largest load angle over half an electrical turn, the edge
  std::optional<LineProof> line{};

  [[nodiscard]] bool completes() const { return !proved.answer.outcome.lost_step; }
  /// Largest load angle in full steps; the edge is at two.
  [[nodiscard]] double full_steps() const { return 2.0 * load_share; }
};

/// What to run.
struct MoveQuestion {
  motion::RunningMove move{};  ///< with a stroke
  simulate::Succession succession{};
  std::size_t trace_points = 0;  ///< 0: no trace
  std::optional<RasterRun> raster{};
};

/// Lines that are run of a raster: to, fro, and to again with the swings of both.
inline constexpr int lines_to_simulate = 3;

/// The lines of a raster as a move: with the overrun on both sides, and the step to the next line
/// between two.
inline MoveQuestion lines_of(const RasterRun& run, Time jerk_time) {
  return {.move = {.speed = run.lines.speed,
                   .acceleration = run.lines.acceleration,
                   .stroke = run.lines.line + 2.0 * run.lines.overrun,
                   .jerk_time = jerk_time,
                   .in_succession = std::min(lines_to_simulate, run.lines.lines),
                   .dwell = run.time.step},
          .succession = simulate::Succession::to_and_fro,
          .raster = run};
}

namespace detail {
inline LineErrors errors_on_lines(const simulate::SimulatedAxis& axis,
                                  const simulate::Command& command, const RasterRun& run,
                                  const simulate::Settings& settings) {
  struct Range {
    std::optional<Length> least{}, most{};
    void take(Length x) {
      least = least ? std::min(*least, x) : x;
      most = most ? std::max(*most, x) : x;
    }
  };
  Range up;
  Range down;
  std::optional<Length> origin;
  std::size_t part = 0;
  simulate::run(axis, command, settings, [&](const simulate::Sample& at) {
    if (!origin) origin = at.tool;
    while (part + 1 < command.parts.size() && command.parts[part + 1].from <= at.time) ++part;
    const Speed speed = command.parts[part].after(at.time - command.parts[part].from).speed;
    const Length end = run.lines.overrun + run.lines.line;
    if (at.commanded < run.lines.overrun || at.commanded > end || speed == Speed{}) return;
    (speed > Speed{} ? up : down).take(at.commanded - (at.tool - *origin));
  });
  return {.up_from = up.least.value_or(Length{}),
          .up_to = up.most.value_or(Length{}),
          .down_from = down.least.value_or(Length{}),
          .down_to = down.most.value_or(Length{})};
}
}  // namespace detail

/// Runs a move in time and says what became of it, at a step that is proved by halving.
///
/// \throws InvalidInput     a move without stroke, or as `simulate::command_of`
/// \throws OutsideValidity  as `simulate::run`; no step down to a 256th of the usual one proves it
inline MoveProof prove_move(const AxisState& s, const simulate::SimulatedAxis& axis,
                            const MoveQuestion& question) {
  const machine::Want& want = s.axis.want;
  MoveProof proof{.move = question.move, .succession = question.succession};
  proof.full_step = revolution * s.seen.transmission / in_full_steps(s.motor().full_steps_per_turn);
  proof.asked = !is_unset(want.position_error);
  proof.tolerance = proof.asked ? want.position_error : proof.full_step;
  proof.watched = time_to_watch(s);
  proof.top_speed = detail::peaks_of(question.move).speed;
  const simulate::Command command =
      simulate::command_of(question.move, proof.watched, question.succession);
  proof.proved = simulate::answer_to_tolerance(
      axis, command, {.tolerance = proof.tolerance, .trace_points = question.trace_points},
      proved_to);
  proof.load_share = in_degrees(proof.proved.answer.outcome.largest_load_angle) / 180.0;
  if (question.raster) {
    const RasterRun& run = *question.raster;
    proof.line = LineProof{
        .line = run.lines.line,
        .overrun = run.lines.overrun,
        .room = (machine::travel_of(s.axis.drive) - run.lines.line) / 2.0,
        .line_pitch = run.lines.line_pitch,
        .errors = detail::errors_on_lines(axis, command, run, {.step = proof.proved.step})};
  }
  return proof;
}

/// The acceleration that the check allows by torque, beside what the simulation completes.
struct LargestProof {
  motion::RunningMove move{};    ///< its acceleration is the wanted one
  Acceleration from{}, up_to{};  ///< looked at
  Acceleration allowed{};        ///< by torque, with the torque margin of the file
  TorqueMargin margin{1.0};
  Verdict steady = Verdict::unsure;  ///< of steady running at `allowed`
  std::string steady_reason{};
  simulate::ProvedAcceleration proved{};

  /// What completes over what the check allows; NaN where either is nothing.
  [[nodiscard]] double ratio() const {
    if (!proved.found.completes || !(allowed > Acceleration{})) return std::nan("");
    return number(*proved.found.completes / allowed);
  }
  /// What the move really reaches of an acceleration: less where the jerk time is longer than a
  /// ramp, or the stroke too short.
  [[nodiscard]] Acceleration reached(Acceleration a) const {
    motion::RunningMove tried = move;
    tried.acceleration = a;
    return detail::peaks_of(tried).acceleration;
  }
  /// Whether the wanted acceleration is at most what completes.
  [[nodiscard]] bool wanted_completes() const {
    return proved.found.completes && move.acceleration <= *proved.found.completes;
  }
};

namespace detail {
inline void require_takes_in(Acceleration from, Acceleration up_to, Acceleration wanted) {
  motion::detail::require_positive(from, "least acceleration tried");
  if (!(wanted >= from))
    throw InvalidInput("least acceleration tried",
                       fmt::format("at most the wanted {}", print_plain(wanted)),
                       in_metres_per_second_squared(from), "m/s^2");
  if (!(up_to > from && up_to >= wanted) || !is_finite(up_to))
    throw InvalidInput(
        "largest acceleration tried",
        fmt::format("above the least, and at least the wanted {}", print_plain(wanted)),
        in_metres_per_second_squared(up_to), "m/s^2");
}
}  // namespace detail

/// Where to look for the acceleration at which a step is first lost: from half of what the check
/// allows, or of the wanted one where that is less, to eight times what it allows and over the
/// wanted one; around the latter where it allows none. Bounds that are set stay.
///
/// \throws InvalidInput  bounds between which the wanted acceleration does not lie
inline simulate::AccelerationSearch search_around(Acceleration allowed, Acceleration wanted,
                                                  simulate::AccelerationSearch search = {}) {
  const Acceleration middle = allowed > Acceleration{} ? allowed : wanted;
  if (is_unset(search.from)) search.from = std::min(middle, wanted) / 2.0;
  if (is_unset(search.up_to)) search.up_to = std::max<Acceleration>(8.0 * middle, 2.0 * wanted);
  detail::require_takes_in(search.from, search.up_to, wanted);
  return search;
}

/// Tries that a search takes at most, before the halving of the last gap.
inline std::size_t tries_at_most(const simulate::AccelerationSearch& search) {
  return simulate::tries_of(search).size();
}

/// The acceleration that torque allows for the wanted move of an axis; as in the check.
inline Acceleration allowed_by_torque(const AxisState& s) {
  return acceleration_by_torque(s, hardest_for(s));
}

/// Finds the largest acceleration with which the wanted move completes, beside the one that the
/// check allows. `before_try` is called before each
/// try of the scan.
///
/// \throws InvalidInput     the search, or a number of the move
/// \throws OutsideValidity  as `simulate::proved_completing_acceleration`
template <std::invocable<> BeforeTry>
LargestProof prove_largest(const AxisState& s, const simulate::SimulatedAxis& axis,
                           Acceleration allowed, const simulate::AccelerationSearch& search,
                           BeforeTry&& before_try) {
  LargestProof proof{.move = wanted_move(s.axis.want),
                     .from = search.from,
                     .up_to = search.up_to,
                     .allowed = allowed,
                     .margin = s.machine.torque_margin};
  proof.move.stroke = stroke_to_search(s, proof.move.speed, search.from);
  const Finding steady = stability_finding(detail::at_acceleration(s, allowed));
  proof.steady = steady.verdict;
  proof.steady_reason = steady.reason;
  proof.proved = simulate::proved_completing_acceleration(
      axis, proof.move, search, acceleration_proved_to, std::forward<BeforeTry>(before_try));
  return proof;
}

}  // namespace pitchline::check
