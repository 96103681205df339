#include "pitchline/check/rows/vibration.hpp"

#include <cmath>
#include <complex>
#include <numbers>
#include <stdexcept>

#include "support/catch.hpp"
#include "support/findings.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using check::AxisState;
using check::residual_vibration_finding;
using machine::Machine;
using report::Finding;
using report::Verdict;
using testing::detail;

// A move of 50 mm at 2 m/s^2 and 0.2 m/s: ramps of 0.1 s, and 0.15 s at full speed.
Machine loft() {
  Machine m = testing::kite_loft();
  m.axes.front().want.speed = millimetres_per_second(200);
  m.axes.front().want.stroke = millimetres(50);
  m.axes.front().want.position_error = micrometres(10);
  return m;
}
machine::Want& want(Machine& m) { return m.axes.front().want; }
AxisState state(const Machine& m) { return check::state_of(m, m.axes.front()); }
Finding found(const Machine& m) { return residual_vibration_finding(state(m)); }
double omega(const AxisState& s) {
  return 2 * std::numbers::pi * in_hertz(s.swing->natural_frequency);
}

// Swing of the move above, as the sum of its four steps turned and decayed to its end.
double swing_of_move(const AxisState& s) {
  const double w = omega(s);
  const double zeta = s.swing->damping_ratio.value();
  const double root = std::sqrt(1 - zeta * zeta);
  const std::complex<double> p{-zeta * w, w * root};
  const auto sum =
      2.0 * std::exp(p * 0.35) - 2.0 * std::exp(p * 0.25) - 2.0 * std::exp(p * 0.1) + 2.0;
  return std::abs(sum) / (w * w * root);
}

TEST_CASE("the load swings on belt and field, and only the belt damps", "[check][property]") {
  const AxisState s = state(loft());
  // The field at half of its torque stands at 30 deg: 50 * 0.55 N m * cos 30 deg a radian of the
  // shaft, over the square of 40 mm/(2 pi).
  const double t = 0.04 / (2 * std::numbers::pi);
  const double field = 50 * 0.55 * std::sqrt(3.0) / 2 / (t * t);
  const double belt = in_newtons_per_metre(s.stiffness);
  const double both = 1 / (1 / belt + 1 / field);
  const double mass = in_kilograms(s.seen.mass) / s.seen.efficiency.value() +
                      in_kilogram_square_metres(s.seen.motor_side_inertia) / (t * t);
  CHECK_THAT(omega(s), WithinRel(std::sqrt(both / mass), 1e-9));
  // 0.03 of the belt, in the share that it has of the stretch.
  CHECK_THAT(s.swing->damping_ratio.value(), WithinRel(0.03 * both / belt, 1e-9));
}

TEST_CASE("a move leaves the swing of its four steps, which settles by its damping",
          "[check][property]") {
  const Machine m = loft();
  const AxisState s = state(m);
  const Finding f = found(m);
  const double swing = swing_of_move(s);
  REQUIRE(swing > 10e-6);
  CHECK_THAT(detail(f, "swing after the move"), WithinRel(swing, 1e-9));
  CHECK_THAT(
      f.value.coherent(),
      WithinRel(std::log(swing / 10e-6) / (s.swing->damping_ratio.value() * omega(s)), 1e-9));
  // Nothing is asked of the time.
  CHECK(f.verdict == Verdict::holds);
  CHECK(std::isinf(f.margin));
  CHECK_THAT(f.reason, Contains("no rest between moves is asked"));
  CHECK(f.remedy.empty());
}

TEST_CASE("the most that ramps and moves can leave stands beside it", "[check][property]") {
  const Machine m = loft();
  const AxisState s = state(m);
  const Finding f = found(m);
  const double zeta = s.swing->damping_ratio.value();
  const double stretch = 2.0 / (omega(s) * omega(s) * std::sqrt(1 - zeta * zeta));
  CHECK_THAT(detail(f, "most that one ramp leaves without friction, 2 a/omega^2"),
             WithinRel(2 * stretch, 1e-9));
  CHECK_THAT(detail(f, "most that one move leaves without friction, 4 a/omega^2"),
             WithinRel(4 * stretch, 1e-9));
  // The tuned ramp: whole swings, and no more acceleration than wanted.
  const double period = 2 * std::numbers::pi / (omega(s) * std::sqrt(1 - zeta * zeta));
  const double periods = std::ceil(0.1 / period);
  CHECK_THAT(detail(f, "tuned ramp"), WithinRel(periods * period, 1e-9));
  CHECK_THAT(detail(f, "acceleration that makes it"), WithinRel(0.2 / (periods * period), 1e-9));
  CHECK_THAT(detail(f, "or a jerk time of"), WithinRel(period, 1e-9));
  CHECK(detail(f, "swing after one such ramp") < 0.2 * 2 * stretch);
  CHECK(detail(f, "swing after one ramp with it") < 0.1 * 2 * stretch);
}

