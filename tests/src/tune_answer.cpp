#include "pitchline/io/print_answer.hpp"

#include <nlohmann/json.hpp>

#include "support/catch.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using tune::Judgement;

answer::Answer example() {
  answer::Answer a{.question = "travel", .title = "travel, 2 readings"};
  a.figures = {answer::figure_of("steps", "steps per mm",
                                 tune::Estimate<PulsesPerLength>{pulses_per_millimetre(80.1234),
                                                                 pulses_per_millimetre(80),
                                                                 pulses_per_millimetre(80.25)},
                                 6, "why"),
               answer::figure_of("ratio", "ratio", tune::Estimate<double>{1.0, 1.0, INFINITY})};
  answer::Figure plain;
  plain.key = "scatter";
  plain.label = "scatter";
  plain.value = unset<Length>();
  a.figures.push_back(plain);
  a.tables.push_back(
      {.key = "runs",
       .heading = "runs",
       .columns = {{"number", "run"}, {"speed", "speed"}, {"result", "result", true}},
       .rows = {{std::int64_t{1}, millimetres_per_second(300), std::string("held")}}});
  a.judgements = {{"margin", "margin", Judgement::unsure, "1 to 2, 1.5 wanted"}};
  a.advice = {"Do this."};
  a.lines = {{"the controller", "steps = 80"}};
  a.notes = {"A note."};
  a.formula = {.lines = {"a = b"}, .symbols = {}, .source = "counting"};
  return a;
}

TEST_CASE("an answer of a measurement prints its interval, judgement and lines", "[io]") {
  CHECK(io::print_answer(example(), true) ==
        "travel, 2 readings\n"
        "  steps per mm  80.1234 pulse/mm  80.0000 to 80.2500 pulse/mm\n"
        "      why\n"
        "  ratio                    1.000  at least 1.000\n"
        "  scatter                unknown\n"
        "\n"
        "runs\n"
        "  run       speed  result\n"
        "  1    300.0 mm/s  held\n"
        "\n"
        "unsure margin: 1 to 2, 1.5 wanted\n"
        "\n"
        "Do this.\n"
        "\n"
        "for the controller\n"
        "  steps = 80\n"
        "\n"
        "A note.\n"
        "\n"
        "formula\n"
        "  a = b\n"
        "\n"
        "source: counting\n");
  CHECK_THAT(io::print_answer(example(), false), !Contains("formula"));
}

TEST_CASE("an answer of a measurement as JSON keeps all digits and has no infinity", "[io]") {
  const auto j = nlohmann::json::parse(io::answer_as_json(example()));
  CHECK(j["schema"] == 1);
  CHECK(j["question"] == "travel");
  CHECK(j["steps"]["value"].get<double>() ==
        in_pulses_per_millimetre(pulses_per_millimetre(80.1234)) * 1000.0);
  CHECK(j["steps"]["unit"] == "pulse/m");
  CHECK(j["steps"]["least"] == 80000.0);
  CHECK(j["steps"]["note"] == "why");
  CHECK(j.at("ratio").at("most").is_null());
  CHECK(j["ratio"]["unit"] == "");
  CHECK(j.at("scatter").at("value").is_null());
  CHECK_FALSE(j["scatter"].contains("least"));
  CHECK(j["runs"][0]["number"] == 1);
  CHECK(j["runs"][0]["speed"]["unit"] == "m/s");
  CHECK(j["runs"][0]["result"] == "held");
  CHECK(j["judgements"][0]["verdict"] == "unsure");
  CHECK(j["lines"][0]["line"] == "steps = 80");
  CHECK(j["advice"][0] == "Do this.");
  CHECK(j["source"] == "counting");
}

TEST_CASE("only a judgement that fails makes the answer fail", "[io]") {
  answer::Answer a = example();
  CHECK_FALSE(a.fails());
  a.judgements.push_back({"x", "x", Judgement::fails, "so"});
  CHECK(a.fails());
  CHECK(std::string(tune::word(Judgement::holds)) == "holds");
  CHECK(std::string(tune::word(Judgement::unsure)) == "unsure");
  CHECK(std::string(tune::word(Judgement::fails)) == "fails");
}

}  // namespace
}  // namespace pitchline
