#include "pitchline/motion/swing_bound.hpp"

#include <cmath>
#include <numbers>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/sticking_load.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::MovePhase;
using motion::RunningMove;
using motion::swing_bound;
using motion::SwingBound;
using motion::SwingCover;
using motion::SwingingAxis;
using testing::CsvRow;

SwingingAxis axis_of(const CsvRow& row) {
  const double mass = row.number("accelerated_mass_kg");
  const double omega = std::sqrt(row.number("stiffness_N_per_m") / mass);
  return {.axis = {.transmission = metres_per_radian(0.01),
                   .mass = kilograms(mass),
                   .friction = newtons(row.number("friction_N")),
                   .breakaway = newtons(row.number("breakaway_excess_N"))},
          .natural_frequency = hertz(omega / (2.0 * std::numbers::pi)),
          .band = {.least_stiffness = row.number("stiffness_factor_low"),
                   .most_stiffness = row.number("stiffness_factor_high"),
                   .least_damping = DampingRatio(row.number("damping_low")),
                   .most_damping = DampingRatio(row.number("damping_high"))}};
}
RunningMove move_of(const CsvRow& row) {
  return {.speed = metres_per_second(row.number("speed_m_s")),
          .acceleration = metres_per_second_squared(row.number("acceleration_m_s2")),
          .stroke = metres(row.number("stroke_m")),
          .jerk_time = seconds(row.number("jerk_time_s")),
          .in_succession = static_cast<int>(row.number("moves")),
          .dwell = seconds(row.number("dwell_s"))};
}
double integrated_peak(const CsvRow& row, double stiffness, double zeta) {
  const double mass = row.number("accelerated_mass_kg");
  const double a = row.number("acceleration_m_s2");
  const double top = std::min(row.number("speed_m_s"), std::sqrt(row.number("stroke_m") * a));
  double peak = 0.0;
  testing::run_sticking_load(
      {.omega = std::sqrt(stiffness * row.number("stiffness_N_per_m") / mass),
       .zeta = zeta,
       .friction = row.number("friction_N") / mass,
       .breakaway = row.number("breakaway_excess_N") / mass},
      {.top = top,
       .acceleration = a,
       .jerk_time = row.number("jerk_time_s"),
       .cruise = std::max(0.0, row.number("stroke_m") / top - top / a),
       .dwell = row.number("dwell_s"),
       .moves = static_cast<int>(row.number("moves")),
       .onward = row.number("onward") > 0.0},
      120, [&](double, double force) { peak = std::max(peak, force); });
  return mass * peak;
}

TEST_CASE("the integration of the tests gives the published peaks", "[motion][swings][published]") {
  // reference/published/swings.csv, integrated apart; six digits, good to a part in a thousand.
  for (const CsvRow& row : testing::published("swings.csv")) {
    CAPTURE(row.text("case"));
    CHECK_THAT(integrated_peak(row, 1.0, 0.01),
               WithinRel(row.number("integrated_peak_nominal_k_zeta0.01_N"), 1e-3));
    CHECK_THAT(
        integrated_peak(row, row.number("band_k_factor_at_peak"), row.number("band_zeta_at_peak")),
        WithinRel(row.number("integrated_peak_band_N"), 1e-3));
  }
}

TEST_CASE("swing_bound covers the published peaks and is not far above those of one move",
          "[motion][swings][published]") {
  for (const CsvRow& row : testing::published("swings.csv")) {
    CAPTURE(row.text("case"));
    const SwingBound bound = swing_bound(axis_of(row), move_of(row));
    CHECK(bound.cover == SwingCover::covered);
    const double force = in_newtons(bound.largest().force);
    CHECK(force >= row.number("integrated_peak_band_N"));
    CHECK(bound.may_restick == (row.number("may_restick") > 0.0));
    if (row.number("moves") == 1.0) {
      CHECK_THAT(force, WithinRel(row.number("bound_peak_force_N"), 1e-7));
      CHECK(force < 1.33 * row.number("integrated_peak_band_N"));
    } else {
      // The column carries 1.07 where the header carries 1.15, and winds of 2F + 2B alone where the
      // header takes every smaller one as well; the header in turn lets friction eat of the smaller
      // swing after a stop.
      CHECK_THAT(force, WithinRel(row.number("bound_peak_force_N"), 0.12));
    }
  }
}

