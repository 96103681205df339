#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <vector>

#include "pitchline/simulate/axis.hpp"

namespace pitchline::simulate::detail {

// Plain SI numbers from here on: this is the inner loop.

// Of each motor: two currents, rotor, its end of the load.
enum Place : std::size_t { i_a, i_b, theta, omega, x, v };
inline constexpr std::size_t of_motor = 6;
// Then the carriage on its beam, and the works that are integrated beside them, in J.
enum Work : std::size_t {
  electrical,
  bridge,
  copper,
  drag,
  friction,
  damping,
  applied,
  kept,
  works
};

template <std::size_t Motors>
inline constexpr std::size_t tool = of_motor* Motors;  // place; its speed comes next
template <std::size_t Motors>
inline constexpr std::size_t moving = of_motor* Motors + 2;
template <std::size_t Motors>
using State = std::array<double, moving<Motors> + works>;

// What Coulomb friction does to a body: -1 and 1 slide that way, 0 sticks.
struct Contact {
  double kinetic = 0.0;
  double limit = 0.0;
  double speed_scale = 1.0;
  double per_speed_scale = 1.0;
  int sense = 0;
  bool there = false;
};

// The voltage on a phase: proportional to what is missing, or the one given.
struct Phase {
  bool linear = true;
  double voltage = 0.0;
};

// Sine and cosine of an electrical angle.
struct Turned {
  double angle = 0.0;
  double sine = 0.0;
  double cosine = 1.0;

  static Turned to(double angle) { return {angle, std::sin(angle), std::cos(angle)}; }
  // Of an angle near by, without asking the library: it would cost two fifths of a run.
  [[nodiscard]] Turned on_to(double next) const {
    const double d = next - angle;
    const double q = d * d;
    if (!(q < 0.09)) return to(next);
    // Series up to d^9 and d^10: the next terms are below 5e-14. Multiplied out, since a division
    // takes as long as all of this, and in halves, which a processor takes side by side.
    const double q2 = q * q;
    const double s =
        d +
        d * q * ((-1.0 / 6.0 + q * (1.0 / 120.0)) + q2 * (-1.0 / 5040.0 + q * (1.0 / 362880.0)));
    const double c =
        1.0 + q * ((-0.5 + q * (1.0 / 24.0)) +
                   q2 * ((-1.0 / 720.0 + q * (1.0 / 40320.0)) - q2 * (1.0 / 3628800.0)));
    return {next, sine * c + cosine * s, cosine * c - sine * s};
  }
};

// The command at a moment.
struct Commanded {
  double position = 0.0;  // of the load
  double turning = 0.0;   // rad/s of the shaft
  Turned field{};         // the commanded electrical angle
  double load = 0.0;
  double share = 1.0;  // of the torque of the field
};

// Force of a belt over its stretch: with both strands tight, and with one of them slack.
struct BeltSpring {
  double k = 0.0;
  double tension = 0.0;
  double up = 0.0, down = 0.0;
  double slack_above = std::numeric_limits<double>::infinity();  // stretch at which "down" is slack
  double slack_below = -std::numeric_limits<double>::infinity();

  // 0 tight, 1 and -1 with one strand slack.
  [[nodiscard]] int region(double s) const {
    return s > slack_above ? 1 : s < slack_below ? -1 : 0;
  }
  [[nodiscard]] double force(double s) const {
    if (s > slack_above) return up * s + tension;
    if (s < slack_below) return down * s - tension;
    return k * s;
  }
  // Work to stretch it so far from rest.
  [[nodiscard]] double energy(double s) const {
    if (s > slack_above) {
      const double d = s - slack_above;
      return 0.5 * k * slack_above * slack_above + k * slack_above * d + 0.5 * up * d * d;
    }
    if (s < slack_below) {
      const double d = s - slack_below;
      return 0.5 * k * slack_below * slack_below + k * slack_below * d + 0.5 * down * d * d;
    }
    return 0.5 * k * s * s;
  }
};

inline double loss_or(const SimulatedAxis& a, double DriveLoss::*part) {
  return (a.loss ? *a.loss : loss_of(a.axis.efficiency)).*part;
}

template <std::size_t Motors>
class Equations {
 public:
  using Values = State<Motors>;

