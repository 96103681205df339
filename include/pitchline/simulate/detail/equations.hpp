#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "pitchline/simulate/axis.hpp"

namespace pitchline::simulate::detail {

// Plain SI numbers from here on: this is the inner loop.

// Two currents, rotor, load; then the works that are integrated beside them, in J.
enum Place : std::size_t {
  i_a,
  i_b,
  theta,
  omega,
  x,
  v,
  electrical,
  copper,
  drag,
  friction,
  damping,
  applied
};
inline constexpr std::size_t moving = 6;
inline constexpr std::size_t places = 12;
using State = std::array<double, places>;

// What Coulomb friction does to a body: -1 and 1 slide that way, 0 sticks.
struct Contact {
  double kinetic = 0.0;
  double limit = 0.0;
  double speed_scale = 1.0;
  int sense = 0;
  [[nodiscard]] bool acts() const { return limit > 0.0; }
};

// The command at a moment.
struct Commanded {
  double position = 0.0;  // of the load
  double turning = 0.0;   // rad/s of the shaft
  double cosine = 1.0;    // of the commanded electrical angle
  double sine = 0.0;
  double load = 0.0;
};

class Equations {
 public:
  explicit Equations(const SimulatedAxis& a)
      : K(in_newton_metres_per_ampere(a.winding.torque_constant)),
        R(in_ohms(a.winding.resistance)),
        L(in_henries(a.winding.inductance)),
        N(a.winding.pole_pairs),
        I(in_amperes(a.winding.amplitude)),
        V(in_volts(a.winding.voltage)),
        gain(L / in_seconds(a.driver.current_time_constant)),
        t(in_metres_per_radian(a.axis.transmission)),
        m(in_kilograms(a.axis.mass)),
        J(in_kilogram_square_metres(a.axis.motor_side_inertia + a.axis.driven_side_inertia)),
        k(in_newtons_per_metre(a.belt_stiffness)),
        rigid(!is_finite(a.belt_stiffness)),
        c(rigid ? 0.0 : 2.0 * a.belt_damping.value() * std::sqrt(k * m)),
        B(in_newton_metre_seconds_per_radian(a.motor_drag)),
        D(in_newton_metre_seconds_per_radian(a.swing_damping)),
        T_d(in_newton_metres(a.detent_torque)),
        gravity(in_newtons(a.axis.gravity)),
        smooth(a.friction_model == FrictionModel::smooth),
        // Jumps in a radian of the electrical angle; a full step is a quarter turn of it.
        jumps(is_finite(a.driver.microsteps)
                  ? in_pulses_per_full_step(a.driver.microsteps) * 2.0 / std::numbers::pi
                  : 0.0) {
    const double kinetic = in_newtons(a.axis.friction);
    const double limit = smooth ? kinetic : std::max(kinetic, in_newtons(a.static_friction));
    const double iron = in_newton_metres(a.iron_torque);
    const double scale = in_metres_per_second(a.friction_speed);
    rotor = {.kinetic = iron, .limit = iron, .speed_scale = scale / t};
    load = {.kinetic = kinetic, .limit = limit, .speed_scale = scale};
    if (rigid) {  // one body, which the rotor stands for
      rotor.kinetic += t * kinetic;
      rotor.limit += t * limit;
      load = {};
    }
  }

  // The fields that the formulas of `run` name, and the friction of the two bodies.
  double K, R, L, N, I, V, gain, t, m, J, k;
  bool rigid;
  double c, B, D, T_d, gravity;
  bool smooth;
  double jumps;
  Contact rotor{}, load{};

  [[nodiscard]] Commanded commanded(double position, double speed, double torque) const {
    double angle = N * position / t;
    if (jumps > 0.0) angle = std::round(angle * jumps) / jumps;
    return {.position = position,
            .turning = speed / t,
            .cosine = std::cos(angle),
            .sine = std::sin(angle),
            .load = torque};
  }

  [[nodiscard]] double belt_force(const State& y) const {
    return k * (t * y[theta] - y[x]) + c * (t * y[omega] - y[v]);
  }

