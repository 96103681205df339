#include "pitchline/simulate/run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <optional>

#include "detail/bus.hpp"
#include "detail/integrator.hpp"
#include "detail/require_valid.hpp"
#include "detail/start.hpp"

namespace pitchline::simulate {

double EnergyAccount::imbalance() const {
  const double in = in_joules(electrical);
  const double lost = in_joules(copper + drag + kept + friction + damping + applied);
  const double gained = in_joules(stored);
  return std::fabs(in - lost - gained) /
         std::max({std::fabs(in), std::fabs(lost), std::numeric_limits<double>::min()});
}

double EnergyAccount::bus_imbalance() const {
  const double in = in_joules(supply);
  const double out = in_joules(supply_loss + electrical + bridge + capacitor);
  return std::fabs(in - out) /
         std::max({std::fabs(in), std::fabs(out), std::numeric_limits<double>::min()});
}

namespace detail {
namespace {

double top_speed_of(const Command& command) {
  double top = 0.0;
  for (const motion::MotionSegment& part : command.parts)
    for (const Speed& speed : {part.start.speed, part.after(part.length).speed})
      top = std::max(top, std::fabs(in_metres_per_second(speed)));
  return top;
}

// What is largest over a run, and where it ends; shows each moment to an observer.
template <std::size_t Motors>
class Watch {
 public:
  Watch(const SimulatedAxis& axis, const State<Motors>& start, const Observer& observe)
      : observe_(observe),
        tool_from_(start[tool<Motors>]),
        fed_(in_volts(axis.winding.voltage)),
        rigid_friction_(in_newtons(axis.axis.friction)) {}

  void look(const Integrator<Motors>& at, const std::optional<PlainBus>& bus, double time) {
    const Equations<Motors>& e = at.e;
    const State<Motors>& y = at.y;
    double force = 0.0;
    for (std::size_t n = 0; n < Motors; ++n) {
      const double* own = y.data() + of_motor * n;
      angle_[n] = e.N * (at.now.position / e.t - own[theta]);
      force = e.rigid ? e.rigid_force(y, at.rate, rigid_friction_) : e.belt_force(y, n);
      peak_angle_ = std::max(peak_angle_, std::fabs(angle_[n]));
      peak_force_ = std::max(peak_force_, std::fabs(force));
      peak_current_ = std::max({peak_current_, std::fabs(own[i_a]), std::fabs(own[i_b])});
      if (slip_ < 0.0 && std::fabs(angle_[n]) > std::numbers::pi) slip_ = time;
    }
    const double at_tool = e.beam ? y[tool<Motors>] : e.under_tool(y.data(), x);
    error_ = at.now.position - (at_tool - tool_from_);
    peak_error_ = std::max(peak_error_, std::fabs(error_));
    if constexpr (Motors == 2) peak_skew_ = std::max(peak_skew_, std::fabs(y[x] - y[of_motor + x]));
    if (!observe_) return;
    observe_(Sample{.time = seconds(time),
                    .current_a = amperes(y[i_a]),
                    .current_b = amperes(y[i_b]),
                    .rotor = radians(y[theta]),
                    .rotor_speed = radians_per_second(y[omega]),
                    .load = metres(y[x]),
                    .load_speed = metres_per_second(y[v]),
                    .commanded = metres(at.now.position),
                    .belt_force = newtons(Motors == 1 ? force : e.belt_force(y, 0)),
                    .load_angle = radians(angle_[0]),
                    .tool = metres(at_tool),
                    .far_side = metres(y[of_motor * (Motors - 1) + x]),
                    .far_load_angle = radians(angle_[Motors - 1]),
                    .bus = volts(bus ? bus->voltage : e.V)});
  }

  [[nodiscard]] Outcome outcome(const std::optional<PlainBus>& bus, double longest_step) const {
    double final_angle = 0.0;
    for (const double each : angle_)
      if (std::fabs(each) >= std::fabs(final_angle)) final_angle = each;
    return {.lost_step =
                std::fabs(final_angle) > std::numbers::pi || peak_angle_ > 2.0 * std::numbers::pi,
            .final_load_angle = radians(final_angle),
            .largest_load_angle = radians(peak_angle_),
            .slipped = slip_ >= 0.0 ? std::optional<Time>(seconds(slip_)) : std::nullopt,
            .largest_following_error = metres(peak_error_),
            .final_following_error = metres(error_),
            .largest_skew = metres(peak_skew_),
            .peak_belt_force = newtons(peak_force_),
            .peak_current = amperes(peak_current_),
            .lowest_bus = volts(bus ? bus->lowest : fed_),
            .highest_bus = volts(bus ? bus->highest : fed_),
            .longest_step = seconds(longest_step)};
  }

