#include "pitchline/screw/staying_up.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "pitchline/screw/nut_friction.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using screw::FrictionEnd;
using screw::FrictionRange;
using screw::ScrewDuty;
using screw::SlidingScrew;
using screw::staying_up;
using screw::StaysUp;
using screw::UnpoweredBed;
using testing::IsNear;

FrictionRange range(double least, double most) {
  return {FrictionCoefficient(least), FrictionCoefficient(most)};
}

SlidingScrew eight_millimetre_screw(double mean, double lead, FrictionRange friction) {
  return {.mean_diameter = millimetres(mean),
          .lead = millimetres(lead),
          .flank_half_angle = screw::trapezoidal_half_angle,
          .thread_friction = friction};
}

// 12 kg of bed on two screws of the kite loft, our own invented machine: lead 8 mm.
UnpoweredBed falling_bed() {
  return {.mass = kilograms(12),
          .lead = millimetres(8),
          .back_driving = 0.4 * (millimetres(8) / revolution),
          .inertia_at_screws = gram_square_centimetres(400)};
}

TEST_CASE("a screw holds, may creep or back-drives as its friction meets the lock",
          "[screw][published]") {
  // Recomputed for this project (C), textbook form, 15°: the lock ends at 0.0636 (Tr8x1.5), 0.0878
  // (Tr8x2) and 0.351 (lead 8). Oiled brass is 0.10 to 0.15 ([Shigley] table 8-5), shaken 0.08.
  const FrictionRange brass = range(0.10, 0.15);
  const auto fine = staying_up(eight_millimetre_screw(7.25, 1.5, brass));
  CHECK(fine.verdict == StaysUp::holds);
  CHECK_THAT(fine.locking_friction, WithinAbs(0.0636, 1e-4));
  CHECK_THAT(fine.counted_friction, WithinRel(0.08, 1e-14));
  CHECK(fine.favourable_friction == 0.15);
  CHECK(fine.back_driving == Transmission{});
  const auto middle = staying_up(eight_millimetre_screw(7, 2, brass));
  CHECK(middle.verdict == StaysUp::may_creep);
  CHECK_THAT(middle.locking_friction, WithinAbs(0.0878, 4e-4));
  CHECK(middle.back_driving > Transmission{});
  CHECK(middle.back_driving_at_best == Transmission{});
  const auto steep = staying_up(eight_millimetre_screw(7, 8, brass));
  CHECK(steep.verdict == StaysUp::back_drives);
  CHECK(steep.back_driving > steep.back_driving_at_best);
  // At f = 0.15 the load turns the screw with 0.6907 N·mm per newton, textbook form (C).
  CHECK_THAT(in_metres_per_radian(steep.back_driving_at_best), WithinRel(0.6907e-3, 0.005));
}

TEST_CASE("the verdict changes at the friction that locks, at either end", "[screw][property]") {
  const double lead = GENERATE(1.5, 4.0, 12.0);
  CAPTURE(lead);
  SlidingScrew s = eight_millimetre_screw(12, lead, range(0, 0));
  const double lock = staying_up(s).locking_friction;
  const auto verdict = [&](double least, double most) {
    s.thread_friction = range(least, most);
    return staying_up(s).verdict;
  };
  const double shaken = lock / screw::vibration_share;
  const double e = 1e-6;
  CHECK(verdict(shaken + e, shaken + e) == StaysUp::holds);
  CHECK(verdict(shaken - e, shaken + e) == StaysUp::may_creep);
  CHECK(verdict(lock + e, lock + e) == StaysUp::may_creep);
  CHECK(verdict(0.0, lock + e) == StaysUp::may_creep);
  CHECK(verdict(0.0, lock - e) == StaysUp::back_drives);
  CHECK(verdict(lock - e, lock - e) == StaysUp::back_drives);
}

TEST_CASE("a collar helps to hold with its own least and most", "[screw][property]") {
  SlidingScrew s = eight_millimetre_screw(7, 2, range(0.10, 0.15));
  s.collar_mean_diameter = millimetres(12);
  s.collar_friction = range(0.06, 0.12);
  CHECK(staying_up(s).verdict == StaysUp::holds);
  // A collar whose least is nothing does not count, whatever its most.
  s.collar_friction = range(0.0, 0.12);
  CHECK(staying_up(s).verdict == StaysUp::may_creep);
  s = eight_millimetre_screw(7, 4, range(0.05, 0.15));
  CHECK(staying_up(s).verdict == StaysUp::back_drives);
  s.collar_mean_diameter = millimetres(12);
  s.collar_friction = range(0.0, 0.12);
  CHECK(staying_up(s).verdict == StaysUp::may_creep);
}

