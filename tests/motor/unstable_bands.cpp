#include "pitchline/motor/unstable_bands.hpp"
#include "pitchline/motor/least_damped_mode.hpp"

#include <Eigen/Eigenvalues>
#include <numbers>

#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motor::BeltAtMotor;
using motor::critical_damping;
using motor::DampingRatio;
using motor::DrivenWinding;
using motor::ShaftState;
using motor::SwingingShaft;
using motor::unstable_bands;
using motor::UnstableBand;
using testing::IsNear;

RotaryDrag rotary_drag(double x) { return newton_metre_seconds_per_radian(x); }

// NEMA 23 of the tables on 48 V, the bridge switching in full.
DrivenWinding nema_23(double supply = 48.0, double ampere = 2.8) {
  return motor::driven_winding(testing::tabled_motor("NEMA23"), amperes(ampere),
                               volts(4.0 / std::numbers::pi * supply));
}

const Inertia rotor = gram_square_centimetres(480);

// Half of the pull-out torque at the supply itself.
Torque half_load(AngularSpeed speed) {
  const DrivenWinding w =
      motor::driven_winding(testing::tabled_motor("NEMA23"), amperes(2.8), volts(48));
  return 0.5 * motor::loss_free_pull_out(w, speed).torque;
}

SwingingShaft shaft_with(double damping) {
  return {.inertia = rotor, .viscous_damping = rotary_drag(damping)};
}

TEST_CASE("a bare rotor is unstable from just above its corner to where its drag is enough",
          "[motor][published]") {
  // reference/published/midband_half_load.csv, 48 V and 2.8 A: at half the pull-out torque it needs
  // 0 at 450 rpm, 12.2e-3 at 600 rpm, then less and less: 1.34e-3 at 1600 rpm, 8.10e-4 at 2000 rpm.
  const auto bands =
      unstable_bands(nema_23(), shaft_with(1e-3), revolutions_per_minute(3000), half_load);
  REQUIRE(bands.size() == 1);
  const UnstableBand& band = bands.front();
  CHECK(band.from > revolutions_per_minute(450));
  CHECK(band.from < revolutions_per_minute(600));
  CHECK(band.to > revolutions_per_minute(1600));
  CHECK(band.to < revolutions_per_minute(2000));
  CHECK(band.needed >= rotary_drag(0.01217));
  CHECK(band.worst > band.from);
  CHECK(band.worst < revolutions_per_minute(800));
  CHECK(band.worst_near_saturation);
  CHECK_FALSE(band.all_near_saturation);
  CHECK_FALSE(band.open);
}

TEST_CASE("unstable_bands ends where need and damping meet and finds the worst between",
          "[motor][property]") {
  const double damping = GENERATE(2e-4, 1e-3, 4e-3, 9e-3);
  const double ratio = GENERATE(0.0, 0.03);
  CAPTURE(damping, ratio);
  const DrivenWinding w = nema_23();
  SwingingShaft shaft = shaft_with(damping);
  shaft.belt = BeltAtMotor{.stiffness = newtons_per_millimetre(100),
                           .damping_ratio = DampingRatio(ratio),
                           .transmission = millimetres(9) / radian};
  const AngularSpeed top = revolutions_per_minute(2500);
  const auto missing = [&](AngularSpeed speed) {
    const auto need = critical_damping(
        w, ShaftState{.inertia = rotor, .speed = speed, .torque = half_load(speed)});
    REQUIRE(need.has_value());
    if (need->damping == rotary_drag(0)) return rotary_drag(0);
    return RotaryDrag(need->damping - motor::damping_present(shaft, need->oscillation));
  };
  auto bands = unstable_bands(w, shaft, top, half_load);
  motor::fill_growth(bands, w, shaft, half_load);
  REQUIRE_FALSE(bands.empty());
  for (const UnstableBand& band : bands) {
    CHECK(missing(band.from) > rotary_drag(0));
    CHECK(missing(band.from * (1 - 1e-9)) <= rotary_drag(0));
    CHECK(band.open == (band.to == top));
    if (!band.open) {
      CHECK_THAT(in_newton_metre_seconds_per_radian(missing(band.to)), WithinAbs(0.0, 1e-10));
      CHECK(missing(band.to * (1 + 1e-9)) <= rotary_drag(0));
    }
    CHECK_THAT(number(missing(band.worst) / band.missing), WithinRel(1.0, 1e-12));
    const ShaftState worst{.inertia = rotor, .speed = band.worst, .torque = half_load(band.worst)};
    const RotaryDrag present = motor::damping_present(shaft, band.oscillation);
    CHECK_THAT(number((band.needed - present) / band.missing), WithinRel(1.0, 1e-9));
    CHECK(band.needed == critical_damping(w, worst)->damping);
    CHECK(band.growth == motor::least_damped_mode(w, worst, present)->growth);
    CHECK(band.growth > hertz(0));
    for (const double rpm : {-4.0, -1.0, -0.3, 0.3, 1.0, 4.0}) {
      const AngularSpeed beside = band.worst + revolutions_per_minute(rpm);
      if (beside > band.from && beside < band.to) CHECK(missing(beside) < band.missing);
    }
  }
  for (int rpm = 5; rpm <= 2500; rpm += 5) {
    CAPTURE(rpm);
    const AngularSpeed speed = revolutions_per_minute(rpm);
    RotaryDrag most{};
    bool within = false;
    for (const UnstableBand& band : bands) {
      if (speed < band.from || speed > band.to) continue;
      within = true;
      most = band.missing;
    }
    CHECK((missing(speed) > rotary_drag(0)) == within);
    CHECK(missing(speed) <= most * (1 + 1e-9));
  }
}

