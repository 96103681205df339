#include "pitchline/prove/runs_of_move.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <thread>

#include "pitchline/prove/as_simulated.hpp"
#include "pitchline/prove/move_proof.hpp"
#include "pitchline/simulate/completing.hpp"

namespace pitchline::prove {

namespace {

// Of a run that is to take no time. The verdicts of the drawn axes are the same at half of it.
const simulate::Settings quick{.step = seconds(60e-6)};
// In which a single move comes to rest before it goes back.
const Time rest_before_back = seconds(0.1);
// In which a lost step shows after the last.
const Time settling = seconds(0.1);
constexpr std::array stiffnesses = {check::least_drive_stiffness, 1.0, check::most_drive_stiffness};
constexpr std::array dampings = {check::least_load_damping, 0.02, check::most_load_damping};
constexpr double share_of_motor_damping = 0.5;

struct Run {
  simulate::SimulatedAxis axis;
  motion::RunningMove move;
  double stiffness = 1.0;
  DampingRatio damping{0.0};
  simulate::Outcome outcome{};
};

struct Strokes {
  std::vector<Length> list{};          // longest first
  std::optional<Length> for_swings{};  // of the motor
};

Strokes strokes_of(const check::AxisState& s, bool swings) {
  const machine::Want& want = s.axis.want;
  if (!is_unset(want.stroke)) return {.list = {want.stroke}};
  Strokes strokes;
  for (const double share : {1.0, 0.5, 0.25})
    strokes.list.push_back(stroke_to_search(s, share * want.speed, want.acceleration));
  if (swings) strokes.for_swings = machine::travel_of(s.axis.drive);
  return strokes;
}

// The axis with the torque margin taken off its torque, at one place of the band.
simulate::SimulatedAxis at_place(const check::AxisState& s, const simulate::SimulatedAxis& nominal,
                                 double stiffness, double damping) {
  simulate::SimulatedAxis axis = nominal;
  if (is_finite(s.stiffness)) {
    axis.belt_stiffness *= stiffness;
    axis.belt_damping = DampingRatio(damping);
    if (axis.strands) {
      axis.strands->up *= stiffness;
      axis.strands->down *= stiffness;
    }
  }
  axis.motor_drag *= share_of_motor_damping;
  if (axis.share)
    for (double& share : axis.share->shares) share /= s.machine.torque_margin.value();
  return axis;
}

std::vector<Run> runs_to_make(const check::AxisState& s, const Strokes& strokes) {
  const simulate::SimulatedAxis nominal = as_simulated(s);
  const bool rigid = !is_finite(s.stiffness);
  std::vector<Run> runs;
  const auto add = [&](const motion::RunningMove& of, double k, double zeta) {
    runs.push_back({.axis = at_place(s, nominal, k, zeta),
                    .move = of,
                    .stiffness = k,
                    .damping = DampingRatio(zeta)});
  };
  motion::RunningMove move = check::wanted_move(s.axis.want);
  if (strokes.for_swings) {
    // The swings of the motor have the time of the whole travel to grow.
    move.stroke = *strokes.for_swings;
    move.in_succession = 1;
    add(move, 1.0, dampings.front());
    move = check::wanted_move(s.axis.want);
  }
  if (move.in_succession == 1) {
    move.in_succession = 2;
    move.dwell = rest_before_back;
  }
  for (const Length& stroke : strokes.list) {
    move.stroke = stroke;
    const bool longest = stroke == strokes.list.front();
    for (const double k : stiffnesses) {
      for (const double zeta : dampings) {
        if (rigid && (k != 1.0 || zeta != dampings.front())) continue;
        // A shorter one comes to rest sooner: what swings least long is left out.
        if (!longest && zeta != dampings.front()) continue;
        add(move, k, zeta);
      }
    }
  }
  return runs;
}

void make(std::vector<Run>& runs) {
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < runs.size(); i = next++)
      runs[i].outcome =
          simulate::run(runs[i].axis, simulate::command_of(runs[i].move, settling), quick);
  };
  std::vector<std::thread> others;
  const auto hands =
      std::min<std::size_t>({runs.size(), std::max(1U, std::thread::hardware_concurrency()), 8});
  for (std::size_t n = 1; n < hands; ++n) others.emplace_back(work);
  work();
  for (std::thread& each : others) each.join();
}

}  // namespace

std::optional<RunsOfMove> runs_of_wanted_move(const check::AxisState& s, bool swings_of_motor,
                                              Time most) {
  if (is_unset(s.stiffness) || !(s.axis.want.acceleration > Acceleration{})) return std::nullopt;
  const Strokes strokes = strokes_of(s, swings_of_motor);
  std::vector<Run> runs = runs_to_make(s, strokes);
  Time motion{};
  for (const Run& each : runs) motion += simulate::command_of(each.move, settling).duration();
  if (motion > most) return std::nullopt;
  make(runs);
  RunsOfMove all{.runs = static_cast<int>(runs.size()), .strokes = strokes.list};
  if (strokes.for_swings) all.strokes.push_back(*strokes.for_swings);
  for (const Run& each : runs) {
    all.belt_force = std::max(all.belt_force, each.outcome.peak_belt_force);
    // Stretch at rest is judged at the assumed stiffness too.
    if (each.stiffness == 1.0)
      all.error = std::max(all.error, each.outcome.largest_following_error);
    if (!each.outcome.lost_step) continue;
    if (all.lost++ > 0) continue;
    all.stiffness_of_lost = each.stiffness;
    all.damping_of_lost = each.damping;
  }
  return all;
}

}  // namespace pitchline::prove
