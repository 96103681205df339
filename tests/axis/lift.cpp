#include "pitchline/axis/lift.hpp"

#include <cmath>
#include <numeric>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using axis::largest_share;
using axis::screw_shares;
using axis::ScrewPlace;
using axis::unbalance;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using testing::IsNear;

ScrewPlace at(double x_mm, double y_mm) { return {millimetres(x_mm), millimetres(y_mm)}; }

const std::vector<ScrewPlace> corners{at(0, 0), at(900, 0), at(900, 600), at(0, 600)};
const std::vector<ScrewPlace> triangle{at(0, 0), at(900, 0), at(300, 600)};
const std::vector<ScrewPlace> pair{at(0, 0), at(800, 0)};

TEST_CASE("three screws share a load by statics alone", "[axis][property]") {
  // Moments about two sides of the triangle and the sum of forces settle all three.
  const double x = GENERATE(take(10, random(-200.0, 900.0)));
  const double y = GENERATE(take(10, random(-100.0, 600.0)));
  CAPTURE(x, y);
  const std::vector<double> s = screw_shares(triangle, at(x, y));
  CHECK_THAT(s[0] + s[1] + s[2], WithinRel(1.0, 1e-12));
  CHECK_THAT(900 * s[1] + 300 * s[2], WithinAbs(x, 1e-9));
  CHECK_THAT(600 * s[2], WithinAbs(y, 1e-9));
}

TEST_CASE("four screws at the corners share a load by its moments about the middle", "[axis]") {
  // Equal springs: 1/4 + x q_x/(4 · 450²) + y q_y/(4 · 300²), x and y of the corner.
  for (const double each : screw_shares(corners, at(450, 300)))
    CHECK_THAT(each, WithinRel(0.25, 1e-12));
  const std::vector<double> s = screw_shares(corners, at(540, 240));
  CHECK_THAT(s[0], WithinRel(0.25 - 90.0 / 1800 + 60.0 / 1200, 1e-12));
  CHECK_THAT(s[1], WithinRel(0.25 + 90.0 / 1800 + 60.0 / 1200, 1e-12));
  CHECK_THAT(s[2], WithinRel(0.25 + 90.0 / 1800 - 60.0 / 1200, 1e-12));
  CHECK_THAT(s[3], WithinRel(0.25 - 90.0 / 1800 - 60.0 / 1200, 1e-12));
}

TEST_CASE("two screws share a load as a lever does, and guides bear what it does across",
          "[axis]") {
  const std::vector<double> s = screw_shares(pair, at(200, 150));
  CHECK_THAT(s[0], WithinRel(0.75, 1e-12));
  CHECK_THAT(s[1], WithinRel(0.25, 1e-12));
  // Three in one line are no triangle: springs at 0, 400 and 800 under a load at 200.
  const std::vector<double> line = screw_shares({at(0, 0), at(400, 0), at(800, 0)}, at(200, 90));
  CHECK_THAT(line[0], WithinRel(1.0 / 3 + 0.25, 1e-12));
  CHECK_THAT(line[1], WithinRel(1.0 / 3, 1e-12));
  CHECK_THAT(line[2], WithinRel(1.0 / 3 - 0.25, 1e-12));
  CHECK(screw_shares({at(70, 40)}, at(0, 0)) == std::vector<double>{1.0});
}

TEST_CASE("shares balance forces and moments whatever the screws", "[axis][property]") {
  const double x = GENERATE(take(20, random(0.0, 900.0)));
  CAPTURE(x);
  const std::vector<ScrewPlace> five{at(0, 0), at(900, 0), at(850, 610), at(20, 580), at(400, 300)};
  const std::vector<double> s = screw_shares(five, at(x, 250));
  double sum = 0.0;
  double along = 0.0;
  double across = 0.0;
  for (std::size_t i = 0; i < five.size(); ++i) {
    sum += s[i];
    along += s[i] * in_millimetres(five[i].x);
    across += s[i] * in_millimetres(five[i].y);
  }
  CHECK_THAT(sum, WithinRel(1.0, 1e-12));
  CHECK_THAT(along, WithinAbs(x, 1e-9));
  CHECK_THAT(across, WithinAbs(250.0, 1e-9));
}

