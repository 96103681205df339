// The linear model against what was linearised: the winding, the rotor and a driver that is
// proportional up to its voltage, integrated in time.
#include <array>
#include <boost/numeric/odeint/stepper/runge_kutta4.hpp>
#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

#include "pitchline/motor/least_damped_mode.hpp"
#include "pitchline/motor/stability.hpp"
#include "support/catch.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motor::DrivenWinding;
using motor::ShaftState;
using Complex = std::complex<double>;

// Currents along and across the command i* (A), electrical angle of the rotor's flux from the
// command (rad), electrical speed less its mean (rad/s): plain SI.
using State = std::array<double, 4>;

struct SaturatedDrive {
  double K, R, L, N, I, V, J, B, omega, T;
  double driver_gain = 2000.0;  // V/A below the limit; it is at the limit all the time here

  SaturatedDrive(const DrivenWinding& w, const ShaftState& at, RotaryDrag damping)
      : K(in_newton_metres_per_ampere(w.torque_constant)),
        R(in_ohms(w.resistance)),
        L(in_henries(w.inductance)),
        N(w.pole_pairs),
        I(in_amperes(w.amplitude)),
        V(in_volts(w.voltage)),
        J(in_kilogram_square_metres(at.inertia)),
        B(in_newton_metre_seconds_per_radian(damping)),
        omega(in_radians_per_second(at.speed)),
        T(in_newton_metres(at.torque)) {}

  void operator()(const State& x, State& rate, double /*time*/) const {
    const Complex i(x[0], x[1]);
    const Complex flux = std::polar(1.0, x[2]);
    const Complex error = I - i;
    Complex v = driver_gain * error;
    if (std::abs(v) > V) v *= V / std::abs(v);
    const Complex emf = Complex(0, 1) * K * (omega + x[3] / N) * flux;
    const Complex i_rate = (v - Complex(R, N * omega * L) * i - emf) / L;
    const double torque = K * (i * std::conj(flux)).imag();
    rate = {i_rate.real(), i_rate.imag(), x[3], N / J * (torque - T - B * x[3] / N)};
  }
};

State steady_state(const DrivenWinding& w, const ShaftState& at) {
  const auto point = motor::working_point(w, at.speed, at.torque);
  const double delta = in_radians(point->load_angle);
  const Complex i =
      Complex(in_amperes(point->direct), in_amperes(point->quadrature)) * std::polar(1.0, -delta);
  return {i.real(), i.imag(), -delta, 0.0};
}

struct Swing {
  double growth = 0.0;     // 1/s
  double frequency = 0.0;  // Hz
};

// Lets the rotor go a little off its place and measures the crests of its swing, after the first
// ones: by then only the least damped mode is left. So little that it stays small while it grows.
Swing integrated_swing(const DrivenWinding& w, const ShaftState& at, RotaryDrag damping,
                       double off = 1e-8) {
  const SaturatedDrive drive(w, at, damping);
  State x = steady_state(w, at);
  const double middle = x[2];
  x[2] += off;
  const double step = 10e-6;
  boost::numeric::odeint::runge_kutta4<State> stepper;
  std::vector<double> times;
  std::vector<double> crests;
  double before = x[3];
  for (int n = 0; n < 20'000 && crests.size() < 24; ++n) {
    stepper.do_step(drive, x, n * step, step);
    if (before > 0.0 && x[3] <= 0.0) {  // the angle is at its crest, between the two steps
      times.push_back((n + before / (before - x[3])) * step);
      crests.push_back(x[2] - middle);
    }
    before = x[3];
  }
  const std::size_t first = 6;
  const std::size_t last = crests.size() - 1;
  const double span = times[last] - times[first];
  return {.growth = std::log(crests[last] / crests[first]) / span,
          .frequency = static_cast<double>(last - first) / span};
}

struct TimeCase {
  const char* name;
  double supply, amplitude, rpm, share, inertia;
};

