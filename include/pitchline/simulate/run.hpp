#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <type_traits>

#include "pitchline/simulate/detail/integrator.hpp"

namespace pitchline::simulate {

/// How finely time is cut.
struct Settings {
  /// Longest step; each part of the command is cut into equal ones. Halving the 10 µs changes the
  /// peaks of the axes of axis_step_loss.csv by less than 1e-4. The energy account closes to 1e-7
  /// while the voltage suffices; where the driver goes in and out of its limit to some 1e-3, and to
  /// 1e-6 at 2 µs.
  Time step = seconds(10e-6);
};

/// Where the energy went. Works are of the whole run; the sum of the right side is the left.
///
///     electrical = copper + drag + friction + damping + applied + stored
struct EnergyAccount {
  Energy electrical{};  ///< from the driver into the winding, less what came back
  Energy copper{};
  Energy drag{};      ///< viscous, of the motor
  Energy friction{};  ///< Coulomb friction of the load and iron torque
  Energy damping{};   ///< of the belt, and of `swing_damping`
  Energy applied{};   ///< against the torque of the command
  Energy stored{};    ///< gained: currents, speeds, belt, height, detent

  /// What is missing, over the larger of the two sides.
  [[nodiscard]] double imbalance() const {
    const double in = in_joules(electrical);
    const double lost = in_joules(copper + drag + friction + damping + applied);
    const double kept = in_joules(stored);
    return std::fabs(in - lost - kept) /
           std::max({std::fabs(in), std::fabs(lost), std::numeric_limits<double>::min()});
  }
};

/// A moment of a run.
struct Sample {
  Time time{};
  Current current_a{}, current_b{};
  Angle rotor{};
  AngularSpeed rotor_speed{};
  Length load{};
  Speed load_speed{};
  Length commanded{};  ///< without microsteps
  Force belt_force{};  ///< positive pulls the load upwards; of a rigid belt that friction holds:
                       ///< the weight alone
  Angle load_angle{};  ///< electrical, commanded less rotor
};

/// What became of a run.
struct Outcome {
  bool lost_step = false;            ///< the load angle ends beyond half an electrical turn
  Angle final_load_angle{};          ///< electrical, commanded less rotor
  Angle largest_load_angle{};        ///< electrical, either way
  std::optional<Time> slipped;       ///< when the load angle first passed half an electrical turn
  Length largest_following_error{};  ///< of the load, against where it began, either way
  Length final_following_error{};    ///< commanded less load
  Force peak_belt_force{};           ///< either way
  Current peak_current{};            ///< of a phase
  EnergyAccount energy{};
};

/// Takes no notice of a sample.
struct Unobserved {
  void operator()(const Sample& /*sample*/) const {}
};

namespace detail {
inline void require_fine(const Equations& e, double step) {
  if (!(step > 0.0) || !std::isfinite(step)) throw InvalidInput("step", "> 0", step, "s");
  // A fourth-order step is stable up to 2.785 of a decay; the belt must also be followed.
  const double decay = e.gain / e.L + e.R / e.L;
  const double mobility = e.t * e.t / e.J + 1.0 / e.m;
  const double belt = e.rigid ? 0.0 : std::max(std::sqrt(e.k * mobility), e.c * mobility);
  const double turning = e.J + (e.rigid ? e.m * e.t * e.t : 0.0);
  double contact = (e.B + e.D) / turning;
  if (e.smooth)
    contact +=
        e.rotor.kinetic / e.rotor.speed_scale / turning + e.load.kinetic / e.load.speed_scale / e.m;
  const double longest = std::min(2.7 / decay, 1.0 / std::max(belt + contact, 1e-12));
  if (step > longest)
    throw OutsideValidity(fmt::format(
        "step must be at most {:.4g} s for this driver and belt, got {:.4g} s", longest, step));
}

// At rest, or at the speed with which the command begins: the belt carries gravity and friction,
// and the field lags behind as far as it must.
inline State start_of(const Equations& e, double speed) {
  const int sense = (speed > 0.0) - (speed < 0.0);
  const double friction = e.rigid ? 0.0 : e.load.kinetic * sense;
  const double force = e.gravity + friction;
  const double torque = e.t * force + e.rotor.kinetic * sense + e.B * speed / e.t;
  if (!(std::fabs(torque) < e.K * e.I))
    throw OutsideValidity(
        fmt::format("the field holds {:.4g} N*m, which is not above the {:.4g} N*m of the load at "
                    "the start",
                    e.K * e.I, std::fabs(torque)));
  State y{};
  y[i_a] = e.I * e.gain / (e.gain + e.R);
  y[theta] = -std::asin(torque / (e.K * e.I)) / e.N;
  y[omega] = speed / e.t;
  y[x] = e.t * y[theta] - (e.rigid ? 0.0 : force / e.k);
  y[v] = speed;
  return y;
}
}  // namespace detail

/// Moves an axis through a command, from rest or from the speed with which it begins.
///
///     L i_a' = u_a − R i_a + K ω sin φ              u = limited to ±V of (L/τ)(i* − i)
///     L i_b' = u_b − R i_b − K ω cos φ              i* = I cos g, I sin g
///     J ω' = K (i_b cos φ − i_a sin φ) − T_d sin 4φ − B ω − D (ω − ω*) − T_i sgn ω − t F_b − T
///     m v' = F_b − F sgn v − G                      F_b = k_b s + c s',  s = t θ − x
///     φ = N θ,  g = N x*/t in jumps of a microstep, c = 2 ζ √(k_b m)
///
///     K, R, L, N, I, V  winding                  > 0
///     τ        driver.current_time_constant  s        > 0
///     J        both inertias of axis         kg·m²    > 0
///     m, t     axis.mass, axis.transmission  kg, m/rad  > 0
///     F, G     axis.friction, axis.gravity   N        ≥ 0
///     k_b, ζ   belt_stiffness, belt_damping  N/m, –   > 0, may be infinite; ≥ 0
///     T_d, T_i detent_torque, iron_torque    N·m      ≥ 0
///     B, D     motor_drag, swing_damping     N·m·s/rad  ≥ 0
///     T        of the command                N·m
///     x*, ω*   of the command                m, rad/s
///
/// With a rigid belt J + m t² turns as one. A sticking body stays where it is while the force on it
/// is at most its static limit; the moment at which it stops is found within the step, the moment
/// at which it is let go to one step. The currents begin as commanded: above the speed up to which
/// the driver can force them, a run that begins there begins with a blow. `observe` is called with
/// a `Sample` at the start and after each step. Leaves out saturation of the iron, the ripple of a
/// switching driver, an integrating regulator, a sagging supply, friction that falls with speed,
/// and the stretch of belt that changes with the place of the load. Equal input gives equal bits.
///
/// \throws InvalidInput     a number outside the table, or never set; a command without parts
/// \throws OutsideValidity  efficiency below 1; a step too long for driver, belt or friction; a
///                          load that the field cannot hold where the run begins
///
/// Source: derived, two-phase machine with sinusoidal flux; checked against axis_step_loss.csv and
/// pullout_simulated.csv of reference/published/.
template <class Observe = Unobserved>
Outcome run(const SimulatedAxis& axis, const Command& command, const Settings& settings = {},
            Observe&& observe = {}) {
  detail::require_valid(axis);
  if (command.parts.empty()) throw InvalidInput("parts of the command", ">= 1", 0.0, "");
  const detail::Equations equations(axis);
  const double longest = in_seconds(settings.step);
  detail::require_fine(equations, longest);

  const detail::PlainPart begin(command.parts.front());
  const detail::State start = detail::start_of(equations, begin.speed);
  const double load_rate = in_newton_metres(command.load_at_end) / in_seconds(command.duration());
  detail::Integrator at(equations, start, load_rate);

  const detail::Equations& e = at.e;
  const double load_friction = e.rigid ? in_newtons(axis.axis.friction) : 0.0;
  double peak_angle = 0.0;
  double peak_error = 0.0;
  double peak_force = 0.0;
  double peak_current = 0.0;
  double slip = -1.0;
  double angle = 0.0;
  double error = 0.0;
  const auto look = [&](double time) {
    const detail::State& y = at.y;
    angle = e.N * (at.now.position / e.t - y[detail::theta]);
    error = at.now.position - (y[detail::x] - start[detail::x]);
    const double force = e.rigid ? e.rigid_force(y, at.rate, load_friction) : e.belt_force(y);
    peak_angle = std::max(peak_angle, std::fabs(angle));
    peak_error = std::max(peak_error, std::fabs(error));
    peak_force = std::max(peak_force, std::fabs(force));
    peak_current = std::max({peak_current, std::fabs(y[detail::i_a]), std::fabs(y[detail::i_b])});
    if (slip < 0.0 && std::fabs(angle) > std::numbers::pi) slip = time;
    if constexpr (!std::is_same_v<std::remove_cvref_t<Observe>, Unobserved>)
      observe(Sample{.time = seconds(time),
                     .current_a = amperes(y[detail::i_a]),
                     .current_b = amperes(y[detail::i_b]),
                     .rotor = radians(y[detail::theta]),
                     .rotor_speed = radians_per_second(y[detail::omega]),
                     .load = metres(y[detail::x]),
                     .load_speed = metres_per_second(y[detail::v]),
                     .commanded = metres(at.now.position),
                     .belt_force = newtons(force),
                     .load_angle = radians(angle)});
  };

  at.begin(begin);
  look(begin.from);
  for (const motion::detail::MotionSegment& segment : command.parts) {
    const detail::PlainPart part(segment);
    // Less a little, so that rounding does not add a step.
    const double count = std::max(1.0, std::ceil(part.length / longest - 1e-6));
    const double step = part.length / count;
    at.begin(part);
    for (double n = 0.0; n < count; n += 1.0) {
      at.step(part, n * step, step);
      look(part.from + (n + 1.0) * step);
    }
  }

  const detail::State& y = at.y;
  return {.lost_step = std::fabs(angle) > std::numbers::pi,
          .final_load_angle = radians(angle),
          .largest_load_angle = radians(peak_angle),
          .slipped = slip >= 0.0 ? std::optional<Time>(seconds(slip)) : std::nullopt,
          .largest_following_error = metres(peak_error),
          .final_following_error = metres(error),
          .peak_belt_force = newtons(peak_force),
          .peak_current = amperes(peak_current),
          .energy = {.electrical = joules(y[detail::electrical]),
                     .copper = joules(y[detail::copper]),
                     .drag = joules(y[detail::drag]),
                     .friction = joules(y[detail::friction]),
                     .damping = joules(y[detail::damping]),
                     .applied = joules(y[detail::applied]),
                     .stored = joules(e.stored(y) - e.stored(start))}};
}

}  // namespace pitchline::simulate
