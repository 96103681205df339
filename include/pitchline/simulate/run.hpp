#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <type_traits>
#include <utility>

#include "pitchline/simulate/detail/integrator.hpp"

namespace pitchline::simulate {

/// How finely time is cut.
struct Settings {
  /// Longest step; each part of the command is cut into equal ones. A step is shorter where belt,
  /// friction or a fast field ask for it, and ends early at an event. Halving the 25 µs changes the
  /// peaks of the axes of axis_step_loss.csv by less than 1e-4.
  Time step = seconds(25e-6);
};

/// Where the energy went. Works are of the whole run; the sum of the right side is the left.
///
///     electrical = copper + drag + kept + friction + damping + applied + stored
///     supply = supply_loss + electrical + bridge + capacitor      with a bus
struct EnergyAccount {
  Energy electrical{};  ///< from the driver into the winding, less what came back
  Energy copper{};
  Energy drag{};      ///< viscous, of the motor
  Energy kept{};      ///< what `SimulatedAxis::share` keeps back of the work of the field
  Energy friction{};  ///< Coulomb friction of the load, iron torque and losses of the drive
  Energy damping{};   ///< of belt and beam, and of `swing_damping`
  Energy applied{};   ///< against the torque of the command
  Energy stored{};    ///< gained: currents, speeds, belt, beam, height, detent
  Energy bridge{};    ///< lost in the drop of the driver
  Energy supply{};    ///< out of the supply, of a run with a bus
  Energy supply_loss{};
  Energy capacitor{};  ///< gained by the capacitor of the bus

  /// What is missing, over the larger of the two sides.
  [[nodiscard]] double imbalance() const {
    const double in = in_joules(electrical);
    const double lost = in_joules(copper + drag + kept + friction + damping + applied);
    const double gained = in_joules(stored);
    return std::fabs(in - lost - gained) /
           std::max({std::fabs(in), std::fabs(lost), std::numeric_limits<double>::min()});
  }
  /// The same of the account of the bus.
  [[nodiscard]] double bus_imbalance() const {
    const double in = in_joules(supply);
    const double out = in_joules(supply_loss + electrical + bridge + capacitor);
    return std::fabs(in - out) /
           std::max({std::fabs(in), std::fabs(out), std::numeric_limits<double>::min()});
  }
};

/// A moment of a run. With two motors it is of the near one, but for `tool` and what follows.
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
  Length tool{};       ///< on its beam; without one as `load`
  Length far_side{};   ///< of the load at the far motor, with two
  Angle far_load_angle{};
  Voltage bus{};  ///< what the driver is fed with
};

/// What became of a run. With two motors the worse of both.
struct Outcome {
  /// The load angle ends beyond half an electrical turn, or was a whole one away in between: moves
  /// to and fro may find the way back by chance.
  bool lost_step = false;
  Angle final_load_angle{};          ///< electrical, commanded less rotor
  Angle largest_load_angle{};        ///< electrical, either way
  std::optional<Time> slipped;       ///< when the load angle first passed half an electrical turn
  Length largest_following_error{};  ///< of the tool, against where it began, either way
  Length final_following_error{};    ///< commanded less tool
  Length largest_skew{};             ///< one end of a gantry ahead of the other, either way
  Force peak_belt_force{};           ///< either way
  Current peak_current{};            ///< of a phase
  Voltage lowest_bus{}, highest_bus{};
  Time longest_step{};  ///< in which time was cut
  EnergyAccount energy{};
};

/// Takes no notice of a sample.
struct Unobserved {
  void operator()(const Sample& /*sample*/) const {}
};

