#include "pitchline/motion/steps_per_turn.hpp"

#include <algorithm>
#include <numbers>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::StartsWith;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motion::exact_choices;
using motion::ExactSearch;
using motion::kept_at;
using motion::kept_micrometres_per_pulse;
using motion::kept_pulses_per_millimetre;
using motion::micrometres_per_pulse_exactly;
using motion::PiFraction;
using motion::print_pi_fraction;
using motion::pulse_rate;
using motion::pulses_per_length;
using motion::pulses_per_millimetre_exactly;
using motion::rim_travel;
using motion::TurningTrain;
using motion::whole_pulses;

// "832/3", "40" or "53.333".
Fraction fraction_from(const std::string& text) {
  if (const std::size_t slash = text.find('/'); slash != std::string::npos)
    return {std::stoll(text.substr(0, slash)), std::stoll(text.substr(slash + 1))};
  const std::size_t point = text.find('.');
  if (point == std::string::npos) return {std::stoll(text)};
  std::int64_t ten = 1;
  for (std::size_t i = point + 1; i < text.size(); ++i) ten *= 10;
  return {std::stoll(text.substr(0, point) + text.substr(point + 1)), ten};
}
// "pi*100" as well.
PiFraction travel_from(const std::string& text) {
  return text.starts_with("pi*") ? rim_travel(fraction_from(text.substr(3)))
                                 : PiFraction{.factor = fraction_from(text)};
}

TurningTrain belt_train(std::int64_t pulses, int teeth, int pitch = 2) {
  return {.pulses_per_turn = pulses,
          .millimetres_per_output_turn = {.factor = Fraction(pitch * teeth)}};
}

TEST_CASE("steps per mm are exact in every column of the table, rims included",
          "[motion][published]") {
  // reference/published/steps_per_mm.csv: whole numbers and 20 digits, made apart (C).
  int rows = 0;
  for (const testing::CsvRow& row : testing::published("steps_per_mm.csv")) {
    CAPTURE(row.text("drive"));
    ++rows;
    const TurningTrain train{
        .pulses_per_turn =
            std::stoll(row.text("full_steps_per_rev")) * std::stoll(row.text("microsteps")),
        .turns_per_output_turn = fraction_from(row.text("gear_ratio")),
        .millimetres_per_output_turn = travel_from(row.text("travel_per_output_rev"))};
    const Length travel = millimetres(1300);
    const auto near = [&](const char* column) {
      return WithinAbs(row.number(column), 1.02 * row.half_digit(column));
    };

    const PiFraction exact = pulses_per_millimetre_exactly(train);
    CHECK(print_pi_fraction(exact) == row.text("steps_per_mm_exact"));
    CHECK_THAT(decimal_value(exact), WithinRel(row.number("steps_per_mm_20digits"), 3e-16));
    const auto kept = kept_pulses_per_millimetre(train, 3, travel);
    CHECK(kept.kept == fraction_from(row.text("stored_3dec_steps_per_mm")));
    CHECK_THAT(in_millimetres(kept.error), near("error_over_1300mm_mm_3dec"));

    const PiFraction pulse = micrometres_per_pulse_exactly(train);
    CHECK(print_pi_fraction(pulse) == row.text("um_per_pulse_exact"));
    CHECK_THAT(decimal_value(pulse), WithinRel(row.number("um_per_pulse_20digits"), 3e-16));
    const auto kept_pulse = kept_micrometres_per_pulse(train, 4, travel);
    CHECK(kept_pulse.kept == fraction_from(row.text("stored_4dec_um_per_pulse")));
    CHECK_THAT(in_millimetres(kept_pulse.error), near("error_over_1300mm_mm_um4dec"));

    const auto whole = whole_pulses(train, Fraction(1300));
    CHECK_THAT(whole.exact, near("pulses_for_1300mm_exact"));
    CHECK(whole.rounded == std::stoll(row.text("pulses_rounded")));
    CHECK_THAT(in_millimetres(whole.error), near("rounding_error_mm"));
  }
  CHECK(rows == 8);
}

