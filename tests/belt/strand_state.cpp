#include <algorithm>
#include <cmath>

#include "pitchline/belt/strands.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using belt::BeltRun;
using belt::CarriagePull;
using belt::ClampedLoop;
using belt::in_series;
using belt::largest_stretch;
using belt::Slack;
using belt::stage_stiffness_at_load;
using belt::StageBelt;
using belt::strand_state;
using belt::StrandState;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using testing::IsNear;

const ClampedLoop two_metres{.tension_per_strain = newtons(28e3), .span = metres(1)};

// Tension of a strand that cannot push, written out.
double strand(double pretension, double stiffness, double lengthening) {
  return std::max(0.0, pretension + stiffness * lengthening);
}

TEST_CASE("strand_state satisfies the balance of the carriage, whatever slackens",
          "[belt][property]") {
  const double x = GENERATE(0.05, 0.3, 0.77, 1.0);
  const double pretension = GENERATE(0.0, 5.0, 30.0);
  const double pull = GENERATE(-61.0, -20.0, -3.0, 0.0, 1.0, 12.0, 80.0);
  CAPTURE(x, pretension, pull);
  const StrandState s = strand_state(
      two_metres,
      {.position = metres(x), .pretension = newtons(pretension), .pull = newtons(pull)});
  // Each strand against its own length and the stretch that is claimed, in plain numbers.
  const double stretch = in_metres(s.stretch);
  const double near = strand(pretension, 28e3 / x, stretch);
  const double far = strand(pretension, 28e3 / (2 - x), -stretch);
  CHECK_THAT(in_newtons(s.near_tension), WithinAbs(near, 1e-9));
  CHECK_THAT(in_newtons(s.far_tension), WithinAbs(far, 1e-9));
  CHECK_THAT(near - far, WithinAbs(pull, 1e-9));
  CHECK((s.slack == Slack::none) == (std::min(near, far) > 1e-9 || pull == 0));
}

TEST_CASE("strand_state halves the stiffness at mid loop where a strand goes slack",
          "[belt][property]") {
  // At x = S both strands are alike: 28 kN/m each, E*A = 28 kN over 1 m.
  const auto at = [](double pull) {
    return strand_state(two_metres,
                        {.position = metres(1), .pretension = newtons(10), .pull = newtons(pull)});
  };
  CHECK_THAT(in_newtons_per_metre(at(19.9).stiffness), WithinRel(56e3, 1e-12));
  CHECK_THAT(in_newtons_per_metre(at(20.1).stiffness), WithinRel(28e3, 1e-12));
  CHECK(at(20.1).slack == Slack::far_strand);
  CHECK(at(-20.1).slack == Slack::near_strand);
  // No jump where it slackens, at F = 2 T0: 20/56e3 m.
  CHECK_THAT(in_metres(at(20.0 - 1e-9).stretch), WithinRel(20.0 / 56e3, 1e-9));
  CHECK_THAT(in_metres(at(20.0 + 1e-9).stretch), WithinRel(20.0 / 56e3, 1e-9));
  // Central difference of the stretch against the stiffness, on both sides.
  for (const double pull : {7.0, 30.0, -15.0, -45.0}) {
    CAPTURE(pull);
    const double slope =
        (in_metres(at(pull + 0.01).stretch) - in_metres(at(pull - 0.01).stretch)) / 0.02;
    CHECK_THAT(slope, WithinRel(1 / in_newtons_per_metre(at(pull).stiffness), 1e-9));
  }
}

TEST_CASE("stage_stiffness_at_load conserves the energy of the stage", "[belt][property]") {
  // A force F at the load does F d/2 of torque at the shaft and F d/D in the stage's belt. Energy
  // of its two strands, each P^2 t/(2 EA) with half of the force: must be F^2/(2 k).
  const StageBelt stage{.tension_per_strain = newtons(18.7e3),
                        .strand = millimetres(60),
                        .driven_diameter = millimetres(38.197),
                        .drive_diameter = millimetres(12.732)};
  const double force = 25;
  const double in_stage = force * 12.732 / 38.197;
  const double energy = 2 * (in_stage / 2) * (in_stage / 2) * 0.06 / (2 * 18.7e3);
  const double k = in_newtons_per_metre(stage_stiffness_at_load(stage));
  CHECK_THAT(force * force / (2 * k), WithinRel(energy, 1e-12));
  StageBelt slack = stage;
  slack.one_strand_slack = true;
  CHECK_THAT(in_newtons_per_metre(stage_stiffness_at_load(slack)), WithinRel(k / 2, 1e-12));
}

