#include "pitchline/io/print_move.hpp"
#include "pitchline/report/finding.hpp"

#include <nlohmann/json.hpp>
#include <sstream>
#include <vector>

#include "support/catch.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::StartsWith;

Acceleration a(double x) { return metres_per_second_squared(x); }

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

// Figures made up: what is printed is looked at here, not what is computed.
report::MoveReport report_of_a_move() {
  report::MoveReport report{.name = "Kite loft, axis x",
                            .parts = "a motor and a belt",
                            .model = {"all of it assumed"},
                            .assumed = {"nothing"},
                            .cautions = {"mind your fingers"},
                            .has_belt = true,
                            .pair = true,
                            .place = 0.25,
                            .bus = true};
  report::MoveProof proof{.move = {.speed = metres_per_second(0.3),
                                   .acceleration = a(3),
                                   .stroke = millimetres(60),
                                   .jerk_time = milliseconds(20),
                                   .in_succession = 4,
                                   .dwell = milliseconds(10)},
                          .watched = milliseconds(200),
                          .tolerance = millimetres(0.25),
                          .asked = true,
                          .full_step = millimetres(0.2),
                          .top_speed = metres_per_second(0.25),
                          .load_share = 0.25};
  simulate::MoveAnswer& answer = proof.proved.answer;
  answer.outcome.largest_load_angle = degrees(45);
  answer.outcome.largest_following_error = millimetres(0.5);
  answer.outcome.peak_belt_force = newtons(21);
  answer.outcome.peak_current = amperes(2.5);
  answer.outcome.lowest_bus = volts(35);
  answer.outcome.highest_bus = volts(38);
  answer.outcome.largest_skew = millimetres(0.07);
  answer.outcome.energy = {.electrical = joules(5), .copper = joules(4), .friction = joules(1)};
  answer.cruising_error = millimetres(0.3);
  answer.overshoot = millimetres(0.04);
  answer.ringing = millimetres(0.05);
  answer.rest_error = millimetres(-0.1);
  answer.settled = milliseconds(30);
  answer.trace = {{.time = seconds(0.5),
                   .commanded = millimetres(10),
                   .error = millimetres(0.125),
                   .load_angle = degrees(30),
                   .belt_force = newtons(-4),
                   .current = amperes(1.5)}};
  proof.proved.step = seconds(12.5e-6);
  proof.proved.change = 1.2e-5;
  report.move = proof;
  return report;
}

report::MoveReport report_of_a_map() {
  report::MoveReport report{.name = "Kite loft, axis x", .parts = "a motor and a belt"};
  report::TrustMap map{.move = {.speed = metres_per_second(0.2), .acceleration = a(2)},
                       .range = {.speeds = {metres_per_second(0.1), metres_per_second(0.2)},
                                 .accelerations = {a(1), a(2), a(4)}},
                       .growth = 1.08};
  const auto column = [](double speed, std::optional<Acceleration> completes,
                         std::optional<Acceleration> fails, double allowed) {
    return report::TrustColumn{.proved = {.column = {.speed = metres_per_second(speed),
                                                     .completes = completes,
                                                     .fails = fails},
                                          .step = seconds(12.5e-6)},
                               .allowed = a(allowed),
                               .stroke = millimetres(20)};
  };
  map.columns = {column(0.1, a(4), std::nullopt, 3), column(0.2, a(1), a(2), 0.5)};
  report.map = map;
  return report;
}

// One space where the text has several, or breaks a line.
std::string unwrapped(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const bool space = c == ' ' || c == '\n';
    if (!space)
      out += c;
    else if (!out.empty() && out.back() != ' ')
      out += ' ';
  }
  return out;
}

