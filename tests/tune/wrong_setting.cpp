#include "pitchline/tune/wrong_setting.hpp"

#include "support/catch.hpp"

namespace pitchline::tune {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::Message;

Estimate<double> about(double ratio) { return {ratio, ratio - 0.0005, ratio + 0.0005}; }

TEST_CASE("wrong_settings names the count that explains the travel", "[tune][property]") {
  // A pulley of 16 teeth under steps per mm for 20 travels 16/20 of what it is told.
  auto found = wrong_settings(about(0.8), {.pulley_teeth = 20, .pulses_per_turn = 3200});
  REQUIRE_FALSE(found.empty());
  CHECK(found[0].cause == "16 teeth on the pulley, not 20 (16/20)");
  CHECK(found[0].ratio == Fraction(4, 5));
  // 3200 reckoned and 1600 set: every pulse is twice as long.
  found = wrong_settings(about(2.001), {.pulley_teeth = 20, .pulses_per_turn = 3200});
  REQUIRE(found.size() == 2);
  CHECK(found[0].cause == "40 teeth on the pulley, not 20 (40/20)");
  CHECK(found[1].cause == "1600 pulses a turn set at the driver, not 3200 (3200/1600)");
  // Nothing known: the usual counts.
  found = wrong_settings(about(0.5), {});
  std::string all;
  for (const WrongSetting& each : found) all += each.cause + "; ";
  CHECK_THAT(all, Contains("10 teeth on the pulley, not 20 (10/20)"));
  CHECK_THAT(all, Contains("microsteps: 2 times more than reckoned are set at the driver (1/2)"));
  found = wrong_settings(about(1.25), {});
  all.clear();
  for (const WrongSetting& each : found) all += each.cause + "; ";
  CHECK_THAT(all, Contains("20 teeth on the pulley, not 16 (20/16)"));
  CHECK_THAT(all, Contains("such as 1600 and not 2000 (5/4)"));
  // 2.032 mm pitch under steps per mm for 2 mm.
  found = wrong_settings(about(1.016), {.pulley_teeth = 20});
  REQUIRE(found.size() == 1);
  CHECK_THAT(found[0].cause, Contains("a pitch in inches taken for one in mm (127/125)"));
  // A screw of four starts taken for one of a single start has no pulley.
  found = wrong_settings(about(4.0), {.pulses_per_turn = 3200, .starts = 1});
  REQUIRE(found.size() == 2);
  CHECK(found[0].cause == "800 pulses a turn set at the driver, not 3200 (3200/800)");
  CHECK(found[1].cause == "4 starts on the screw, not 1 (4/1)");
}

TEST_CASE("wrong_settings leaves tolerances alone", "[tune][property]") {
  CHECK(wrong_settings(about(1.0), {}).empty());
  CHECK(wrong_settings(about(0.9975), {}).empty());
  CHECK(wrong_settings(about(1.003), {}).empty());
  CHECK(wrong_settings({1.02, 0.99, 1.05}, {}).empty());  // it may be one
  CHECK(wrong_settings(about(0.97), {}).empty());         // too far off, and no count fits
  CHECK(wrong_settings(about(0.81), {.pulley_teeth = 20, .pulses_per_turn = 3200}).empty());
}

TEST_CASE("wrong_settings finds every pair of teeth whose travel it is given", "[tune][property]") {
  const int set = GENERATE(10, 16, 20, 36);
  const int there = GENERATE(12, 15, 24, 60);
  CAPTURE(set, there);
  const auto found = wrong_settings(about(there / static_cast<double>(set)), {.pulley_teeth = set});
  bool named = false;
  for (const WrongSetting& each : found) named = named || each.ratio == Fraction(there, set);
  CHECK(named);
}

TEST_CASE("wrong_settings refuses what its table excludes", "[tune][error]") {
  CHECK_THROWS_MATCHES(wrong_settings({0.0, -0.1, 0.1}, {}), InvalidInput,
                       Message("travelled over commanded must be > 0, got 0"));
  CHECK_THROWS_AS(wrong_settings({std::nan(""), 0.9, 1.1}, {}), InvalidInput);
  CHECK_THROWS_MATCHES(wrong_settings(about(0.8), {.pulley_teeth = 0}), InvalidInput,
                       Message("pulley teeth must be >= 1, got 0"));
  CHECK_THROWS_MATCHES(wrong_settings(about(0.8), {.pulses_per_turn = 0}), InvalidInput,
                       Message("pulses per turn must be >= 1, got 0"));
  CHECK_THROWS_MATCHES(wrong_settings(about(0.8), {.starts = 0}), InvalidInput,
                       Message("starts must be >= 1, got 0"));
}

}  // namespace
}  // namespace pitchline::tune
