// Draws axes over a stated box, asks the check for the accelerations that it calls safe, and moves
// each axis in the time domain at the largest of them and below, with stiffness and damping drawn
// from the band over which the verdict is to hold. Exit status 1 where a move that was called safe
// loses a step.
//
//     safe_moves [AXES [margins [each]]]
//
// AXES: how many that the check calls safe at some acceleration; 1000 where not said. The draws are
// the same on every run: fewer axes are the first of more. With "margins" each is also driven up to
// its first failure anywhere in the band, and the distribution of that acceleration over the
// allowed one is printed, with "each" axis by axis: it takes ten times as long.

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <random>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/rows/drive.hpp"
#include "pitchline/check/rows/motor_condition.hpp"
#include "pitchline/io/catalogue.hpp"
#include "pitchline/prove/as_simulated.hpp"
#include "pitchline/prove/runs_of_move.hpp"
#include "pitchline/simulate/completing.hpp"
#include "support/kite_loft.hpp"
#include "support/sticking_load.hpp"

namespace {

using namespace pitchline;

// One draw, by its number alone: mt19937_64 gives the same bits everywhere, the distributions of
// the standard library do not.
class Draw {
 public:
  explicit Draw(std::uint64_t seed) : bits_(seed) {}
  double share() { return static_cast<double>(bits_() >> 11U) * 0x1p-53; }
  double between(double low, double high) { return low + (high - low) * share(); }
  double across(double low, double high) { return low * std::pow(high / low, share()); }
  std::size_t of(std::size_t count) { return static_cast<std::size_t>(bits_() % count); }

