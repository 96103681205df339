#include "pitchline/motion/fastest_stroke.hpp"

#include "support/axes.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/drives.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::AxisAtMotor;
using motion::fastest_trapezoid_for;
using motion::FastestStroke;
using motion::move_time_curve;
using motion::MoveTime;
using motion::slowest_within;
using motion::Stroke;
using motion::TorqueUse;
using motion::triangle_speed;
using testing::TabledDrive;

const TorqueUse all{.margin = TorqueMargin(1)};

Torque flat(AngularSpeed) { return newton_metres(0.4); }

// A table with straight lines between its points: falls to 0.12 at 60 rad/s, back to 0.35, then
// off.
Torque dipped(AngularSpeed speed) {
  const double w = in_radians_per_second(speed);
  if (w < 40) return newton_metres(0.4);
  if (w < 60) return newton_metres(0.4 - 0.014 * (w - 40));
  if (w < 80) return newton_metres(0.12 + 0.0115 * (w - 60));
  return newton_metres(0.35 * 80 / w);
}

// Least time by trying speeds, with the running minimum over just these.
double brute_force(const AxisAtMotor& axis, const auto& torque_at, const TorqueUse& use,
                   const Stroke& stroke, double top, int tries) {
  const double s = in_metres(stroke.length);
  double least = std::numeric_limits<double>::infinity();
  double running = least;
  for (int i = 0; i <= tries; ++i) {
    const double v = top * i / tries;
    running = std::min(running, in_metres_per_second_squared(motion::acceleration_at(
                                    axis, torque_at, use, metres_per_second(v))));
    if (i > 0 && running > 0 && v * v <= s * running) least = std::min(least, s / v + v / running);
  }
  return least;
}

TEST_CASE("fastest_trapezoid_for gives the tabled optimum of two drives", "[motion][published]") {
  // reference/published/accel.csv: independent derivation and brute force (C). The minimum is flat:
  // time to 1e-9, speed to 1e-6.
  for (const testing::CsvRow& row : testing::published("accel.csv")) {
    CAPTURE(row.text("case"));
    const TabledDrive drive(row);
    const Stroke stroke{.length = metres(row.number("stroke_m")),
                        .speed_limit = metres_per_second(row.number("v_cap_m_s"))};
    const std::optional<FastestStroke> met =
        fastest_trapezoid_for(drive.axis, drive.torque_at(), drive.use, stroke);
    REQUIRE(met);
    const double v = row.number("v_opt_m_s");
    const double a = row.number("a_opt_m_s2");
    CHECK_THAT(in_metres_per_second(met->move.top_speed), WithinRel(v, 1e-6));
    CHECK_THAT(in_metres_per_second_squared(met->acceleration), WithinRel(a, 3e-6));
    CHECK_THAT(in_seconds(met->move.duration()), WithinRel(row.number("t_opt_s"), 1e-9));
    CHECK_THAT(in_seconds(met->move.speeding_up), WithinRel(row.number("t_acc_s"), 4e-6));
    CHECK_THAT(in_seconds(met->move.slowing_down), WithinRel(row.number("t_acc_s"), 4e-6));
    CHECK_THAT(in_seconds(met->move.cruising), WithinRel(row.number("t_cruise_s"), 4e-6));
    CHECK_THAT(in_metres(met->move.top_speed * met->move.speeding_up / 2.0),
               WithinRel(row.number("s_acc_m"), 5e-6));
    CHECK_THAT(in_radians_per_second(met->limiting_speed / drive.axis.transmission),
               WithinRel(row.number("omega_motor_rad_s"), 1e-6));
    CHECK_THAT(in_newton_metres(met->available),
               WithinRel(row.number("T_pullout_exact_V_Nm"), 2e-6));
    CHECK_THAT(in_newton_metres(met->needed), WithinRel(row.number("T_needed_Nm"), 2e-6));
    const std::optional<Speed> triangle =
        triangle_speed(drive.axis, drive.torque_at(), drive.use, stroke);
    if (row.text("v_triangle_m_s").empty()) {
      CHECK_FALSE(triangle);  // beyond the cap
    } else {
      REQUIRE(triangle);
      CHECK_THAT(in_metres_per_second(*triangle), WithinRel(row.number("v_triangle_m_s"), 1e-9));
      CHECK(met->move.top_speed < *triangle);
    }
  }
}

