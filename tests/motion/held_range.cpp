#include "pitchline/motion/held_range.hpp"

#include "support/catch.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::WithinRel;
using motion::HeldRange;

double in(Acceleration a) { return in_metres_per_second_squared(a); }
const Acceleration end = metres_per_second_squared(200);

TEST_CASE("the widest stretch of accelerations is found with both of its ends",
          "[motion][property]") {
  for (const double least : {0.013, 0.5, 7.0}) {
    for (const double most : {1.9 * least, 12.0 * least, 60.0}) {
      if (!(most > 1.3 * least)) continue;
      const HeldRange found = motion::widest_holding(
          end, [&](Acceleration a) { return in(a) > least && in(a) <= most; });
      CHECK_THAT(in(found.least), WithinRel(least, 2e-6));
      CHECK_THAT(in(found.most), WithinRel(most, 2e-6));
    }
  }
}

TEST_CASE("of two stretches the wider counts", "[motion][property]") {
  const HeldRange found = motion::widest_holding(
      end, [](Acceleration a) { return in(a) < 0.4 || (in(a) > 2.0 && in(a) < 5.0); });
  CHECK_THAT(in(found.least), WithinRel(2.0, 2e-6));
  CHECK_THAT(in(found.most), WithinRel(5.0, 2e-6));
}

TEST_CASE("without a lower end it is what holds from nothing up", "[motion][property]") {
  const auto holds = [](Acceleration a) { return in(a) < 3.0; };
  const HeldRange found = motion::widest_holding(end, holds);
  CHECK(found.least == Acceleration{});
  CHECK(found.most == motion::largest_holding(end, holds));
  CHECK(motion::widest_holding(end, [](Acceleration) { return true; }).most == end);
  CHECK(motion::widest_holding(end, [](Acceleration) { return false; }).most == Acceleration{});
}

}  // namespace
}  // namespace pitchline
