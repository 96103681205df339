#include "pitchline/motion/residual_vibration.hpp"

#include <algorithm>
#include <array>
#include <boost/numeric/odeint/integrate/integrate_adaptive.hpp>
#include <boost/numeric/odeint/stepper/generation.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>
#include <complex>
#include <numbers>
#include <random>
#include <vector>

#include "pitchline/motion/fastest_move.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::AccelerationStep;
using motion::damped_frequency;
using motion::ElasticMode;
using motion::MoveProfile;
using motion::peak_during_move;
using motion::residual_amplitude;
using motion::residual_of_tuned_ramp;
using motion::settling_time;
using motion::shortest_tuned_ramp;
using motion::worst_residual;
using motion::worst_residual_of_one_ramp;

constexpr double pi = std::numbers::pi;

ElasticMode mode_of(double f, double zeta) {
  return {.natural_frequency = hertz(f), .damping_ratio = DampingRatio(zeta)};
}
Acceleration m_per_s2(double a) { return metres_per_second_squared(a); }

// One ramp of speed: acceleration a for so long, spread over a jerk time.
std::vector<AccelerationStep> pulse(double a, double duration, double jerk_time = 0.0) {
  return {{.at = seconds(0), .step = m_per_s2(a), .jerk_time = seconds(jerk_time)},
          {.at = seconds(duration), .step = m_per_s2(-a), .jerk_time = seconds(jerk_time)}};
}
double residual_of_pulse(const ElasticMode& mode, double a, double duration, double jerk = 0.0) {
  return in_metres(residual_amplitude(mode, pulse(a, duration, jerk), seconds(duration + jerk)));
}

MoveProfile symmetric(double a, double ramp, double cruising, double jerk_time) {
  return {.trapezoid = {.top_speed = metres_per_second(a * ramp),
                        .speeding_up = seconds(ramp),
                        .cruising = seconds(cruising),
                        .slowing_down = seconds(ramp)},
          .up_jerk_time = seconds(jerk_time),
          .down_jerk_time = seconds(jerk_time)};
}

// Stretch, its speed, and the farthest stretch met, by integration from break to break.
struct Integrated {
  double amplitude = 0.0;
  double peak = 0.0;
};
Integrated integrate(const ElasticMode& mode, const std::vector<AccelerationStep>& steps) {
  using State = std::array<double, 2>;
  namespace odeint = boost::numeric::odeint;
  const double omega = 2.0 * pi * in_hertz(mode.natural_frequency);
  const double zeta = mode.damping_ratio.value();
  std::vector<double> breaks;
  for (const AccelerationStep& each : steps) {
    breaks.push_back(in_seconds(each.at));
    breaks.push_back(in_seconds(each.at + each.jerk_time));
  }
  std::sort(breaks.begin(), breaks.end());
  State x{};
  Integrated met;
  for (std::size_t i = 0; i + 1 < breaks.size(); ++i) {
    const double from = breaks[i], to = breaks[i + 1];
    if (!(to - from > 1e-12)) continue;
    const double middle = (from + to) / 2.0;
    // A jump counts by the middle of the part; a ramp by its age.
    const auto acceleration = [&](double t) {
      double a = 0.0;
      for (const AccelerationStep& each : steps) {
        const double at = in_seconds(each.at), ramp = in_seconds(each.jerk_time);
        if (middle < at) continue;
        const double share = middle > at + ramp ? 1.0 : (t - at) / ramp;
        a += share * in_metres_per_second_squared(each.step);
      }
      return a;
    };
    const auto law = [&](const State& s, State& rate, double t) {
      rate = {s[1], -acceleration(t) - 2.0 * zeta * omega * s[1] - omega * omega * s[0]};
    };
    const int parts = 1 + static_cast<int>(std::ceil((to - from) * omega * 100.0));
    for (int k = 0; k < parts; ++k) {
      const double h = (to - from) / parts;
      odeint::integrate_adaptive(
          odeint::make_controlled<odeint::runge_kutta_dopri5<State>>(1e-14, 1e-12), law, x,
          from + k * h, from + (k + 1) * h, h);
      met.peak = std::max(met.peak, std::abs(x[0]));
    }
  }
  const double static_stretch = [&] {
    double a = 0.0;
    for (const AccelerationStep& each : steps) a += in_metres_per_second_squared(each.step);
    return -a / (omega * omega);
  }();
  const double y = x[0] - static_stretch;
  met.amplitude = std::hypot(y, (x[1] + zeta * omega * y) / (omega * std::sqrt(1.0 - zeta * zeta)));
  return met;
}