 private:
  const Observer& observe_;
  double tool_from_, fed_, rigid_friction_;
  std::array<double, Motors> angle_{};
  double error_ = 0.0, slip_ = -1.0;
  double peak_angle_ = 0.0, peak_error_ = 0.0, peak_force_ = 0.0, peak_current_ = 0.0;
  double peak_skew_ = 0.0;
};

// Where the energy of a run went that has ended at `y`.
template <std::size_t Motors>
EnergyAccount account_of(const Equations<Motors>& e, const State<Motors>& start,
                         const State<Motors>& y, const std::optional<PlainBus>& bus) {
  constexpr std::size_t work = moving<Motors>;
  return {.electrical = joules(y[work + electrical]),
          .copper = joules(y[work + copper]),
          .drag = joules(y[work + drag]),
          .kept = joules(y[work + kept]),
          .friction = joules(y[work + friction]),
          .damping = joules(y[work + damping]),
          .applied = joules(y[work + applied]),
          .stored = joules(e.stored(y) - e.stored(start)),
          .bridge = joules(y[work + bridge]),
          .supply = joules(bus ? bus->supplied : 0.0),
          .supply_loss = joules(bus ? bus->lost : 0.0),
          .capacitor = joules(bus ? bus->gained : 0.0)};
}

template <std::size_t Motors>
Outcome run_with(const SimulatedAxis& axis, const Command& command, const Settings& settings,
                 const Observer& observe) {
  const Equations<Motors> equations(axis);
  const double top_speed = top_speed_of(command);
  if (axis.share && top_speed / equations.t > (1.0 + 1e-9) * in_radians_per_second(axis.share->top))
    throw OutsideValidity(fmt::format(
        "the command reaches {:.4g} m/s, and what the motor gives is known up to {:.4g} "
        "m/s",
        top_speed, equations.t * in_radians_per_second(axis.share->top)));
  const double longest = std::min(in_seconds(settings.step), finest_needed(equations, top_speed));

  const PlainPart begin(command.parts.front());
  const State<Motors> start = start_of(equations, begin.speed);
  const double load_rate = in_newton_metres(command.load_at_end) / in_seconds(command.duration());
  Integrator<Motors> at(equations, axis, start, load_rate);
  std::optional<PlainBus> bus;
  if (axis.bus) bus.emplace(*axis.bus);
  Watch<Motors> watch(axis, start, observe);
  const auto taken = [&] {
    return at.y[moving<Motors> + electrical] + at.y[moving<Motors> + bridge];
  };

  at.begin(begin);
  watch.look(at, bus, begin.from);
  for (const motion::MotionSegment& segment : command.parts) {
    const PlainPart part(segment);
    // Less a little, so that rounding does not add a step.
    const double count = std::max(1.0, std::ceil(part.length / longest - 1e-6));
    const double step = part.length / count;
    at.begin(part);
    for (double n = 0.0; n < count; n += 1.0) {
      const double before = taken();
      at.step(part, n * step, step);
      if (bus) {
        const double voltage = bus->voltage;
        bus->take(taken() - before, step);
        // What it will be in the middle of the next step, if it goes on as it went.
        at.e.V = bus->voltage + 0.5 * (bus->voltage - voltage);
        at.renew_voltage();
      }
      watch.look(at, bus, part.from + (n + 1.0) * step);
    }
  }
  Outcome outcome = watch.outcome(bus, longest);
  outcome.energy = account_of(at.e, start, at.y, bus);
  return outcome;
}

}  // namespace
}  // namespace detail

Outcome run(const SimulatedAxis& axis, const Command& command, const Settings& settings,
            const Observer& observe) {
  detail::require_valid(axis);
  if (command.parts.empty()) throw InvalidInput("parts of the command", ">= 1", 0.0, "");
  require_positive("step", settings.step);
  return axis.gantry ? detail::run_with<2>(axis, command, settings, observe)
                     : detail::run_with<1>(axis, command, settings, observe);
}

ProvedOutcome run_to_tolerance(const SimulatedAxis& axis, const Command& command, double tolerance,
                               const Settings& coarsest, int halvings) {
  if (!(tolerance >= 1e-7) || !std::isfinite(tolerance))
    throw InvalidInput("tolerance", ">= 1e-7", tolerance, "");
  if (halvings < 1) throw InvalidInput("halvings", "> 0", halvings, "");
  Settings settings = coarsest;
  Outcome coarse = run(axis, command, settings);
  double change = 0.0;
  for (int n = 0; n < halvings; ++n) {
    // Of what was taken, which may be finer than what was asked for.
    settings.step = coarse.longest_step / 2.0;
    const Outcome fine = run(axis, command, settings);
    const auto differs = [](auto a, auto b) {
      return b > decltype(b){} ? std::fabs(number(a / b) - 1.0) : 0.0;
    };
    change = std::max({differs(coarse.largest_load_angle, fine.largest_load_angle),
                       differs(coarse.largest_following_error, fine.largest_following_error),
                       differs(coarse.peak_belt_force, fine.peak_belt_force)});
    // A run that slips is not the same twice: that it slips is what counts.
    const bool both_lost = coarse.lost_step && fine.lost_step;
    if (coarse.lost_step == fine.lost_step && (change < tolerance || both_lost))
      return {.outcome = fine, .step = settings.step, .change = change};
    coarse = fine;
  }
  throw OutsideValidity(fmt::format(
      "halving the step to {:.3g} s still changes the peaks by {:.3g}: allow more than {:.3g}",
      in_seconds(settings.step), change, tolerance));
}

}  // namespace pitchline::simulate
