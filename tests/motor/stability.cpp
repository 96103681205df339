#include "pitchline/motor/stability.hpp"
#include "pitchline/motor/least_damped_mode.hpp"

#include <array>
#include <complex>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motor::critical_damping;
using motor::DrivenWinding;
using motor::least_damped_mode;
using motor::ShaftState;
using motor::working_point;
using testing::CsvRow;
using testing::IsNear;

constexpr double full_bridge = 4.0 / std::numbers::pi;  // fundamental of a square wave

// The rotors of the tabled motors: bare, with what the tables assume of them.
Inertia tabled_rotor(const CsvRow& row) {
  return gram_square_centimetres(row.text("motor") == "NEMA17" ? 54 : 480);
}

DrivenWinding tabled_winding(const CsvRow& row, double voltage_factor) {
  return motor::driven_winding(testing::tabled_motor(row.text("motor")),
                               amperes(row.number("I_pk_A")),
                               voltage_factor * volts(row.number("V_V")));
}

AngularSpeed tabled_speed(const CsvRow& row) {
  return revolutions_per_minute(row.number("speed_rpm"));
}

RotaryDrag drag(double x) { return newton_metre_seconds_per_radian(x); }

TEST_CASE("critical_damping and its closed form give the tabled need of damping",
          "[motor][published]") {
  // An independent derivation and numerical integration, made for this project: sources.md,
  // [midband]. Its eigenvalues and closed form take 4/pi of the supply, its loads are shares of the
  // pull-out torque at the supply itself.
  const auto rows = testing::published("midband_damping.csv");
  REQUIRE(rows.size() == 34);
  for (const CsvRow& row : rows) {
    CAPTURE(row.text("motor"), row.text("V_V"), row.text("speed_rpm"), row.text("load_Nm"));
    const AngularSpeed speed = tabled_speed(row);
    const Torque load = row.number("load_over_T_exact_V") *
                        motor::loss_free_pull_out(tabled_winding(row, 1.0), speed).torque;
    CHECK_THAT(load, IsNear(newton_metres(row.number("load_Nm")),
                            newton_metres(row.half_digit("load_Nm"))));
    const DrivenWinding w = tabled_winding(row, full_bridge);
    const auto need =
        critical_damping(w, {.inertia = tabled_rotor(row), .speed = speed, .torque = load});
    REQUIRE(need.has_value());
    const char* eigen = "B_crit_DF_eigen_Nms_per_rad";
    CHECK_THAT(need->damping, IsNear(drag(row.number(eigen)), drag(row.half_digit(eigen))));
    const char* closed = "B_crit_closed_form_Nms_per_rad";
    CHECK_THAT(motor::closed_form_critical_damping(w, speed, load),
               IsNear(drag(row.number(closed)), drag(row.half_digit(closed))));
    // zeta = B/(2 sqrt(J k)), k = N_r K_t I without load: what the shaft would have at rest.
    const char* zeta = "zeta_equiv_of_DF";
    const auto still = w.pole_pairs * w.torque_constant * w.amplitude / radian;
    const double equivalent =
        number(need->damping / (2.0 * square_root(tabled_rotor(row) * still)));
    CHECK_THAT(equivalent, WithinAbs(row.number(zeta), row.half_digit(zeta)));
  }
}

TEST_CASE("critical_damping gives the tabled need at half the pull-out torque",
          "[motor][published]") {
  // The same source; 0 where the table has 0, below saturation and once above it.
  const auto rows = testing::published("midband_half_load.csv");
  REQUIRE(rows.size() == 70);
  for (const CsvRow& row : rows) {
    CAPTURE(row.text("motor"), row.text("V_V"), row.text("I_pk_A"), row.text("speed_rpm"));
    const AngularSpeed speed = tabled_speed(row);
    const Torque half = 0.5 * motor::loss_free_pull_out(tabled_winding(row, 1.0), speed).torque;
    const auto need =
        critical_damping(tabled_winding(row, full_bridge),
                         {.inertia = tabled_rotor(row), .speed = speed, .torque = half});
    REQUIRE(need.has_value());
    const char* column = "B_crit_at_half_T_exact_V_Nms_per_rad";
    const double tolerance = row.number(column) == 0.0 ? 0.0 : row.half_digit(column);
    CHECK_THAT(need->damping, IsNear(drag(row.number(column)), drag(tolerance)));
  }
}