TEST_CASE("the swings of one move are those that were derived apart",
          "[motion][swings][published]") {
  for (const CsvRow& row : testing::published("swings.csv")) {
    if (row.number("moves") > 1.0) continue;
    CAPTURE(row.text("case"));
    const double mass = row.number("accelerated_mass_kg");
    const auto c = motion::detail::swing_case(axis_of(row), move_of(row));
    const auto swing = motion::detail::last_swing(c, motion::detail::swing_terms(c));
    CHECK_THAT(mass * swing.start.swing, WithinRel(row.number("swing_in_ramp_N"), 1e-7));
    CHECK_THAT(mass * swing.after_ramp, WithinRel(row.number("swing_after_ramp_N"), 1e-7));
    CHECK_THAT(mass * swing.stopped, WithinRel(row.number("swing_after_move_N"), 1e-7));
  }
}

// 1 kg and 1 N/m: w = 1/s, forces are accelerations.
SwingingAxis unit_axis(double friction, double breakaway) {
  return {.axis = {.transmission = metres_per_radian(1),
                   .mass = kilograms(1),
                   .friction = newtons(friction),
                   .breakaway = newtons(breakaway)},
          .natural_frequency = hertz(1.0 / (2.0 * std::numbers::pi))};
}
RunningMove unit_move(double speed, double stroke, double jerk_time = 0.0, int moves = 1,
                      double dwell = 0.0) {
  return {.speed = metres_per_second(speed),
          .acceleration = metres_per_second_squared(1),
          .stroke = metres(stroke),
          .jerk_time = seconds(jerk_time),
          .in_succession = moves,
          .dwell = seconds(dwell)};
}

TEST_CASE("moves that once exceeded the rule stay below it", "[motion][swings][published]") {
  // [independent derivation] swings, section 0: found by a search, with the stiffness at which.
  struct Worst {
    double friction, breakaway, speed, jerk_time, stroke, dwell, stiffness;
    int moves;
  };
  for (const Worst& x : {Worst{.865768, 0, 11.2502, 0, 2777.39, 1e-5, .6, 2},
                         Worst{3.44004, 1.17468, 2.65891, 60, 424.188, 0, .7051, 1},
                         Worst{5e-5, 10.4006, 7.23184, 0, 2097.08, .363, 1.6, 2},
                         Worst{99.3431, 7.65003, 29.0495, 59.222, 735.882, 0, 1.6, 1},
                         // Found here: a corner of two boxes of which the ramp is the shorter, and
                         // a load that still slips when the command turns round.
                         Worst{2.55753, .0162864, 3.79119, 6.1508, 246.16, 0, .6, 1},
                         Worst{20.2913, 0, 58.354, 0, 3415.0, 0, .6, 2}}) {
    CAPTURE(x.friction, x.breakaway, x.speed, x.jerk_time);
    const SwingBound bound =
        swing_bound(unit_axis(x.friction, x.breakaway),
                    unit_move(x.speed, x.stroke, x.jerk_time, x.moves, x.dwell));
    const double top = std::min(x.speed, std::sqrt(x.stroke));
    for (const bool onward : {true, false}) {
      double over = 0.0;
      testing::run_sticking_load({.omega = std::sqrt(x.stiffness),
                                  .zeta = 0.005,
                                  .friction = x.friction,
                                  .breakaway = x.breakaway},
                                 {.top = top,
                                  .jerk_time = x.jerk_time,
                                  .cruise = std::max(0.0, x.stroke / top - top),
                                  .dwell = x.dwell,
                                  .moves = x.moves,
                                  .onward = onward},
                                 80, [&](double speed, double force) {
                                   double most = 0.0;
                                   for (const auto& part : bound)
                                     if (in_metres_per_second(part.speed) >= speed * (1.0 - 1e-12))
                                       most = std::max(most, in_newtons(part.force));
                                   over = std::max(over, force / most);
                                 });
      CHECK(over <= 1.0);
    }
  }
}

