#include "pitchline/check/to_order.hpp"

#include <cmath>

#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::WithinRel;
using testing::kite_loft;

check::AxisState first_axis(const machine::Machine& machine) {
  return check::state_of(machine, machine.axes.front());
}

TEST_CASE("what is set on an axis is counted, not read from a row", "[check]") {
  machine::Machine loft = kite_loft();
  const report::ToSet set = check::to_set(first_axis(loft));
  // 3200 pulses a turn over 20 teeth of 2 mm.
  CHECK(set.pulses.exact == Fraction(80));
  CHECK(set.pulses.kept == Fraction(80));
  CHECK_FALSE(set.pulses.per_degree);
  CHECK(set.rms == amperes(2));
  CHECK_THAT(number(set.peak / set.rms), WithinRel(std::sqrt(2.0), 1e-12));
  machine::belt_drive(loft.axes.front()).pulley_teeth = 18;
  // 3200 over 36 mm; three places are kept.
  const report::ToSet thirds = check::to_set(first_axis(loft));
  CHECK(thirds.pulses.exact == Fraction(800, 9));
  CHECK(thirds.pulses.kept == Fraction(88889, 1000));
}

TEST_CASE("one belt is ordered, and two of them where two sides pull", "[check]") {
  machine::Machine loft = kite_loft();
  const auto one = check::to_order(first_axis(loft));
  REQUIRE(one.size() == 1);
  CHECK(one.front().pieces == 1);
  CHECK(one.front().profile == "GT 2 mm");
  CHECK(one.front().width == millimetres(9));
  // Round both pulleys it is twice the span and once the pitch circle of 40 mm, and the ends
  // beyond.
  CHECK(one.front().length >= millimetres(2 * 1700 + 40));
  CHECK(one.front().length < millimetres(2 * 1700 + 40 + 100));
  machine::belt_drive(loft.axes.front()).motors = 2;
  CHECK(check::to_order(first_axis(loft)).front().pieces == 2);
}

TEST_CASE("a strand is plucked where its note can be heard", "[check][property]") {
  machine::Machine loft = kite_loft();
  axis::BeltAxis& drive = machine::belt_drive(loft.axes.front());
  for (const double span : {300.0, 700.0, 1700.0, 2500.0}) {
    CAPTURE(span);
    drive.span = millimetres(span);
    drive.travel = millimetres(span - 200);
    const report::ToSet set = check::to_set(first_axis(loft));
    REQUIRE(set.strand_tension);
    REQUIRE(set.note);
    CHECK(set.note->note >= hertz(60));
    CHECK(set.note->whole == (set.note->span == drive.span));
    // A string: f = sqrt(T/m)/(2 L), with 9 mm of 1.4 g/m a millimetre.
    const double heard =
        std::sqrt(in_newtons(*set.strand_tension) / 0.0126) / (2.0 * in_metres(set.note->span));
    CHECK_THAT(in_hertz(set.note->note), WithinRel(heard, 1e-9));
  }
  // Where the file says what is set, nothing is recommended.
  loft.axes.front().fitting.tension = newtons(60);
  CHECK_FALSE(check::to_set(first_axis(loft)).strand_tension);
}

}  // namespace
}  // namespace pitchline