TEST_CASE("residual_amplitude gives the tabled swings after a move", "[motion][published]") {
  // reference/published/vibration.csv: independent derivation, and integration (C).
  const auto rows = testing::published("vibration.csv");
  CHECK(rows.size() == 12);
  for (const testing::CsvRow& row : rows) {
    CAPTURE(row.text("case"), row.text("zeta"));
    const ElasticMode mode = mode_of(row.number("f_n_Hz"), row.number("zeta"));
    const double a = row.number("a_m_s2");
    const double jerk_time = row.number("t_jerk_s");
    // The table's cruise is what is left at top speed.
    const MoveProfile move =
        symmetric(a, row.number("v_m_s") / a, row.number("t_cruise_s") + jerk_time, jerk_time);
    CHECK_THAT(in_seconds(move.duration()), WithinAbs(row.number("t_end_s"), 1e-9));
    CHECK_THAT(in_metres(motion::distance(move.trapezoid)),
               WithinAbs(row.number("stroke_m"), 2e-10));
    const double stretch = row.number("static_a_over_w2_m");
    const Length amplitude = residual_amplitude(mode, move);
    // The times stand there with ten digits: at a null that leaves 1e-9 of the static stretch.
    CHECK_THAT(in_metres(amplitude),
               WithinRel(row.number("amp_closed_form_m"), 1e-8) ||
                   WithinAbs(row.number("amp_closed_form_m"), 1e-8 * stretch));
    CHECK_THAT(in_metres(amplitude), WithinRel(row.number("amp_simulated_m"), 1e-8) ||
                                         WithinAbs(row.number("amp_simulated_m"), 1e-8 * stretch));
    // Sampled, so it stays below the true peak by what lies between two samples.
    const double peak = in_metres(peak_during_move(mode, move));
    CHECK(peak >= row.number("peak_during_move_m") * (1.0 - 2e-8));
    CHECK_THAT(peak, WithinRel(row.number("peak_during_move_m"), 1e-4));
    const Time settled =
        settling_time(mode, {.amplitude = amplitude, .tolerance = micrometres(10)});
    if (row.text("t_settle_to_10um_s") == "inf") {
      CHECK(settled == unlimited<Time>());
    } else {
      CHECK_THAT(in_seconds(settled), WithinAbs(row.number("t_settle_to_10um_s"), 1e-7));
    }
  }
}

TEST_CASE("residual_amplitude gives the swings of an undamped load at 10 Hz",
          "[motion][published]") {
  // [residual vibration], C: 1 m/s2, printed in micrometres with three decimals.
  const ElasticMode mode = mode_of(10, 0);
  CHECK_THAT(1e6 * residual_of_pulse(mode, 1, 0.25), WithinAbs(506.606, 0.0005));
  CHECK_THAT(1e6 * residual_of_pulse(mode, 1, 0.10), WithinAbs(0.0, 0.0005));
  CHECK_THAT(1e6 * residual_of_pulse(mode, 1, 0.25, 0.05), WithinAbs(322.515, 0.0005));
  CHECK_THAT(1e6 * residual_of_pulse(mode, 1, 0.25, 0.12), WithinAbs(78.987, 0.0005));
  CHECK_THAT(residual_amplitude(mode, symmetric(1, 0.25, 0.40, 0)),
             testing::IsNear(micrometres(1013.212), micrometres(0.0005)));
}

