#include "pitchline/tune/screw_error.hpp"

#include "support/catch.hpp"
#include "support/chance.hpp"
#include "support/is_near.hpp"

namespace pitchline::tune {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using testing::Chance;
using testing::IsNear;

const Confidence usual(0.95);

TEST_CASE("screw_error meets a case worked by hand", "[tune][property]") {
  // Every 100 mm of 600: 50 um too far on each 100 mm, and off that line by +10, -10, -10, +10,
  // ... um in the order 1, -1, -1, 2, -1, -1, 1 of them: at right angles to a line, so the mean
  // line stays. Sum 0; sum of place times deviation over -3..3: -3 + 2 + 1 + 0 - 1 - 2 + 3 = 0.
  TravelReadings r{.resolution = micrometres(1)};
  const std::array<double, 7> pattern{1, -1, -1, 2, -1, -1, 1};
  for (std::size_t i = 0; i < pattern.size(); ++i) {
    const double x = 100.0 * static_cast<double>(i);
    r.readings.push_back({millimetres(x), millimetres(x * 1.0005 + 0.010 * pattern[i])});
  }
  const ScrewError e = screw_error(r, millimetres(8), usual);
  CHECK_THAT(e.mean_lead.value, IsNear(millimetres(8.004), micrometres(1e-6)));
  CHECK(e.mean_lead.least < e.mean_lead.value);
  CHECK_THAT(e.mean_deviation, IsNear(micrometres(300), micrometres(1e-6)));
  CHECK_THAT(e.over_travel.width, IsNear(micrometres(30), micrometres(1e-6)));
  CHECK_THAT(e.over_window.width, IsNear(micrometres(30), micrometres(1e-6)));
  CHECK_THAT(e.over_window.from, IsNear(millimetres(100), micrometres(1e-6)));
  CHECK_THAT(e.over_window.to, IsNear(millimetres(300), micrometres(1e-6)));
  CHECK_THAT(e.largest_gap, IsNear(millimetres(100), micrometres(1e-6)));
}

TEST_CASE("the width over any 300 mm leaves out what is further apart", "[tune][property]") {
  // A slow wave of 1 mm to either side once over 1200 mm, read every 10 mm: whole width 2 mm
  // about its own line. Over 300 mm, a quarter of the wave, sin changes most about its zero:
  // 2 sin(pi/4).
  TravelReadings r{.resolution = micrometres(1)};
  const double pi = std::acos(-1.0);
  for (int i = 0; i <= 120; ++i) {
    const double x = 10.0 * i;
    r.readings.push_back({millimetres(x), millimetres(x + std::cos(2.0 * pi * x / 1200.0))});
  }
  const ScrewError e = screw_error(r, millimetres(5), usual);
  // A cosine over its full period lies at right angles to a straight line.
  CHECK_THAT(e.mean_lead.value, IsNear(millimetres(5), micrometres(1e-6)));
  CHECK_THAT(e.over_travel.width, IsNear(millimetres(2), micrometres(1)));
  CHECK_THAT(e.over_window.width, IsNear(millimetres(2.0 * std::sin(pi / 4.0)), micrometres(1)));
  // No window is wider than the whole, nor a short screw wider than its travel.
  CHECK(e.over_window.width <= e.over_travel.width);
  r.readings.resize(11);
  const ScrewError part = screw_error(r, millimetres(5), usual);
  CHECK(part.over_window.width == part.over_travel.width);
}

TEST_CASE("the order of the readings does not matter", "[tune][property]") {
  TravelReadings r{.resolution = micrometres(1)};
  for (const double x : {300.0, 0.0, 200.0, 100.0})
    r.readings.push_back({millimetres(x), millimetres(x + (x == 200.0 ? 0.02 : 0.0))});
  const ScrewError e = screw_error(r, millimetres(5), usual);
  std::reverse(r.readings.begin(), r.readings.end());
  const ScrewError other = screw_error(r, millimetres(5), usual);
  CHECK_THAT(other.over_travel.width, IsNear(e.over_travel.width, micrometres(1e-9)));
  CHECK_THAT(e.largest_gap, IsNear(millimetres(100), micrometres(1e-6)));
}

TEST_CASE("the interval of the mean lead holds the truth at the stated rate", "[tune][property]") {
  constexpr int trials = 2000;
  Chance chance(21);
  int held = 0;
  for (int i = 0; i < trials; ++i) {
    const double lead = 8.0 + chance.between(-0.01, 0.01);
    TravelReadings r{.resolution = micrometres(10)};
    for (int n = 0; n <= 12; ++n) {
      const double y = 25.0 * n * lead / 8.0 + 0.3 + 0.02 * chance.normal();
      r.readings.push_back({millimetres(25.0 * n), millimetres(0.01 * std::round(y / 0.01))});
    }
    held += may_be(screw_error(r, millimetres(8), usual).mean_lead, millimetres(lead));
  }
  CHECK_THAT(held / static_cast<double>(trials),
             WithinAbs(0.95, testing::binomial_band(0.95, trials)));
}

TEST_CASE("screw_error refuses what its table excludes", "[tune][error]") {
  TravelReadings r{.readings = {{metres(0), metres(0)}, {metres(1), metres(1)}},
                   .resolution = metres(0)};
  CHECK_THROWS_MATCHES(screw_error(r, unset<Length>(), usual), InvalidInput,
                       Message("lead must be > 0, got nan mm"));
  r.readings[1].approach = Approach::backward;
  CHECK_THROWS_MATCHES(screw_error(r, metres(1), usual), InvalidInput,
                       Message("sides from which a screw is measured must be one, got 2"));
  CHECK_THROWS_AS(screw_error({.resolution = metres(0)}, metres(1), usual), InvalidInput);
  CHECK_THROWS_AS(screw_error({.readings = {{metres(1), metres(1)}}, .resolution = metres(0)},
                              metres(1), usual),
                  OutsideValidity);
}

}  // namespace
}  // namespace pitchline::tune