TEST_CASE("critical_damping turns at the tabled torque that a bare rotor can stand",
          "[motor][published]") {
  // The same source: the largest torque up to which the drag of a bare rotor is enough. That table
  // was searched over the load angle: its figure is the first angle that failed, and stands 0 to
  // 0.17 degrees (in all 39 rows, never below) past the limit found here.
  const Angle search_step = degrees(0.18);
  for (const CsvRow& row : testing::published("midband_half_load.csv")) {
    CAPTURE(row.text("motor"), row.text("V_V"), row.text("I_pk_A"), row.text("speed_rpm"));
    const DrivenWinding w = tabled_winding(row, full_bridge);
    const AngularSpeed speed = tabled_speed(row);
    const auto stands = [&](Torque torque) {
      const auto need =
          critical_damping(w, {.inertia = tabled_rotor(row), .speed = speed, .torque = torque});
      REQUIRE(need.has_value());
      return need->damping <= drag(row.number("B_bare_Nms_per_rad"));
    };
    const char* column = "T_dyn_limit_DF_linear_Nm";
    const Torque limit = newton_metres(row.number(column));
    const Torque half_digit = newton_metres(row.half_digit(column));
    const Torque most = motor::loss_free_pull_out(w, speed).torque;
    if (limit == newton_metres(0)) {
      CHECK_FALSE(stands(newton_metres(1e-6)));
    } else if (limit + half_digit >= most) {
      CHECK(stands(most * (1 - 1e-9)));
    } else {
      CHECK_FALSE(stands(limit + half_digit));
      Torque step_before = newton_metres(0);
      for (Torque high = limit, low{}; high - low > 1e-9 * limit; step_before = low) {
        const Torque middle = (low + high) / 2.0;
        const bool above = working_point(w, speed, middle)->load_angle >
                           working_point(w, speed, limit)->load_angle - search_step;
        (above ? high : low) = middle;
      }
      CHECK(stands(step_before));
    }
  }
}

TEST_CASE("near_saturation covers the points where the simulated bare rotor held all the same",
          "[motor][published]") {
  // The same source: torque at which a bare rotor lost its step in a time-domain simulation with
  // an averaged driver; blank where it lost it before any load.
  int held = 0;
  int lost = 0;
  for (const CsvRow& row : testing::published("midband_half_load.csv")) {
    CAPTURE(row.text("motor"), row.text("V_V"), row.text("I_pk_A"), row.text("speed_rpm"));
    const AngularSpeed speed = tabled_speed(row);
    const Torque half = 0.5 * motor::loss_free_pull_out(tabled_winding(row, 1.0), speed).torque;
    const DrivenWinding w = tabled_winding(row, full_bridge);
    const auto need =
        critical_damping(w, {.inertia = tabled_rotor(row), .speed = speed, .torque = half});
    REQUIRE(need.has_value());
    if (need->damping <= drag(row.number("B_bare_Nms_per_rad"))) continue;
    const std::string& simulated = row.text("Tsim_bare_avg_em_Nm");
    const bool kept =
        !simulated.empty() && newton_metres(testing::number_in(simulated)) >= 1.9 * half;
    const bool near = motor::near_saturation(w, speed, half);
    ++(kept ? held : lost);
    const double times = number(speed / *motor::saturation_speed(w, half));
    CAPTURE(times);
    if (near) CHECK(kept);
    if (!kept) CHECK(times > 1.58);
    if (kept && speed > revolutions_per_minute(400)) CHECK(times < 1.56);
  }
  CHECK(held >= 5);
  CHECK(lost >= 20);
}