TEST_CASE("a printed move says what was asked of it", "[io]") {
  const std::string text = io::print_move(report_of_a_move());
  CHECK_THAT(text, StartsWith("Kite loft, axis x: a motor and a belt\n"));
  for (const char* part :
       {"4 moves of 60 mm to and fro, 0.01 s apart, at 300 mm/s and 3 m/s^2, jerk time 0.02 s",
        "completes without a lost step", "45.00 deg electrical", "0.5000 full steps of 2",
        "0.1000 mm beyond the place commanded", "ringing to either side         0.05000 mm",
        "0.03000 s after the end within 0.25 mm", "35.00 V to 38.00 V",
        "0.07000 mm, with the carriage at 0.25", "below 1e-6", "steps of 12.5 us",
        "more than 2e-05", "it reaches 250.0 mm/s", "all of it assumed", "mind your fingers"})
    CHECK_THAT(unwrapped(text), Contains(unwrapped(part)));
  report::MoveReport plain = report_of_a_move();
  plain.pair = false;
  plain.bus = false;
  CHECK_THAT(io::print_move(plain), !Contains("ahead of the other") && !Contains("35.00 V"));
}

TEST_CASE("a move that loses steps is printed without figures that mean nothing", "[io]") {
  report::MoveReport report = report_of_a_move();
  simulate::Outcome& outcome = report.move->proved.answer.outcome;
  outcome.lost_step = true;
  outcome.slipped = milliseconds(80);
  const std::string text = io::print_move(report);
  CHECK_THAT(text, Contains("LOSES STEPS") && Contains("0.08000 s"));
  CHECK_THAT(text, !Contains("peak force") && !Contains("settles"));
  CHECK_FALSE(report.wanted_completes());
}

TEST_CASE("a move that came back over the edge is not called safe", "[io]") {
  report::MoveReport report = report_of_a_move();
  report.move->proved.answer.outcome.slipped = milliseconds(80);
  CHECK_THAT(io::print_move(report), Contains("completes, but by chance"));
}

TEST_CASE("what lies below the accuracy of the proof is printed without digits", "[io]") {
  report::MoveReport report = report_of_a_move();
  simulate::MoveAnswer& answer = report.move->proved.answer;
  answer.ringing = millimetres(4e-4);
  answer.overshoot = millimetres(0);
  answer.rest_error = millimetres(-4e-4);
  answer.cruising_error = millimetres(0);
  CHECK_THAT(io::print_move(report), Contains("overshoot after the end        none\n") &&
                                         Contains("below a thousandth of the largest error") &&
                                         Contains("rest         the place commanded\n") &&
                                         Contains("it does not cruise"));
}

TEST_CASE("lines of a raster are printed with the offset of the two ways", "[io]") {
  report::MoveReport report = report_of_a_move();
  report.move->line = report::LineProof{.line = millimetres(40),
                                        .overrun = millimetres(10),
                                        .room = millimetres(30),
                                        .line_pitch = millimetres(0.2),
                                        .errors = {.up_from = millimetres(0.11),
                                                   .up_to = millimetres(0.13),
                                                   .down_from = millimetres(-0.14),
                                                   .down_to = millimetres(-0.12)}};
  CHECK_THAT(io::print_move(report), Contains("0.1100 mm to 0.1300 mm behind") &&
                                         Contains("0.1200 mm to 0.1400 mm ahead") &&
                                         Contains("0.2500 mm, with lines 0.2 mm apart"));
}

TEST_CASE("the largest acceleration is printed beside the check", "[io]") {
  report::MoveReport report{.name = "n", .parts = "p"};
  report.largest = report::LargestProof{
      .move = {.speed = metres_per_second(0.3), .acceleration = a(3), .stroke = millimetres(60)},
      .from = a(1.5),
      .up_to = a(80),
      .allowed = a(10),
      .margin = TorqueMargin(1.1),
      .steady = report::Verdict::unsure,
      .steady_reason = "it is assumed",
      .proved = {.found = {.completes = a(25), .fails = a(25.1)}, .step = seconds(1e-5)}};
  const std::string text = io::print_move(report);
  CHECK_THAT(text, Contains("25.00 m/s^2") && Contains("25.10 m/s^2") &&
                       Contains("10.00 m/s^2 by torque, with its margin of 1.10") &&
                       Contains("2.50") && Contains("unsure there: it is assumed") &&
                       Contains("within what completes"));
  report.largest->move.acceleration = a(26);
  CHECK_THAT(io::print_move(report), Contains("ABOVE what can be trusted"));
  CHECK_FALSE(report.wanted_completes());
  report.largest->proved.found.fails.reset();
  CHECK_THAT(io::print_move(report), Contains("none tried") && Contains("more than 2.50"));
}

