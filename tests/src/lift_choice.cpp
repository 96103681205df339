#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>

#include "pitchline/choose/lift_screw.hpp"
#include "pitchline/io/print_lift_choice.hpp"
#include "support/catch.hpp"
#include "support/lift.hpp"

// What programs read of the choice of a lift screw.

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using testing::kite_loft_bed;
using testing::screws_of;
using testing::trapezoidal_screw;

const std::vector<parts::Screw> stock{trapezoidal_screw(8, 2, 1), trapezoidal_screw(8, 2, 4),
                                      parts::Screw{.name = "Ball 12x4",
                                                   .thread = parts::ThreadKind::ball,
                                                   .lead_millimetres = Fraction(4),
                                                   .outer_diameter = millimetres(12),
                                                   .mean_diameter = millimetres(12),
                                                   .minor_diameter = millimetres(9.5),
                                                   .ball_diameter = millimetres(2.5),
                                                   .source = "by hand"}};

// Ten kilograms on four screws that must stay up, 4 mm/s over 200 mm; invented.
machine::Machine bed() {
  machine::Machine m = kite_loft_bed(stock[0]);
  m.axes.front().lift->stays_up = true;
  return m;
}
nlohmann::json json_of(const machine::Machine& m, const std::vector<parts::Screw>& screws = stock) {
  return nlohmann::json::parse(
      io::lift_choice_as_json(choose::choose_lift_screw(m, m.axes.front(), screws)));
}
const nlohmann::json& row(const nlohmann::json& screw, const std::string& key) {
  for (const auto& f : screw.at("findings"))
    if (f.at("key") == key) return f;
  throw std::runtime_error("no finding " + key);
}

TEST_CASE("a choice of screw as JSON says what was wanted, in SI units", "[io]") {
  const auto j = json_of(bed());
  CHECK(j.at("schema") == 1);
  CHECK(j.at("axis") == "z");
  CHECK(j.at("own_screw") == "Tr 8x2");
  CHECK(j.at("own_screw_is_left_open") == false);
  CHECK(j.at("lifted").at("value").get<double>() == 10.0);
  CHECK(j.at("lifted").at("unit") == "kg");
  CHECK_THAT(j.at("travel").at("value").get<double>(), WithinRel(0.2, 1e-12));
  CHECK(j.at("travel").at("unit") == "m");
  CHECK_THAT(j.at("wanted_speed").at("value").get<double>(), WithinRel(0.004, 1e-12));
  CHECK_THAT(j.at("wanted_acceleration").at("value").get<double>(), WithinRel(0.05, 1e-12));
  CHECK_THAT(j.at("height_step").at("value").get<double>(), WithinRel(0.05e-3, 1e-12));
  CHECK(j.at("stays_up") == true);
  CHECK(j.at("motors") == 1);
  CHECK(j.at("screws") == 4);
  CHECK_THAT(j.at("largest_nut_share").get<double>(), WithinRel(0.25, 1e-9));
  CHECK(j.at("rule") == report::lift_screw_rule);
  CHECK_FALSE(j.at("cautions").empty());
}

TEST_CASE("each screw of the JSON has its figures, and what was rejected its reasons", "[io]") {
  const auto j = json_of(bed());
  REQUIRE(j.at("fitting").size() == 1);
  REQUIRE(j.at("rejected").size() == 2);
  const auto& first = j.at("fitting")[0];
  CHECK(first.at("name") == "Tr 8x2");
  CHECK(first.at("thread") == "trapezoidal");
  CHECK(first.at("rejected").empty());
  CHECK(j.at("verdict") == first.at("verdict"));
  CHECK_THAT(j.at("why_first").get<std::string>(), Contains("Tr 8x2 is the only one that fits"));
  CHECK_THAT(first.at("lead").at("value").get<double>(), WithinRel(0.002, 1e-12));
  CHECK_THAT(first.at("outer_diameter").at("value").get<double>(), WithinRel(0.008, 1e-12));
  // Secant form at a friction of 0.2, sec 15 deg 1.03528: within 0.5 % of the exact one.
  const double f = 0.2 * 1.03528;
  const double raising =
      10 * 9.80665 * 3.5e-3 * (2 + std::numbers::pi * f * 7) / (std::numbers::pi * 7 - f * 2);
  CHECK_THAT(first.at("torque_to_raise").at("value").get<double>(), WithinRel(raising, 0.005));
  CHECK(first.at("torque_to_raise").at("unit") == "N*m");
  // 200 full steps and 3200 pulses a turn of 2 mm.
  CHECK_THAT(first.at("per_full_step").at("value").get<double>(), WithinRel(1e-5, 1e-9));
  CHECK_THAT(first.at("per_pulse").at("value").get<double>(), WithinRel(0.625e-6, 1e-9));
  CHECK(first.at("steps_per_mm") == "1600");
  // 200 mm at 4 mm/s, 0.08 s for both ends and 0.05 s of jerk.
  CHECK_THAT(first.at("time_over_travel").at("value").get<double>(), WithinRel(50.13, 1e-9));
  CHECK(first.at("without_power") == "holds");
  const auto& up = row(first, "staying_up");
  CHECK(up.at("value_text") == "holds by friction");
  CHECK_THAT(up.at("limit").at("value").get<double>(), WithinRel(0.8 * 0.15, 1e-9));
  CHECK(row(first, "column").at("bound") == "at most");
  CHECK(row(first, "column").at("limit").at("unit") == "N");

  for (const auto& s : j.at("rejected")) {
    CAPTURE(s.at("name").get<std::string>());
    CHECK(s.at("verdict") == "fails");
    CHECK(s.at("without_power") == "back-drives");
    REQUIRE_FALSE(s.at("rejected").empty());
    CHECK_THAT(s.at("rejected")[0].get<std::string>(), Contains("without power"));
  }
}

TEST_CASE("what is not known is null in the JSON of a choice", "[io]") {
  machine::Machine m = bed();
  m.axes.front().lift->stays_up = false;
  screws_of(m).screw = {.bearing_distance = millimetres(300)};
  auto j = json_of(m, {stock[2]});
  CHECK(j.at("own_screw") == "");
  CHECK(j.at("own_screw_is_left_open") == true);
  REQUIRE(j.at("fitting").size() == 1);
  // Balls have no nut that wears, and no rating here.
  CHECK(j.at("fitting")[0].at("wear_margin").is_null());
  const auto& life = row(j.at("fitting")[0], "ball_life");
  CHECK(life.at("value_text") == "not known");
  CHECK(life.at("value").at("value").is_null());
  CHECK(life.at("limit").at("value").is_null());
  CHECK(life.at("margin").is_null());

  m.axes.front().lift->stays_up = true;
  j = json_of(m, {stock[2]});
  CHECK(j.at("fitting").empty());
  CHECK(j.at("verdict") == "fails");
  CHECK(j.at("why_first") == "");
  CHECK(j.at("largest_nut_share").is_null());
}

TEST_CASE("the page of a choice says that the file leaves the screw open", "[io]") {
  machine::Machine m = bed();
  const auto page = [&] {
    return io::print_lift_choice(choose::choose_lift_screw(m, m.axes.front(), stock), false);
  };
  CHECK_THAT(page(), Contains("The file has Tr 8x2, which is first."));
  screws_of(m).screw = {.bearing_distance = millimetres(300)};
  CHECK_THAT(page(), Contains("The file leaves the screw open."));
  CHECK_THAT(page(), Contains("efficiency 0.850 of ball screws"));
}

}  // namespace
}  // namespace pitchline