TEST_CASE("the errors of kept steps per mm stay inside their bounds", "[motion][property]") {
  // Half a unit of the last place: travel/2000 over the steps per mm at three decimals, and
  // travel/20 000 over the um per pulse at four.
  const int teeth = GENERATE(11, 17, 20, 23, 60);
  const std::int64_t pulses = GENERATE(1000, 3200, 25600, 10007);
  CAPTURE(teeth, pulses);
  for (const TurningTrain& train :
       {belt_train(pulses, teeth), TurningTrain{.pulses_per_turn = pulses,
                                   .millimetres_per_output_turn = rim_travel(Fraction(teeth))}}) {
    const double n = decimal_value(pulses_per_millimetre_exactly(train));
    CHECK(std::abs(in_millimetres(kept_pulses_per_millimetre(train, 3, millimetres(1300)).error)) <=
          0.65 / n * 1.001);
    const double pulse = decimal_value(micrometres_per_pulse_exactly(train));
    CHECK(std::abs(in_millimetres(kept_micrometres_per_pulse(train, 4, millimetres(1300)).error)) <=
          0.065 / pulse * 1.001);
    CHECK_THAT(n * pulse, WithinRel(1000.0, 1e-15));
  }
}

TEST_CASE("the nearest whole number of steps per mm has its cost", "[motion][property]") {
  // By hand: 160/3 to 53 is 0.625 percent too few, 12.5 mm of 2000.
  const auto met = kept_pulses_per_millimetre(belt_train(3200, 20, 3), 0, millimetres(2000));
  CHECK(met.kept == Fraction(53));
  CHECK_THAT(in_millimetres(met.error), WithinRel(-12.5, 1e-14));
  CHECK(kept_pulses_per_millimetre(belt_train(3200, 20), 0, millimetres(2000)).error == metres(0));
}

TEST_CASE("whole_pulses rounds to the nearest place", "[motion][property]") {
  // 1/3 mm at 80 a mm is 26 2/3 pulses: 27, a third of a pulse too far.
  const auto met = whole_pulses(belt_train(3200, 20), Fraction(1, 3));
  CHECK(met.rounded == 27);
  CHECK_THAT(met.exact, WithinRel(80.0 / 3, 1e-15));
  CHECK_THAT(in_millimetres(met.error), WithinRel(1.0 / 240, 1e-12));
  CHECK(whole_pulses(belt_train(3200, 20), Fraction(0)).rounded == 0);
}

TEST_CASE("a fraction of pi prints and stands for its value", "[motion][property]") {
  CHECK(print_pi_fraction({.factor = Fraction(160, 3)}) == "160/3");
  CHECK(print_pi_fraction({.factor = Fraction(125, 24), .pi_power = 1}) == "125/24*pi");
  CHECK(print_pi_fraction({.factor = Fraction(192), .pi_power = -1}) == "192/pi");
  CHECK(print_pi_fraction({.factor = Fraction(96, 5), .pi_power = -1}) == "96/(5*pi)");
  CHECK_THAT(decimal_value(PiFraction{.factor = Fraction(7, 2), .pi_power = 1}),
             WithinRel(3.5 * std::numbers::pi, 1e-15));
  CHECK_THAT(decimal_value(PiFraction{.factor = Fraction(7, 2), .pi_power = -1}),
             WithinRel(3.5 / std::numbers::pi, 1e-15));
  // 1e8/pi = 31 830 988.618 379 067 15..., pi to nine decimals 3.141 592 654.
  CHECK(kept_at(PiFraction{.factor = Fraction(100'000'000), .pi_power = -1}, 9) ==
        Fraction(31'830'988'618'379'067, 1'000'000'000));
  CHECK(kept_at(PiFraction{.factor = Fraction(1), .pi_power = 1}, 9) ==
        Fraction(3'141'592'654, 1'000'000'000));
}

TEST_CASE("a rim moves pi times its diameter, degrees of it are a plain fraction",
          "[motion][property]") {
  const TurningTrain rim{.pulses_per_turn = 3200,
                         .turns_per_output_turn = Fraction(6),
                         .millimetres_per_output_turn = rim_travel(Fraction(100))};
  const PiFraction per_mm = pulses_per_millimetre_exactly(rim);
  // One turn of the rim is 6 · 3200 pulses, by the mm of its rim and by its degrees.
  CHECK_THAT(decimal_value(per_mm) * 100 * std::numbers::pi, WithinRel(19200.0, 1e-15));
  CHECK(motion::pulses_per_degree_exactly(3200, Fraction(6)) == Fraction(160, 3));
}