TEST_CASE("a nut can take no more of a load than statics leaves it", "[axis]") {
  // On four corners a centred load may rest on one diagonal; one right over a screw, on it alone.
  CHECK_THAT(largest_share(corners, at(450, 300)), WithinRel(0.5, 1e-9));
  CHECK_THAT(largest_share(corners, at(900, 600)), WithinRel(1.0, 1e-9));
  // At 540 and 240 mm the right and the front side bear 0.6 each, and the corner between them all
  // of it once the rear right and the front left bear nothing.
  CHECK_THAT(largest_share(corners, at(540, 240)), WithinRel(0.6, 1e-9));
  // Off the middle along one side only, the other side's half is the limit.
  CHECK_THAT(largest_share(corners, at(540, 300)), WithinRel(0.5, 1e-9));
  // Three screws and two leave nothing open.
  const std::vector<double> s = screw_shares(triangle, at(400, 200));
  CHECK_THAT(largest_share(triangle, at(400, 200)),
             WithinRel(*std::max_element(s.begin(), s.end()), 1e-9));
  CHECK_THAT(largest_share(pair, at(200, 0)), WithinRel(0.75, 1e-9));
  CHECK(largest_share({at(0, 0)}, at(50, 0)) == 1.0);
}

TEST_CASE("no nut that stands high takes more than the largest share", "[axis][property]") {
  // Raised until another nut bears nothing, a corner has exactly that share.
  const double x = GENERATE(take(10, random(100.0, 800.0)));
  const double y = GENERATE(take(3, random(100.0, 500.0)));
  CAPTURE(x, y);
  const std::vector<double> s = screw_shares(corners, at(x, y));
  double most = 0.0;
  // The pattern (+1, −1, +1, −1) carries no load: add it until a share is nothing.
  const double on_even = std::min(s[1], s[3]);
  const double on_odd = std::min(s[0], s[2]);
  most = std::max({s[0] + on_even, s[2] + on_even, s[1] + on_odd, s[3] + on_odd});
  CHECK_THAT(largest_share(corners, at(x, y)), WithinRel(most, 1e-9));
}

TEST_CASE("a nut that stands high bears more on four screws only", "[axis]") {
  const Stiffness k = newtons_per_millimetre(2000);
  // A quarter of k h at a corner of a rectangle, whatever its sides.
  CHECK_THAT(unbalance(corners, 2, millimetres(0.1), k), IsNear(newtons(50), newtons(1e-9)));
  CHECK_THAT(unbalance(triangle, 0, millimetres(0.1), k), IsNear(newtons(0), newtons(1e-9)));
  CHECK_THAT(unbalance(pair, 1, millimetres(0.1), k), IsNear(newtons(0), newtons(1e-9)));
}

TEST_CASE("the bed tilts by the height of one nut over its distance from the rest", "[axis]") {
  const Length h = millimetres(0.2);
  const axis::Tilt two = axis::tilt(pair, 0, h);
  CHECK_THAT(in_radians(two.angle), WithinRel(0.2 / 800, 1e-12));
  CHECK_THAT(two.difference, IsNear(h, millimetres(1e-12)));
  // Of three, over the height of the triangle: 600 mm from the side opposite the third.
  CHECK_THAT(in_radians(axis::tilt(triangle, 2, h).angle), WithinRel(0.2 / 600, 1e-12));
  // Of four, half of that along each side; the bed follows by 3/4 and sinks opposite by 1/4.
  const axis::Tilt four = axis::tilt(corners, 1, h);
  CHECK_THAT(in_radians(four.angle), WithinRel(std::hypot(0.1 / 900, 0.1 / 600), 1e-12));
  CHECK_THAT(four.difference, IsNear(h, millimetres(1e-12)));
  CHECK(axis::tilt({at(0, 0)}, 0, h).difference == metres(0));
  CHECK(axis::tilt({at(0, 0)}, 0, h).angle == radians(0));
  // The nearer two nuts of a triangle are, the more one of them tilts it.
  CHECK(axis::worst_tilt(triangle, h).angle >= axis::tilt(triangle, 2, h).angle);
}