TEST_CASE("a map is printed, written cell by cell, and plotted", "[io]") {
  const report::MoveReport report = report_of_a_map();
  const std::string text = io::print_move(report);
  CHECK_THAT(unwrapped(text),
             Contains("none tried") && Contains("> 1.33") && Contains("ABOVE what can be trusted"));
  const std::vector<std::string> rows = lines_of(io::map_as_csv(*report.map));
  REQUIRE(rows.size() == 7);
  CHECK(rows[0] ==
        "speed_mm_per_s,acceleration_m_per_s2,result,the_check_allows_m_per_s2,stroke_mm");
  CHECK(rows[3] == "100,4,completes,3,20");
  CHECK(rows[4] == "200,1,completes,0.5,20");
  CHECK(rows[5] == "200,2,loses steps,0.5,20");
  CHECK(rows[6] == "200,4,above the first that loses steps,0.5,20");
  const std::string svg = io::map_as_svg(report);
  for (const char* label : {"simulated: completes up", "the check allows by torque", "wanted",
                            "speed, mm/s", "lie above what completes"})
    CHECK_THAT(svg, Contains(label));
  CHECK(svg == io::map_as_svg(report_of_a_map()));
  CHECK_THROWS_AS(io::map_as_svg(report_of_a_move()), InvalidInput);
}

TEST_CASE("a printed move report keeps to eighty columns", "[io][property]") {
  for (const report::MoveReport& report : {report_of_a_move(), report_of_a_map()}) {
    for (const std::string& line : lines_of(io::print_move(report))) {
      CAPTURE(line);
      CHECK(line.size() <= 80);
      CHECK(line.find('\x01') == std::string::npos);
    }
  }
}

TEST_CASE("a trace has a row for each point, in the units of its head", "[io]") {
  const std::vector<std::string> rows = lines_of(io::trace_as_csv(*report_of_a_move().move));
  REQUIRE(rows.size() == 2);
  CHECK(rows[0] ==
        "time_s,commanded_mm,following_error_mm,load_angle_electrical_deg,drive_force_N,"
        "phase_current_A");
  CHECK(rows[1] == "0.5,10,0.125,30,-4,1.5");
}

TEST_CASE("JSON of a move carries its figures in SI units", "[io]") {
  const report::MoveReport report = report_of_a_move();
  const auto json = nlohmann::json::parse(io::move_as_json(report));
  CHECK(json["schema"] == 1);
  CHECK(json["wanted_completes"] == true);
  CHECK(json["place_along_beam"] == 0.25);
  CHECK(json.at("largest").is_null());
  CHECK(json.at("map").is_null());
  const auto& move = json["move"];
  CHECK(move["completes"] == true);
  CHECK(move.at("passed_edge_after").is_null());
  CHECK(move["rest_error"]["value"].get<double>() == in_metres(millimetres(-0.1)));
  CHECK(move["rest_error"]["unit"] == "m");
  CHECK(move["supply_lowest"]["value"].get<double>() == 35.0);
  CHECK(move.at("lines").is_null());
  CHECK(move["energy"]["copper"]["value"].get<double>() == 4.0);
  CHECK(move["change_by_halving"].get<double>() == 1.2e-5);

  const auto map = nlohmann::json::parse(io::move_as_json(report_of_a_map()))["map"];
  CHECK(map["wanted_completes"] == false);
  REQUIRE(map["columns"].size() == 2);
  CHECK(map.at("columns").at(0).at("fails").is_null());
  CHECK(map["columns"][1]["fails"]["value"].get<double>() == 2.0);
  CHECK(map["accelerations"].size() == 3);
}

}  // namespace
}  // namespace pitchline