TEST_CASE("unstable_bands ends where the motor has too little torque", "[motor][property]") {
  const Torque load = newton_metres(0.5);
  const auto bands = unstable_bands(nema_23(), shaft_with(1e-4), revolutions_per_minute(4000),
                                    [&](AngularSpeed) { return load; });
  REQUIRE(bands.size() == 1);
  CHECK(bands.front().open);
  CHECK_THAT(in_newton_metres(motor::loss_free_pull_out(nema_23(), bands.front().to).torque),
             WithinRel(0.5, 1e-6));
}

TEST_CASE("enough damping, or a slow motor, leaves no unstable band", "[motor][property]") {
  CHECK(
      unstable_bands(nema_23(), shaft_with(0.02), revolutions_per_minute(3000), half_load).empty());
  CHECK(unstable_bands(nema_23(), shaft_with(0.0), revolutions_per_minute(450), half_load).empty());
}

TEST_CASE("a damper on the shaft shortens the band and takes off what is missing",
          "[motor][property]") {
  const auto band = [](double damping) {
    auto bands =
        unstable_bands(nema_23(), shaft_with(damping), revolutions_per_minute(3000), half_load);
    motor::fill_growth(bands, nema_23(), shaft_with(damping), half_load);
    return bands.front();
  };
  CHECK_THAT(number((band(1e-3).missing - band(3e-3).missing) / rotary_drag(2e-3)),
             WithinRel(1.0, 1e-6));
  CHECK(band(3e-3).to < band(1e-3).to);
  CHECK(band(3e-3).growth < band(1e-3).growth);
}

TEST_CASE("inertia slows the growth and hardly changes the need", "[motor][property]") {
  const double rpm = GENERATE(800.0, 1000.0, 2000.0);
  CAPTURE(rpm);
  const auto state = [&](double times) {
    return ShaftState{.inertia = times * rotor,
                      .speed = revolutions_per_minute(rpm),
                      .torque = newton_metres(0.25)};
  };
  const DrivenWinding w = nema_23();
  CHECK_THAT(
      number(critical_damping(w, state(4))->damping / critical_damping(w, state(1))->damping),
      WithinAbs(1.0, 0.03));
  const auto growth = [&](double times) {
    return in_hertz(motor::least_damped_mode(w, state(times), rotary_drag(0))->growth);
  };
  CHECK_THAT(growth(1) / growth(4), WithinRel(4.0, 0.06));
}