TEST_CASE("no speed out of a hundred thousand beats fastest_trapezoid_for", "[motion][property]") {
  const double length = GENERATE(0.005, 0.02, 0.3);
  const bool losses = GENERATE(false, true);
  const double efficiency = losses ? 0.8 : 1.0;
  const double drag = losses ? 4e-4 : 0.0;
  const double gravity = losses ? 9.0 : 0.0;
  CAPTURE(length, efficiency, drag, gravity);
  AxisAtMotor axis = testing::inclined_axis();
  axis.efficiency = Efficiency(efficiency);
  axis.gravity = newtons(gravity);
  const TorqueUse use{.margin = TorqueMargin(1.5),
                      .motor_drag = newton_metre_seconds_per_radian(drag)};
  const Stroke stroke{.length = metres(length)};
  const auto best = fastest_trapezoid_for(axis, dipped, use, stroke);
  REQUIRE(best);
  // 600 rad/s in 0.006 rad/s, so that the bottom of the dip is one of the tries.
  const double top = 600.0 * in_metres_per_radian(axis.transmission);
  const double least = brute_force(axis, dipped, use, stroke, top, 100'000);
  CHECK(in_seconds(best->move.duration()) <= least * (1 + 1e-9));
  CHECK_THAT(in_seconds(best->move.duration()), WithinRel(least, 2e-4));
  CHECK_THAT(in_metres(motion::distance(best->move)), WithinRel(length, 1e-9));
  CHECK_THAT(number(best->needed * 1.5 / best->available), WithinRel(1.0, 1e-9));
}

TEST_CASE("a light axis gives up acceleration to pass a dip and a heavy one stays below it",
          "[motion][property]") {
  // Down to 0.12 N*m: whoever passes has that torque's acceleration all the way.
  AxisAtMotor axis = testing::inclined_axis();
  const Stroke stroke{.length = metres(0.08)};
  const auto light = fastest_trapezoid_for(axis, dipped, all, stroke);
  REQUIRE(light);
  CHECK_THAT(in_radians_per_second(light->limiting_speed / axis.transmission),
             WithinRel(60.0, 1e-6));
  CHECK(light->move.top_speed > radians_per_second(80) * axis.transmission);
  CHECK_THAT(in_newton_metres(light->available), WithinRel(0.12, 1e-6));
  axis.mass = kilograms(400);
  const auto heavy = fastest_trapezoid_for(axis, dipped, all, {.length = metres(0.3)});
  REQUIRE(heavy);
  CHECK(heavy->move.top_speed < radians_per_second(60) * axis.transmission);
  CHECK(heavy->limiting_speed == heavy->move.top_speed);
}

TEST_CASE("with a flat torque the best move is the triangle", "[motion][property]") {
  const double length = GENERATE(0.01, 0.4);
  CAPTURE(length);
  const AxisAtMotor axis = testing::inclined_axis();
  const Acceleration a = motion::rigid_acceleration(axis, newton_metres(0.4));
  const auto best = fastest_trapezoid_for(axis, flat, all, {.length = metres(length)});
  REQUIRE(best);
  const Time triangle = 2.0 * square_root(metres(length) / a);  // two ramps of s/2 each
  CHECK_THAT(number(best->move.duration() / triangle), WithinRel(1.0, 1e-12));
  CHECK_THAT(number(best->acceleration / a), WithinRel(1.0, 1e-12));
  const auto speed = triangle_speed(axis, flat, all, {.length = metres(length)});
  REQUIRE(speed);
  CHECK_THAT(number(*speed * *speed / (metres(length) * a)), WithinRel(1.0, 1e-12));
  // More acceleration helps to the end, so the last row of the curve is the best.
  const auto curve = move_time_curve(axis, flat, all, {.length = metres(length)}, 10);
  REQUIRE(curve.size() == 10);
  CHECK_THAT(number(curve.back().time / triangle), WithinRel(1.0, 1e-9));
}

TEST_CASE("less mass or more voltage never makes a move slower", "[motion][property]") {
  const TabledDrive drive(testing::published("accel.csv").at(0));
  const double length = GENERATE(0.01, 0.3, 1.2);
  CAPTURE(length);
  const Stroke stroke{.length = metres(length)};
  Time before = unlimited<Time>();
  for (const double voltage : {12.0, 18.0, 24.0, 36.0, 48.0}) {
    TabledDrive fed = drive;
    fed.winding.voltage = volts(voltage);
    const auto met = fastest_trapezoid_for(fed.axis, fed.torque_at(), fed.use, stroke);
    REQUIRE(met);
    CHECK(met->move.duration() <= before * (1.0 + 1e-12));  // equal below the corner
    before = met->move.duration();
  }
  before = Time{};
  for (const double mass : {0.2, 1.0, 1.7, 5.0}) {
    TabledDrive loaded = drive;
    loaded.axis.mass = kilograms(mass);
    const auto met = fastest_trapezoid_for(loaded.axis, loaded.torque_at(), loaded.use, stroke);
    REQUIRE(met);
    CHECK(met->move.duration() > before);
    before = met->move.duration();
  }
}

TEST_CASE("move_time_curve touches the least time and is never below it", "[motion][property]") {
  const TabledDrive drive(testing::published("accel.csv").at(0));
  const Stroke stroke{.length = metres(0.3)};
  const Acceleration rest =
      motion::acceleration_at(drive.axis, drive.torque_at(), drive.use, Speed{});
  const auto best = fastest_trapezoid_for(drive.axis, drive.torque_at(), drive.use, stroke);
  REQUIRE(best);
  const Time least = best->move.duration();
  const auto curve = move_time_curve(drive.axis, drive.torque_at(), drive.use, stroke, 400);
  REQUIRE(curve.size() == 399);  // with drag nothing moves at the acceleration of rest itself
  Time lowest = unlimited<Time>();
  for (std::size_t i = 0; i < curve.size(); ++i) {
    const MoveTime& row = curve[i];
    CAPTURE(in_metres_per_second_squared(row.acceleration));
    CHECK_THAT(number(row.acceleration / rest),
               WithinRel(static_cast<double>(i + 1) / 400.0, 1e-12));
    CHECK(row.time >= least * (1.0 - 1e-12));
    lowest = std::min(lowest, row.time);
    // Each row is a move that the axis can do: kinematics by the trapezoid, torque by the curve.
    const auto move = motion::fastest_trapezoid(
        stroke.length,
        {.speed = row.speed, .acceleration = row.acceleration, .deceleration = row.acceleration});
    CHECK_THAT(number(move.duration() / row.time), WithinRel(1.0, 1e-9));
    CHECK(motion::acceleration_at(drive.axis, drive.torque_at(), drive.use, row.speed) >=
          row.acceleration * (1.0 - 1e-9));
  }
  CHECK_THAT(number(lowest / least), WithinRel(1.0, 1e-4));
  CHECK(curve.front().time > 2.0 * least);
  CHECK(curve.back().time > 1.5 * least);  // here more acceleration only costs speed
}

TEST_CASE("slowest_within gives the gentlest move of a time", "[motion][property]") {
  const TabledDrive drive(
      testing::published("accel.csv").at(static_cast<std::size_t>(GENERATE(0, 1))));
  const double share = GENERATE(0.0, 0.02, 0.05, 0.5);
  CAPTURE(share);
  const Stroke stroke{.length = metres(0.3), .speed_limit = metres_per_second(0.8)};
  const auto best = fastest_trapezoid_for(drive.axis, drive.torque_at(), drive.use, stroke);
  const auto met = slowest_within(drive.axis, drive.torque_at(), drive.use, stroke, share);
  REQUIRE(best);
  REQUIRE(met);
  const Time allowed = (1.0 + share) * best->move.duration();
  CHECK_THAT(number(met->time / allowed), WithinRel(1.0, 1e-9));
  CHECK(met->acceleration <= best->acceleration);
  if (share > 0) {
    CHECK(met->acceleration < 0.99 * best->acceleration);
    // Any less and no speed of a fine grid is in time.
    const Acceleration less = 0.9999 * met->acceleration;
    for (int i = 1; i <= 800; ++i) {
      const Speed v = metres_per_second(0.001 * i);
      if (v * v > stroke.length * less) break;
      // The curve falls, so its end sets what can be had from rest.
      if (motion::acceleration_at(drive.axis, drive.torque_at(), drive.use, v) < less) break;
      CHECK(Time(stroke.length / v + v / less) > allowed);
    }
  }
}

TEST_CASE("an axis that does not start has no fastest move", "[motion][property]") {
  const AxisAtMotor axis = testing::inclined_axis();
  const auto weak = [](AngularSpeed) { return newton_metres(0.02); };
  const Stroke stroke{.length = metres(1)};
  CHECK_FALSE(fastest_trapezoid_for(axis, weak, all, stroke));
  CHECK_FALSE(triangle_speed(axis, weak, all, stroke));
  CHECK_FALSE(slowest_within(axis, weak, all, stroke, 0.02));
  CHECK(move_time_curve(axis, weak, all, stroke, 5).empty());
}

TEST_CASE("a torque curve is never asked beyond the speed limit", "[motion][property]") {
  const AxisAtMotor axis = testing::inclined_axis();
  const Speed limit = metres_per_second(0.3);
  const auto table = [&](AngularSpeed speed) {
    if (speed * axis.transmission > limit * (1 + 1e-12)) throw OutsideValidity("end of the table");
    return newton_metres(0.4);
  };
  const Stroke stroke{.length = metres(1), .speed_limit = limit};
  CHECK(fastest_trapezoid_for(axis, table, all, stroke)->move.top_speed == limit);
  CHECK_FALSE(triangle_speed(axis, table, all, stroke));
  CHECK(move_time_curve(axis, table, all, stroke, 5).size() == 5);
  CHECK_FALSE(motion::speed_without_acceleration(axis, table, all, limit));
}

TEST_CASE("the fastest move refuses what its tables exclude", "[motion][error]") {
  const AxisAtMotor axis = testing::inclined_axis();
  const auto refuses = [&](const Stroke& stroke, const char* text) {
    CHECK_THROWS_MATCHES(fastest_trapezoid_for(axis, flat, all, stroke), InvalidInput,
                         Message(text));
    CHECK_THROWS_MATCHES(triangle_speed(axis, flat, all, stroke), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(move_time_curve(axis, flat, all, stroke, 3), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(slowest_within(axis, flat, all, stroke, 0.1), InvalidInput, Message(text));
  };
  refuses({}, "stroke length must be > 0, got nan m");
  refuses({.length = metres(0)}, "stroke length must be > 0, got 0 m");
  refuses({.length = metres(1), .speed_limit = metres_per_second(0)},
          "speed limit must be > 0, got 0 m/s");
  refuses({.length = metres(1), .speed_limit = unset<Speed>()},
          "speed limit must be > 0, got nan m/s");
  AxisAtMotor bad = axis;
  bad.friction = newtons(-1);
  const Stroke stroke{.length = metres(1)};
  CHECK_THROWS_MATCHES(fastest_trapezoid_for(bad, flat, all, stroke), InvalidInput,
                       Message("friction must be >= 0, got -1 N"));
  CHECK_THROWS_MATCHES(move_time_curve(axis, flat, all, stroke, 0), InvalidInput,
                       Message("rows must be >= 1, got 0"));
  CHECK_THROWS_MATCHES(slowest_within(axis, flat, all, stroke, -0.1), InvalidInput,
                       Message("share must be >= 0, got -0.1"));
  CHECK_THROWS_AS(slowest_within(axis, flat, all, stroke, std::numeric_limits<double>::quiet_NaN()),
                  InvalidInput);
}

}  // namespace
}  // namespace pitchline