TEST_CASE("pulse_rate is the pulses of a second", "[motion][property]") {
  // 600 mm/s at 80 a mm.
  const PiFraction n = pulses_per_millimetre_exactly(belt_train(3200, 20));
  CHECK_THAT(in_pulses_per_second(pulse_rate(n, millimetres_per_second(600))),
             WithinRel(48000.0, 1e-14));
  CHECK_THAT(in_pulses_per_millimetre(pulses_per_length(n)), WithinRel(80.0, 1e-15));
}

TEST_CASE("exact_choices puts first what changes least", "[motion][property]") {
  // 2 mm, 18 teeth, 3200: 88.889. By hand: 16 teeth give 100, 20 give 80, and only these of 15 to
  // 21; 3600 pulses would give 100 with 18 teeth.
  ExactSearch search{.pulses_per_turn = 3200,
                     .millimetres_per_tooth = Fraction(2),
                     .teeth = 18,
                     .least_teeth = 17,
                     .most_teeth = 21};
  auto met = exact_choices(search);
  REQUIRE(met.size() == 1);
  CHECK(met[0].teeth == 20);
  CHECK(met[0].change_of_teeth == 2);
  CHECK(met[0].pulses_per_millimetre == Fraction(80));
  CHECK(met[0].change_of_pulses == 1.0);
  CHECK_FALSE(met[0].changes_nothing);

  search.least_teeth = 16;
  search.other_pulses_per_turn = {3600, 3200};
  met = exact_choices(search);
  REQUIRE(met.size() >= 4);
  // One change each, and the teeth that stay go first.
  CHECK(met[0].teeth == 18);
  CHECK(met[0].pulses_per_turn == 3600);
  CHECK(met[0].pulses_per_millimetre == Fraction(100));
  CHECK(met[0].change_of_pulses == 1.125);
  CHECK(met[1].teeth == 16);
  CHECK(met[2].teeth == 20);
  for (const auto& choice : met) {
    CAPTURE(choice.teeth, choice.pulses_per_turn);
    CHECK(choice.pulses_per_millimetre == Fraction(choice.pulses_per_turn, 2 * choice.teeth));
    CHECK(kept_at(choice.pulses_per_millimetre, 3) == choice.pulses_per_millimetre);
  }
  for (std::size_t i = 3; i < met.size(); ++i) CHECK(met[i].change_of_pulses != 1.0);
}

TEST_CASE("exact_choices helps a reduction and says where nothing is to be done",
          "[motion][property]") {
  // 52:15, 2 mm, 20 teeth: 832/3. No teeth remove the three; 3000 pulses a turn do: 260.
  ExactSearch search{.pulses_per_turn = 3200,
                     .other_pulses_per_turn = {3000},
                     .turns_per_output_turn = Fraction(52, 15),
                     .millimetres_per_tooth = Fraction(2),
                     .teeth = 20,
                     .least_teeth = 20,
                     .most_teeth = 20};
  auto met = exact_choices(search);
  REQUIRE(met.size() == 1);
  CHECK(met[0].pulses_per_turn == 3000);
  CHECK(met[0].pulses_per_millimetre == Fraction(260));
  search.other_pulses_per_turn.assign(motion::customary_pulses_per_turn.begin(),
                                      motion::customary_pulses_per_turn.end());
  CHECK(exact_choices(search).empty());  // no factor three among them
  // A screw of lead 8: exact as it is.
  met = exact_choices({.pulses_per_turn = 3200,
                       .millimetres_per_tooth = Fraction(8),
                       .teeth = 1,
                       .least_teeth = 1,
                       .most_teeth = 1});
  REQUIRE(met.size() == 1);
  CHECK(met[0].changes_nothing);
}