TEST_CASE("at the critical damping the least damped eigenvalue stands on the imaginary axis",
          "[motor][property]") {
  // Two ways to the same limit: the polynomial written out, and eigenvalues of the matrix.
  const double rpm = GENERATE(0.0, 470.0, 700.0, 1300.0, 3000.0, 9000.0);
  const double share = GENERATE(0.01, 0.3, 0.7, 0.97);
  const double inertia = GENERATE(1e-6, 4.8e-5, 2e-3);
  const double supply = GENERATE(1.5, 24.0, 60.0);
  CAPTURE(rpm, share, inertia, supply);
  DrivenWinding w = testing::motor_a();
  w.voltage = volts(supply);
  const AngularSpeed speed = revolutions_per_minute(rpm);
  const ShaftState at{.inertia = kilogram_square_metres(inertia),
                      .speed = speed,
                      .torque = share * motor::loss_free_pull_out(w, speed).torque};
  const auto need = critical_damping(w, at);
  if (!need || !need->saturated) return;
  const auto mode = [&](double factor) {
    return *least_damped_mode(w, at, factor * need->damping);
  };
  if (need->damping == drag(0)) {
    CHECK(mode(0.0).growth < hertz(0));
    return;
  }
  const auto limit = mode(1.0);
  CHECK_THAT(in_hertz(limit.growth), WithinAbs(0.0, 1e-5));
  CHECK_THAT(in_hertz(limit.oscillation), WithinRel(in_hertz(need->oscillation), 1e-6));
  CHECK(mode(0.99).growth > hertz(0));
  for (const double factor : {1.01, 2.0, 10.0, 1000.0}) {
    CAPTURE(factor);
    CHECK(mode(factor).growth < hertz(0));
  }
}

TEST_CASE("critical_damping is the same for any number of turns of the winding",
          "[motor][property]") {
  const double turns = GENERATE(0.1, 0.5, 1.7, 4.0);
  const double rpm = GENERATE(500.0, 900.0, 2500.0);
  CAPTURE(turns, rpm);
  const DrivenWinding w = testing::motor_a();
  const DrivenWinding rewound{.torque_constant = turns * w.torque_constant,
                              .resistance = turns * turns * w.resistance,
                              .inductance = turns * turns * w.inductance,
                              .pole_pairs = w.pole_pairs,
                              .amplitude = w.amplitude / turns,
                              .voltage = turns * w.voltage};
  const AngularSpeed speed = revolutions_per_minute(rpm);
  const ShaftState at{.inertia = gram_square_centimetres(480),
                      .speed = speed,
                      .torque = 0.4 * motor::loss_free_pull_out(w, speed).torque};
  const auto one = critical_damping(w, at);
  const auto other = critical_damping(rewound, at);
  REQUIRE(one.has_value());
  REQUIRE(other.has_value());
  CHECK(one->damping > drag(0));
  CHECK_THAT(number(other->damping / one->damping), WithinRel(1.0, 1e-10));
  CHECK_THAT(number(other->oscillation / one->oscillation), WithinRel(1.0, 1e-10));
  const RotaryDrag half = one->damping / 2.0;
  CHECK_THAT(in_hertz(least_damped_mode(rewound, at, half)->growth),
             WithinRel(in_hertz(least_damped_mode(w, at, half)->growth), 1e-6));
  CHECK_THAT(number(motor::closed_form_critical_damping(rewound, speed, at.torque) /
                    motor::closed_form_critical_damping(w, speed, at.torque)),
             WithinRel(1.0, 1e-10));
}

TEST_CASE("up to saturation_speed the driver forces its current and no damping is asked for",
          "[motor][property]") {
  const double share = GENERATE(0.0, 0.2, 0.5, 0.9, 1.0);
  CAPTURE(share);
  const DrivenWinding w = testing::motor_a();
  const Torque torque = share * Torque(w.torque_constant * w.amplitude);
  const auto start = motor::saturation_speed(w, torque);
  REQUIRE(start.has_value());
  CHECK(*start <= motor::corner_speed(w) * (1 + 1e-12));
  if (share == 1.0) {
    CHECK_THAT(number(*start / motor::corner_speed(w)), WithinRel(1.0, 1e-12));
    return;
  }
  for (const double part : {0.0, 0.5, 1 - 1e-9}) {
    const ShaftState at{
        .inertia = gram_square_centimetres(480), .speed = part * *start, .torque = torque};
    const auto need = critical_damping(w, at);
    REQUIRE(need.has_value());
    CHECK_FALSE(need->saturated);
    CHECK(need->damping == drag(0));
    CHECK_FALSE(least_damped_mode(w, at, drag(0)).has_value());
    CHECK(motor::near_saturation(w, at.speed, torque));
  }
  const auto past = working_point(w, *start * (1 + 1e-9), torque);
  REQUIRE(past.has_value());
  CHECK(past->saturated);
  CHECK(motor::near_saturation(w, 1.49 * *start, torque));
  CHECK_FALSE(motor::near_saturation(w, 1.51 * *start, torque));
  CHECK_FALSE(motor::saturation_speed(w, 1.001 * Torque(w.torque_constant * w.amplitude)));
}