TEST_CASE("torque raises the need, current lowers it and starts the band earlier, voltage later",
          "[motor][property]") {
  const auto need = [](const DrivenWinding& w, double rpm, double torque) {
    return in_newton_metre_seconds_per_radian(
        critical_damping(w, ShaftState{.inertia = rotor,
                                       .speed = revolutions_per_minute(rpm),
                                       .torque = newton_metres(torque)})
            ->damping);
  };
  for (const double rpm : {800.0, 1000.0, 1500.0, 2000.0}) {
    CAPTURE(rpm);
    for (const double torque : {0.05, 0.1, 0.2, 0.3, 0.4})
      CHECK(need(nema_23(), rpm, torque + 0.05) > need(nema_23(), rpm, torque));
    for (const double ampere : {2.0, 2.8, 3.4})
      CHECK(need(nema_23(48, ampere + 0.5), rpm, 0.2) < 0.9 * need(nema_23(48, ampere), rpm, 0.2));
  }
  const auto start = [](const DrivenWinding& w) {
    return unstable_bands(w, shaft_with(1e-4), revolutions_per_minute(3000),
                          [](AngularSpeed) { return newton_metres(0.2); })
        .front()
        .from;
  };
  CHECK(start(nema_23(48, 2.0)) > 1.03 * start(nema_23(48, 2.8)));
  CHECK(start(nema_23(96)) > 1.5 * start(nema_23(48)));
}

// Damping on the shaft needed by a rotor with its load behind the belt, all six states.
RotaryDrag needed_with_load_on_belt(const DrivenWinding& w, const ShaftState& at,
                                    const BeltAtMotor& belt, Mass mass) {
  const auto point = *motor::working_point(w, at.speed, at.torque);
  const double N = w.pole_pairs;
  const double K = in_newton_metres_per_ampere(w.torque_constant);
  const double L = in_henries(w.inductance);
  const double electrical_speed = N * in_radians_per_second(at.speed);
  const double J = in_kilogram_square_metres(at.inertia);
  const double load = in_kilogram_square_metres(mass * belt.transmission * belt.transmission);
  const double k =
      in_newton_metres_per_radian(belt.stiffness * belt.transmission * belt.transmission);
  const Eigen::Vector2d u(-in_volts(point.quadrature_voltage) / in_volts(w.voltage),
                          in_volts(point.direct_voltage) / in_volts(w.voltage));
  // Largest growth, 1/s, and angular frequency of the swing that has it, rad/s.
  const auto fastest = [&](double B, double c) {
    Eigen::Matrix2d impedance;  // 2x2, ohm
    impedance << in_ohms(w.resistance), -electrical_speed * L, electrical_speed * L,
        in_ohms(w.resistance);
    impedance += in_ohms(point.gain) * u * u.transpose();
    // 6x6: i_d, i_q, angle and speed of the rotor, angle and speed of the load, all electrical.
    Eigen::Matrix<double, 6, 6> A = Eigen::Matrix<double, 6, 6>::Zero();
    A.topLeftCorner<2, 2>() = -impedance / L;
    A(0, 2) = K / N * electrical_speed / L;
    A(1, 3) = -K / N / L;
    A(2, 3) = 1;
    A.row(3) << 0, N * K / J, (-N * K * in_amperes(point.direct) - k) / J, -(B + c) / J, k / J,
        c / J;
    A(4, 5) = 1;
    A.row(5) << 0, 0, k / load, c / load, -k / load, -c / load;
    const Eigen::Matrix<std::complex<double>, 6, 1> eigenvalues = A.eigenvalues();
    Eigen::Index i = 0;
    const double growth = eigenvalues.real().maxCoeff(&i);
    return std::pair{growth, std::abs(eigenvalues[i].imag())};
  };
  double need = 0.0;
  const double bare = 2 * std::numbers::pi * in_hertz(critical_damping(w, at)->oscillation);
  double omega = std::sqrt(bare * bare + k / J);  // that the loss of the belt is taken at
  for (int pass = 0; pass < 2; ++pass) {
    const double c = 2 * belt.damping_ratio.value() * k / omega;
    double low = 0.0;
    double high = fastest(0.0, c).first > 0.0 ? 0.1 : 0.0;
    for (int i = 0; i < 24; ++i)
      (fastest((low + high) / 2, c).first > 0.0 ? low : high) = (low + high) / 2;
    need = high;
    if (need > 0.0) omega = std::max(omega, fastest(high, c).second);  // less loss the faster
  }
  return rotary_drag(need);
}