namespace detail {
// The longest step at which the classic weights are stable and belt, beam and field are followed.
template <std::size_t Motors>
double finest_needed(const Equations<Motors>& e, double top_speed) {
  const double lightest = Motors == 1 ? e.m : std::min(e.m11, e.m22) / 2.0;
  const double mobility = e.t * e.t / e.J + (lightest > 0.0 ? 1.0 / lightest : 0.0);
  const double k = std::max({e.spring.k, e.spring.up, e.spring.down});
  const double belt = e.rigid ? 0.0 : std::max(std::sqrt(k * mobility), e.c * mobility);
  const double beam = e.beam ? std::sqrt(e.beam_k * (1.0 / e.beam_mass + 1.0 / lightest)) : 0.0;
  const double turning = e.J + (e.rigid ? e.m * e.t * e.t : 0.0);
  const double field = std::sqrt(e.N * e.strongest * e.K * e.I / turning) + (e.B + e.D) / turning;
  double contact = 0.0;
  if (e.smooth) {
    for (std::size_t n = 0; n < Motors; ++n)
      contact += e.rotor[n].kinetic / e.rotor[n].speed_scale / turning +
                 (e.rigid ? 0.0 : e.load[n].kinetic / e.load[n].speed_scale / lightest);
  }
  const double electrical = e.N * top_speed / e.t;
  // A twentieth of a swing for what swings, two decays for what only decays, and a fifth of a
  // radian of the field: together they leave an error of the load angle below 1e-4.
  return std::min({0.3 / std::max({belt + beam, field, 1e-9}), 2.0 / std::max(contact, 1e-9),
                   1.0 / 5.0 / std::max(electrical, 1e-9)});
}

// At rest, or at the speed with which the command begins: the belt carries gravity and friction,
// and the field lags behind as far as it must.
template <std::size_t Motors>
State<Motors> start_of(const Equations<Motors>& e, double speed) {
  const int sense = (speed > 0.0) - (speed < 0.0);
  State<Motors> y{};
  for (std::size_t n = 0; n < Motors; ++n) {
    double* own = y.data() + of_motor * n;
    const double friction = e.rigid ? 0.0 : e.load[n].kinetic * sense;
    const double force = e.gravity[n] + friction;
    const double torque =
        e.t * force + e.rotor_friction(n, force, sense) * sense + e.B * speed / e.t;
    own[i_a] = e.I * e.gain / (e.gain + e.R);
    const double holds = e.share_at(speed / e.t) * e.K * own[i_a];
    if (!(std::fabs(torque) < holds))
      throw OutsideValidity(
          fmt::format("the field holds {:.4g} N*m, which is not above the {:.4g} N*m of the load "
                      "at the start",
                      holds, std::fabs(torque)));
    own[theta] = -std::asin(torque / holds) / e.N;
    own[omega] = speed / e.t;
    double stretch = e.rigid ? 0.0 : force / e.spring.k;
    if (!e.rigid && e.spring.region(stretch) > 0)
      stretch = (force - e.spring.tension) / e.spring.up;
    if (!e.rigid && e.spring.region(stretch) < 0)
      stretch = (force + e.spring.tension) / e.spring.down;
    own[x] = e.t * own[theta] - stretch;
    own[v] = speed;
  }
  y[tool<Motors>] = e.under_tool(y.data(), x);
  y[tool<Motors> + 1] = speed;
  return y;
}

// The capacitor gives what a step took, and the supply makes it up as far as it can. The voltage
// stands still within a step.
struct PlainBus {
  double no_load = 0, resistance = 0, capacitance = 0, voltage = 0;
  double supplied = 0, lost = 0, gained = 0, lowest = 0, highest = 0;

  explicit PlainBus(const Bus& b)
      : no_load(in_volts(b.no_load)),
        resistance(in_ohms(b.resistance)),
        capacitance(in_farads(b.capacitance)),
        voltage(no_load),
        lowest(no_load),
        highest(no_load) {}

  void take(double energy, double time) {
    const double before = voltage;
    fill(time / 2.0);  // half before and half after, so that the error goes with the step squared
    const double left = voltage * voltage - 2.0 * energy / capacitance;
    if (!(left > 0.0))
      throw OutsideValidity("the capacitor of the bus is empty: the supply is too weak");
    voltage = std::sqrt(left);
    fill(time / 2.0);
    gained += 0.5 * capacitance * (voltage * voltage - before * before);
    lowest = std::min(lowest, voltage);
    highest = std::max(highest, voltage);
  }