TEST_CASE("the winds before a start are F + B, and 2F + 2B after another move",
          "[motion][swings][published]") {
  // [independent derivation] swings, section 1: F 5, B 4, undamped, M a = 1 and 5: integrated
  // 12.708204 and 23.453624 after another move, that is F + M a + sqrt((M a - B)^2 + 2 M a 18).
  for (const auto& [a, peak] : {std::pair{1.0, 12.708204}, std::pair{5.0, 23.453624}}) {
    CHECK_THAT(5.0 + a + std::sqrt((a - 4.0) * (a - 4.0) + 36.0 * a), WithinAbs(peak, 1e-6));
    double integrated = 0.0;
    testing::run_sticking_load(
        {.omega = 1.0, .zeta = 0.0, .friction = 5.0, .breakaway = 4.0, .wound = -9.0 + 1e-9},
        {.top = 40.0, .acceleration = a, .cruise = 100.0}, 400, [&](double speed, double force) {
          if (speed < 39.9) integrated = std::max(integrated, force);
        });
    CHECK_THAT(integrated, WithinRel(peak, 2e-4));
    SwingingAxis axis = unit_axis(5, 4);
    axis.wound_at_start = true;
    RunningMove move = unit_move(40, 1e6);
    move.acceleration = metres_per_second_squared(a);
    const SwingBound bound = swing_bound(axis, move);
    // 0.15 a^2 more is counted for a load that still slips when the command turns round.
    const double counted = 5.0 + a + std::sqrt((a - 4.0) * (a - 4.0) + 36.0 * a + 0.15 * a * a);
    CHECK_THAT(in_newtons(bound.begin()->force), WithinRel(counted, 1e-9));
  }
}

