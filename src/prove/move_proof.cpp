#include "pitchline/prove/move_proof.hpp"

#include <algorithm>
#include <cmath>
#include <concepts>
#include <cstddef>
#include <numbers>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "pitchline/check/rows/drive.hpp"
#include "pitchline/check/rows/motor_condition.hpp"
#include "pitchline/check/rows/raster.hpp"
#include "pitchline/check/search/what_binds.hpp"
#include "pitchline/motor/resonance.hpp"
#include "pitchline/prove/as_simulated.hpp"
#include "pitchline/simulate/proved.hpp"

namespace pitchline::prove {

using namespace check;

motion::RunningMove move_to_simulate(const AxisState& s) {
  motion::RunningMove move = wanted_move(s.axis.want);
  if (is_unset(move.stroke)) move.stroke = machine::travel_of(s.axis.drive);
  return move;
}

Length stroke_to_search(const AxisState& s, Speed speed, Acceleration least) {
  const machine::Want& want = s.axis.want;
  if (!is_unset(want.stroke)) return want.stroke;
  return std::min(machine::travel_of(s.axis.drive),
                  Length(speed * speed / least + speed * want.jerk_time));
}

Time time_to_watch(const AxisState& s) {
  if (!s.swing) return simulate::usual_settling;
  const double decay = 2.0 * std::numbers::pi * s.swing->damping_ratio.value();
  const Time settling = 3.0 / decay / s.swing->natural_frequency;
  return std::clamp(settling, simulate::usual_settling, seconds(1));
}

MoveQuestion lines_of(const RasterRun& run, Time jerk_time) {
  return {.move = {.speed = run.lines.speed,
                   .acceleration = run.lines.acceleration,
                   .stroke = run.lines.line + 2.0 * run.lines.overrun,
                   .jerk_time = jerk_time,
                   .in_succession = std::min(lines_to_simulate, run.lines.lines),
                   .dwell = run.time.step},
          .succession = simulate::Succession::to_and_fro,
          .raster = run};
}

std::size_t trace_points(const AxisState& s, const MoveQuestion& question) {
  const simulate::Command command =
      simulate::command_of(question.move, time_to_watch(s), question.succession);
  const auto field = motor::field_stiffness(motor::field_at_rest(s.winding()));
  const Frequency swing = motor::natural_frequency(*field, s.seen.motor_side_inertia);
  const double points = std::ceil(20.0 * number(swing * command.duration()));
  return static_cast<std::size_t>(std::clamp(points, 2e3, 1e5));
}

namespace detail {

namespace {
LineErrors errors_on_lines(const simulate::SimulatedAxis& axis, const simulate::Command& command,
                           const RasterRun& run, const simulate::Settings& settings) {
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
}  // namespace

}  // namespace detail

MoveProof prove_move(const AxisState& s, const simulate::SimulatedAxis& axis,
                     const MoveQuestion& question) {
  const machine::Want& want = s.axis.want;
  MoveProof proof{.move = question.move, .succession = question.succession};
  proof.full_step = revolution * s.seen.transmission / in_full_steps(s.motor().full_steps_per_turn);
  proof.asked = !is_unset(want.position_error);
  proof.tolerance = proof.asked ? want.position_error : proof.full_step;
  proof.watched = time_to_watch(s);
  proof.top_speed = motion::peaks_of(question.move).speed;
  const simulate::Command command =
      simulate::command_of(question.move, proof.watched, question.succession);
  proof.proved = simulate::answer_to_tolerance(
      axis, command, {.tolerance = proof.tolerance, .trace_points = question.trace_points},
      report::proved_to);
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

namespace detail {

void require_takes_in(Acceleration from, Acceleration up_to, Acceleration wanted) {
  require_positive("least acceleration tried", from);
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

simulate::AccelerationSearch search_around(const SearchedPlace& place,
                                           simulate::AccelerationSearch search) {
  const Acceleration middle = place.allowed > Acceleration{} ? place.allowed : place.wanted;
  if (is_unset(search.from)) search.from = std::min(middle, place.wanted) / 2.0;
  if (is_unset(search.up_to))
    search.up_to = std::max<Acceleration>(8.0 * middle, 2.0 * place.wanted);
  detail::require_takes_in(search.from, search.up_to, place.wanted);
  return search;
}

std::size_t tries_at_most(const simulate::AccelerationSearch& search) {
  return simulate::tries_of(search).size();
}

Acceleration allowed_by_torque(const AxisState& s) {
  return acceleration_by_torque(s, hardest_for(s));
}

LargestProof prove_largest(const AxisState& s, const simulate::SimulatedAxis& axis,
                           Acceleration allowed, const simulate::AccelerationSearch& search,
                           const std::function<void()>& before_try) {
  LargestProof proof{.move = wanted_move(s.axis.want),
                     .from = search.from,
                     .up_to = search.up_to,
                     .allowed = allowed,
                     .margin = s.machine.torque_margin};
  proof.move.stroke = stroke_to_search(s, proof.move.speed, search.from);
  const Finding steady = stability_finding(at_acceleration(s, allowed));
  proof.steady = steady.verdict;
  proof.steady_reason = steady.reason;
  proof.proved = simulate::proved_completing_acceleration(
      axis, proof.move, search, report::acceleration_proved_to, before_try);
  return proof;
}

}  // namespace pitchline::prove
