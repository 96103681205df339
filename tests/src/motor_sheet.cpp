#include "pitchline/check/make_motor_sheet.hpp"
#include "pitchline/check/motor_use.hpp"

#include <charconv>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <sstream>
#include <vector>

#include "pitchline/io/print_motor_sheet.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/write_file.hpp"
#include "support/catch.hpp"
#include "support/project_folder.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;

report::MotorSheet sheet_of_axis(const std::string& name) {
  const std::string path = testing::reference_folder() + "/machines/kite-loft.toml";
  const machine::Machine loft =
      io::read_machine(io::read_file(path), path, io::standard_catalogue());
  for (const machine::Axis& axis : loft.axes)
    if (axis.name == name) return check::motor_sheet(check::motor_use(loft, axis));
  FAIL("no axis " << name);
  return {};
}

report::MotorSheet sheet_of_motor(const std::string& name) {
  const parts::StepperMotor& motor = io::standard_catalogue().motors.at(name);
  return check::motor_sheet({.motor = motor,
                             .feed = {volts(24), amperes(2.2)},
                             .microsteps = pulses_per_full_step(16),
                             .inertia = motor.rotor_inertia});
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

TEST_CASE("a printed motor sheet keeps to eighty columns", "[io][property]") {
  std::vector<report::MotorSheet> sheets{sheet_of_axis("x"), sheet_of_axis("y")};
  for (const auto& [name, motor] : io::standard_catalogue().motors)
    sheets.push_back(sheet_of_motor(name));
  for (const report::MotorSheet& sheet : sheets) {
    for (const std::string& line : lines_of(io::print_motor_sheet(sheet))) {
      CAPTURE(sheet.use.motor.name, line);
      CHECK(line.size() <= 80);
      CHECK(line.find('\x01') == std::string::npos);
    }
  }
  for (const std::string& line : lines_of(io::print_motors(io::standard_catalogue()))) {
    CAPTURE(line);
    CHECK(line.size() <= 80);
  }
}

TEST_CASE("JSON of a motor sheet carries the table in SI units", "[io]") {
  const report::MotorSheet sheet = sheet_of_axis("x");
  const auto json = nlohmann::json::parse(io::motor_sheet_as_json(sheet));
  CHECK(json["schema"] == 1);
  CHECK(json["motor"]["name"] == sheet.use.motor.name);
  CHECK(json["corner_speed"]["unit"] == "rad/s");
  CHECK(json["corner_speed"]["value"].get<double>() == in_radians_per_second(sheet.corner));
  REQUIRE(json["curve"].size() == sheet.rows.size());
  for (std::size_t i = 0; i < sheet.rows.size(); ++i) {
    const auto& row = json["curve"][i];
    CHECK(row["loss_free"]["value"].get<double>() ==
          in_newton_metres(sheet.rows[i].loss_free.torque));
    CHECK(row["loss_free"]["unit"] == "N*m");
    CHECK(row.at("published").is_null() == !sheet.rows[i].measured.has_value());
  }
  CHECK(json["stability"].size() == sheet.stability.size());
  CHECK(json["heat"]["states"].size() == sheet.duty.size());
}

TEST_CASE("JSON of a motor by itself has null for what an axis would tell", "[io]") {
  const auto json =
      nlohmann::json::parse(io::motor_sheet_as_json(sheet_of_motor("nema23 56mm 2.8A")));
  CHECK(json.at("use").is_null());
  CHECK(json.at("load").is_null());
  CHECK(json.at("curve").at(0).at("travel").is_null());
  CHECK(json.at("microsteps").at("one").at("of_travel").at("value").is_null());
  CHECK(json.at("resonance").at("rates_to_avoid").at(0).at("travel").at("value").is_null());
}

TEST_CASE("CSV of a motor sheet reads back as its table", "[io]") {
  const report::MotorSheet sheet = sheet_of_axis("x");
  const std::vector<std::string> lines = lines_of(io::motor_sheet_as_csv(sheet));
  REQUIRE(lines.size() == sheet.rows.size() + 1);
  const auto cells = [](const std::string& line) {
    std::vector<std::string> list;
    std::istringstream in(line);
    for (std::string cell; std::getline(in, cell, ',');) list.push_back(cell);
    return list;
  };
  REQUIRE(cells(lines[0]).size() == 10);
  CHECK(cells(lines[0])[0] == "speed_rpm");
  const auto number_in = [](const std::string& cell) {
    double x = 0;
    std::from_chars(cell.data(), cell.data() + cell.size(), x);
    return x;
  };
  for (std::size_t i = 0; i < sheet.rows.size(); ++i) {
    const std::vector<std::string> row = cells(lines[i + 1]);
    REQUIRE(row.size() == 10);
    CHECK_THAT(number_in(row[0]), WithinRel(in_revolutions_per_minute(sheet.rows[i].speed), 1e-8));
    CHECK_THAT(number_in(row[3]), WithinRel(in_newton_metres(sheet.rows[i].dependable), 1e-8));
    CHECK(row[5].empty() == !sheet.rows[i].measured.has_value());
  }
}

// Every tag is closed in the order it was opened, and no bare & or < stands in a text.
bool is_well_formed(const std::string& xml) {
  std::vector<std::string> open;
  for (std::size_t i = xml.find("?>") + 2; i < xml.size();) {
    if (xml[i] == '&') {
      const std::string entity = xml.substr(i, xml.find(';', i) - i);
      if (entity != "&amp" && entity != "&lt" && entity != "&gt" && entity != "&quot") return false;
    }
    if (xml[i] != '<') {
      ++i;
      continue;
    }
    const std::size_t end = xml.find('>', i);
    if (end == std::string::npos) return false;
    const std::string tag = xml.substr(i + 1, end - i - 1);
    if (tag.find('<') != std::string::npos) return false;
    const std::string name = tag.substr(0, tag.find_first_of(" /", 1));
    if (tag.front() == '/') {
      if (open.empty() || "/" + open.back() != tag) return false;
      open.pop_back();
    } else if (tag.back() != '/') {
      open.push_back(name);
    }
    i = end + 1;
  }
  return open.empty();
}

TEST_CASE("the plot of a motor sheet is well formed and told by text", "[io]") {
  report::MotorSheet sheet = sheet_of_axis("x");
  sheet.use.name = "A <loft> & \"more\"";
  const std::string svg = io::motor_sheet_as_svg(sheet);
  CHECK(is_well_formed(svg));
  CHECK_FALSE(is_well_formed(svg + "</svg>"));
  CHECK_THAT(svg, Contains("A &lt;loft&gt; &amp; &quot;more&quot;"));
  CHECK_THAT(svg, Contains("<desc id=\"desc\">Torque over speed"));
  for (const char* label : {"loss-free, an upper bound", "dependable, losses counted",
                            "motor speed, rpm", "travel of the axis, mm/s"})
    CHECK_THAT(svg, Contains(label));
  CHECK_THAT(svg, Contains("stroke-dasharray"));
  CHECK(svg.find("nan") == std::string::npos);
}

TEST_CASE("the plot of the same motor has the same bytes on every run", "[io][property]") {
  CHECK(io::motor_sheet_as_svg(sheet_of_axis("y")) == io::motor_sheet_as_svg(sheet_of_axis("y")));
}

TEST_CASE("write_file replaces a file only where it is told to, and leaves nothing beside it",
          "[io][error]") {
  namespace fs = std::filesystem;
  const fs::path folder = fs::temp_directory_path() / "pitchline-write-file-test";
  fs::remove_all(folder);
  fs::create_directory(folder);
  const std::string path = (folder / "plot.svg").string();
  const auto content = [&] {
    std::ifstream in(path, std::ios::binary);
    return std::string(std::istreambuf_iterator<char>(in), {});
  };
  io::write_file(path, "first", false);
  CHECK(content() == "first");
  CHECK_THROWS_WITH(io::write_file(path, "second", false), Contains("--overwrite"));
  CHECK(content() == "first");
  io::write_file(path, "third", true);
  CHECK(content() == "third");
  CHECK_THROWS_AS(io::write_file(folder.string(), "x", true), io::UnusableInput);
  CHECK_THROWS_AS(io::write_file((folder / "none" / "a.svg").string(), "x", false),
                  io::UnusableInput);
  CHECK(std::distance(fs::directory_iterator(folder), fs::directory_iterator()) == 1);
  fs::remove_all(folder);
}

}  // namespace
}  // namespace pitchline