TEST_CASE("the limit above which no load sticks again is where its equation says",
          "[motion][swings][property]") {
  // a/(B - a) = max(-sin x/x), looked for by brute force.
  double most = 0.0;
  for (int i = 1; i < 200'000; ++i) {
    const double x = std::numbers::pi * (1.0 + i / 200'000.0);
    most = std::max(most, -std::sin(x) / x);
  }
  CHECK_THAT(most, WithinAbs(0.217234, 1e-6));
  CHECK_THAT(motion::detail::never_restick, WithinAbs(most / (1.0 + most), 1e-6));
}

TEST_CASE("a load at constant speed sticks again below the speed that is taken, and not above",
          "[motion][swings][published]") {
  // [independent derivation] swings, section 2: exact P_c/B by integration at four dampings, on the
  // safe side of 1/sqrt(4 pi zeta).
  struct Exact {
    double zeta, ratio;
  };
  for (const Exact& x :
       {Exact{.005, 3.930192}, Exact{.01, 2.739240}, Exact{.02, 1.883280}, Exact{.05, 1.098093}}) {
    CAPTURE(x.zeta);
    CHECK(x.ratio < 1.0 / std::sqrt(4.0 * std::numbers::pi * x.zeta));
    const auto sticks = [&](double share) {
      // F = B = 1, w = 1: from rest with a slow ramp to the speed, then on for many periods.
      double late = 0.0;
      const double top = share * x.ratio;
      const int count = testing::run_sticking_load(
          {.omega = 1.0, .zeta = x.zeta, .friction = 1.0, .breakaway = 1.0},
          {.top = top, .acceleration = top / 1e-3, .cruise = 300.0}, 80,
          [&](double, double force) { late = force; });
      return count;
    };
    CHECK(sticks(0.98) > 10);
    CHECK(sticks(1.02) < 5);
  }
}

TEST_CASE("the stroke and the jerk time say what a move reaches", "[motion][swings][property]") {
  // 0.04 m at 1 m/s^2: sqrt(0.04) = 0.2 m/s, whatever faster is asked for.
  for (const double speed : {0.2, 0.7, 5.0}) {
    const SwingBound bound = swing_bound(unit_axis(1, 0), unit_move(speed, 0.04));
    CHECK_THAT(in_metres_per_second(bound.reached_speed), WithinRel(0.2, 1e-12));
    CHECK_THAT(in_metres_per_second_squared(bound.reached_acceleration), WithinRel(1.0, 1e-12));
    const SwingBound same = swing_bound(unit_axis(1, 0), unit_move(0.2, 0.04));
    CHECK_THAT(in_newtons(bound.largest().force),
               WithinRel(in_newtons(same.largest().force), 1e-12));
  }
  // 0.5 m/s within a jerk time of 2 s: 0.25 m/s^2.
  const SwingBound slow = swing_bound(unit_axis(1, 0), unit_move(0.5, 3, 2));
  CHECK_THAT(in_metres_per_second_squared(slow.reached_acceleration), WithinRel(0.25, 1e-12));
  CHECK(slow.cover == SwingCover::covered);
  // Ramps of 0.5 s and a box of 2 s: 0.5 m/s * 0.5 s over 2 s is all that is reached.
  const SwingBound overlap = swing_bound(unit_axis(1, 0), unit_move(0.5, 0.25, 2));
  CHECK(overlap.cover == SwingCover::ramps_overlap);
  CHECK_THAT(in_metres_per_second(overlap.reached_speed), WithinRel(0.125, 1e-12));
  CHECK(swing_bound(unit_axis(1, 250), unit_move(0.5, 3)).cover == SwingCover::not_covered);
}

TEST_CASE("losses and gravity load the motor as in move_demand", "[motion][swings][property]") {
  SwingingAxis plain = unit_axis(2, 1);
  SwingingAxis loaded = plain;
  loaded.axis.efficiency = Efficiency(0.8);
  loaded.axis.gravity = newtons(4);
  // 1.25 kg, 2.5 and 1.25 N of friction: all of the swing is 1.25 times as large, and 5 N on top.
  const SwingBound bare = swing_bound(plain, unit_move(3, 30));
  const SwingBound full = swing_bound(loaded, unit_move(3, 30));
  REQUIRE(bare.end() - bare.begin() == full.end() - full.begin());
  for (const auto *x = bare.begin(), *y = full.begin(); x != bare.end(); ++x, ++y) {
    CHECK_THAT(in_newtons(y->force), WithinRel(5.0 + 1.25 * in_newtons(x->force), 1e-12));
    CHECK(y->phase == x->phase);
    CHECK_THAT(in_newton_metres(y->torque), WithinRel(in_newtons(y->force), 1e-12));
  }
}

TEST_CASE("a bound without a stroke is no lower than with any", "[motion][swings][property]") {
  for (const double breakaway : {0.0, 0.5, 3.0, 12.0}) {
    for (const double jerk_time : {0.0, 0.4, 6.0}) {
      for (const int moves : {1, 2, 8}) {
        RunningMove any = unit_move(8, 1, jerk_time, moves);
        any.stroke = unset<Length>();
        const SwingingAxis axis = unit_axis(2, breakaway);
        const SwingBound worst = swing_bound(axis, any);
        for (double stroke = 0.002; stroke < 1000.0; stroke *= 1.31) {
          CAPTURE(breakaway, jerk_time, moves, stroke);
          for (const auto& part : swing_bound(axis, unit_move(8, stroke, jerk_time, moves))) {
            double most = 0.0;
            for (const auto& x : worst)
              if (x.speed >= (1.0 - 1e-12) * part.speed) most = std::max(most, in_newtons(x.force));
            CHECK(in_newtons(part.force) <= most * (1.0 + 1e-12));
          }
        }
      }
    }
  }
}

TEST_CASE("swing_bound refuses what its table excludes", "[motion][swings][error]") {
  const RunningMove move = unit_move(1, 1);
  SwingingAxis bad = unit_axis(1, 0);
  bad.band.least_stiffness = 0.0;
  CHECK_THROWS_MATCHES(swing_bound(bad, move), InvalidInput,
                       Message("least stiffness must be > 0, got 0"));
  bad.band = {.least_stiffness = 1.2, .most_stiffness = 1.1};
  CHECK_THROWS_MATCHES(swing_bound(bad, move), InvalidInput,
                       Message("most stiffness must be >= the least, got 1.1"));
  bad.band = {.least_damping = DampingRatio(0.1)};
  CHECK_THROWS_MATCHES(swing_bound(bad, move), InvalidInput,
                       Message("most damping must be >= the least, got 0.05"));
  bad.band = {.credited_friction = 1.1};
  CHECK_THROWS_MATCHES(swing_bound(bad, move), InvalidInput,
                       Message("credited friction must be >= 0 and <= 1, got 1.1"));
  bad = unit_axis(1, 0);
  bad.natural_frequency = unset<Frequency>();
  CHECK_THROWS_MATCHES(swing_bound(bad, move), InvalidInput,
                       Message("natural frequency must be > 0, got nan Hz"));
  bad = unit_axis(1, 0);
  bad.axis.mass = {};
  CHECK_THROWS_MATCHES(swing_bound(bad, move), InvalidInput,
                       Message("accelerated mass must be > 0, got 0 kg"));
  RunningMove still = move;
  still.acceleration = {};
  CHECK_THROWS_MATCHES(swing_bound(unit_axis(1, 0), still), InvalidInput,
                       Message("acceleration must be > 0, got 0 m/s^2"));
}

}  // namespace
}  // namespace pitchline
