#include "pitchline/belt/stock.hpp"

#include <numbers>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using belt::loop_candidates;
using belt::LoopWish;
using belt::StockLoop;
using belt::StockStatus;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using testing::IsNear;

StockLoop stocked(int teeth, StockStatus status = StockStatus::listed) {
  return {.maker = "test",
          .series = "test",
          .profile = "GT 2 mm",
          .pitch_millimetres = Fraction(2),
          .length_millimetres = Fraction(2 * teeth),
          .teeth = teeth,
          .status = status,
          .source = "test"};
}
LoopWish wish(double distance_mm, double closer_mm, double farther_mm) {
  return {.pulleys = {.profile = {.name = "GT 2 mm", .pitch_millimetres = Fraction(2)},
                      .first_teeth = 16,
                      .second_teeth = 60},
          .centre_distance = millimetres(distance_mm),
          .can_move_closer = millimetres(closer_mm),
          .can_move_farther = millimetres(farther_mm)};
}

TEST_CASE("loop_candidates gives the centre distance of a worked pair", "[belt][published]") {
  // (C), from the tooth form of the handbook: 100 teeth of 2 mm on 16/60 stand at 60.36791 mm.
  const auto found = loop_candidates({stocked(100)}, wish(60, 2, 3));
  REQUIRE(found.size() == 1);
  CHECK(found[0].loop.teeth == 100);
  CHECK_THAT(found[0].centre_distance, IsNear(millimetres(60.36791), millimetres(0.000005)));
  CHECK_THAT(found[0].difference, IsNear(millimetres(0.36791), millimetres(0.000005)));
  CHECK_THAT(found[0].left_to_slip_on, IsNear(millimetres(2.36791), millimetres(0.000005)));
  CHECK_THAT(found[0].left_to_tension, IsNear(millimetres(2.63209), millimetres(0.000005)));
  CHECK(found[0].fits);
}

TEST_CASE("loop_candidates puts the nearest first and says what the range takes up",
          "[belt][property]") {
  const auto found = loop_candidates(
      {stocked(90), stocked(97), stocked(100), stocked(103), stocked(140)}, wish(60, 2, 3));
  REQUIRE(found.size() == 5);
  CHECK(found[0].loop.teeth == 100);
  for (std::size_t i = 0; i < found.size(); ++i) {
    CAPTURE(i);
    const auto& c = found[i];
    if (i > 0) {
      CHECK(std::abs(in_metres(c.difference)) >= std::abs(in_metres(found[i - 1].difference)));
    }
    // The belt is as long as the stock says.
    CHECK_THAT(in_millimetres(belt_length(wish(60, 0, 0).pulleys, c.centre_distance)),
               WithinRel(2.0 * c.loop.teeth, 1e-12));
    CHECK(c.fits == (c.centre_distance >= millimetres(58) && c.centre_distance <= millimetres(63)));
    CHECK_THAT(in_millimetres(c.left_to_slip_on + c.left_to_tension), WithinRel(5.0, 1e-12));
  }
}

TEST_CASE("loop_candidates with fixed centres takes only the exact belt", "[belt][property]") {
  // Equal pulleys: C = (L − N p)/2 by hand: 200 mm on 20/20 is 80 mm.
  LoopWish fixed = wish(80, 0, 0);
  fixed.pulleys.first_teeth = fixed.pulleys.second_teeth = 20;
  const auto found = loop_candidates({stocked(99), stocked(100), stocked(101)}, fixed);
  REQUIRE(found.size() == 3);
  CHECK(found[0].loop.teeth == 100);
  CHECK(found[0].fits);
  CHECK_FALSE(found[1].fits);
  CHECK_FALSE(found[2].fits);
}

TEST_CASE("loop_candidates prefers a listed belt to the same on demand", "[belt][property]") {
  const auto found =
      loop_candidates({stocked(100, StockStatus::on_demand), stocked(100)}, wish(60, 1, 1));
  REQUIRE(found.size() == 2);
  CHECK(found[0].loop.status == StockStatus::listed);
  CHECK(belt::name(found[1].loop.status) == "on demand");
}

TEST_CASE("loop_candidates leaves out what is too short or of another profile",
          "[belt][property]") {
  StockLoop other = stocked(100);
  other.profile = "T2";
  StockLoop coarser = stocked(100);
  coarser.pitch_millimetres = Fraction(5);
  coarser.length_millimetres = Fraction(500);
  CHECK(loop_candidates({stocked(40), other, coarser}, wish(60, 2, 3)).empty());
  CHECK(loop_candidates({}, wish(60, 2, 3)).empty());
}

TEST_CASE("a length that is not its teeth times the pitch is refused", "[belt][error]") {
  // The misprint of a list: T10 of 660 mm once with 65 teeth.
  StockLoop t10{.maker = "Mulco",
                .series = "Synchroflex",
                .profile = "T10",
                .pitch_millimetres = Fraction(10),
                .length_millimetres = Fraction(660),
                .teeth = 65,
                .source = "test"};
  CHECK_THROWS_MATCHES(require_valid(t10), InvalidInput,
                       Message("teeth must be length over pitch, 66, got 65"));
  CHECK_THROWS_AS(loop_candidates({t10}, wish(60, 1, 1)), InvalidInput);
  t10.teeth = 66;
  CHECK_NOTHROW(require_valid(t10));
  t10.length_millimetres = Fraction(0);
  CHECK_THROWS_MATCHES(require_valid(t10), InvalidInput, Message("length must be > 0, got 0 mm"));
  t10.pitch_millimetres = Fraction(-1);
  CHECK_THROWS_MATCHES(require_valid(t10), InvalidInput, Message("pitch must be > 0, got -1 mm"));
}

TEST_CASE("loop_candidates refuses a wish that cannot be", "[belt][error]") {
  CHECK_THROWS_AS(loop_candidates({}, wish(10, 1, 1)), OutsideValidity);
  CHECK_THROWS_AS(loop_candidates({}, wish(-10, 1, 1)), InvalidInput);
  CHECK_THROWS_MATCHES(loop_candidates({}, wish(60, -1, 1)), InvalidInput,
                       Message("range of the centre distance must be >= 0, got -1 mm"));
  LoopWish bad = wish(60, 1, 1);
  bad.can_move_farther = unset<Length>();
  CHECK_THROWS_AS(loop_candidates({}, bad), InvalidInput);
}

}  // namespace
}  // namespace pitchline