TEST_CASE("in_series is softer than either spring and takes them in any order",
          "[belt][property]") {
  const Stiffness soft = newtons_per_millimetre(30);
  const Stiffness hard = newtons_per_millimetre(60);
  CHECK_THAT(in_newtons_per_millimetre(in_series(soft, hard)), WithinRel(20.0, 1e-14));
  CHECK_THAT(number(in_series(hard, soft) / in_series(soft, hard)), WithinRel(1.0, 1e-14));
}

TEST_CASE("lowest_natural_frequency is the worked figure of a belt without a stage",
          "[belt][published]") {
  // [Elatech] inputs, results computed (C): AT5 10 mm, smallest 280 N/mm; with 10 kg
  // sqrt(280e3/10)/2pi = 26.632 Hz. A stage of 280 N/mm seen at the load takes it down by sqrt(2).
  BeltRun run{.loop = {.tension_per_strain = newtons(140e3), .span = metres(1)},
              .travel = metres(1)};
  CHECK_THAT(belt::lowest_natural_frequency(run, kilograms(10)),
             IsNear(hertz(26.632), hertz(0.0005)));
  run.stage = StageBelt{.tension_per_strain = newtons(140),
                        .strand = millimetres(1),
                        .driven_diameter = millimetres(30),
                        .drive_diameter = millimetres(30)};
  CHECK_THAT(in_hertz(belt::lowest_natural_frequency(run, kilograms(10))),
             WithinRel(26.6319 / std::sqrt(2.0), 1e-5));
}

TEST_CASE("largest_stretch is the largest of a scan over the travel and both senses",
          "[belt][property]") {
  const double pretension = GENERATE(0.0, 4.0, 15.0, 1000.0);
  const double travel = GENERATE(0.4, 0.9);
  const double force = 18;
  CAPTURE(pretension, travel);
  const BeltRun run{
      .loop = two_metres, .travel = metres(travel), .pretension = newtons(pretension)};
  double worst = 0;
  for (int i = 0; i <= 400; ++i) {
    const double x = (1 - travel) / 2 + travel * i / 400;
    for (const double sense : {1.0, -1.0})
      worst = std::max(
          worst, sense * in_metres(strand_state(two_metres, {.position = metres(x),
                                                             .pretension = newtons(pretension),
                                                             .pull = newtons(sense * force)})
                                       .stretch));
  }
  CHECK_THAT(in_metres(largest_stretch(run, newtons(force)).loop), WithinRel(worst, 1e-12));
}

TEST_CASE("a slack near strand makes the near end of the travel the worst", "[belt][property]") {
  // By hand: S = 1, travel 0.9, T0 = 4, F = 18. Far end, x = 0.95, pull away: k1 = 28e3/0.95,
  // far strand slack: (18 - 4)/k1 = 0.475 mm. Near end, x = 0.05, pull towards: k2 = 28e3/1.95,
  // near strand slack: 14/k2 = 0.975 mm.
  const BeltRun loose{.loop = two_metres, .travel = metres(0.9), .pretension = newtons(4)};
  const belt::Stretch s = largest_stretch(loose, newtons(18));
  CHECK_THAT(s.loop, IsNear(millimetres(0.975), millimetres(1e-6)));
  CHECK(s.slack == Slack::near_strand);
  CHECK_THAT(s.position, IsNear(millimetres(50), millimetres(1e-9)));
  const BeltRun taut{.loop = two_metres, .travel = metres(0.9)};
  CHECK(largest_stretch(taut, newtons(18)).slack == Slack::none);
  CHECK_THAT(in_metres(largest_stretch(taut, newtons(18)).position), WithinRel(0.95, 1e-12));
}

TEST_CASE("stretch_error adds the stage and keeps the source of an inferred stiffness",
          "[belt][property]") {
  BeltRun run{.loop = two_metres, .travel = metres(0.9)};
  run.loop.source = "span constants (inferred)";
  run.stage = StageBelt{.tension_per_strain = newtons(18e3),
                        .strand = millimetres(60),
                        .driven_diameter = millimetres(36),
                        .drive_diameter = millimetres(12)};
  const belt::StretchError e =
      belt::stretch_error(run, {.mass = kilograms(2),
                                .acceleration = metres_per_second_squared(3),
                                .standing_force = newtons(5)});
  // By hand: loop 28e3 (1/0.95 + 1/1.05) = 56140.35 N/m; stage 2*18e3/0.06*9 = 5.4e6 N/m.
  CHECK_THAT(in_metres(e.standing.loop), WithinRel(5 / 56140.35, 1e-6));
  CHECK_THAT(in_metres(e.standing.stage), WithinRel(5 / 5.4e6, 1e-12));
  CHECK_THAT(in_metres(e.accelerating.sum()), WithinRel(11 / 56140.35 + 11 / 5.4e6, 1e-6));
  CHECK(e.accelerating.source == "span constants (inferred)");
  // The same as one force on both springs one behind the other.
  CHECK_THAT(in_metres(e.accelerating.sum()),
             WithinRel(in_metres(newtons(11) / belt::smallest_run_stiffness(run)), 1e-12));
}