 private:
  std::mt19937_64 bits_;
};

struct Trial {
  machine::Machine machine;
  double jerk_share = 0.0;  // jerk time over the time of speeding up
};

// The box: catalogue motors, 24 to 60 V, 0.5 to 25 kg, 1 to 40 N, 10 to 400 N/mm, 0.05 to 1.5 m/s,
// 5 to 1500 mm or any length, jerk time 0 to 1 of the ramp, one move or ten to and fro; static
// friction up to three times the running one in half of them, an incline in a quarter, losses of up
// to 15 %. The damping of the load is that of the band.
Trial drawn(std::uint64_t number) {
  Draw draw(number);
  Trial trial{.machine = testing::kite_loft()};
  machine::Machine& m = trial.machine;
  m.torque_margin = TorqueMargin(1.0);
  m.supply.voltage = volts(draw.between(24, 60));
  machine::Axis& axis = m.axes.front();
  axis::BeltAxis& belt = machine::belt_drive(axis);
  const auto& motors = io::standard_catalogue().motors;
  belt.motor = std::next(motors.begin(), static_cast<long>(draw.of(motors.size())))->second;
  belt.driver = {
      .current = draw.between(0.5, 1.0) * belt.motor.rated_current,
      .current_is = parts::CurrentIs::rms,
      .pulses_per_turn = 16.0 * belt.motor.full_steps_per_turn / full_steps(1) * pulses(1)};
  constexpr std::array teeth{15, 16, 20, 24, 30, 40, 60};
  belt.pulley_teeth = teeth.at(draw.of(teeth.size()));
  belt.pulley_inertia = kilogram_square_metres(draw.across(1e-7, 2e-5));
  belt.efficiency = Efficiency(draw.between(0.85, 1.0));
  belt.belt_damping = DampingRatio(0.03);
  belt.moving.front().mass = kilograms(draw.across(0.5, 25));
  belt.guide = {.friction = FrictionCoefficient(0), .drag = newtons(draw.across(1, 40))};
  if (draw.share() < 0.5) belt.guide.breakaway = draw.across(0.05, 2.0) * belt.guide.drag;
  if (draw.share() < 0.25) belt.incline = degrees(draw.between(1, 90));
  const Stiffness stiffness = newtons_per_millimetre(draw.across(10, 400));
  axis.want.stroke = millimetres(draw.across(5, 1500));
  axis.want.speed = metres_per_second(draw.across(0.05, 1.5));
  axis.want.repeats = draw.share() < 0.5 ? 1 : 10;
  trial.jerk_share = draw.share() < 0.3 ? 0.0 : draw.share();
  if (draw.share() < 0.15) axis.want.stroke = unset<Length>();
  // At its softest both strands are as long as the span.
  belt.travel = metres(1.5);
  belt.span = metres(1.5);
  belt.belt.profile.mass_per_width = MassPerArea{};
  belt.belt.profile.stiffness_per_width = stiffness * (belt.span / (2.0 * belt.belt.width));
  return trial;
}

// Below it an axis does not move in practice.
const Acceleration least_worth = metres_per_second_squared(1e-2);

// A run takes finer steps where belt, field or speed ask for them; halving these changed no verdict
// of the first two hundred axes.
const simulate::Settings coarse{.step = seconds(60e-6)};

enum class Verdict { safe, none_safe, unsure };

struct Result {
  Verdict verdict = Verdict::none_safe;
  double allowed = 0.0;  // m/s²
  bool lost = false;
  bool simulated = false;  // called safe since it completes: the damping of the motor is in doubt
  bool has_least = false;  // safe from some acceleration on
  double closest = 0.0;    // load angle over half an electrical turn
  double margin = 0.0;     // first failure over allowed; 0: not asked
  double by_force = 0.0;   // the same of a rigid command and the same force curve
  std::string what;
};

void set(machine::Axis& axis, const Trial& trial, Acceleration a) {
  axis.want.acceleration = a;
  // A move that is too short to reach its speed has shorter ramps.
  const Speed top = is_unset(axis.want.stroke)
                        ? axis.want.speed
                        : std::min(axis.want.speed, square_root(axis.want.stroke * a));
  axis.want.jerk_time = trial.jerk_share * (top / a);
}

// Somewhere in the band of the verdict, apart from the places that the check runs itself.
struct Place {
  double stiffness = 1.0;
  double damping = 0.03;
  double stroke = 1.0;  // of the shortest that reaches the speed, where none is given
};
Place drawn_place(Draw& draw) {
  return {draw.across(0.6, 1.6), draw.across(0.005, 0.05), draw.across(0.02, 4.0)};
}

// The axis at an acceleration, somewhere in its band.
simulate::Outcome moved(check::AxisState& state, const Trial& trial, Acceleration a,
                        const Place& place) {
  set(state.axis, trial, a);
  simulate::SimulatedAxis axis = prove::as_simulated(state);
  axis.belt_stiffness *= place.stiffness;
  axis.belt_damping = DampingRatio(place.damping);
  motion::RunningMove move = check::wanted_move(state.axis.want);
  if (is_unset(move.stroke))
    move.stroke = std::min(
        machine::travel_of(state.axis.drive),
        Length(place.stroke * (move.speed * move.speed / a + move.speed * move.jerk_time)));
  if (move.in_succession == 1) {
    // No axis moves only once in its life: the way back begins with what friction has wound up.
    move.in_succession = 2;
    move.dwell = seconds(0.2);
  }
  return simulate::run(axis, simulate::command_of(move, simulate::usual_settling), coarse);
}

// Whether a rigid command asks a load on one spring for more than the motor has at that speed: the
// same force curve as the bound's, without a motor that yields.
bool asks_too_much(check::AxisState& state, const Trial& trial, Acceleration a,
                   const Place& place) {
  set(state.axis, trial, a);
  const motion::RunningMove move = check::wanted_move(state.axis.want);
  const motion::AxisAtMotor& seen = state.seen;
  const double efficiency = seen.efficiency.value();
  const double mass = in_kilograms(motion::accelerated_mass(seen)) * efficiency;
  const motion::SwingBand& band = state.band;
  const double along = std::log(place.stiffness / 0.6) / std::log(1.6 / 0.6);
  const double stiffness =
      band.least_stiffness * std::pow(band.most_stiffness / band.least_stiffness, along);
  const double least = band.least_damping.value();
  const double step = in_metres_per_second_squared(a);
  const double speed = in_metres_per_second(move.speed) / step;
  const double stroke =
      in_metres(is_unset(move.stroke) ? Length(place.stroke * (move.speed * move.speed / a))
                                      : move.stroke) /
      step;
  const double top = std::min(speed, std::sqrt(stroke));
  const double friction = in_newtons(seen.friction) / mass / step;
  const double breakaway = in_newtons(seen.breakaway) / mass / step;
  const testing::StickingLoad load{
      .omega =
          2.0 * std::numbers::pi * in_hertz(state.swing->natural_frequency) * std::sqrt(stiffness),
      .zeta = least + (band.most_damping.value() - least) * (place.damping - 0.005) / 0.045,
      .friction = friction,
      .breakaway = breakaway,
      .wound = -(friction + breakaway) * (1.0 - 1e-9)};
  const testing::RunOfMoves run{.top = top,
                                .acceleration = 1.0,
                                .jerk_time = in_seconds(move.jerk_time),
                                .cruise = std::max(0.0, stroke / top - top),
                                .dwell = in_seconds(move.dwell),
                                .moves = move.in_succession,
                                .onward = false};
  bool too_much = false;
  testing::run_sticking_load(load, run, 40, [&](double at, double force) {
    const Force asked = seen.gravity / efficiency +
                        motion::accelerated_mass(seen) * metres_per_second_squared(force * step);
    const Speed v = metres_per_second(std::min(at * step, in_metres_per_second(move.speed)));
    too_much = too_much || asked * seen.transmission > state.available(v);
  });
  return too_much;
}

// The first failure over what is allowed, in steps of a tenth; at most what 25 of them come to.
template <class Fails>
double first_failure(Acceleration allowed, Fails&& fails) {
  Acceleration a = allowed;
  for (int n = 0; n < 25; ++n) {
    a *= 1.1;
    if (fails(a)) break;
  }
  return number(a / allowed) / std::sqrt(1.1);
}

// The accelerations that the check calls safe.
motion::HeldRange safe_range(check::AxisState& state, const Trial& trial) {
  const auto holds = [&](Acceleration a) {
    set(state.axis, trial, a);
    return check::torque_margin_finding(state).margin >= 1.0;
  };
  const Acceleration most = metres_per_second_squared(200);
  if (state.seen.breakaway > Force{}) return motion::widest_holding(most, holds);
  return {.most = motion::largest_holding(most, holds)};
}

Result judge(std::uint64_t nth, bool margins) {
  Trial trial = drawn(nth);
  Draw draw(nth + 0x9e3779b97f4a7c15ULL);
  machine::Axis& axis = trial.machine.axes.front();
  set(axis, trial, metres_per_second_squared(1));
  check::AxisState state = check::state_of(trial.machine, axis);
  const motion::HeldRange range = safe_range(state, trial);
  const Acceleration allowed = range.most;
  Result r;
  if (!(allowed > least_worth)) return r;
  set(state.axis, trial, allowed);
  if (check::stability_finding(state).verdict != report::Verdict::holds) {
    const auto runs = prove::runs_of_wanted_move(state, true, seconds(60));
    if (!runs || runs->lost > 0) {
      r.verdict = Verdict::unsure;
      r.lost = moved(state, trial, allowed, {}).lost_step;
      return r;
    }
    r.simulated = true;
  }
  r.verdict = Verdict::safe;
  r.has_least = range.least > Acceleration{};
  r.allowed = in_metres_per_second_squared(allowed);
  const Acceleration least = std::max(range.least, Acceleration(0.03 * allowed));
  std::string where;
  const auto watch = [&](Acceleration a, const Place& place) {
    const simulate::Outcome outcome = moved(state, trial, a, place);
    r.closest = std::max(r.closest, in_radians(outcome.largest_load_angle) / std::numbers::pi);
    if (!outcome.lost_step) return;
    r.lost = true;
    where += fmt::format(
        "; lost at {} with {:.3f} of the stiffness, damping {:.4f}, {:.2f} of the "
        "stroke",
        a, place.stiffness, place.damping, place.stroke);
  };
  watch(allowed, drawn_place(draw));
  watch(allowed, drawn_place(draw));
  // What the simulation decided it decided at one acceleration.
  for (int n = 0; n < 2 && !r.simulated; ++n)
    watch(least * std::pow(number(allowed / least), draw.share()), drawn_place(draw));
  if (margins && !r.lost) {
    std::array<Place, 4> places;
    for (Place& each : places) each = drawn_place(draw);
    r.margin = first_failure(allowed, [&](Acceleration a) {
      return std::any_of(places.begin(), places.end(),
                         [&](const Place& each) { return moved(state, trial, a, each).lost_step; });
    });
    std::array<Place, 24> more;
    for (Place& each : more) each = drawn_place(draw);
    r.by_force = first_failure(allowed, [&](Acceleration a) {
      return std::any_of(more.begin(), more.end(),
                         [&](const Place& each) { return asks_too_much(state, trial, a, each); });
    });
  }
  r.what = fmt::format(
      "axis {}: {}, {}, {}, {} kg, {} and {} at rest, {}, {}, stroke {}, {} moves, jerk share "
      "{:.2f}: allowed {} to {}{}{}",
      nth, state.motor().name, trial.machine.supply.voltage, axis.want.speed,
      in_kilograms(state.seen.mass), state.seen.friction, state.seen.breakaway,
      machine::incline_of(axis.drive), state.stiffness, axis.want.stroke, axis.want.repeats,
      trial.jerk_share, range.least, allowed, r.simulated ? ", simulated" : "", where);
  return r;
}

double quantile(const std::vector<double>& sorted, double share) {
  const double place = share * static_cast<double>(sorted.size() - 1);
  return sorted[static_cast<std::size_t>(std::lround(place))];
}

void print_distribution(const char* what, std::vector<double> values) {
  if (values.empty()) return;
  std::sort(values.begin(), values.end());
  fmt::print(
      "{}: least {:.3g}, a twentieth {:.3g}, a quarter {:.3g}, median {:.3g}, three quarters "
      "{:.3g}, nineteen twentieths {:.3g}, most {:.3g}\n",
      what, values.front(), quantile(values, 0.05), quantile(values, 0.25), quantile(values, 0.5),
      quantile(values, 0.75), quantile(values, 0.95), values.back());
}

int run(std::size_t wanted, bool margins, bool axis_by_axis) {
  // In rounds of one size, so that the axes looked at do not depend on the number of threads.
  const std::size_t round = std::min<std::size_t>(wanted, 250);
  std::vector<Result> results;
  std::size_t safe = 0;
  while (safe < wanted) {
    const std::size_t first = results.size();
    results.resize(first + round);
    std::atomic<std::size_t> next{first};
    const auto work = [&] {
      for (std::size_t i = next++; i < results.size(); i = next++)
        results[i] = judge(static_cast<std::uint64_t>(i), margins);
    };
    std::vector<std::thread> threads;
    for (unsigned n = 0; n < std::max(1U, std::thread::hardware_concurrency()); ++n)
      threads.emplace_back(work);
    for (std::thread& each : threads) each.join();
    safe = static_cast<std::size_t>(std::count_if(
        results.begin(), results.end(), [](const auto& r) { return r.verdict == Verdict::safe; }));
    if (results.size() > 40 * wanted + round) break;
  }
  std::size_t unsure = 0;
  std::size_t lost = 0;
  std::size_t lost_unsure = 0;
  std::size_t simulated = 0;
  std::size_t with_least = 0;
  std::vector<double> closest;
  std::vector<double> over;
  std::vector<double> by_force;
  for (const Result& r : results) {
    if (r.verdict == Verdict::unsure) {
      ++unsure;
      if (r.lost) ++lost_unsure;
    }
    if (r.verdict != Verdict::safe) continue;
    closest.push_back(r.closest);
    if (r.margin > 0.0) {
      over.push_back(r.margin);
      by_force.push_back(r.by_force);
      if (axis_by_axis)
        fmt::print("{:.3g} by force {:.3g} closest {:.3g} of {}\n", r.margin, r.by_force, r.closest,
                   r.what);
    }
    if (r.simulated) ++simulated;
    if (r.has_least) ++with_least;
    if (!r.lost) continue;
    ++lost;
    fmt::print("lost: {}\n", r.what);
  }
  fmt::print(
      "{} axes drawn: {} safe at some acceleration, {} unsure at every, {} "
      "refused\n",
      results.size(), safe, unsure, results.size() - safe - unsure);
  fmt::print("{} of them since they complete, {} only from some acceleration on\n", simulated,
             with_least);
  fmt::print("{} of {} lose a step where they are called safe\n", lost, safe);
  fmt::print("{} of the {} unsure lose one at the largest acceleration that the torque allows\n",
             lost_unsure, unsure);
  print_distribution("largest load angle over half an electrical turn", closest);
  print_distribution("acceleration of the first failure over the largest called safe", over);
  print_distribution("the same of a rigid command with the same force curve", by_force);
  return lost > 0 || safe < wanted ? 1 : 0;
}

}  // namespace

int main(int argc, char** argv) try {
  const std::size_t wanted = argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 1000;
  const bool margins = argc > 2 && std::string_view(argv[2]) == "margins";
  return run(wanted, margins, argc > 3 && std::string_view(argv[3]) == "each");
} catch (const std::exception& error) {
  fmt::print(stderr, "{}\n", error.what());
  return 2;
}
