#include "pitchline/motion/steps_wanted.hpp"

#include "support/catch.hpp"

namespace pitchline::motion {
namespace {

using Catch::Matchers::Message;

// Pitch 2 mm, driver switches of 1600 and 3200 pulses per turn.
StepsWish wish_for(double pulses_per_mm) {
  return {.wanted = pulses_per_millimetre(pulses_per_mm),
          .pulses_per_turn = {3200, 1600},
          .millimetres_per_tooth = Fraction(2),
          .least_teeth = 16,
          .most_teeth = 24};
}

TEST_CASE("choices_for finds every choice that gives what is wanted", "[motion]") {
  // 80 pulse/mm = p/(2 mm · z): of 16 to 24 teeth only 3200 = 80 · 2 · 20.
  const auto choices = choices_for(wish_for(80));
  REQUIRE(choices.size() == 18);
  CHECK(choices[0].deviation == 0.0);
  CHECK(choices[0].teeth == 20);
  CHECK(choices[0].pulses_per_turn == 3200);
  CHECK(choices[0].pulses_per_millimetre == Fraction(80));
  CHECK(choices[1].deviation != 0.0);
}

TEST_CASE("choices_for goes by nearness, then by fewer pulses", "[motion][property]") {
  const auto choices = choices_for(wish_for(71.3));
  CHECK(choices[0].deviation != 0.0);
  for (std::size_t i = 1; i < choices.size(); ++i) {
    CHECK(std::abs(choices[i - 1].deviation) <= std::abs(choices[i].deviation));
    if (std::abs(choices[i - 1].deviation) == std::abs(choices[i].deviation))
      CHECK(choices[i - 1].pulses_per_turn <= choices[i].pulses_per_turn);
  }
}

TEST_CASE("choices_for takes a reduction into account", "[motion]") {
  // Three motor turns to one of the pulley: 1600 · 3/(2 · 24) = 100.
  StepsWish wish = wish_for(100);
  wish.turns_per_output_turn = Fraction(3);
  const auto choices = choices_for(wish);
  CHECK(choices[0].deviation == 0.0);
  CHECK(choices[0].teeth == 24);
  CHECK(choices[0].pulses_per_turn == 1600);
}

TEST_CASE("choices_for refuses what its table excludes", "[motion][error]") {
  CHECK_THROWS_MATCHES(choices_for(wish_for(0)), InvalidInput,
                       Message("wanted pulses per mm must be > 0, got 0 pulse/mm"));
  StepsWish wish = wish_for(80);
  wish.least_teeth = 0;
  CHECK_THROWS_MATCHES(choices_for(wish), InvalidInput, Message("least teeth must be >= 1, got 0"));
  wish = wish_for(80);
  wish.most_teeth = 15;
  CHECK_THROWS_AS(choices_for(wish), InvalidInput);
  wish = wish_for(80);
  wish.millimetres_per_tooth = Fraction(0);
  CHECK_THROWS_AS(choices_for(wish), InvalidInput);
}

}  // namespace
}  // namespace pitchline::motion