TEST_CASE("a force that rises in a ramp overshoots as printed", "[motion][published]") {
  // [residual vibration], C: 1 + |sin(pi r)|/(pi r), r = rise time over period.
  const ElasticMode mode = mode_of(10, 0);
  const auto overshoot = [&](double r) {
    const Time rise = seconds(r / 10);
    const Length swing = residual_amplitude(
        mode, {{.at = seconds(0), .step = m_per_s2(1), .jerk_time = rise}}, rise);
    return 1.0 + in_metres(swing) * std::pow(20.0 * pi, 2);
  };
  CHECK_THAT(overshoot(0.5), WithinAbs(1.6366, 0.00005));
  CHECK_THAT(overshoot(1.0), WithinAbs(1.0, 0.00005));
  CHECK_THAT(overshoot(1.5), WithinAbs(1.2122, 0.00005));
}

TEST_CASE("pulses leave nothing first at the handbook's durations", "[motion][published]") {
  // [Harris] ch. 8, Q: first zero of the residual at 1 period for a rectangle, 2 for a symmetric
  // triangle; largest of the rectangle 2.
  const double f = 10, a = 1;
  const double stretch = a / std::pow(2.0 * pi * f, 2);
  const auto rectangle = [&](double periods) {
    return residual_of_pulse(mode_of(f, 0), a, periods / f) / stretch;
  };
  // Up and down again at once: two ramps of half the duration.
  const auto triangle = [&](double periods) {
    return residual_of_pulse(mode_of(f, 0), a, periods / f / 2, periods / f / 2) / stretch;
  };
  CHECK_THAT(rectangle(1), WithinAbs(0.0, 1e-12));
  CHECK_THAT(triangle(2), WithinAbs(0.0, 1e-12));
  double most = 0.0;
  for (int i = 1; i < 100; ++i) {
    CHECK(rectangle(i / 100.0) > 1e-3);
    CHECK(triangle(i / 50.0) > 1e-4);
    most = std::max(most, rectangle(i / 100.0));
  }
  CHECK_THAT(most, WithinRel(2.0, 1e-12));
}

TEST_CASE("residual_amplitude and peak_during_move agree with integrated equations of motion",
          "[motion][property]") {
  std::mt19937 random(20);  // NOLINT(cert-msc51-cpp,cert-msc32-c): the same cases each time
  const auto between = [&](double low, double high) {
    return low + (high - low) * (static_cast<double>(random()) / 4294967296.0);
  };
  for (int i = 0; i < 20; ++i) {
    const ElasticMode mode = mode_of(between(5, 60), i % 5 == 0 ? 0.0 : between(0, 0.7));
    const MoveProfile move{.trapezoid = {.top_speed = metres_per_second(between(0.1, 1.0)),
                                         .speeding_up = seconds(between(0.01, 0.3)),
                                         .cruising = seconds(between(0.05, 0.3)),
                                         .slowing_down = seconds(between(0.01, 0.3))},
                           .up_jerk_time = seconds(between(0.001, 0.1)),
                           .down_jerk_time = seconds(between(0.001, 0.1))};
    CAPTURE(i, in_hertz(mode.natural_frequency), mode.damping_ratio.value());
    const Integrated met = integrate(mode, acceleration_steps(move));
    const double amplitude = in_metres(residual_amplitude(mode, move));
    const double peak = in_metres(peak_during_move(mode, move));
    CHECK_THAT(amplitude, WithinRel(met.amplitude, 1e-6) || WithinAbs(met.amplitude, 1e-9 * peak));
    CHECK(peak >= met.peak * (1.0 - 1e-9));
    CHECK_THAT(peak, WithinRel(met.peak, 1e-4));  // sampled a hundred times a radian
  }
}

TEST_CASE("an undamped load keeps the product of sines", "[motion][property]") {
  // (4 a/w2) |sin(w ta/2) sin(w (ta + tc)/2) sinc(w tj/2)|, t_c of the trapezoid.
  const double ramp = GENERATE(take(5, random(0.01, 0.4)));
  const double cruising = GENERATE(take(4, random(0.0, 0.4)));
  const double jerk_time = GENERATE(0.0, 1e-13, 1e-9, 1e-6, 0.03, 0.7);
  CAPTURE(ramp, cruising, jerk_time);
  const double omega = 2.0 * pi * 12, half = omega * jerk_time / 2.0;
  const double sinc = jerk_time > 0.0 ? std::sin(half) / half : 1.0;
  const double wanted =
      4.0 * 3.0 / (omega * omega) *
      std::abs(std::sin(omega * ramp / 2.0) * std::sin(omega * (ramp + cruising) / 2.0) * sinc);
  CHECK_THAT(in_metres(residual_amplitude(mode_of(12, 0), symmetric(3, ramp, cruising, jerk_time))),
             WithinAbs(wanted, 1e-13 * 12.0 / (omega * omega)));
}