 private:
  void fill(double time) {
    if (!(voltage < no_load)) return;
    const double drained = voltage;
    voltage = resistance > 0.0
                  ? no_load - (no_load - drained) * std::exp(-time / (resistance * capacitance))
                  : no_load;
    const double charge = capacitance * (voltage - drained);
    const double kept = 0.5 * capacitance * (voltage * voltage - drained * drained);
    // Without resistance the current is spread over the step, and nothing is lost.
    const double given = resistance > 0.0 ? no_load * charge : kept;
    supplied += given;
    lost += given - kept;
  }
};

template <std::size_t Motors, class Observe>
Outcome run_with(const SimulatedAxis& axis, const Command& command, const Settings& settings,
                 Observe&& observe) {
  using namespace detail;
  const Equations<Motors> equations(axis);
  double top_speed = 0.0;
  for (const motion::MotionSegment& part : command.parts)
    for (const Speed& speed : {part.start.speed, part.after(part.length).speed})
      top_speed = std::max(top_speed, std::fabs(in_metres_per_second(speed)));
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

  const Equations<Motors>& e = at.e;
  const double load_friction = e.rigid ? in_newtons(axis.axis.friction) : 0.0;
  constexpr std::size_t work = moving<Motors>;
  double peak_angle = 0.0;
  double peak_error = 0.0;
  double peak_force = 0.0;
  double peak_current = 0.0;
  double peak_skew = 0.0;
  double slip = -1.0;
  std::array<double, Motors> angle{};
  double error = 0.0;
  const auto look = [&](double time) {
    const State<Motors>& y = at.y;
    double force = 0.0;
    for (std::size_t n = 0; n < Motors; ++n) {
      const double* own = y.data() + of_motor * n;
      angle[n] = e.N * (at.now.position / e.t - own[theta]);
      force = e.rigid ? e.rigid_force(y, at.rate, load_friction) : e.belt_force(y, n);
      peak_angle = std::max(peak_angle, std::fabs(angle[n]));
      peak_force = std::max(peak_force, std::fabs(force));
      peak_current = std::max({peak_current, std::fabs(own[i_a]), std::fabs(own[i_b])});
      if (slip < 0.0 && std::fabs(angle[n]) > std::numbers::pi) slip = time;
    }
    const double at_tool = e.beam ? y[tool<Motors>] : e.under_tool(y.data(), x);
    error = at.now.position - (at_tool - start[tool<Motors>]);
    peak_error = std::max(peak_error, std::fabs(error));
    if constexpr (Motors == 2) peak_skew = std::max(peak_skew, std::fabs(y[x] - y[of_motor + x]));
    if constexpr (!std::is_same_v<std::remove_cvref_t<Observe>, Unobserved>) {
      observe(Sample{.time = seconds(time),
                     .current_a = amperes(y[i_a]),
                     .current_b = amperes(y[i_b]),
                     .rotor = radians(y[theta]),
                     .rotor_speed = radians_per_second(y[omega]),
                     .load = metres(y[x]),
                     .load_speed = metres_per_second(y[v]),
                     .commanded = metres(at.now.position),
                     .belt_force = newtons(Motors == 1 ? force : e.belt_force(y, 0)),
                     .load_angle = radians(angle[0]),
                     .tool = metres(at_tool),
                     .far_side = metres(y[of_motor * (Motors - 1) + x]),
                     .far_load_angle = radians(angle[Motors - 1]),
                     .bus = volts(bus ? bus->voltage : e.V)});
    }
  };

  at.begin(begin);
  look(begin.from);
  for (const motion::MotionSegment& segment : command.parts) {
    const PlainPart part(segment);
    // Less a little, so that rounding does not add a step.
    const double count = std::max(1.0, std::ceil(part.length / longest - 1e-6));
    const double step = part.length / count;
    at.begin(part);
    for (double n = 0.0; n < count; n += 1.0) {
      const double taken = at.y[work + electrical] + at.y[work + bridge];
      at.step(part, n * step, step);
      if (bus) {
        const double before = bus->voltage;
        bus->take(at.y[work + electrical] + at.y[work + bridge] - taken, step);
        // What it will be in the middle of the next step, if it goes on as it went.
        at.e.V = bus->voltage + 0.5 * (bus->voltage - before);
        at.renew_voltage();
      }
      look(part.from + (n + 1.0) * step);
    }
  }

  const State<Motors>& y = at.y;
  double final_angle = 0.0;
  for (const double each : angle)
    if (std::fabs(each) >= std::fabs(final_angle)) final_angle = each;
  const double fed = in_volts(axis.winding.voltage);
  return {
      .lost_step = std::fabs(final_angle) > std::numbers::pi || peak_angle > 2.0 * std::numbers::pi,
      .final_load_angle = radians(final_angle),
      .largest_load_angle = radians(peak_angle),
      .slipped = slip >= 0.0 ? std::optional<Time>(seconds(slip)) : std::nullopt,
      .largest_following_error = metres(peak_error),
      .final_following_error = metres(error),
      .largest_skew = metres(peak_skew),
      .peak_belt_force = newtons(peak_force),
      .peak_current = amperes(peak_current),
      .lowest_bus = volts(bus ? bus->lowest : fed),
      .highest_bus = volts(bus ? bus->highest : fed),
      .longest_step = seconds(longest),
      .energy = {.electrical = joules(y[work + electrical]),
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
                 .capacitor = joules(bus ? bus->gained : 0.0)}};
}
}  // namespace detail