TEST_CASE("a load behind a belt counts as a wall, with a spring left out and its damping kept",
          "[motor][property]") {
  struct Axis {
    const char* motor;
    double supply, ampere, inertia, newtons_per_mm, mass, mm_per_rad;
  };
  const Axis a = GENERATE(values<Axis>({{"NEMA17", 24, 1.5, 62e-7, 60, 0.5, 6.366},
                                        {"NEMA17", 24, 1.5, 62e-7, 30, 2, 6.366},
                                        {"NEMA23", 48, 2.8, 510e-7, 100, 4, 9.55},
                                        {"NEMA23", 48, 2.8, 510e-7, 100, 6, 3},
                                        {"NEMA34", 80, 6, 2900e-7, 300, 12, 15}}));
  const double ratio = GENERATE(0.0, 0.02, 0.05);
  const double rpm = GENERATE(800.0, 1000.0, 2000.0);
  const double share = GENERATE(0.25, 0.5);
  CAPTURE(a.motor, a.mass, a.mm_per_rad, ratio, rpm, share);
  const DrivenWinding w = motor::driven_winding(testing::tabled_motor(a.motor), amperes(a.ampere),
                                                volts(4.0 / std::numbers::pi * a.supply));
  const AngularSpeed speed = revolutions_per_minute(rpm);
  const ShaftState at{.inertia = kilogram_square_metres(a.inertia),
                      .speed = speed,
                      .torque = 0.8 * share * motor::loss_free_pull_out(w, speed).torque};
  const BeltAtMotor belt{.stiffness = newtons_per_millimetre(a.newtons_per_mm),
                         .damping_ratio = DampingRatio(ratio),
                         .transmission = millimetres(a.mm_per_rad) / radian};
  const auto need = critical_damping(w, at);
  REQUIRE(need.has_value());
  if (need->damping == rotary_drag(0)) return;
  const SwingingShaft shaft{.inertia = at.inertia, .viscous_damping = rotary_drag(0), .belt = belt};
  const RotaryDrag missing = std::max(
      rotary_drag(0), RotaryDrag(need->damping - motor::damping_present(shaft, need->oscillation)));
  const RotaryDrag with_load = needed_with_load_on_belt(w, at, belt, kilograms(a.mass));
  const double short_by = number((with_load - missing) / need->damping);
  CAPTURE(need->damping, missing, with_load);
  if (ratio >= 0.02) {
    CHECK(short_by < 0.01);
    CHECK(short_by > -0.1);
  } else {
    CHECK(short_by < (motor::near_saturation(w, speed, at.torque) ? 1.0 : 0.21));
    CHECK(short_by > -0.01);
  }
}

TEST_CASE("belt_damping_at_motor turns damping at the load's own frequency into loss per swing",
          "[motor][property]") {
  const BeltAtMotor belt{.stiffness = newtons_per_metre(9e4),
                         .damping_ratio = DampingRatio(0.03),
                         .transmission = millimetres(10) / radian};
  // At its own frequency sqrt(k/m) the load has c = 2 zeta sqrt(k m).
  const double mass = 4.0;
  const double own = std::sqrt(9e4 / mass);  // 150 rad/s
  const double c = 2 * 0.03 * std::sqrt(9e4 * mass);
  const Frequency own_frequency = hertz(own / (2 * std::numbers::pi));
  CHECK_THAT(in_newton_metre_seconds_per_radian(belt_damping_at_motor(belt, own_frequency)),
             WithinRel(c * 0.01 * 0.01, 1e-12));
  // Loss in a swing of given size, pi c omega x^2, is the same at any frequency.
  CHECK_THAT(number(belt_damping_at_motor(belt, 5.0 * own_frequency) /
                    belt_damping_at_motor(belt, own_frequency)),
             WithinRel(0.2, 1e-12));
}

