#include "pitchline/tune/axis_figures.hpp"

#include <cmath>
#include <numbers>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using tune::Deflection;
using tune::Estimate;

TEST_CASE("a pull lies between its readings and half a step of the scale", "[tune]") {
  const Estimate<Force> one = tune::pull_of({{newtons(4)}, newtons(0.5)});
  CHECK(one.value == newtons(4));
  CHECK(one.least == newtons(3.75));
  CHECK(one.most == newtons(4.25));
  const Estimate<Force> many = tune::pull_of({{newtons(4), newtons(5), newtons(6)}, newtons(0.5)});
  CHECK(many.value == newtons(5));
  CHECK(many.least == newtons(4));
  CHECK(many.most == newtons(6));
  CHECK(tune::pull_of({{newtons(0.1)}, newtons(0.5)}).least == Force{});

  const Estimate<Force> more = tune::pull_beyond(many, one);
  CHECK(more.value == newtons(1));
  CHECK(more.least == Force{});
  CHECK(more.most == newtons(2.25));
}

TEST_CASE("the share of stiffness is found from what it would give way", "[tune][property]") {
  // Any share, read back from the deflection that it makes.
  for (const double share : {0.2, 0.5, 0.7, 1.0, 1.3}) {
    const Stiffness belt = newtons_per_millimetre(60);
    const Stiffness field = newtons_per_millimetre(200);
    const Force force = newtons(20);
    const Length x = force / (share * belt) + force / field;
    const Deflection read{.force = force,
                          .deflection = x,
                          .resolution = millimetres(0.01),
                          .field = field,
                          .belt = belt};
    const Estimate<double> found = tune::stiffness_share(read);
    CHECK_THAT(found.value, WithinRel(share, 1e-12));
    CHECK(found.least < share);
    CHECK(found.most > share);
  }
  // What gives way no more than the field does tells nothing of the belt.
  const Deflection stiff{.force = newtons(20),
                         .deflection = millimetres(0.1),
                         .resolution = millimetres(0.01),
                         .field = newtons_per_millimetre(200),
                         .belt = newtons_per_millimetre(60)};
  CHECK(std::isinf(tune::stiffness_share(stiff).value));
}

TEST_CASE("damping is found from the peaks that it makes", "[tune][property]") {
  for (const double zeta : {0.005, 0.03, 0.2}) {
    const double decrement = 2.0 * std::numbers::pi * zeta / std::sqrt(1.0 - zeta * zeta);
    std::vector<double> peaks;
    for (int n = 0; n < 6; ++n) peaks.push_back(3.0 * std::exp(-decrement * n));
    const Estimate<double> found = tune::damping_of_peaks(peaks);
    CHECK_THAT(found.value, WithinRel(zeta, 1e-12));
    CHECK_THAT(found.least, WithinRel(zeta, 1e-9));
    CHECK_THAT(found.most, WithinRel(zeta, 1e-9));
  }
  // Friction takes as much from each: the ratio seems to rise, and the first peaks have the least.
  const Estimate<double> rubbed = tune::damping_of_peaks({1.0, 0.8, 0.6, 0.4});
  CHECK_THAT(rubbed.least,
             WithinAbs(std::log(1.25) / std::hypot(2.0 * std::numbers::pi, std::log(1.25)), 1e-12));
  CHECK(rubbed.least < rubbed.value);
  CHECK(rubbed.value < rubbed.most);
}

TEST_CASE("measurements that cannot be are refused", "[tune][error]") {
  CHECK_THROWS_MATCHES(tune::pull_of({{}, newtons(1)}), InvalidInput,
                       Message("number of pulls must be >= 1, got 0"));
  CHECK_THROWS_AS(tune::pull_of({{newtons(-1)}, newtons(1)}), InvalidInput);
  CHECK_THROWS_AS(tune::pull_of({{newtons(1)}, Force{}}), InvalidInput);
  CHECK_THROWS_AS(tune::stiffness_share({}), InvalidInput);
  CHECK_THROWS_MATCHES(tune::damping_of_peaks({1.0}), InvalidInput,
                       Message("number of peaks must be >= 2, got 1"));
  CHECK_THROWS_MATCHES(tune::damping_of_peaks({1.0, 1.1}), InvalidInput,
                       Message("peak must be no higher than the one before, got 1.1"));
  CHECK_THROWS_AS(tune::damping_of_peaks({1.0, 0.0}), InvalidInput);
}

}  // namespace
}  // namespace pitchline