TEST_CASE("clamped_loop takes stiffness and source from the belt", "[belt][property]") {
  parts::Belt bought{.width = millimetres(12)};
  bought.profile.tension_per_strain = {
      {{millimetres(10), newtons(140e3)}, {millimetres(16), newtons(280e3)}}, "AT5 page"};
  const ClampedLoop loop = belt::clamped_loop(bought, metres(1));
  CHECK(loop.tension_per_strain == newtons(140e3));
  CHECK(loop.source == "AT5 page; the figure of 10 mm, the next narrower that is listed");
  bought.width = millimetres(9);
  CHECK(is_unset(belt::clamped_loop(bought, metres(1)).tension_per_strain));
  // What is given per width goes before the table.
  bought.profile.stiffness_per_width = newtons_per_millimetre(3000);
  CHECK_THAT(in_newtons(belt::clamped_loop(bought, metres(1)).tension_per_strain),
             WithinRel(27e3, 1e-12));
}

TEST_CASE("the strand state and stretch refuse what their tables exclude", "[belt][error]") {
  const CarriagePull good{.position = metres(0.5), .pretension = newtons(10), .pull = newtons(5)};
  CarriagePull bad = good;
  bad.position = metres(0);
  CHECK_THROWS_AS(strand_state(two_metres, bad), InvalidInput);
  bad = good;
  bad.pretension = newtons(-1);
  CHECK_THROWS_MATCHES(strand_state(two_metres, bad), InvalidInput,
                       Message("pretension must be >= 0, got -1 N"));
  bad = good;
  bad.pull = unset<Force>();
  CHECK_THROWS_MATCHES(strand_state(two_metres, bad), InvalidInput,
                       Message("pull must be finite, got nan N"));
  CHECK_THROWS_AS(strand_state({.span = metres(1)}, good), InvalidInput);

  const StageBelt stage{.tension_per_strain = newtons(1e4),
                        .strand = millimetres(60),
                        .driven_diameter = millimetres(36),
                        .drive_diameter = millimetres(12)};
  const auto refuses = [&](auto change) {
    StageBelt wrong = stage;
    change(wrong);
    CHECK_THROWS_AS(stage_stiffness_at_load(wrong), InvalidInput);
  };
  refuses([](StageBelt& s) { s.tension_per_strain = unset<Force>(); });
  refuses([](StageBelt& s) { s.strand = metres(0); });
  refuses([](StageBelt& s) { s.driven_diameter = unset<Length>(); });
  refuses([](StageBelt& s) { s.drive_diameter = metres(0); });
  CHECK_THROWS_AS(in_series(newtons_per_metre(0), newtons_per_metre(1)), InvalidInput);
  CHECK_THROWS_AS(in_series(newtons_per_metre(1), unset<Stiffness>()), InvalidInput);

  const BeltRun run{.loop = two_metres, .travel = metres(0.9)};
  CHECK_THROWS_MATCHES(largest_stretch(run, newtons(-1)), InvalidInput,
                       Message("force must be >= 0, got -1 N"));
  BeltRun long_travel = run;
  long_travel.travel = metres(1);
  CHECK_THROWS_MATCHES(largest_stretch(long_travel, newtons(1)), InvalidInput,
                       Message("travel must be > 0 and < span, got 1 m"));
  CHECK_THROWS_AS(belt::lowest_natural_frequency(run, metres(0) * kilograms(1) / metres(1)),
                  InvalidInput);
  const belt::BeltLoad load{.mass = kilograms(1), .acceleration = metres_per_second_squared(1)};
  belt::BeltLoad wrong = load;
  wrong.mass = unset<Mass>();
  CHECK_THROWS_AS(belt::stretch_error(run, wrong), InvalidInput);
  wrong = load;
  wrong.acceleration = unset<Acceleration>();
  CHECK_THROWS_AS(belt::stretch_error(run, wrong), InvalidInput);
  wrong = load;
  wrong.standing_force = newtons(-1);
  CHECK_THROWS_AS(belt::stretch_error(run, wrong), InvalidInput);
}

}  // namespace
}  // namespace pitchline