TEST_CASE("motors turn against the most friction, holding counts the least", "[screw][property]") {
  CHECK(screw::unfavourable_end(ScrewDuty::raise) == FrictionEnd::most);
  CHECK(screw::unfavourable_end(ScrewDuty::drive_down) == FrictionEnd::most);
  CHECK(screw::unfavourable_end(ScrewDuty::stay_up) == FrictionEnd::least);
  CHECK(screw::unfavourable_end(ScrewDuty::be_held_back) == FrictionEnd::least);
  // Seen on the torques themselves.
  const SlidingScrew s = eight_millimetre_screw(7, 8, range(0.06, 0.2));
  for (const double f : {0.06, 0.1, 0.15, 0.2}) {
    screw::PowerScrew some = screw::at_friction(s, FrictionEnd::least);
    some.thread_friction = FrictionCoefficient(f);
    CHECK(raising_torque(some, newtons(10)) <=
          raising_torque(screw::at_unfavourable_friction(s, ScrewDuty::raise), newtons(10)));
    CHECK(
        lowering_torque(some, newtons(10)) >=
        lowering_torque(screw::at_unfavourable_friction(s, ScrewDuty::be_held_back), newtons(10)));
  }
  const screw::PowerScrew halved = screw::at_friction(s, FrictionEnd::most, 0.5);
  CHECK(halved.thread_friction.value() == 0.1);
  CHECK(halved.lead == s.lead);
}

TEST_CASE("balls back-drive, with the efficiency given", "[screw][property]") {
  const screw::BallScrew ball{.lead = millimetres(5),
                              .efficiency = Efficiency(0.9),
                              .back_driving_efficiency = Efficiency(0.8)};
  const auto met = staying_up(ball);
  CHECK(met.verdict == StaysUp::back_drives);
  // 100 N · 5 mm · 0.8/2π.
  CHECK_THAT(in_newton_metres(screw::holding_torque(met, newtons(100))),
             WithinRel(100 * 0.005 * 0.8 / (2 * std::numbers::pi), 1e-14));
  CHECK(met.back_driving == met.back_driving_at_best);
}

TEST_CASE("what holds a load is its torque, at the motor over the ratio", "[screw][property]") {
  const auto steep = staying_up(eight_millimetre_screw(7, 8, range(0.1, 0.15)));
  const screw::PowerScrew shaken{.mean_diameter = millimetres(7),
                                 .lead = millimetres(8),
                                 .flank_half_angle = degrees(15),
                                 .thread_friction = FrictionCoefficient(0.08)};
  const Torque held = screw::holding_torque(steep, newtons(150));
  CHECK_THAT(number(held / -lowering_torque(shaken, newtons(150))), WithinRel(1.0, 1e-12));
  CHECK_THAT(number(screw::torque_at_motor(held, GearRatio(2.5)) / held), WithinRel(0.4, 1e-14));
  CHECK(screw::holding_torque(staying_up(eight_millimetre_screw(7.25, 1.5, range(0.1, 0.15))),
                              newtons(150)) == newton_metres(0));
}

TEST_CASE("a detent holds all of a load or counts for nothing", "[screw][property]") {
  const Torque load = newton_metres(0.01);
  CHECK(screw::brake_torque({.at_motor = load, .detent_torque = newton_metres(0.02)}) ==
        newton_metres(0));
  CHECK(screw::brake_torque({.at_motor = load, .detent_torque = newton_metres(0.0199)}) ==
        newton_metres(0.02));
  CHECK(screw::brake_torque({.at_motor = load}) == newton_metres(0.02));
  CHECK(screw::brake_torque({.at_motor = load, .safety = 1.5}) == newton_metres(0.015));
  CHECK(screw::brake_torque({.at_motor = {}}) == newton_metres(0));
}

TEST_CASE("without friction a bed falls with gravity over the inertia that it turns",
          "[screw][property]") {
  const double lead = GENERATE(take(10, random(1.0, 40.0)));
  const double inertia = GENERATE(0.0, 50.0, 3000.0);
  CAPTURE(lead, inertia);
  UnpoweredBed bed = falling_bed();
  bed.lead = millimetres(lead);
  bed.back_driving = screw::back_driving_transmission(
      screw::PowerScrew{.mean_diameter = millimetres(20),
                        .lead = bed.lead,
                        .flank_half_angle = degrees(15),
                        .thread_friction = FrictionCoefficient(0)});
  bed.inertia_at_screws = gram_square_centimetres(inertia);
  const auto run = screw::run_down(bed, millimetres(300));
  REQUIRE(run);
  const double t = lead / 1000.0 / (2 * std::numbers::pi);
  const double wanted = 9.80665 / (1.0 + inertia * 1e-7 / (12.0 * t * t));
  CHECK_THAT(in_metres_per_second_squared(run->acceleration), WithinRel(wanted, 1e-12));
  // Energy of the fall against that of bed and what turns.
  const double v = in_metres_per_second(run->end_speed);
  const double w = in_radians_per_second(run->screw_end_speed);
  CHECK_THAT(12.0 * v * v / 2 + inertia * 1e-7 * w * w / 2, WithinRel(12.0 * 9.80665 * 0.3, 1e-12));
  CHECK_THAT(w * t, WithinRel(v, 1e-12));
  CHECK_THAT(in_seconds(run->time) * v / 2, WithinRel(0.3, 1e-12));
}