TEST_CASE(
    "in time, a swing grows below the critical damping and dies above it, as fast as the "
    "eigenvalue says",
    "[motor][property]") {
  const TimeCase c = GENERATE(values<TimeCase>({{"NEMA17", 24, 1.5, 1300, 0.5, 54e-7},
                                                {"NEMA17", 24, 1.5, 2000, 0.25, 54e-7},
                                                {"NEMA17", 12, 1.5, 800, 0.5, 54e-7},
                                                {"NEMA23", 48, 2.8, 800, 0.5, 480e-7},
                                                {"NEMA23", 48, 2.8, 1600, 0.7, 480e-7},
                                                {"NEMA23", 24, 2.8, 450, 0.5, 480e-7},
                                                {"NEMA34", 80, 6.0, 1000, 0.5, 2700e-7},
                                                {"NEMA23", 48, 2.8, 1000, 0.5, 1900e-7}}));
  const double factor = GENERATE(0.0, 0.8, 1.25);
  CAPTURE(c.name, c.supply, c.rpm, c.share, factor);
  const auto winding = [&](double voltage) {
    return motor::driven_winding(testing::tabled_motor(c.name), amperes(c.amplitude),
                                 volts(voltage));
  };
  const DrivenWinding w = winding(4.0 / std::numbers::pi * c.supply);
  const AngularSpeed speed = revolutions_per_minute(c.rpm);
  const ShaftState at{
      .inertia = kilogram_square_metres(c.inertia),
      .speed = speed,
      .torque = c.share * motor::loss_free_pull_out(winding(c.supply), speed).torque};
  const auto need = motor::critical_damping(w, at);
  REQUIRE(need.has_value());
  REQUIRE(need->damping > newton_metre_seconds_per_radian(0));

  // The working point stands still by itself.
  State rate{};
  SaturatedDrive(w, at, need->damping)(steady_state(w, at), rate, 0.0);
  CHECK(std::abs(rate[0]) + std::abs(rate[1]) < 1e-6);
  CHECK(std::abs(rate[3]) < 1e-6);

  const RotaryDrag damping = factor * need->damping;
  const Swing swing = integrated_swing(w, at, damping);
  const auto mode = motor::least_damped_mode(w, at, damping);
  REQUIRE(mode.has_value());
  CAPTURE(swing.growth, swing.frequency);
  if (factor < 1.0)
    CHECK(swing.growth > 0.0);
  else
    CHECK(swing.growth < 0.0);
  CHECK_THAT(swing.growth, WithinRel(in_hertz(mode->growth), 1e-3));
  CHECK_THAT(swing.frequency, WithinRel(in_hertz(mode->oscillation), 2e-4));
}

TEST_CASE("in time, a motor without the damping it needs loses its step, and keeps it with more",
          "[motor][property]") {
  // Far from small: the swing of an undamped rotor runs away from the rotating field.
  const double supply = 4.0 / std::numbers::pi * 48.0;
  const DrivenWinding w =
      motor::driven_winding(testing::tabled_motor("NEMA23"), amperes(2.8), volts(supply));
  const ShaftState at{.inertia = gram_square_centimetres(480),
                      .speed = revolutions_per_minute(1000),
                      .torque = newton_metres(0.39)};
  const auto need = motor::critical_damping(w, at);
  REQUIRE(need.has_value());
  const auto largest_lag = [&](double factor) {
    const SaturatedDrive drive(w, at, factor * need->damping);
    State x = steady_state(w, at);
    x[2] += 0.01;
    boost::numeric::odeint::runge_kutta4<State> stepper;
    double most = 0.0;
    for (int n = 0; n < 25'000; ++n) {
      stepper.do_step(drive, x, n * 20e-6, 20e-6);
      most = std::max(most, std::abs(x[2] - steady_state(w, at)[2]));
      if (most > 10.0) break;
    }
    return most;
  };
  CHECK(largest_lag(0.1) > 2.0 * std::numbers::pi);
  CHECK(largest_lag(1.25) < 0.02);
}

}  // namespace
}  // namespace pitchline