TEST_CASE("working_point satisfies the equations of winding and driver", "[motor][property]") {
  using Complex = std::complex<double>;  // d + j q
  const double rpm = GENERATE(0.0, 300.0, 420.0, 700.0, 2000.0);
  const double share = GENERATE(0.0, 0.05, 0.5, 0.95);
  CAPTURE(rpm, share);
  const DrivenWinding w = testing::motor_a();
  const AngularSpeed speed = revolutions_per_minute(rpm);
  const Torque torque = share * motor::loss_free_pull_out(w, speed).torque;
  const auto point = working_point(w, speed, torque);
  REQUIRE(point.has_value());
  const Complex i(in_amperes(point->direct), in_amperes(point->quadrature));
  const Complex v(in_volts(point->direct_voltage), in_volts(point->quadrature_voltage));
  const double omega = in_radians_per_second(speed);
  const Complex impedance(in_ohms(w.resistance), w.pole_pairs * omega * in_henries(w.inductance));
  const Complex emf(0.0, in_newton_metres_per_ampere(w.torque_constant) * omega);
  CHECK(std::abs(impedance * i + emf - v) < 1e-9);
  CHECK_THAT(in_newton_metres(w.torque_constant * point->quadrature),
             WithinAbs(in_newton_metres(torque), 1e-12));
  const Complex command = std::polar(in_amperes(w.amplitude), in_radians(point->load_angle));
  if (point->saturated) {
    CHECK_THAT(std::abs(v), WithinRel(in_volts(w.voltage), 1e-9));
    CHECK(std::abs(in_ohms(point->gain) * (command - i) - v) < 1e-7);
  } else {
    CHECK(std::abs(v) <= in_volts(w.voltage));
    CHECK(std::abs(command - i) < 1e-9);
  }
}

TEST_CASE("the closed form is the limit of a small resistance and a slow swing",
          "[motor][property]") {
  const double share = GENERATE(0.2, 0.5, 0.8);
  const double rpm = GENERATE(1000.0, 2000.0);
  CAPTURE(share, rpm);
  DrivenWinding w = testing::motor_a();
  w.resistance = ohms(1e-5);
  const AngularSpeed speed = revolutions_per_minute(rpm);
  const ShaftState at{.inertia = kilogram_square_metres(1.0),
                      .speed = speed,
                      .torque = share * motor::loss_free_pull_out(w, speed).torque};
  const auto need = critical_damping(w, at);
  REQUIRE(need.has_value());
  CHECK_THAT(number(motor::closed_form_critical_damping(w, speed, at.torque) / need->damping),
             WithinRel(1.0, 1e-3));
}

TEST_CASE("largest_positive_root finds the last root of a cubic", "[motor][property]") {
  using motor::detail::largest_positive_root;
  // h3 (x − a)(x − b)(x − c), written out; the largest of a, b, c, or 0 if none is positive.
  const auto cubic = [](double h3, double a, double b, double c) {
    return std::array<double, 4>{-h3 * a * b * c, h3 * (a * b + b * c + c * a), -h3 * (a + b + c),
                                 h3};
  };
  CHECK_THAT(largest_positive_root(cubic(2, 1, 2, 5)), WithinRel(5.0, 1e-9));
  CHECK_THAT(largest_positive_root(cubic(1e-6, -4, 0.5, 3)), WithinRel(3.0, 1e-9));
  CHECK_THAT(largest_positive_root(cubic(3, -4, -2, 7e5)), WithinRel(7e5, 1e-9));
  CHECK(largest_positive_root(cubic(3, -4, -2, -1)) == 0.0);
  // (x − 2)(x² + q x + r) without further real roots, either turn before or after the root.
  CHECK_THAT(largest_positive_root({-2 * 30.0, 30.0 + 20, -10.0 - 2, 1.0}), WithinRel(2.0, 1e-9));
  CHECK_THAT(largest_positive_root({-2 * 5.0, 5.0 - 2, 1.0 - 2, 1.0}), WithinRel(2.0, 1e-9));
  CHECK(largest_positive_root({5.0, 3.0, 1.0, 1.0}) == 0.0);
  // Without the cubic term.
  CHECK_THAT(largest_positive_root({-6.0, 1.0, 1.0, 0.0}), WithinRel(2.0, 1e-9));
  CHECK_THAT(largest_positive_root({6.0, -5.0, 1.0, 0.0}), WithinRel(3.0, 1e-9));
  CHECK(largest_positive_root({6.0, 5.0, 1.0, 0.0}) == 0.0);
}

