#include "pitchline/io/print_answer.hpp"

#include <nlohmann/json.hpp>
#include <sstream>

#include "pitchline/io/read_belt_layout.hpp"
#include "pitchline/io/read_machine.hpp"
#include "support/catch.hpp"
#include "support/project_folder.hpp"

namespace pitchline::io {
namespace {

using Catch::Matchers::Contains;

answer::Answer example() {
  return {.question = "length",
          .title = "GT 2 mm, 20 and 60 teeth",
          .figures = {{"length", "belt length", metres(1.23456), "of the pitch line"},
                      {"fraction", "exactly", std::string("160/3"), ""},
                      {"thickness", "thickness", unset<Length>(), ""}},
          .tables = {{"pulleys",
                      "pulleys",
                      {{"name", "pulley"}, {"teeth", "teeth"}, {"wrap", "wrap"}},
                      {{std::string("small"), std::int64_t{20}, degrees(170)}}}},
          .judgements = {},
          .advice = {},
          .lines = {},
          .notes = {"a note that is long enough to be broken, for it goes on and on and on beyond "
                    "the eightieth column"},
          .formula = {{"L = 2 C"}, {{"C", "distance", millimetres(250)}}, "derived"}};
}

TEST_CASE("a printed answer keeps to eighty columns", "[io][property]") {
  std::istringstream lines(print_answer(example(), true));
  for (std::string line; std::getline(lines, line);) {
    CAPTURE(line);
    CHECK(line.size() <= 80);
  }
}

TEST_CASE("a printed answer shows lengths to a tenth of a millimetre", "[io]") {
  const std::string text = print_answer(example(), false);
  CHECK_THAT(text, Contains("1234.6 mm"));
  CHECK_THAT(text, Contains("unknown"));
  CHECK_THAT(text, !Contains("formula"));
  CHECK_THAT(print_answer(example(), true), Contains("source: derived"));
}

TEST_CASE("JSON of an answer carries SI units and all digits", "[io]") {
  const auto json = nlohmann::json::parse(answer_as_json(example()));
  CHECK(json["schema"] == 1);
  CHECK(json["question"] == "length");
  CHECK(json["length"]["value"] == 1.23456);
  CHECK(json["length"]["unit"] == "m");
  CHECK(json["fraction"] == "160/3");
  CHECK(json.at("thickness").at("value").is_null());
  CHECK(json["pulleys"][0]["teeth"] == 20);
  CHECK(json["pulleys"][0]["wrap"]["unit"] == "rad");
  CHECK(json["symbols"][0]["is"]["value"] == 0.25);
  CHECK(json["source"] == "derived");
}

TEST_CASE("a layout is read with what the belt sees of each pulley", "[io]") {
  const std::string path = testing::reference_folder() + "/machines/lift-loop.toml";
  const BeltLayout layout = read_belt_layout(read_file(path), path, standard_catalogue());
  REQUIRE(layout.loop.pulleys.size() == 6);
  REQUIRE(layout.pulleys.size() == 6);
  CHECK(layout.pulleys[0].teeth == 30);
  CHECK(layout.pulleys[3].teeth == 0);
  CHECK(layout.loop.pulleys[3].side == belt::BeltSide::back);
  REQUIRE(layout.pulleys[3].slide.has_value());
  CHECK(layout.pulleys[3].slide->pulley == 3);
  // 22 mm, and the back of the belt: 2.41 mm thick less 1.14 mm of tooth and 0.381 mm to the cords.
  CHECK_THAT(in_millimetres(layout.loop.pulleys[3].pitch_line_radius),
             Catch::Matchers::WithinRel(11.889, 1e-12));
}

TEST_CASE("a layout reports all its errors at once", "[io][error]") {
  const std::string text = R"([loop]
profile = "GT 2 m"
[[pulley]]
name = "motor"
x = "0 mm"
y = "0"
teeth = 20
side = "back"
[[pulley]]
name = "motor"
x = "90 mm"
y = "0 mm"
teth = 20
)";
  std::string met;
  try {
    read_belt_layout(text, "spoiled.toml", standard_catalogue());
  } catch (const UnusableInput& e) {
    met = e.what();
  }
  CHECK_THAT(met, Contains("did you mean \"GT 2 mm\"?"));
  CHECK_THAT(met, Contains("y: missing unit"));
  CHECK_THAT(met, Contains("the back of the belt has no teeth"));
  CHECK_THAT(met, Contains("a second pulley \"motor\""));
  CHECK_THAT(met, Contains("unknown key \"teth\""));
  CHECK_THAT(met, Contains("needs one of teeth, diameter and pitch_diameter"));
  CHECK_THROWS_AS(read_belt_layout("", "empty.toml", standard_catalogue()), UnusableInput);
}

}  // namespace
}  // namespace pitchline::io