TEST_CASE("a tooth of mistiming is a part of a turn of the screw", "[axis]") {
  // Worked by hand: lead 4 mm, 20 teeth of 2 mm, so 40 mm of belt a turn; 4 · 2/40 = 0.2 mm.
  CHECK_THAT(axis::height_per_tooth(millimetres(4), 20),
             IsNear(millimetres(0.2), millimetres(1e-12)));
}

TEST_CASE("screws with a motor each may come back four full steps apart", "[axis]") {
  // 200 full steps a turn, lead 8 mm: 0.04 mm each, 4 of them; half of it behind a 2:1 stage.
  const auto lost = [](double turns) {
    return axis::level_lost_without_power(millimetres(8), full_steps(200), turns);
  };
  CHECK_THAT(lost(1), IsNear(millimetres(0.16), millimetres(1e-12)));
  CHECK_THAT(lost(2), IsNear(millimetres(0.08), millimetres(1e-12)));
}

TEST_CASE("the screws of a lift are refused where they cannot be", "[axis][error]") {
  const Length h = millimetres(0.1);
  const Stiffness k = newtons_per_metre(1e6);
  CHECK_THROWS_MATCHES(screw_shares({}, at(0, 0)), InvalidInput,
                       Message("number of screws must be from 1 to 8, got 0"));
  CHECK_THROWS_AS(screw_shares(std::vector<ScrewPlace>(9, at(0, 0)), at(0, 0)), InvalidInput);
  CHECK_THROWS_MATCHES(screw_shares({at(0, 0), at(0, 0)}, at(0, 0)), InvalidInput,
                       Message("distance of two screws must be > 0.001, got 0 mm"));
  CHECK_THROWS_AS(screw_shares({ScrewPlace{}, at(0, 0)}, at(0, 0)), InvalidInput);
  CHECK_THROWS_AS(screw_shares(pair, ScrewPlace{}), InvalidInput);
  CHECK_THROWS_AS(largest_share(pair, ScrewPlace{}), InvalidInput);
  CHECK_THROWS_MATCHES(
      largest_share(corners, at(-10, 300)), OutsideValidity,
      Message("the load at x -10 mm, y 300 mm stands outside of the screws: the bed tips"));
  CHECK_THROWS_AS(largest_share(pair, at(900, 0)), OutsideValidity);
  CHECK_THROWS_AS(unbalance(pair, 2, h, k), InvalidInput);
  CHECK_THROWS_AS(unbalance(pair, 0, -h, k), InvalidInput);
  CHECK_THROWS_AS(unbalance(pair, 0, h, unset<Stiffness>()), InvalidInput);
  CHECK_THROWS_AS(axis::tilt(pair, 2, h), InvalidInput);
  CHECK_THROWS_AS(axis::tilt(pair, 0, unset<Length>()), InvalidInput);
  CHECK_THROWS_AS(axis::worst_tilt(pair, -h), InvalidInput);
  CHECK_THROWS_AS(axis::height_per_tooth(metres(0), 20), InvalidInput);
  CHECK_THROWS_AS(axis::height_per_tooth(h, 0), InvalidInput);
  CHECK_THROWS_AS(axis::level_lost_without_power(metres(0), full_steps(200), 1), InvalidInput);
  CHECK_THROWS_AS(axis::level_lost_without_power(h, full_steps(0), 1), InvalidInput);
  CHECK_THROWS_AS(axis::level_lost_without_power(h, full_steps(200), 0), InvalidInput);
}

}  // namespace
}  // namespace pitchline