TEST_CASE("a vanishing jerk time leaves what the plain trapezoid leaves", "[motion][property]") {
  const double jerk_time = GENERATE(1e-15, 1e-12, 1e-9, 1e-6);
  const double zeta = GENERATE(0.0, 0.03, 0.9);
  CAPTURE(jerk_time, zeta);
  const ElasticMode mode = mode_of(25, zeta);
  const MoveProfile plain = symmetric(12, 0.04, 0.05, 0);
  const MoveProfile move = symmetric(12, 0.04, 0.05, jerk_time);
  // Of first order in w tj, with what zeta near 1 enlarges.
  const double slack = 1e3 * jerk_time + 1e-12;
  const double stretch = 12.0 / std::pow(50.0 * pi, 2);
  CHECK_THAT(in_metres(residual_amplitude(mode, move)),
             WithinAbs(in_metres(residual_amplitude(mode, plain)), slack * stretch));
  CHECK_THAT(in_metres(peak_during_move(mode, move)),
             WithinAbs(in_metres(peak_during_move(mode, plain)), slack * stretch));
}

TEST_CASE("the residual decays as the envelope from the last step on", "[motion][property]") {
  const double later = GENERATE(0.0, 0.013, 0.4);
  const ElasticMode mode = mode_of(25, 0.03);
  const auto steps = pulse(5, 0.07, 0.02);
  const double now = in_metres(residual_amplitude(mode, steps, seconds(0.09)));
  CHECK_THAT(in_metres(residual_amplitude(mode, steps, seconds(0.09 + later))),
             WithinRel(now * std::exp(-0.03 * 50.0 * pi * later), 1e-12));
  // And settles when settling_time says.
  const Time wait = settling_time(mode, {.amplitude = metres(now), .tolerance = micrometres(5)});
  CHECK_THAT(in_micrometres(residual_amplitude(mode, steps, seconds(0.09) + wait)),
             WithinRel(5.0, 1e-12));
}

TEST_CASE("no move leaves more than the worst and half a period reaches it", "[motion][property]") {
  const double zeta = GENERATE(0.0, 0.05, 0.5, 0.95);
  const double ramp = GENERATE(take(10, random(0.001, 0.2)));
  const double cruising = GENERATE(take(5, random(0.0, 0.2)));
  CAPTURE(zeta, ramp, cruising);
  const ElasticMode mode = mode_of(10, zeta);
  CHECK(residual_amplitude(mode, symmetric(2, ramp, cruising, 0)) <=
        worst_residual(mode, m_per_s2(2)));
  CHECK(residual_of_pulse(mode, 2, ramp, 0.01) <=
        in_metres(worst_residual_of_one_ramp(mode, m_per_s2(2))));
  const ElasticMode free = mode_of(10, 0);
  // 2 a/w2 and 4 a/w2, written out.
  const double stretch = 2.0 / std::pow(20.0 * pi, 2);
  CHECK_THAT(in_metres(worst_residual_of_one_ramp(free, m_per_s2(2))),
             WithinRel(2.0 * stretch, 1e-14));
  CHECK_THAT(in_metres(worst_residual(free, m_per_s2(2))), WithinRel(4.0 * stretch, 1e-14));
  CHECK_THAT(residual_of_pulse(free, 2, 0.05), WithinRel(2.0 * stretch, 1e-12));
  CHECK_THAT(in_metres(residual_amplitude(free, symmetric(2, 0.05, 0.1, 0))),
             WithinRel(4.0 * stretch, 1e-12));
}

