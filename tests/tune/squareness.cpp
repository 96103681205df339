#include "pitchline/tune/squareness.hpp"

#include "support/catch.hpp"
#include "support/chance.hpp"
#include "support/is_near.hpp"

namespace pitchline::tune {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using testing::Chance;
using testing::IsNear;

const Confidence usual(0.95);

struct Diagonals {
  double left_to_right;
  double right_to_left;
};
// Corners of what is drawn, from coordinates: the beam runs along x; the right end leads by `skew`,
// so the rails stand at 90 degrees less `skew` to the beam.
Diagonals drawn(double along_beam, double along_rails, double skew) {
  const double x = along_rails * std::sin(skew);
  const double y = along_rails * std::cos(skew);
  return {std::hypot(along_beam + x, y), std::hypot(x - along_beam, y)};
}

TEST_CASE("squareness finds the skew of a rectangle whatever its size", "[tune][property]") {
  const double skew_deg = GENERATE(-20.0, -0.5, 0.0, 0.01, 3.0);
  const double a = GENERATE(200.0, 900.0);
  CAPTURE(skew_deg, a);
  const Diagonals d = drawn(a, 600.0, skew_deg * std::acos(-1.0) / 180.0);
  const Squareness s = squareness({.along_beam = millimetres(a), .along_rails = millimetres(600)},
                                  {.left_to_right = {millimetres(d.left_to_right)},
                                   .right_to_left = {millimetres(d.right_to_left)},
                                   .resolution = millimetres(0.5)},
                                  usual);
  CHECK_THAT(s.skew.value, IsNear(degrees(skew_deg), degrees(1e-9)));
  CHECK(s.skew.least < s.skew.value);
  CHECK(s.skew.most > s.skew.value);
  CHECK_THAT(s.length_off, IsNear(metres(0), micrometres(1e-3)));
  CHECK_FALSE(s.length_is_off);
  CHECK(s.told == (std::abs(skew_deg) > 0.1));
  // Half a mark in each diagonal, the worst way round: 0.5 mm of difference.
  CHECK_THAT(s.difference.most, IsNear(s.difference.value + millimetres(0.5), micrometres(1e-6)));
}

TEST_CASE("squareness meets a case worked by hand", "[tune][property]") {
  // 300 by 400 mm: both diagonals are 500 mm. 501 and 499: sin g = (501^2 - 499^2)/(4*300*400)
  // = 2000/480000 = 1/240.
  const Squareness s = squareness({.along_beam = millimetres(300), .along_rails = millimetres(400)},
                                  {.left_to_right = {millimetres(501)},
                                   .right_to_left = {millimetres(499)},
                                   .resolution = millimetres(1)},
                                  usual);
  CHECK_THAT(s.skew.value, IsNear(radians(std::asin(1.0 / 240.0)), radians(1e-12)));
  CHECK(s.told);
  // The right carriage of a gantry of 480 mm leads by 480 tan asin 1/240 = 2.0000174 mm.
  const Estimate<Length> lead = lead_of_right_end(s.skew, millimetres(480));
  CHECK_THAT(lead.value, IsNear(millimetres(2.0000174), millimetres(5e-8)));
  CHECK(lead.least < lead.value);
  CHECK(lead.value < lead.most);
}

TEST_CASE("diagonals of another length than the sides make are told", "[tune][property]") {
  // One per cent too long all over is no skew.
  const Squareness s = squareness({.along_beam = millimetres(300), .along_rails = millimetres(400)},
                                  {.left_to_right = {millimetres(505)},
                                   .right_to_left = {millimetres(505)},
                                   .resolution = millimetres(0.5)},
                                  usual);
  CHECK_THAT(s.length_off, IsNear(millimetres(5), micrometres(1e-3)));
  CHECK(s.length_is_off);
  CHECK_FALSE(s.told);
}

TEST_CASE("the interval of the skew holds the truth at the stated rate", "[tune][property]") {
  constexpr int trials = 2000;
  const double band = testing::binomial_band(0.95, trials);
  Chance chance(11);
  const auto share = [&](double resolution, double scatter, int repeats) {
    int held = 0;
    for (int i = 0; i < trials; ++i) {
      const double skew = chance.between(-0.01, 0.01);
      const Diagonals d = drawn(700.0, 500.0, skew);
      DiagonalReadings r{.resolution = millimetres(resolution)};
      const auto read = [&](double truth) {
        const double y = truth + scatter * chance.normal();
        return millimetres(resolution > 0.0 ? resolution * std::round(y / resolution) : y);
      };
      for (int n = 0; n < repeats; ++n) {
        r.left_to_right.push_back(read(d.left_to_right));
        r.right_to_left.push_back(read(d.right_to_left));
      }
      held += may_be(
          squareness({.along_beam = millimetres(700), .along_rails = millimetres(500)}, r, usual)
              .skew,
          radians(skew));
    }
    return held / static_cast<double>(trials);
  };
  CHECK_THAT(share(0.0, 0.3, 3), WithinAbs(0.95, band));
  CHECK_THAT(share(0.5, 0.5, 8), WithinAbs(0.95, band));
  // Read once with a tape, the bound of rounding is certain.
  CHECK(share(0.5, 0.0, 1) == 1.0);
  CHECK(share(0.5, 0.0, 4) == 1.0);
}

TEST_CASE("squareness refuses what its table excludes", "[tune][error]") {
  const DrawnRectangle rectangle{.along_beam = millimetres(300), .along_rails = millimetres(400)};
  const DiagonalReadings good{.left_to_right = {millimetres(500)},
                              .right_to_left = {millimetres(500)},
                              .resolution = millimetres(1)};
  CHECK_THROWS_MATCHES(squareness({.along_rails = metres(1)}, good, usual), InvalidInput,
                       Message("side along the beam must be > 0, got nan mm"));
  CHECK_THROWS_MATCHES(squareness({.along_beam = metres(1)}, good, usual), InvalidInput,
                       Message("side along the rails must be > 0, got nan mm"));
  DiagonalReadings bad = good;
  bad.resolution = millimetres(-1);
  CHECK_THROWS_MATCHES(squareness(rectangle, bad, usual), InvalidInput,
                       Message("resolution must be >= 0, got -1 mm"));
  bad = good;
  bad.right_to_left.clear();
  CHECK_THROWS_MATCHES(squareness(rectangle, bad, usual), InvalidInput,
                       Message("readings of a diagonal must be >= 1, got 0"));
  bad.right_to_left = {metres(0)};
  CHECK_THROWS_MATCHES(squareness(rectangle, bad, usual), InvalidInput,
                       Message("diagonal must be > 0, got 0 mm"));
  bad.right_to_left = {millimetres(5)};
  bad.left_to_right = {millimetres(900)};
  CHECK_THROWS_WITH(squareness(rectangle, bad, usual), Contains("of no rectangle of 300 by 400"));
  CHECK_THROWS_AS(squareness(rectangle, bad, usual), OutsideValidity);
  CHECK_THROWS_MATCHES(lead_of_right_end({}, unset<Length>()), InvalidInput,
                       Message("distance between the rails must be > 0, got nan mm"));
  CHECK_THROWS_MATCHES(lead_of_right_end({degrees(90), degrees(90), degrees(90)}, metres(1)),
                       InvalidInput,
                       Catch::Matchers::Predicate<InvalidInput>([](const InvalidInput& e) {
                         return std::string(e.what()).starts_with("skew must be above -90");
                       }));
}

}  // namespace
}  // namespace pitchline::tune