TEST_CASE("the steps of turning trains refuse what is outside their range", "[motion][error]") {
  const TurningTrain good = belt_train(3200, 20);
  TurningTrain bad = good;
  bad.pulses_per_turn = 0;
  CHECK_THROWS_MATCHES(pulses_per_millimetre_exactly(bad), InvalidInput,
                       Message("pulses per turn must be from 1 to 1000000, got 0"));
  bad = good;
  bad.turns_per_output_turn = Fraction(0);
  CHECK_THROWS_AS(micrometres_per_pulse_exactly(bad), InvalidInput);
  bad = good;
  bad.millimetres_per_output_turn = {};
  CHECK_THROWS_MATCHES(pulses_per_millimetre_exactly(bad), InvalidInput,
                       Message("travel per output turn must be > 0, got 0 mm"));
  bad.millimetres_per_output_turn = {.factor = Fraction(1), .pi_power = 2};
  CHECK_THROWS_MATCHES(pulses_per_millimetre_exactly(bad), InvalidInput,
                       Message("power of pi of travel per output turn must be -1, 0 or 1, got 2"));
  CHECK_THROWS_MATCHES(rim_travel(Fraction(-1)), InvalidInput,
                       Message("diameter must be > 0, got -1 mm"));
  CHECK_THROWS_AS(motion::pulses_per_degree_exactly(0, Fraction(1)), InvalidInput);
  const PiFraction n = pulses_per_millimetre_exactly(good);
  CHECK_THROWS_MATCHES(pulse_rate(n, unset<Speed>()), InvalidInput,
                       Message("speed must be >= 0, got nan mm/s"));
  CHECK_THROWS_MATCHES(pulse_rate({}, metres_per_second(1)), InvalidInput,
                       Message("pulses per mm must be > 0, got 0 1/mm"));
  const PiFraction of_pi{.factor = Fraction(1), .pi_power = 1};
  CHECK_THROWS_MATCHES(kept_at(of_pi, 10), InvalidInput,
                       Message("decimals must be from 0 to 9, got 10"));
  CHECK_THROWS_AS(kept_at(PiFraction{.factor = Fraction(90'000'000), .pi_power = 1}, 3),
                  InvalidInput);
  CHECK_THROWS_AS(kept_at(PiFraction{.factor = Fraction(-1), .pi_power = 1}, 3), InvalidInput);
  CHECK_THROWS_MATCHES(kept_pulses_per_millimetre(good, 3, unset<Length>()), InvalidInput,
                       Message("travel must be given and finite, got nan mm"));
  CHECK_THROWS_AS(kept_micrometres_per_pulse(good, 3, unset<Length>()), InvalidInput);
  // 1 000 000 a turn on a lead of 1 mm is 0.001 um.
  CHECK_THROWS_MATCHES(
      kept_micrometres_per_pulse(
          {.pulses_per_turn = 1'000'000, .millimetres_per_output_turn = {Fraction(1), 0}}, 2,
          metres(1)),
      OutsideValidity, Message("0.001 um per pulse kept at 2 decimals is nothing"));
  CHECK_THROWS_MATCHES(whole_pulses(good, Fraction(-1)), InvalidInput,
                       Message("travel must be from 0 to 1000000, got -1 mm"));

  const ExactSearch search{.pulses_per_turn = 3200,
                           .millimetres_per_tooth = Fraction(2),
                           .teeth = 20,
                           .least_teeth = 16,
                           .most_teeth = 24};
  const auto refused = [&](auto change, const char* text) {
    ExactSearch wrong = search;
    change(wrong);
    CHECK_THROWS_MATCHES(exact_choices(wrong), InvalidInput, Message(text));
  };
  refused([](ExactSearch& s) { s.least_teeth = 0; }, "least teeth must be >= 1, got 0");
  refused([](ExactSearch& s) { s.most_teeth = 1001; }, "most teeth must be <= 1000, got 1001");
  refused([](ExactSearch& s) { s.teeth = 25; }, "teeth must be from least to most teeth, got 25");
  refused([](ExactSearch& s) { s.decimals = -1; }, "decimals must be from 0 to 9, got -1");
  refused([](ExactSearch& s) { s.other_pulses_per_turn = {0}; },
          "pulses per turn must be from 1 to 1000000, got 0");
}

}  // namespace
}  // namespace pitchline