TEST_CASE("without a stroke the worst move counts", "[check][property]") {
  // Without friction every corner swings by a/omega^2; four of them, hardly decayed in a short
  // move. A jerk time of half a swing takes each down to sin x/x with x = pi/2.
  Machine m = loft();
  want(m).stroke = unset<Length>();
  machine::belt_drive(m.axes.front()).guide.drag = newtons(0);
  machine::belt_drive(m.axes.front()).guide.friction = FrictionCoefficient(0);
  const AxisState s = state(m);
  const double corner = 2.0 / (omega(s) * omega(s));
  const Finding f = found(m);
  CHECK(detail(f, "swing after the move") < 4.0 * corner);
  CHECK(detail(f, "swing after the move") > 3.7 * corner);
  CHECK_THAT(f.reason, Contains("worst length"));
  want(m).jerk_time = seconds(std::numbers::pi / omega(s));
  CHECK_THAT(detail(found(m), "swing after the move") / detail(f, "swing after the move"),
             WithinRel(2.0 / std::numbers::pi, 1e-6));
  // It may be no move that runs: no failure.
  want(m).repeats = 2;
  want(m).dwell = seconds(1e-3);
  CHECK(found(m).verdict == Verdict::unsure);
}

TEST_CASE("without a position error the swing itself is the value and nothing is asked",
          "[check][property]") {
  Machine m = loft();
  want(m).position_error = unset<Length>();
  want(m).repeats = 3;
  want(m).dwell = seconds(1e-3);
  const Finding f = found(m);
  CHECK_THAT(f.value.coherent(), WithinRel(swing_of_move(state(m)), 1e-9));
  CHECK(f.verdict == Verdict::holds);
  CHECK_THAT(f.reason, Contains("no position error is asked"));
}

TEST_CASE("a rest between moves is judged as planned and at the worst phase", "[check][property]") {
  Machine m = loft();
  const double planned = found(m).value.coherent();
  want(m).repeats = 2;
  const auto with_rest = [&](double rest) {
    want(m).dwell = seconds(rest);
    return found(m);
  };
  Finding f = with_rest(0.99 * planned);
  CHECK(f.verdict == Verdict::fails);
  CHECK_THAT(f.limit.coherent(), WithinRel(0.99 * planned, 1e-12));
  CHECK_THAT(f.remedy, Contains("ramps of") && Contains("jerk time of"));
  f = with_rest(1.01 * planned);
  CHECK(f.verdict == Verdict::unsure);
  CHECK(f.margin < 1.0);
  CHECK_THAT(detail(f, "time in which it settles"), WithinRel(planned, 1e-12));
  CHECK_THAT(f.value.coherent(), WithinRel(detail(f, "the same at the worst phase"), 1e-12));
  // The worst of all: what the first move left decays over the rest, so it changes with the rest.
  const double worst = detail(with_rest(20), "the same at the worst phase");
  CHECK(worst > planned);
  const double asked = detail(with_rest(1.1 * worst), "the same at the worst phase");
  CHECK_THAT(asked, WithinRel(worst, 0.02));
  CHECK(with_rest(1.1 * worst).verdict == Verdict::tight);
  CHECK(with_rest(1.3 * worst).verdict == Verdict::holds);
}

TEST_CASE("a swing that nothing damps is no failure for certain", "[check][property]") {
  Machine m = loft();
  machine::belt_drive(m.axes.front()).belt_damping = DampingRatio(0);
  want(m).repeats = 2;
  want(m).dwell = seconds(1);
  Finding f = found(m);
  CHECK(f.verdict == Verdict::unsure);
  CHECK(f.value_text == "never settles");
  // Inside the position error it does not matter.
  want(m).position_error = millimetres(5);
  f = found(m);
  CHECK(f.verdict == Verdict::holds);
  CHECK(f.value.coherent() == 0.0);
}

TEST_CASE("a stiffness that is not known is named", "[check][property]") {
  Machine m = loft();
  machine::belt_drive(m.axes.front()).belt.profile.stiffness_per_width =
      unset<decltype(parts::BeltProfile::stiffness_per_width)>();
  const Finding f = found(m);
  CHECK(f.verdict == Verdict::unsure);
  CHECK(f.value_text == "unknown");
  CHECK_THAT(f.reason, Contains("stiffness of the drive"));
  CHECK_THAT(f.remedy, Contains("drive.tension_per_strain"));
}

TEST_CASE("the row of the swing refuses numbers outside their range", "[check][error]") {
  Machine m = loft();
  want(m).acceleration = unset<Acceleration>();
  CHECK_THROWS_AS(found(m), InvalidInput);
  m = loft();
  want(m).position_error = metres(0);
  CHECK_THROWS_AS(found(m), InvalidInput);
}

}  // namespace
}  // namespace pitchline