TEST_CASE("a ramp of whole periods leaves what residual_of_tuned_ramp says", "[motion][property]") {
  const double zeta = GENERATE(0.0, 0.001, 0.03, 0.3);
  const int periods = GENERATE(1, 2, 3);
  CAPTURE(zeta, periods);
  const ElasticMode mode = mode_of(25, zeta);
  const double ramp = periods * in_seconds(shortest_tuned_ramp(mode));
  CHECK_THAT(ramp * 25.0 * std::sqrt(1.0 - zeta * zeta), WithinRel(double(periods), 1e-14));
  const double left = in_metres(residual_of_tuned_ramp(mode, m_per_s2(5), periods));
  const double stretch = 5.0 / std::pow(50.0 * pi, 2);
  CHECK_THAT(residual_of_pulse(mode, 5, ramp), WithinAbs(left, 1e-13 * stretch));
  // Small damping: 2 pi n zeta of the static stretch, to the next order.
  if (zeta == 0.001) {
    CHECK_THAT(left, WithinRel(2.0 * pi * periods * zeta * stretch, 0.01 * periods));
  }
  CHECK((zeta == 0.0 || residual_of_tuned_ramp(mode, m_per_s2(5), periods + 1) > metres(left)));
}

TEST_CASE("peak_during_move is twice the static stretch of a step and once that of a slow ramp",
          "[motion][property]") {
  const double stretch = 5.0 / std::pow(50.0 * pi, 2);
  // A start step on an undamped load, held for longer than half a period.
  CHECK_THAT(in_metres(peak_during_move(mode_of(25, 0), symmetric(5, 0.04, 0.3, 0))),
             WithinRel(2.0 * stretch, 1e-12));
  // Damped: 1 + e^{-pi zeta/sqrt(1 - zeta^2)}, the first swing's own peak.
  CHECK_THAT(in_metres(peak_during_move(mode_of(25, 0.2), symmetric(5, 0.1, 0.3, 0))),
             WithinRel((1.0 + std::exp(-pi * 0.2 / std::sqrt(0.96))) * stretch, 1e-12));
  // A jerk time of one period ends each change of acceleration at rest.
  CHECK_THAT(in_metres(peak_during_move(mode_of(25, 0), symmetric(5, 0.1, 0.3, 0.04))),
             WithinRel(stretch, 1e-12));
}

TEST_CASE("stretches grow with the acceleration and with the square of the period",
          "[motion][property]") {
  const MoveProfile move = symmetric(3, 0.07, 0.11, 0.02);
  const MoveProfile stronger = symmetric(6, 0.07, 0.11, 0.02);
  const MoveProfile slower = symmetric(3, 0.14, 0.22, 0.04);
  const ElasticMode mode = mode_of(20, 0.1), soft = mode_of(10, 0.1);
  CHECK_THAT(number(residual_amplitude(mode, stronger) / residual_amplitude(mode, move)),
             WithinRel(2.0, 1e-12));
  CHECK_THAT(number(residual_amplitude(soft, slower) / residual_amplitude(mode, move)),
             WithinRel(4.0, 1e-12));
  CHECK_THAT(number(peak_during_move(soft, slower) / peak_during_move(mode, move)),
             WithinRel(4.0, 1e-12));
}

TEST_CASE("a move that does not move leaves nothing", "[motion][property]") {
  CHECK(residual_amplitude(mode_of(10, 0.1), MoveProfile{}) == metres(0));
  CHECK(peak_during_move(mode_of(10, 0.1), {}) == metres(0));
}

TEST_CASE("settling_time is zero below the tolerance and infinite without damping",
          "[motion][property]") {
  CHECK(settling_time(mode_of(10, 0.1),
                      {.amplitude = micrometres(5), .tolerance = micrometres(5)}) == seconds(0));
  CHECK(settling_time(mode_of(10, 0), {.amplitude = micrometres(4), .tolerance = micrometres(5)}) ==
        seconds(0));
  CHECK(settling_time(mode_of(10, 0), {.amplitude = micrometres(6), .tolerance = micrometres(5)}) ==
        unlimited<Time>());
  // ln(e)/(0.1 · 20 pi)
  CHECK_THAT(in_seconds(settling_time(
                 mode_of(10, 0.1), {.amplitude = metres(std::exp(1.0)), .tolerance = metres(1)})),
             WithinRel(1.0 / (2.0 * pi), 1e-14));
}