  explicit Equations(const SimulatedAxis& a)
      : K(in_newton_metres_per_ampere(a.winding.torque_constant)),
        R(in_ohms(a.winding.resistance)),
        L(in_henries(a.winding.inductance)),
        N(a.winding.pole_pairs),
        I(in_amperes(a.winding.amplitude)),
        V(in_volts(a.bus ? a.bus->no_load : a.winding.voltage)),
        drop(in_volts(a.driver.drop)),
        gain(L / in_seconds(a.driver.current_time_constant)),
        t(in_metres_per_radian(a.axis.transmission)),
        J(in_kilogram_square_metres(a.axis.motor_side_inertia + a.axis.driven_side_inertia)),
        rigid(!is_finite(a.belt_stiffness)),
        B(in_newton_metre_seconds_per_radian(a.motor_drag)),
        D(in_newton_metre_seconds_per_radian(a.swing_damping)),
        T_d(in_newton_metres(a.detent_torque)),
        driving(loss_or(a, &DriveLoss::driving)),
        driven(loss_or(a, &DriveLoss::driven)),
        smooth(a.friction_model == FrictionModel::smooth),
        beam(a.beam.has_value()),
        // Jumps in a radian of the electrical angle; a full step is a quarter turn of it.
        jumps(is_finite(a.driver.microsteps)
                  ? in_pulses_per_full_step(a.driver.microsteps) * 2.0 / std::numbers::pi
                  : 0.0) {
    if (a.share) {
      shares = a.share->shares;
      per_share = static_cast<double>(shares.size() - 1) / in_radians_per_second(a.share->top);
      strongest = *std::max_element(shares.begin(), shares.end());
    }
    take_masses(a);
    take_belt(a);
    take_friction(a);
    per_turning = 1.0 / (rigid ? J + m * t * t : J);
    if (m > 0.0) per_m = 1.0 / m;
  }

  // The fields that the formulas of `run` name.
  double K, R, L, N, I, V, drop, gain, t, J;
  bool rigid;
  double B, D, T_d, driving, driven;
  bool smooth;
  bool beam;
  double jumps;
  double per_L = 1.0 / L;  // multiplied by, for speed
  double gain_I = gain * I;
  double per_turning = 0.0, per_m = 0.0;
  double m = 0.0;                    // of the load of a single motor, without the beam mode
  double m11 = 0, m12 = 0, m22 = 0;  // of two: the mass matrix of the ends
  double place = 0.0;                // share of the tool's pull on the far end
  double squaring = 0.0;
  BeltSpring spring{};
  double c = 0.0;
  double beam_mass = 0, beam_k = 0, beam_c = 0;
  std::array<double, Motors> gravity{};
  std::array<Contact, Motors> rotor{}, load{};
  std::array<Phase, 2 * Motors> phase{};
  std::vector<double> shares{};  // none: 1 at every speed
  double per_share = 0.0;        // steps of them in a rad/s
  double strongest = 1.0;

  // What the motor gives of the torque of its field, at a commanded speed of the shaft.
  [[nodiscard]] double share_at(double turning) const {
    if (shares.empty()) return 1.0;
    const auto last = static_cast<double>(shares.size() - 1);
    const double at = std::min(std::fabs(turning) * per_share, last);
    const auto below = std::min(static_cast<std::size_t>(at), shares.size() - 2);
    const double over = at - static_cast<double>(below);
    return (1.0 - over) * shares[below] + over * shares[below + 1];
  }
  [[nodiscard]] double target(const Commanded& at, std::size_t phase_of) const {
    return I * (phase_of % 2 == 0 ? at.field.cosine : at.field.sine);
  }
  // What the driver would put on if its voltage had no limit.
  [[nodiscard]] double wanted_voltage(const Values& y, const Commanded& at, std::size_t p) const {
    return gain * (target(at, p) - y[of_motor * (p / 2) + p % 2]);
  }
  [[nodiscard]] double highest_voltage() const { return V - drop; }