/// Moves an axis through a command, from rest or from the speed with which it begins.
///
///     L i_a' = u_a − R i_a + K ω sin φ          averaged: u = limited to ±(V − V_d) of
///     L i_b' = u_b − R i_b − K ω cos φ                    (L/τ)(i* − i)
///     J ω' = s_T K (i_b cos φ − i_a sin φ) − T_d sin 4φ − B ω − D (ω − ω*) − (T_i + λ t |F_b|) sgn
///     ω
///            − t F_b − T
///     m v' = F_b − F sgn v − G + F_q            F_b = k_b s + c s',  s = t θ − x
///     m_q w' = −F_q                             F_q = k_q (q − x) + c_q (w − v)
///     φ = N θ,  i* = I cos g, I sin g,  g = N x*/t in jumps of a microstep,  c = 2 ζ √(k_b M)
///
///     K, R, L, N, I, V  winding                  > 0; V that of the bus where there is one
///     s_T      share, at the commanded speed; 1 where there is none  –  > 0
///     V_d, τ   driver.drop, .current_time_constant  V, s  ≥ 0, > 0
///     J        both inertias of axis         kg·m²    > 0
///     m, t     axis.mass less m_q, axis.transmission  kg, m/rad  > 0
///     M        all that one motor pulls: axis.mass, or half of both parts of the gantry   kg
///     F, G     axis.friction, axis.gravity   N        ≥ 0; smooth: tanh(v/v_s) stands for sgn v
///     λ        loss: driving where F_b ω > 0, else driven   –  ≥ 0
///     T_d, T_i detent_torque, iron_torque    N·m      ≥ 0
///     B, D     motor_drag, swing_damping     N·m·s/rad  ≥ 0
///     m_q, k_q, c_q  beam: mass, stiffness, 2 ζ_q √(k_q m_q)
///     T        of the command                N·m
///     x*, ω*   of the command                m, rad/s
///
/// A strand that goes slack leaves the other alone: F_b = k_up s + T_0 beyond s = T_0/k_down, and
/// alike below. A switching driver puts the full voltage on a phase at each tick of its clock until
/// its current is reached, for the blanking time at least; then the current dies away through the
/// bridge, or against the supply while |i*| falls: with switches and not diodes, so that it may
/// pass zero before the next tick. Two motors pull the ends of a rigid beam, whose mass couples
/// them: a carriage m_c at p gives (1 − p)², p (1 − p), p², an even beam 1/3, 1/6, 1/3. The bus is
/// a capacitor that a supply fills through its resistance and never empties.
///
/// With a rigid belt J + m t² turns as one. A sticking body stays where it is while the force on it
/// is at most its static limit. The moments at which a body stops, a strand goes slack or taut, the
/// voltage meets its limit, the driver switches and a pulse arrives end a step; the moment at which
/// a body is let go is found to one step. The currents begin as commanded: above the speed up to
/// which the driver can force them, a run that begins there begins with a blow. `observe` is called
/// with a `Sample` at the start and after each step. Leaves out saturation of the iron, an
/// integrating regulator, friction that falls with speed, sag of a beam under its weight, and the
/// stretch of belt that changes with the place of the load. Equal input gives equal bits.
///
/// \throws InvalidInput     a number outside the table, or never set; a command without parts
/// \throws OutsideValidity  a rigid belt with losses, beam or second motor; a load that the field
///                          cannot hold where the run begins; a bus that runs empty;
///                          a command faster than the share of the torque is known
///
/// Source: derived, two-phase machine with sinusoidal flux; checked against axis_step_loss.csv and
/// pullout_simulated.csv of reference/published/.
template <class Observe = Unobserved>
Outcome run(const SimulatedAxis& axis, const Command& command, const Settings& settings = {},
            Observe&& observe = {}) {
  detail::require_valid(axis);
  if (command.parts.empty()) throw InvalidInput("parts of the command", ">= 1", 0.0, "");
  require_positive("step", settings.step);
  if (axis.gantry)
    return detail::run_with<2>(axis, command, settings, std::forward<Observe>(observe));
  return detail::run_with<1>(axis, command, settings, std::forward<Observe>(observe));
}

/// What a run comes to once a finer step changes nothing that counts.
struct ProvedOutcome {
  Outcome outcome{};
  Time step{};          ///< of it
  double change = 0.0;  ///< by which its peaks differ from those at twice the step
};

/// Runs with half the step, and half of that, until the peaks (load angle, following error, belt
/// force) change by less than `tolerance`, each of its own size.
///
///     tolerance  –  > 0, not below 1e-7
///     halvings   –  > 0, after which it gives up
///
/// \throws InvalidInput     as `run`, or a number outside the table
/// \throws OutsideValidity  as `run`; the halvings do not do
inline ProvedOutcome run_to_tolerance(const SimulatedAxis& axis, const Command& command,
                                      double tolerance, const Settings& coarsest = {},
                                      int halvings = 8) {
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
