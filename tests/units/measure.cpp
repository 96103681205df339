#include "pitchline/units/measure.hpp"

#include "pitchline/units/make.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {

TEST_CASE("a measure prints as the quantity it was made from", "[units][property]") {
  const Measure torque = newton_metres(1.26);
  CHECK(torque.text() == "1.260 N*m");
  CHECK(torque.text(2) == "1.3 N*m");
  CHECK(torque.coherent() == 1.26);
  CHECK(torque.si_unit() == "N*m");
  const Measure span = millimetres(1500);
  CHECK(span.text() == print(millimetres(1500)));
  CHECK(span.coherent() == 1.5);
  CHECK(span.si_unit() == "m");
}

TEST_CASE("a measure of a plain ratio has no unit", "[units][property]") {
  const Measure margin = Measure::ratio(1.5);
  CHECK(margin.text() == "1.500");
  CHECK(margin.text(2) == "1.5");
  CHECK(margin.coherent() == 1.5);
  CHECK(margin.si_unit().empty());
}

}  // namespace
}  // namespace pitchline