TEST_CASE("the limit of an infinite gain, at pull-out under both limits, is finite",
          "[motor][property]") {
  const DrivenWinding w = testing::motor_a();
  const AngularSpeed speed = revolutions_per_minute(450);
  const motor::PullOut most = motor::loss_free_pull_out(w, speed);
  REQUIRE(most.region == motor::Region::both);
  const auto near =
      critical_damping(w, {gram_square_centimetres(480), speed, (1 - 1e-9) * most.torque});
  const auto at = critical_damping(w, {gram_square_centimetres(480), speed, most.torque});
  REQUIRE(at.has_value());
  REQUIRE(near.has_value());
  CHECK(is_finite(at->damping));
  CHECK_THAT(number(at->damping / near->damping), WithinRel(1.0, 1e-2));
}

TEST_CASE("stability has nothing to say past the pull-out torque", "[motor][property]") {
  const DrivenWinding w = testing::motor_a();
  const AngularSpeed speed = revolutions_per_minute(800);
  const ShaftState at{.inertia = gram_square_centimetres(480),
                      .speed = speed,
                      .torque = 1.001 * motor::loss_free_pull_out(w, speed).torque};
  CHECK_FALSE(working_point(w, speed, at.torque).has_value());
  CHECK_FALSE(critical_damping(w, at).has_value());
  CHECK_FALSE(least_damped_mode(w, at, drag(1)).has_value());
}

TEST_CASE("stability refuses what its tables exclude", "[motor][error]") {
  const DrivenWinding w = testing::motor_a();
  const ShaftState good{.inertia = gram_square_centimetres(480),
                        .speed = revolutions_per_minute(800),
                        .torque = newton_metres(0.3)};
  ShaftState bad = good;
  bad.inertia = unset<Inertia>();
  CHECK_THROWS_MATCHES(critical_damping(w, bad), InvalidInput,
                       Message("inertia must be > 0, got nan kg*m^2"));
  CHECK_THROWS_AS(least_damped_mode(w, bad, drag(0)), InvalidInput);
  bad = good;
  bad.torque = newton_metres(-0.1);
  CHECK_THROWS_AS(critical_damping(w, bad), InvalidInput);
  bad = good;
  bad.speed = unset<AngularSpeed>();
  CHECK_THROWS_AS(critical_damping(w, bad), InvalidInput);
  CHECK_THROWS_MATCHES(least_damped_mode(w, good, drag(-1)), InvalidInput,
                       Message("damping must be >= 0, got -1 N*m*s/rad"));
  CHECK_THROWS_AS(critical_damping({}, good), InvalidInput);
  CHECK_THROWS_AS(motor::saturation_speed(w, newton_metres(-1)), InvalidInput);
  CHECK_THROWS_AS(motor::saturation_speed({}, newton_metres(1)), InvalidInput);

  using motor::closed_form_critical_damping;
  CHECK_THROWS_MATCHES(closed_form_critical_damping(w, radians_per_second(0), good.torque),
                       InvalidInput, Message("speed must be > 0, got 0 rad/s"));
  CHECK_THROWS_MATCHES(closed_form_critical_damping(w, good.speed, newton_metres(-1)), InvalidInput,
                       Message("torque must be >= 0, got -1 N*m"));
  CHECK_THROWS_AS(closed_form_critical_damping({}, good.speed, good.torque), InvalidInput);
  CHECK_THROWS_AS(closed_form_critical_damping(w, good.speed, newton_metres(1.1)), OutsideValidity);
  CHECK_THROWS_AS(closed_form_critical_damping(w, revolutions_per_minute(100), newton_metres(0.3)),
                  OutsideValidity);
}

}  // namespace
}  // namespace pitchline