  [[nodiscard]] double stretch(const double* y, std::size_t motor) const {
    const double* own = y + of_motor * motor;
    return t * own[theta] - own[x];
  }
  [[nodiscard]] double belt_force(const Values& s, std::size_t motor) const {
    const double* own = s.data() + of_motor * motor;
    return spring.force(stretch(s.data(), motor)) + c * (t * own[omega] - own[v]);
  }
  // The belt force where the belt is rigid: what the load needs.
  [[nodiscard]] double rigid_force(const Values& y, const Values& rate,
                                   double load_friction) const {
    const double sense = smooth ? std::tanh(y[omega] / rotor[0].speed_scale) : rotor[0].sense;
    return m * rate[v] + gravity[0] + sense * load_friction;
  }
  // Where the line between the two ends of a beam has its tool.
  [[nodiscard]] double under_tool(const double* y, std::size_t which) const {
    if constexpr (Motors == 1) return y[which];
    return (1.0 - place) * y[which] + place * y[of_motor + which];
  }

  [[nodiscard]] double stored(const Values& s) const {
    const double* y = s.data();
    double sum = 0.0;
    for (std::size_t n = 0; n < Motors; ++n) {
      const double* own = y + of_motor * n;
      sum += 0.5 * L * (own[i_a] * own[i_a] + own[i_b] * own[i_b]) +
             0.5 * J * own[omega] * own[omega] + gravity[n] * own[x] -
             T_d / (4.0 * N) * std::cos(4.0 * N * own[theta]);
      if (!rigid) sum += spring.energy(stretch(y, n));
    }
    if constexpr (Motors == 1) {
      sum += 0.5 * m * y[v] * y[v];
    } else {
      const double ahead = y[x] - y[of_motor + x];
      sum += 0.5 * (m11 * y[v] * y[v] + m22 * y[of_motor + v] * y[of_motor + v]) +
             m12 * y[v] * y[of_motor + v] + 0.5 * squaring * ahead * ahead;
    }
    if (beam) {
      const double bend = y[tool<Motors>] - under_tool(y, x);
      sum +=
          0.5 * beam_k * bend * bend + 0.5 * beam_mass * y[tool<Motors> + 1] * y[tool<Motors> + 1];
    }
    return sum;
  }

  // Everything on the rotors and on the ends of the load but friction.
  struct Push {
    std::array<double, Motors> rotor{}, load{}, belt{};
    std::array<double, 2 * Motors> emf{};
    double tool = 0.0;
  };
  // Where the rotors stand.
  using Rotors = std::array<Turned, Motors>;
  [[nodiscard]] Rotors rotors(const Values& y) const {
    Rotors at;
    for (std::size_t n = 0; n < Motors; ++n) at[n] = Turned::to(N * y[of_motor * n + theta]);
    return at;
  }
  [[nodiscard, gnu::always_inline]] Push push(const double* y, const Commanded& at,
                                              const Rotors& near_by) const {
    Push p;
    for (std::size_t n = 0; n < Motors; ++n) {
      const double* own = y + of_motor * n;
      const auto [angle, sine, cosine] = near_by[n].on_to(N * own[theta]);
      p.emf[2 * n] = -K * own[omega] * sine;
      p.emf[2 * n + 1] = K * own[omega] * cosine;
      p.belt[n] = rigid ? gravity[n] : spring.force(stretch(y, n)) + c * (t * own[omega] - own[v]);
      // sin 4φ from the sine and cosine of φ.
      const double detent = T_d * 4.0 * sine * cosine * (cosine * cosine - sine * sine);
      p.rotor[n] = at.share * K * (own[i_b] * cosine - own[i_a] * sine) - detent - B * own[omega] -
                   D * (own[omega] - at.turning) - at.load - t * p.belt[n];
      p.load[n] = p.belt[n] - gravity[n];
    }
    if (beam) {
      p.tool = -beam_k * (y[tool<Motors>] - under_tool(y, x)) -
               beam_c * (y[tool<Motors> + 1] - under_tool(y, v));
      if constexpr (Motors == 1) {
        p.load[0] -= p.tool;
      } else {
        p.load[0] -= (1.0 - place) * p.tool;
        p.load[1] -= place * p.tool;
      }
    }
    if constexpr (Motors == 2) {
      const double ahead = squaring * (y[x] - y[of_motor + x]);
      p.load[0] -= ahead;
      p.load[1] += ahead;
    }
    return p;
  }

  // Friction torque on a sliding rotor: its own, and what the drive loses of the belt force.
  [[nodiscard]] double rotor_friction(std::size_t n, double belt, int sense) const {
    return rotor[n].kinetic + t * std::fabs(belt) * (sense * belt > 0.0 ? driving : driven);
  }
  [[nodiscard]] double rotor_limit(std::size_t n, double belt, int sense) const {
    return rotor[n].limit + t * std::fabs(belt) * (sense * belt > 0.0 ? driving : driven);
  }

