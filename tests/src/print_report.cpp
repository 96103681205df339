#include "pitchline/io/print_report.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>

#include "pitchline/check/check_machine.hpp"
#include "pitchline/io/read_machine.hpp"
#include "support/catch.hpp"
#include "support/project_folder.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;

report::Report report_of(const std::string& name, const check::Effort& effort = {}) {
  const std::string path = testing::reference_folder() + "/machines/" + name;
  return check::check_machine(io::read_machine(io::read_file(path), path, io::standard_catalogue()),
                              effort);
}

TEST_CASE("the same machine gives the same bytes on every run", "[io][property]") {
  CHECK(io::print_report(report_of("kite-loft.toml"), true) ==
        io::print_report(report_of("kite-loft.toml"), true));
  CHECK(io::report_as_json(report_of("kite-loft.toml")) ==
        io::report_as_json(report_of("kite-loft.toml")));
}

TEST_CASE("JSON carries every finding of the table in SI units", "[io]") {
  const report::Report report = report_of("kite-loft.toml");
  const auto json = nlohmann::json::parse(io::report_as_json(report));
  CHECK(json["schema"] == 1);
  CHECK(json["machine"] == "Kite loft");
  CHECK(json["verdict"] == "holds");
  REQUIRE(json["axes"].size() == report.axes.size());
  for (std::size_t i = 0; i < report.axes.size(); ++i) {
    const auto& findings = json["axes"][i]["findings"];
    REQUIRE(findings.size() == report.axes[i].findings.size());
    for (std::size_t k = 0; k < findings.size(); ++k) {
      const report::Finding& f = report.axes[i].findings[k];
      CAPTURE(f.key);
      CHECK(findings[k]["key"] == f.key);
      CHECK(findings[k]["verdict"] == std::string(report::word(f.verdict)));
      CHECK(findings[k]["value"]["value"].get<double>() == f.value.coherent());
      CHECK(findings[k]["value"]["unit"] == std::string(f.value.si_unit()));
    }
  }
}

TEST_CASE("a margin without end is null in JSON", "[io]") {
  // 80 pulses a millimetre, which every controller keeps: no error, and no end to the margin.
  const auto json = nlohmann::json::parse(io::report_as_json(report_of("shaft-driven.toml")));
  int met = 0;
  for (const auto& finding : json.at("axes").at(0).at("findings")) {
    if (finding.at("key") != "steps_per_mm") continue;
    ++met;
    CHECK(finding.at("margin").is_null());
  }
  CHECK(met == 1);
}

TEST_CASE("no line of a report is wider than 80 columns", "[io]") {
  const std::string file = GENERATE("kite-loft.toml", "too-weak.toml", "gantry-1300.toml",
                                    "shaft-driven.toml", "lift-and-spool.toml");
  CAPTURE(file);
  const report::Report report =
      report_of(file, {.influences = file == "kite-loft.toml", .capability = true});
  for (const bool in_full : {false, true}) {
    std::istringstream text(io::print_report(report, in_full));
    for (std::string line; std::getline(text, line);) {
      CAPTURE(in_full, line);
      CHECK(line.size() <= 80);
      // Nothing that a formula could not work out may pass for a figure.
      CHECK(line.find("nan") == std::string::npos);
      CHECK(line.find(" inf") == std::string::npos);
    }
  }
}

TEST_CASE("a report shows what binds, smallest first, and the mechanism that does", "[io]") {
  const report::Report report = report_of("kite-loft.toml");
  const std::string text = io::print_report(report, false);
  const report::AxisReport& axis = report.axes.front();
  CHECK_THAT(text, Contains(fmt::format("allowed {}, bound by {}", axis.binds.front().allowed,
                                        axis.binds.front().what)));
  CHECK(text.find(axis.binds[0].what) < text.find(axis.binds[1].what));
  CHECK_THAT(text, Contains("textbook algebra"));
}

TEST_CASE("the working of a row holds its formula, its figures and its source", "[io]") {
  const report::Report report = report_of("kite-loft.toml");
  const report::AxisReport& axis = report.axes.front();
  const std::string text = io::explain(report, axis, "belt_tension");
  CHECK_THAT(text, Contains("formula:") && Contains("service factor") && Contains("source:"));
  CHECK_THAT(text, Contains("it allows"));
  CHECK_THAT(io::explain(report, axis, "torque_margin"), Contains("at that acceleration:"));
  CHECK_THAT(io::explain(report, axis, "supply_power"), Contains("axis y, copper"));
  CHECK(io::explain(report, axis, "no_such_row").empty());
  // Without a row: all that bind, and nothing else.
  const std::string all = io::explain(report, axis, "");
  for (const report::Binding& b : axis.binds) CHECK_THAT(all, Contains("(" + b.key + ")"));
  CHECK_THAT(all, !Contains("(winding_heat)"));
}

TEST_CASE("CSV holds the curves of every axis for which they were worked out", "[io]") {
  const report::Report report = report_of("kite-loft.toml", {.capability = true});
  const auto lines_of = [](const std::string& csv) {
    return std::count(csv.begin(), csv.end(), '\n');
  };
  std::size_t speeds = 0;
  std::size_t times = 0;
  for (const report::AxisReport& axis : report.axes) {
    speeds += axis.capability->over_speed.size();
    times += axis.capability->move_time.size();
  }
  CHECK(lines_of(io::acceleration_as_csv(report)) == static_cast<long>(speeds) + 1);
  CHECK(lines_of(io::move_time_as_csv(report)) == static_cast<long>(times) + 1);
  CHECK_THAT(
      io::acceleration_as_csv(report),
      Catch::Matchers::StartsWith("axis,speed_mm_per_s,allowed_m_per_s2,textbook_m_per_s2\nx,"));
  // Nothing was worked out: a head alone.
  CHECK(lines_of(io::acceleration_as_csv(report_of("kite-loft.toml"))) == 1);
}

}  // namespace
}  // namespace pitchline