TEST_CASE("the vibration formulas refuse what their tables exclude", "[motion][error]") {
  const ElasticMode good = mode_of(10, 0.1);
  const MoveProfile move = symmetric(3, 0.07, 0.11, 0.02);
  ElasticMode bad = good;
  bad.natural_frequency = unset<Frequency>();
  CHECK_THROWS_MATCHES(residual_amplitude(bad, move), InvalidInput,
                       Message("natural frequency must be > 0, got nan Hz"));
  CHECK_THROWS_AS(peak_during_move(bad, move), InvalidInput);
  CHECK_THROWS_AS(worst_residual(bad, m_per_s2(1)), InvalidInput);
  CHECK_THROWS_AS(settling_time(bad, {.amplitude = metres(1), .tolerance = metres(1)}),
                  InvalidInput);
  CHECK_THROWS_AS(shortest_tuned_ramp(bad), InvalidInput);
  CHECK_THROWS_AS(residual_of_tuned_ramp(bad, m_per_s2(1)), InvalidInput);
  CHECK_THROWS_AS(damped_frequency(mode_of(0, 0.1)), InvalidInput);
  MoveProfile unmade = move;
  unmade.up_jerk_time = unset<Time>();
  CHECK_THROWS_AS(residual_amplitude(good, unmade), InvalidInput);
  CHECK_THROWS_AS(peak_during_move(good, unmade), InvalidInput);

  auto steps = pulse(1, 0.1, 0.02);
  CHECK_NOTHROW(residual_amplitude(good, steps, seconds(0.12)));
  CHECK_THROWS_MATCHES(residual_amplitude(good, steps, seconds(0.11)), InvalidInput,
                       Message("time of the residual must be no earlier than the last step's end "
                               "at 0.12 s, got 0.11 s"));
  CHECK_THROWS_AS(residual_amplitude(good, steps, unset<Time>()), InvalidInput);
  steps[0].jerk_time = seconds(-1);
  CHECK_THROWS_MATCHES(residual_amplitude(good, steps, seconds(1)), InvalidInput,
                       Message("jerk time must be >= 0, got -1 s"));
  steps[0] = {.at = unset<Time>(), .step = m_per_s2(1)};
  CHECK_THROWS_MATCHES(residual_amplitude(good, steps, seconds(1)), InvalidInput,
                       Message("step begin must be >= 0, got nan s"));
  steps[0] = {.at = seconds(0), .step = unset<Acceleration>()};
  CHECK_THROWS_MATCHES(residual_amplitude(good, steps, seconds(1)), InvalidInput,
                       Message("acceleration step must be finite, got nan m/s^2"));

  CHECK_THROWS_MATCHES(worst_residual_of_one_ramp(good, m_per_s2(-1)), InvalidInput,
                       Message("acceleration must be >= 0, got -1 m/s^2"));
  CHECK_THROWS_AS(residual_of_tuned_ramp(good, unset<Acceleration>()), InvalidInput);
  CHECK_THROWS_MATCHES(residual_of_tuned_ramp(good, m_per_s2(1), 0), InvalidInput,
                       Message("periods must be >= 1, got 0"));
  CHECK_THROWS_MATCHES(settling_time(good, {.amplitude = unset<Length>(), .tolerance = metres(1)}),
                       InvalidInput, Message("amplitude must be >= 0, got nan m"));
  CHECK_THROWS_MATCHES(settling_time(good, {.amplitude = metres(1), .tolerance = metres(0)}),
                       InvalidInput, Message("tolerance must be > 0, got 0 m"));
}

TEST_CASE("peak_during_move refuses a change of acceleration of too many swings",
          "[motion][error]") {
  // 6 s at 20 kHz: 240 000 half swings.
  CHECK_THROWS_AS(peak_during_move(mode_of(20'000, 0), symmetric(1, 10, 20, 6)), OutsideValidity);
}

}  // namespace
}  // namespace pitchline