  // Rates of everything. With `without_decay` a phase in proportion lacks its −(gain + R)/L i,
  // which the integrator takes exactly.
  void rates(const Values& s, const Commanded& at, const Rotors& near_by, Values& out,
             bool without_decay) const {
    const double* y = s.data();
    double* d = out.data();
    const Push p = push(y, at, near_by);
    std::array<double, works> work{};
    std::array<double, Motors> on_load{};
    for (std::size_t n = 0; n < Motors; ++n) {
      const double* own = y + of_motor * n;
      double* rate = d + of_motor * n;
      for (std::size_t j = 0; j < 2; ++j) {
        const Phase& ph = phase[2 * n + j];
        const double i = own[i_a + j];
        const double aim = gain_I * (j == 0 ? at.field.cosine : at.field.sine);
        const double u = ph.linear ? aim - gain * i : ph.voltage;
        const double decays = ph.linear && without_decay ? aim : u - R * i;
        rate[i_a + j] = (decays - p.emf[2 * n + j]) * per_L;
        // In proportion, u i = L i i' + (R i + e) i: the first part is what the magnetic energy
        // gains, which the integrator adds. The voltage itself is too quick for its stages.
        work[electrical] += (ph.linear && without_decay ? R * i + p.emf[2 * n + j] : u) * i;
        work[bridge] += drop * std::fabs(i);
        work[copper] += R * i * i;
        work[kept] += (1.0 - at.share) * p.emf[2 * n + j] * i;
      }
      const double on_rotor = against_rotor(n, own[omega], p.belt[n]);
      on_load[n] = against(load[n], own[v]);
      rate[theta] = own[omega];
      rate[x] = own[v];
      rate[omega] = held(rotor[n]) ? 0.0 : (p.rotor[n] - on_rotor) * per_turning;
      if (rigid) rate[v] = t * rate[omega];
      const double slip = t * own[omega] - own[v];
      work[drag] += B * own[omega] * own[omega];
      work[friction] += on_rotor * own[omega] + on_load[n] * own[v];
      work[damping] += (rigid ? 0.0 : c * slip * slip) + D * (own[omega] - at.turning) * own[omega];
      work[applied] += at.load * own[omega];
    }
    std::copy(work.begin(), work.end(), d + moving<Motors>);
    if (!rigid) accelerate_load(p, on_load, d);
    if (beam) {
      const double yield = y[tool<Motors> + 1] - under_tool(y, v);
      d[moving<Motors> + damping] += beam_c * yield * yield;
      d[tool<Motors>] = y[tool<Motors> + 1];
      d[tool<Motors> + 1] = p.tool / beam_mass;
    } else {
      d[tool<Motors>] = 0.0;
      d[tool<Motors> + 1] = 0.0;
    }
  }

  [[nodiscard]] bool held(const Contact& contact) const {
    return !smooth && contact.there && contact.sense == 0;
  }
  // The force that friction must bear to hold an end that does not move, the other moving or not.
  [[nodiscard]] double force_on_held(const Push& p, std::size_t n) const {
    if constexpr (Motors == 1) {
      return p.load[n];
    } else {
      const std::size_t other = 1 - n;
      if (held(load[other])) return p.load[n];
      const double net = p.load[other] - load[other].sense * load[other].kinetic;
      return p.load[n] - m12 / (other == 0 ? m11 : m22) * net;
    }
  }