TEST_CASE("the energy of the fall is that of motion and of what friction takes",
          "[screw][property]") {
  // Square thread: the load W on the thread, its normal force N = W/(cos λ + f sin λ) while it
  // drives, and per turn a way of l/sin λ; the guide along the travel, the drag along the turn.
  const double f = GENERATE(take(8, random(0.01, 0.15)));
  const double lead = GENERATE(8.0, 16.0);
  CAPTURE(f, lead);
  const screw::PowerScrew thread{.mean_diameter = millimetres(12),
                                 .lead = millimetres(lead),
                                 .thread_friction = FrictionCoefficient(f)};
  UnpoweredBed bed = falling_bed();
  bed.lead = thread.lead;
  bed.back_driving = screw::back_driving_transmission(thread);
  bed.guide_friction = newtons(7);
  bed.drag_at_screws = newton_metres(0.004);
  const auto run = screw::run_down(bed, millimetres(200));
  REQUIRE(run);
  const double a = in_metres_per_second_squared(run->acceleration);
  const double on_thread = 12.0 * (9.80665 - a) - 7.0;
  const double angle = in_radians(screw::lead_angle(thread));
  const double normal = on_thread / (std::cos(angle) + f * std::sin(angle));
  const double rubbed = f * normal * 0.2 / std::sin(angle);
  const double v = in_metres_per_second(run->end_speed);
  const double w = in_radians_per_second(run->screw_end_speed);
  const double turned = 0.2 / (lead / 1000 / (2 * std::numbers::pi));
  const double kinetic = 12.0 * v * v / 2 + 400e-7 * w * w / 2;
  CHECK_THAT(kinetic + rubbed + 7.0 * 0.2 + 0.004 * turned, WithinRel(12.0 * 9.80665 * 0.2, 1e-10));
}

TEST_CASE("a bed runs down slower with all that brakes it, or not at all", "[screw][property]") {
  const auto acceleration = [](auto change) {
    UnpoweredBed bed = falling_bed();
    change(bed);
    const auto run = screw::run_down(bed, millimetres(100));
    return run ? in_metres_per_second_squared(run->acceleration) : 0.0;
  };
  const double plain = acceleration([](auto&) {});
  CHECK(plain > 0);
  CHECK(acceleration([](auto& b) { b.back_driving *= 0.9; }) < plain);
  CHECK(acceleration([](auto& b) { b.inertia_at_screws *= 2.0; }) < plain);
  CHECK(acceleration([](auto& b) { b.guide_friction = newtons(5); }) < plain);
  CHECK(acceleration([](auto& b) { b.drag_at_screws = newton_metres(0.01); }) < plain);
  CHECK(acceleration([](auto& b) { b.mass *= 2.0; }) > plain);
  // Locked, held by its guides, or by the drag: b (m g) = 0.4 · 8 mm/2π · 117.68 N = 0.05993 N·m.
  CHECK(acceleration([](auto& b) { b.back_driving = Transmission{}; }) == 0.0);
  CHECK(acceleration([](auto& b) { b.guide_friction = newtons(118); }) == 0.0);
  CHECK(acceleration([](auto& b) { b.drag_at_screws = newton_metres(0.0600); }) == 0.0);
  CHECK(acceleration([](auto& b) { b.drag_at_screws = newton_metres(0.0599); }) > 0.0);
}

