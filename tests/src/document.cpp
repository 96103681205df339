#include "write/document.hpp"

#include <limits>
#include <stdexcept>

#include "pitchline/units.hpp"
#include "support/catch.hpp"

namespace pitchline::io::detail {
namespace {

Record carriage() {
  Record r;
  r["name"] = "carriage";
  r["mass"] = kilograms(1.25);
  r["margin"] = 1.234567;
  r["steps"] = Fraction(200, 3);
  r["spare"] = Value();
  return r;
}

TEST_CASE("a document is written in its order, quantities in coherent units", "[io]") {
  Record root;
  root["schema"] = 1;
  root["parts"] = Value::List{carriage()};
  root["none"] = Value::List{};
  root["endless"] = std::numeric_limits<double>::infinity();
  CHECK(as_json(root) == R"({
  "schema": 1,
  "parts": [
    {
      "name": "carriage",
      "mass": {
        "value": 1.25,
        "unit": "kg"
      },
      "margin": 1.234567,
      "steps": "200/3",
      "spare": null
    }
  ],
  "none": [],
  "endless": null
}
)");
}

TEST_CASE("a field that is set again keeps its place", "[io]") {
  Record r = carriage();
  r["mass"] = kilograms(2);
  CHECK(r.fields().size() == 5);
  CHECK(r.fields()[1].key == "mass");
  CHECK(std::get<Measure>(r.at("mass").any()).coherent() == 2.0);
  CHECK_THROWS_AS(r.at("weight"), std::out_of_range);
}

TEST_CASE("a table shows fields of the records that JSON is written of", "[io]") {
  const std::vector<Column> columns = {
      {.key = "name", .head = "part", .width = 10, .left = true},
      {.key = "mass", .head = "mass", .unit = "g", .one = grams(1), .width = 8},
      {.key = "margin", .head = "margin", .width = 8, .shown = Shown::margin},
      {.key = "steps", .head = "steps", .width = 8},
      {.key = "spare", .head = "spare", .left = true}};
  CHECK(print_table(columns, {carriage(), carriage()}, 1) ==
        "part          mass  margin   steps spare\n"
        "                 g\n"
        "carriage      1250    1.23   66.67 -\n");
}

TEST_CASE("a column of another kind than its field is refused", "[io][error]") {
  CHECK_THROWS_AS(print_table({{.key = "mass", .one = metres(1)}}, {carriage()}, 1),
                  std::out_of_range);
  CHECK_THROWS_AS(print_table({{.key = "weight"}}, {carriage()}, 1), std::out_of_range);
}

TEST_CASE("margins say no more than is known", "[io]") {
  CHECK(margin_in_words(std::numeric_limits<double>::quiet_NaN()) == "-");
  CHECK(margin_in_words(std::numeric_limits<double>::infinity()) == "-");
  CHECK(margin_in_words(0.0004) == "<0.001");
  CHECK(margin_in_words(1.2345) == "1.23");
  CHECK(margin_in_words(512) == ">100");
}

}  // namespace
}  // namespace pitchline::io::detail