 private:
  void take_masses(const SimulatedAxis& a) {
    beam_mass = beam ? in_kilograms(a.beam->mass) : 0.0;
    if constexpr (Motors == 1) {
      m = in_kilograms(a.axis.mass) - beam_mass;
      gravity[0] = in_newtons(a.axis.gravity);
    } else {
      place = a.gantry->place;
      // What swings on the beam is the carriage, and so much of the beam itself.
      const double rigid_part = in_kilograms(a.gantry->travelling) - beam_mass;
      const double carriage = std::max(0.0, rigid_part);
      const double even = in_kilograms(a.gantry->beam) + std::min(0.0, rigid_part);
      // An even bar between its ends: a third, a sixth, a third of its mass.
      m11 = carriage * (1.0 - place) * (1.0 - place) + even / 3.0;
      m12 = carriage * place * (1.0 - place) + even / 6.0;
      m22 = carriage * place * place + even / 3.0;
      squaring = in_newtons_per_metre(a.gantry->squaring);
      gravity = {in_newtons(a.gantry->near_gravity), in_newtons(a.gantry->far_gravity)};
    }
    if (!beam) return;
    beam_k = in_newtons_per_metre(a.beam->stiffness);
    beam_c = 2.0 * a.beam->damping.value() * std::sqrt(beam_k * beam_mass);
  }
  void take_belt(const SimulatedAxis& a) {
    spring.k = in_newtons_per_metre(a.belt_stiffness);
    if (!rigid) {
      const double load_mass = (Motors == 1 ? m : m11 + 2.0 * m12 + m22) + beam_mass;
      c = 2.0 * a.belt_damping.value() * std::sqrt(spring.k * load_mass / Motors);
    }
    if (!a.strands) return;
    spring.tension = in_newtons(a.strands->tension);
    spring.up = in_newtons_per_metre(a.strands->up);
    spring.down = in_newtons_per_metre(a.strands->down);
    spring.slack_above = spring.tension / spring.down;
    spring.slack_below = -spring.tension / spring.up;
  }
  void take_friction(const SimulatedAxis& a) {
    const double iron = in_newton_metres(a.iron_torque);
    const double scale = in_metres_per_second(a.friction_speed);
    for (std::size_t n = 0; n < Motors; ++n) {
      double kinetic = in_newtons(a.axis.friction);
      if constexpr (Motors == 2)
        kinetic = in_newtons(n == 0 ? a.gantry->near_friction : a.gantry->far_friction);
      const double limit = smooth ? kinetic : std::max(kinetic, in_newtons(a.static_friction));
      rotor[n] = {.kinetic = iron, .limit = iron, .speed_scale = scale / t};
      load[n] = {.kinetic = kinetic, .limit = limit, .speed_scale = scale};
      if (rigid) {  // one body, which the rotor stands for
        rotor[n].kinetic += t * kinetic;
        rotor[n].limit += t * limit;
        load[n] = {};
      }
      rotor[n].per_speed_scale = t / scale;
      load[n].per_speed_scale = 1.0 / scale;
      rotor[n].there = rotor[n].limit > 0.0 || driving > 0.0 || driven > 0.0;
      load[n].there = load[n].limit > 0.0;
    }
  }

  // tanh; beyond 20 it is one to the last bit, and most of the time it is.
  static double smooth_sign(double x) { return x > 20.0 ? 1.0 : x < -20.0 ? -1.0 : std::tanh(x); }
  [[nodiscard]] double against(const Contact& contact, double speed) const {
    if (!contact.there) return 0.0;
    if (smooth) return contact.kinetic * smooth_sign(speed * contact.per_speed_scale);
    return contact.sense * contact.kinetic;
  }
  [[nodiscard]] double against_rotor(std::size_t n, double speed, double belt) const {
    if (!rotor[n].there) return 0.0;
    const int sense = smooth ? (speed > 0.0) - (speed < 0.0) : rotor[n].sense;
    const double most = rotor_friction(n, belt, sense);
    return smooth ? most * smooth_sign(speed * rotor[n].per_speed_scale) : sense * most;
  }
  void accelerate_load(const Push& p, const std::array<double, Motors>& on_load, double* d) const {
    if constexpr (Motors == 1) {
      d[v] = held(load[0]) ? 0.0 : (p.load[0] - on_load[0]) * per_m;
    } else {
      const double near = p.load[0] - on_load[0];
      const double far = p.load[1] - on_load[1];
      const bool near_held = held(load[0]);
      const bool far_held = held(load[1]);
      double& at_near = d[v];
      double& at_far = d[of_motor + v];
      if (near_held || far_held) {
        at_near = near_held ? 0.0 : near / m11;
        at_far = far_held ? 0.0 : far / m22;
        return;
      }
      const double determinant = m11 * m22 - m12 * m12;
      at_near = (m22 * near - m12 * far) / determinant;
      at_far = (m11 * far - m12 * near) / determinant;
    }
  }
};

}  // namespace pitchline::simulate::detail
