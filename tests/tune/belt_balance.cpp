#include "pitchline/tune/belt_balance.hpp"

#include "support/catch.hpp"
#include "support/chance.hpp"
#include "support/is_near.hpp"

namespace pitchline::tune {
namespace {

using Catch::Matchers::Message;
using testing::Chance;
using testing::IsNear;

// An ideal string of 300 mm and 0.0126 kg/m at f hertz: T = 4 m L^2 f^2 = 0.004536 f^2 N.
PluckedBelt belt_at(double hertz_, double step = 0.0) {
  return {.name = "left",
          .span = {.free_length = millimetres(300), .mass_per_length = kilograms_per_metre(0.0126)},
          .frequency = hertz(hertz_),
          .frequency_resolution = hertz(step)};
}

TEST_CASE("tension_of meets the string by hand with its width", "[tune][property]") {
  const Estimate<Force> t = tension_of(belt_at(100, 2));
  CHECK_THAT(t.value, IsNear(newtons(45.36), newtons(1e-9)));
  CHECK_THAT(t.least, IsNear(newtons(0.004536 * 99 * 99), newtons(1e-9)));
  CHECK_THAT(t.most, IsNear(newtons(0.004536 * 101 * 101), newtons(1e-9)));
  PluckedBelt b = belt_at(100);
  b.span_resolution = millimetres(6);
  CHECK_THAT(tension_of(b).most, IsNear(newtons(45.36 * 1.01 * 1.01), newtons(1e-9)));
  CHECK_THAT(tension_of(b).least, IsNear(newtons(45.36 * 0.99 * 0.99), newtons(1e-9)));
}

TEST_CASE("tension_of leaves open how the ends are held", "[tune][property]") {
  PluckedBelt b = belt_at(100);
  b.span.bending_stiffness = 0.0005 * newtons(1) * square_metres(1);
  const Estimate<Force> t = tension_of(b);
  const belt::TensionBounds bounds = belt::plucked_tension_bounds(b.span, b.frequency);
  CHECK(t.least == bounds.least);
  CHECK(t.most == bounds.most);
  CHECK(t.least < t.value);
  CHECK(t.value < t.most);
}

TEST_CASE("the true tension always lies in the interval", "[tune][property]") {
  Chance chance(31);
  for (int i = 0; i < 200; ++i) {
    PluckedBelt b = belt_at(100);
    b.span.free_length = millimetres(chance.between(150, 600));
    b.span.bending_stiffness = chance.between(0.0, 0.0005) * newtons(1) * square_metres(1);
    b.span.ends = i % 2 == 0 ? belt::SpanEnds::pinned : belt::SpanEnds::clamped;
    const Force truth = newtons(chance.between(20, 60));
    const double heard = in_hertz(belt::plucked_frequency(b.span, truth));
    b.frequency_resolution = hertz(1);
    b.frequency = hertz(std::round(heard));
    b.span_resolution = millimetres(1);
    b.span.free_length = millimetres(std::round(in_millimetres(b.span.free_length)));
    CAPTURE(truth, heard);
    CHECK(may_be(tension_of(b), truth));
  }
}

TEST_CASE("against_wanted says what to do", "[tune][property]") {
  // Wanted 45.36 N within a tenth: 40.82 to 49.90 N.
  const Force wanted = newtons(45.36);
  CHECK(against_wanted(belt_at(100), wanted, 0.1).advice == BeltAdvice::leave);
  CHECK(against_wanted(belt_at(94), wanted, 0.1).advice == BeltAdvice::tighten);
  CHECK(against_wanted(belt_at(106), wanted, 0.1).advice == BeltAdvice::slacken);
  CHECK(against_wanted(belt_at(95, 4), wanted, 0.1).advice == BeltAdvice::cannot_tell);
  const BeltTension t = against_wanted(belt_at(80), wanted, 0.1);
  CHECK_THAT(t.wanted_frequency.value, IsNear(hertz(100), hertz(1e-9)));
  CHECK_FALSE(t.octave);
  CHECK(against_wanted(belt_at(201), wanted, 0.1).octave);
  CHECK(against_wanted(belt_at(50), wanted, 0.1).octave);
}

TEST_CASE("balance sets the belts of both sides against each other", "[tune][property]") {
  // 100 and 104 Hz: 45.36 and 49.06 N, 3.70 N or 7.8 % of the mean apart.
  const BeltBalance b = balance(belt_at(100), belt_at(104), 0.05);
  CHECK_THAT(b.difference.value,
             IsNear(newtons(-0.004536 * (104.0 * 104 - 100 * 100)), newtons(1e-9)));
  CHECK_THAT(b.part, Catch::Matchers::WithinAbs(0.0784, 0.00005));
  CHECK(b.judgement == Judgement::fails);
  CHECK(balance(belt_at(100), belt_at(104), 0.1).judgement == Judgement::holds);
  CHECK(balance(belt_at(100, 4), belt_at(104, 4), 0.1).judgement == Judgement::unsure);
  const BeltBalance other = balance(belt_at(104), belt_at(100), 0.05);
  CHECK_THAT(other.difference.value, IsNear(-b.difference.value, newtons(1e-9)));
}

TEST_CASE("belts refuse what their tables exclude", "[tune][error]") {
  CHECK_THROWS_MATCHES(tension_of(belt_at(100, 100)), InvalidInput,
                       Message("resolution of the frequency must be >= 0 and below the frequency, "
                               "got 100 Hz"));
  PluckedBelt b = belt_at(100);
  b.span_resolution = millimetres(-1);
  CHECK_THROWS_MATCHES(
      tension_of(b), InvalidInput,
      Message("resolution of the span must be >= 0 and below the span, got -1 mm"));
  CHECK_THROWS_AS(tension_of({.span_resolution = metres(0)}), InvalidInput);
  CHECK_THROWS_MATCHES(against_wanted(belt_at(100), unset<Force>(), 0.1), InvalidInput,
                       Message("tension wanted must be > 0, got nan N"));
  CHECK_THROWS_MATCHES(against_wanted(belt_at(100), newtons(1), 1.0), InvalidInput,
                       Message("allowed part of the tension must be > 0 and < 1, got 1"));
  CHECK_THROWS_AS(balance(belt_at(100), belt_at(100), 0.0), InvalidInput);
  b = belt_at(3);
  b.span.bending_stiffness = 0.5 * newtons(1) * square_metres(1);
  CHECK_THROWS_AS(tension_of(b), OutsideValidity);
}

}  // namespace
}  // namespace pitchline::tune