TEST_CASE("assumed_motor_damping is at or below what the simulated motors had",
          "[motor][published]") {
  // sources.md, [midband]: 1e-4, 5e-4 and 3e-3 for the three motors; no measurement.
  const auto assumed = [](const char* name) {
    return motor::assumed_motor_damping(testing::tabled_motor(name));
  };
  CHECK_THAT(assumed("NEMA17"), IsNear(rotary_drag(1e-4), rotary_drag(1e-9)));
  CHECK(assumed("NEMA23") < rotary_drag(5e-4));
  CHECK(assumed("NEMA34") < rotary_drag(3e-3));
}

TEST_CASE("unstable_bands refuses what its tables exclude", "[motor][error]") {
  const DrivenWinding w = nema_23();
  const AngularSpeed top = revolutions_per_minute(2000);
  CHECK_THROWS_MATCHES(unstable_bands(w, shaft_with(0), radians_per_second(0), half_load),
                       InvalidInput, Message("top speed must be > 0, got 0 rad/s"));
  CHECK_THROWS_AS(unstable_bands(w, shaft_with(0), unlimited<AngularSpeed>(), half_load),
                  InvalidInput);
  CHECK_THROWS_AS(unstable_bands({}, shaft_with(0), top, half_load), InvalidInput);
  CHECK_THROWS_AS(unstable_bands(w, {.viscous_damping = rotary_drag(0)}, top, half_load),
                  InvalidInput);
  CHECK_THROWS_MATCHES(unstable_bands(w, {.inertia = rotor}, top, half_load), InvalidInput,
                       Message("viscous damping must be >= 0, got nan N*m*s/rad"));
  CHECK_THROWS_AS(unstable_bands(w, shaft_with(-1), radians_per_second(1), half_load),
                  InvalidInput);

  const BeltAtMotor good{.stiffness = newtons_per_metre(1e5),
                         .damping_ratio = DampingRatio(0.03),
                         .transmission = millimetres(10) / radian};
  BeltAtMotor bad = good;
  bad.stiffness = unset<Stiffness>();
  CHECK_THROWS_MATCHES(belt_damping_at_motor(bad, hertz(100)), InvalidInput,
                       Message("stiffness must be >= 0, got nan N/m"));
  bad = good;
  bad.transmission = unset<Transmission>();
  CHECK_THROWS_MATCHES(belt_damping_at_motor(bad, hertz(100)), InvalidInput,
                       Message("transmission must be > 0, got nan m/rad"));
  CHECK_THROWS_MATCHES(belt_damping_at_motor(good, hertz(0)), InvalidInput,
                       Message("oscillation must be > 0, got 0 Hz"));
  CHECK_THROWS_MATCHES(DampingRatio(1.0), InvalidInput,
                       Message("damping ratio must be >= 0 and < 1, got 1"));
  CHECK_THROWS_AS(motor::assumed_motor_damping({}), InvalidInput);
}

TEST_CASE("a band that ends at the pull-out edge has figures there", "[motor][property]") {
  // The largest damping is missing at the edge, where the swing is a creep of frequency zero that
  // rounding put below: its root was no number, and the belt's damping was refused.
  const DrivenWinding w =
      motor::driven_winding(testing::tabled_motor("NEMA34"), amperes(6.0 * std::numbers::sqrt2),
                            volts(4.0 / std::numbers::pi * 59));
  SwingingShaft shaft{.inertia = gram_square_centimetres(2700),
                      .viscous_damping = rotary_drag(2e-3)};
  const auto load = [](AngularSpeed) { return newton_metres(3.1875); };
  for (const double stiffness : {-1.0, 0.0, 40.0}) {
    CAPTURE(stiffness);
    if (stiffness >= 0.0)
      shaft.belt = BeltAtMotor{.stiffness = newtons_per_millimetre(stiffness),
                               .damping_ratio = DampingRatio(0.03),
                               .transmission = millimetres(40) / revolution};
    const auto bands = unstable_bands(w, shaft, 4.0 * motor::corner_speed(w), load);
    REQUIRE_FALSE(bands.empty());
    CHECK(is_finite(bands.back().needed));
    CHECK(is_finite(bands.back().oscillation));
    CHECK(bands.back().open);
  }
}

}  // namespace
}  // namespace pitchline
