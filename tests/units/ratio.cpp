#include "pitchline/units/ratio.hpp"

#include <cmath>
#include <limits>

#include "support/catch.hpp"

namespace pitchline {
namespace {
using Catch::Matchers::Message;

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double infinite = std::numeric_limits<double>::infinity();

// The next doubles on either side, so that a bound is tested to the last bit.
double above(double x) { return std::nextafter(x, infinite); }
double below(double x) { return std::nextafter(x, -infinite); }

TEST_CASE("ratios take their whole range and keep the number", "[units][property]") {
  CHECK(FrictionCoefficient(0).value() == 0);
  CHECK(FrictionCoefficient(below(1)).value() == below(1));
  CHECK(Efficiency(above(0)).value() == above(0));
  CHECK(Efficiency(1).value() == 1);
  CHECK(GearRatio(0.001).value() == 0.001);
  CHECK(GearRatio(1000).value() == 1000);
  CHECK(TorqueMargin(1).value() == 1);
  CHECK(TorqueMargin(10).value() == 10);
  CHECK(TorqueShare(above(0)).value() == above(0));
  CHECK(TorqueShare(1).value() == 1);
  CHECK(DampingRatio(0).value() == 0);
  CHECK(DampingRatio(below(1)).value() == below(1));
  STATIC_REQUIRE(Efficiency(0.9) == Efficiency(0.9));
  STATIC_REQUIRE(Efficiency(0.9) != Efficiency(0.8));
}

TEST_CASE("ratios refuse the first number past either bound", "[units][error]") {
  CHECK_THROWS_AS(FrictionCoefficient(below(0)), InvalidInput);
  CHECK_THROWS_AS(FrictionCoefficient(1), InvalidInput);
  CHECK_THROWS_AS(Efficiency(0), InvalidInput);
  CHECK_THROWS_AS(Efficiency(above(1)), InvalidInput);
  CHECK_THROWS_AS(GearRatio(below(0.001)), InvalidInput);
  CHECK_THROWS_AS(GearRatio(above(1000)), InvalidInput);
  CHECK_THROWS_AS(TorqueMargin(below(1)), InvalidInput);
  CHECK_THROWS_AS(TorqueMargin(above(10)), InvalidInput);
  CHECK_THROWS_AS(TorqueShare(0), InvalidInput);
  CHECK_THROWS_AS(TorqueShare(above(1)), InvalidInput);
  CHECK_THROWS_AS(DampingRatio(below(0)), InvalidInput);
  CHECK_THROWS_AS(DampingRatio(1), InvalidInput);
}

TEST_CASE("ratios refuse NaN and infinity", "[units][error]") {
  CHECK_THROWS_AS(FrictionCoefficient(nan), InvalidInput);
  CHECK_THROWS_AS(Efficiency(nan), InvalidInput);
  CHECK_THROWS_AS(GearRatio(nan), InvalidInput);
  CHECK_THROWS_AS(TorqueMargin(nan), InvalidInput);
  CHECK_THROWS_AS(TorqueShare(nan), InvalidInput);
  CHECK_THROWS_AS(DampingRatio(nan), InvalidInput);
  CHECK_THROWS_AS(GearRatio(infinite), InvalidInput);
  CHECK_THROWS_AS(TorqueMargin(infinite), InvalidInput);
}

TEST_CASE("a refused ratio says which one, the rule and the number", "[units][error]") {
  CHECK_THROWS_MATCHES(Efficiency(90), InvalidInput,
                       Message("efficiency must be > 0 and <= 1, got 90"));
  CHECK_THROWS_MATCHES(FrictionCoefficient(-0.1), InvalidInput,
                       Message("friction coefficient must be >= 0 and < 1, got -0.1"));
  CHECK_THROWS_MATCHES(GearRatio(0), InvalidInput,
                       Message("gear ratio must be >= 0.001 and <= 1000, got 0"));
  CHECK_THROWS_MATCHES(TorqueMargin(0.5), InvalidInput,
                       Message("torque margin must be >= 1 and <= 10, got 0.5"));
  CHECK_THROWS_MATCHES(TorqueShare(nan), InvalidInput,
                       Message("torque share must be > 0 and <= 1, got nan"));
  CHECK_THROWS_MATCHES(DampingRatio(3), InvalidInput,
                       Message("damping ratio must be >= 0 and < 1, got 3"));
}

}  // namespace
}  // namespace pitchline
