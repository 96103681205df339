#include "pitchline/belt/strands.hpp"

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using belt::ClampedLoop;
using belt::natural_frequency;
using belt::smallest_strand_stiffness;
using belt::strand_stiffness;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using testing::IsNear;

TEST_CASE("strand_stiffness and natural_frequency give the worked figures of two belts",
          "[belt][published]") {
  // [Elatech], inputs Q, results computed (C): AT5 10 mm, E*A 140 kN, strands 500 and 1500 mm:
  // 373.3 N/mm, smallest 280 N/mm, 30.75 Hz with 10 kg.
  const ClampedLoop at5{.tension_per_strain = newtons(140e3), .span = millimetres(1000)};
  const Stiffness k = strand_stiffness(at5, millimetres(500));
  CHECK_THAT(k, IsNear(newtons_per_millimetre(373.3), newtons_per_millimetre(0.05)));
  CHECK_THAT(natural_frequency(k, kilograms(10)), IsNear(hertz(30.75), hertz(0.005)));
  CHECK_THAT(smallest_strand_stiffness(at5, millimetres(1000)),
             IsNear(newtons_per_millimetre(280), newtons_per_millimetre(0.5)));
  // HTD 5M in polyurethane, 15 mm, E*A 330 kN, the same strands: 880 N/mm, 33.38 Hz with 20 kg.
  const ClampedLoop htd{.tension_per_strain = newtons(330e3), .span = millimetres(1000)};
  const Stiffness stiff = strand_stiffness(htd, millimetres(500));
  CHECK_THAT(stiff, IsNear(newtons_per_millimetre(880), newtons_per_millimetre(0.5)));
  CHECK_THAT(natural_frequency(stiff, kilograms(20)), IsNear(hertz(33.38), hertz(0.005)));
}

TEST_CASE("smallest_strand_stiffness is the smallest of a scan over the travel",
          "[belt][property]") {
  const double span = GENERATE(0.5, 1.7);
  const double share = GENERATE(0.1, 0.6, 0.9, 1.0);
  CAPTURE(span, share);
  const ClampedLoop loop{.tension_per_strain = newtons(28e3), .span = metres(span)};
  const double travel = share * span;
  const Stiffness smallest = smallest_strand_stiffness(loop, metres(travel));
  double least = 1e300;
  for (int i = 0; i <= 1000; ++i) {
    const double x = 0.5 * (span - travel) + travel * i / 1000.0;
    if (x <= 0.0) continue;
    least =
        std::min(least, in_newtons_per_metre(strand_stiffness(loop, metres(std::min(x, span)))));
  }
  CHECK_THAT(in_newtons_per_metre(smallest), WithinRel(least, 1e-12));
}

TEST_CASE("strand_stiffness at the far end is the customary 4 EA over both strands",
          "[belt][property]") {
  const ClampedLoop loop{.tension_per_strain = newtons(28e3), .span = metres(1.7)};
  const Stiffness customary = 4.0 * loop.tension_per_strain / (2.0 * loop.span);
  CHECK_THAT(number(strand_stiffness(loop, loop.span) / customary), WithinRel(1.0, 1e-14));
}

TEST_CASE("strand_stiffness stores the work of pulling the carriage", "[belt][property]") {
  // Two strands stretched and eased by d: energy d^2/2 (EA/x + EA/(2S - x)), each by its own
  // length.
  const double x = GENERATE(take(5, random(0.05, 1.0)));
  CAPTURE(x);
  const ClampedLoop loop{.tension_per_strain = newtons(20e3), .span = metres(1)};
  const Length pull = millimetres(0.1);
  const auto strain = [&](double length) { return number(pull / metres(length)); };
  const Energy near = 0.5 * loop.tension_per_strain * strain(x) * strain(x) * metres(x);
  const Energy far =
      0.5 * loop.tension_per_strain * strain(2.0 - x) * strain(2.0 - x) * metres(2.0 - x);
  const Energy spring = 0.5 * strand_stiffness(loop, metres(x)) * pull * pull;
  CHECK_THAT(number(spring / (near + far)), WithinRel(1.0, 1e-12));
}

TEST_CASE("the strand formulas refuse what their tables exclude", "[belt][error]") {
  const ClampedLoop good{.tension_per_strain = newtons(28e3), .span = metres(1)};
  ClampedLoop bad = good;
  bad.tension_per_strain = unset<Force>();
  CHECK_THROWS_MATCHES(strand_stiffness(bad, metres(0.5)), InvalidInput,
                       Message("tension per strain must be > 0, got nan N"));
  CHECK_THROWS_AS(smallest_strand_stiffness(bad, metres(0.5)), InvalidInput);
  bad = good;
  bad.span = metres(0);
  CHECK_THROWS_MATCHES(smallest_strand_stiffness(bad, metres(0.5)), InvalidInput,
                       Message("span must be > 0, got 0 m"));
  for (const double wrong : {0.0, -0.1, 1.001}) {
    CAPTURE(wrong);
    CHECK_THROWS_AS(strand_stiffness(good, metres(wrong)), InvalidInput);
    CHECK_THROWS_AS(smallest_strand_stiffness(good, metres(wrong)), InvalidInput);
  }
  CHECK_THROWS_MATCHES(strand_stiffness(good, unset<Length>()), InvalidInput,
                       Message("carriage position must be > 0 and <= span, got nan m"));
  CHECK_THROWS_MATCHES(smallest_strand_stiffness(good, unset<Length>()), InvalidInput,
                       Message("travel must be > 0 and <= span, got nan m"));
  CHECK_THROWS_MATCHES(natural_frequency(newtons_per_metre(0), kilograms(1)), InvalidInput,
                       Message("stiffness must be > 0, got 0 N/m"));
  CHECK_THROWS_MATCHES(natural_frequency(newtons_per_metre(1), unset<Mass>()), InvalidInput,
                       Message("mass must be > 0, got nan kg"));
}

}  // namespace
}  // namespace pitchline