TEST_CASE("a screw or bed with a figure outside its range is refused by name", "[screw][error]") {
  SlidingScrew s = eight_millimetre_screw(7, 2, range(0.2, 0.1));
  CHECK_THROWS_MATCHES(staying_up(s), InvalidInput,
                       Message("least friction must be <= most friction, got 0.2"));
  CHECK_THROWS_AS(screw::at_unfavourable_friction(s, ScrewDuty::raise), InvalidInput);
  s.thread_friction = range(0.1, 0.2);
  s.collar_friction = range(0.2, 0.1);
  CHECK_THROWS_AS(staying_up(s), InvalidInput);
  s.collar_friction = range(0, 0);
  CHECK_THROWS_MATCHES(screw::at_friction(s, FrictionEnd::least, std::nan("")), InvalidInput,
                       Message("factor of friction must be >= 0, got nan"));
  CHECK_THROWS_AS(screw::at_friction(s, FrictionEnd::most, 6.0), InvalidInput);
  s.lead = unset<Length>();
  CHECK_THROWS_MATCHES(staying_up(s), InvalidInput, Message("lead must be > 0, got nan mm"));
  CHECK_THROWS_AS(staying_up(screw::BallScrew{.efficiency = Efficiency(1),
                                              .back_driving_efficiency = Efficiency(1)}),
                  InvalidInput);

  const auto good = staying_up(eight_millimetre_screw(7, 8, range(0.1, 0.15)));
  CHECK_THROWS_MATCHES(screw::holding_torque(good, newtons(-1)), InvalidInput,
                       Message("load must be >= 0, got -1 N"));
  screw::StayingUp bad = good;
  bad.back_driving = unset<Transmission>();
  CHECK_THROWS_AS(screw::holding_torque(bad, newtons(1)), InvalidInput);
  CHECK_THROWS_MATCHES(screw::torque_at_motor(unset<Torque>(), GearRatio(1)), InvalidInput,
                       Message("torque at the screws must be >= 0, got nan N*m"));
  CHECK_THROWS_MATCHES(screw::brake_torque({.at_motor = newton_metres(-1)}), InvalidInput,
                       Message("torque at the motor must be >= 0, got -1 N*m"));
  CHECK_THROWS_MATCHES(
      screw::brake_torque({.at_motor = newton_metres(1), .detent_torque = unset<Torque>()}),
      InvalidInput, Message("detent torque must be >= 0, got nan N*m"));
  CHECK_THROWS_MATCHES(screw::brake_torque({.at_motor = newton_metres(1), .safety = 0.9}),
                       InvalidInput, Message("safety of the hold must be >= 1, got 0.9"));

  const auto refuses = [](auto spoil, const char* text) {
    UnpoweredBed bed = falling_bed();
    spoil(bed);
    CHECK_THROWS_MATCHES(screw::run_down(bed, millimetres(100)), InvalidInput, Message(text));
  };
  refuses([](auto& b) { b.mass = unset<Mass>(); }, "mass must be > 0, got nan kg");
  refuses([](auto& b) { b.lead = metres(0); }, "lead must be > 0, got 0 mm");
  refuses([](auto& b) { b.back_driving = metres_per_radian(1); },
          "back-driving transmission must be from 0 to lead over a turn, got 1 m/rad");
  refuses([](auto& b) { b.inertia_at_screws = unset<Inertia>(); },
          "inertia at the screws must be >= 0, got nan kg*m^2");
  refuses([](auto& b) { b.guide_friction = newtons(-1); }, "guide friction must be >= 0, got -1 N");
  refuses([](auto& b) { b.drag_at_screws = unset<Torque>(); },
          "drag at the screws must be >= 0, got nan N*m");
  CHECK_THROWS_MATCHES(screw::run_down(falling_bed(), metres(0)), InvalidInput,
                       Message("travel must be > 0, got 0 mm"));
}

TEST_CASE("every row of nut friction is a range that a screw can take", "[screw][property]") {
  for (const screw::NutFriction& row : screw::nut_frictions) {
    CAPTURE(in_words(row.nut), in_words(row.lubrication));
    CHECK(row.least > 0.0);
    CHECK(row.least <= row.most);
    CHECK_FALSE(row.source.empty());
    CHECK((row.mark == "Q" || row.mark == "M"));
    CHECK(&screw::nut_friction(row.nut, row.lubrication) == &row);
    const FrictionRange met = screw::running(row);
    CHECK(met.least.value() == row.least);
    CHECK(met.most.value() == row.most);
    const double starting = screw::starting_friction(row).value();
    CHECK_THAT(starting, WithinRel(row.most * (row.most_is_starting ? 1.0 : 1.67), 1e-14));
    // Oil lowers both ends.
    if (row.lubrication != screw::Lubrication::oiled) continue;
    const auto& dry = screw::nut_friction(row.nut, screw::Lubrication::dry);
    CHECK(row.least <= dry.least);
    CHECK(row.most <= dry.most);
  }
  CHECK_THROWS_AS(
      screw::nut_friction(screw::NutMaterial::filled_plastic, screw::Lubrication::oiled),
      InvalidInput);
}

TEST_CASE("starting friction over running friction is that of the printed collars",
          "[screw][published]") {
  // [Shigley] table 8-6, Q: 0.12/0.17, 0.09/0.15, 0.08/0.10, 0.06/0.08.
  double least = 10.0;
  double most = 0.0;
  for (const screw::CollarFriction& row : screw::collar_frictions) {
    least = std::min(least, row.starting / row.running);
    most = std::max(most, row.starting / row.running);
  }
  CHECK_THAT(least, WithinRel(screw::least_starting_ratio, 1e-12));
  CHECK_THAT(most, WithinAbs(screw::most_starting_ratio, 0.005));
  CHECK_THAT(screw::vibration_share, WithinRel(1.0 / screw::least_starting_ratio, 1e-14));
}

}  // namespace
}  // namespace pitchline