  // The belt force where the belt is rigid: what the load needs.
  [[nodiscard]] double rigid_force(const State& y, const State& rate, double load_friction) const {
    const double sense = smooth ? std::tanh(y[omega] / rotor.speed_scale) : rotor.sense;
    return m * rate[v] + gravity + sense * load_friction;
  }

  [[nodiscard]] double stored(const State& s) const {
    const double* y = s.data();
    const double stretch = rigid ? 0.0 : t * y[theta] - y[x];
    const double spring = rigid ? 0.0 : 0.5 * k * stretch * stretch;
    return 0.5 * L * (y[i_a] * y[i_a] + y[i_b] * y[i_b]) + 0.5 * J * y[omega] * y[omega] +
           0.5 * m * y[v] * y[v] + spring + gravity * y[x] -
           T_d / (4.0 * N) * std::cos(4.0 * N * y[theta]);
  }

  // Everything on the rotor and on the load but friction.
  struct Push {
    double rotor = 0.0, load = 0.0, belt = 0.0, emf_a = 0.0, emf_b = 0.0;
  };
  [[nodiscard]] Push push(const State& s, const Commanded& at) const {
    const double* y = s.data();
    const double sine = std::sin(N * y[theta]);
    const double cosine = std::cos(N * y[theta]);
    Push p;
    p.emf_a = -K * y[omega] * sine;
    p.emf_b = K * y[omega] * cosine;
    p.belt = rigid ? gravity : k * (t * y[theta] - y[x]) + c * (t * y[omega] - y[v]);
    // sin 4φ from the sine and cosine of φ.
    const double detent = T_d * 4.0 * sine * cosine * (cosine * cosine - sine * sine);
    p.rotor = K * (y[i_b] * cosine - y[i_a] * sine) - detent - B * y[omega] -
              D * (y[omega] - at.turning) - at.load - t * p.belt;
    p.load = p.belt - gravity;
    return p;
  }

  void rates(const State& s, const Commanded& at, State& out) const {
    const double* y = s.data();
    double* d = out.data();
    const Push p = push(s, at);
    const double v_a = std::clamp(gain * (I * at.cosine - y[i_a]), -V, V);
    const double v_b = std::clamp(gain * (I * at.sine - y[i_b]), -V, V);
    d[i_a] = (v_a - R * y[i_a] - p.emf_a) / L;
    d[i_b] = (v_b - R * y[i_b] - p.emf_b) / L;
    const double on_rotor = against(rotor, y[omega]);
    const double on_load = against(load, y[v]);
    d[theta] = y[omega];
    d[x] = y[v];
    if (rigid) {
      d[omega] = held(rotor) ? 0.0 : (p.rotor - on_rotor) / (J + m * t * t);
      d[v] = t * d[omega];
    } else {
      d[omega] = held(rotor) ? 0.0 : (p.rotor - on_rotor) / J;
      d[v] = held(load) ? 0.0 : (p.load - on_load) / m;
    }
    d[electrical] = v_a * y[i_a] + v_b * y[i_b];
    d[copper] = R * (y[i_a] * y[i_a] + y[i_b] * y[i_b]);
    d[drag] = B * y[omega] * y[omega];
    d[friction] = on_rotor * y[omega] + on_load * y[v];
    const double slip = t * y[omega] - y[v];
    d[damping] = (rigid ? 0.0 : c * slip * slip) + D * (y[omega] - at.turning) * y[omega];
    d[applied] = at.load * y[omega];
  }

 private:
  [[nodiscard]] bool held(const Contact& contact) const {
    return !smooth && contact.acts() && contact.sense == 0;
  }
  [[nodiscard]] double against(const Contact& contact, double speed) const {
    if (!contact.acts()) return 0.0;
    if (smooth) return contact.kinetic * std::tanh(speed / contact.speed_scale);
    return contact.sense * contact.kinetic;
  }
};

}  // namespace pitchline::simulate::detail
