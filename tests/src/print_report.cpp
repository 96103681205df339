#include "pitchline/io/print_report.hpp"

#include <nlohmann/json.hpp>
#include <sstream>

#include "pitchline/check/check_machine.hpp"
#include "pitchline/io/read_machine.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {

check::Report report_of(const std::string& name) {
  const std::string path = std::string(PITCHLINE_REFERENCE_DIR "/machines/") + name;
  return check::check_machine(
      io::read_machine(io::read_file(path), path, io::standard_catalogue()));
}

TEST_CASE("a printed report keeps to eighty columns", "[io][property]") {
  for (const char* name : {"kite-loft.toml", "too-weak.toml", "gantry-1300.toml"}) {
    for (const bool in_full : {false, true}) {
      std::istringstream lines(io::print_report(report_of(name), in_full));
      for (std::string line; std::getline(lines, line);) {
        CAPTURE(name, line);
        CHECK(line.size() <= 80);
      }
    }
  }
}

TEST_CASE("the same machine gives the same bytes on every run", "[io][property]") {
  CHECK(io::print_report(report_of("kite-loft.toml"), true) ==
        io::print_report(report_of("kite-loft.toml"), true));
  CHECK(io::report_as_json(report_of("kite-loft.toml")) ==
        io::report_as_json(report_of("kite-loft.toml")));
}

TEST_CASE("JSON carries every finding of the table in SI units", "[io]") {
  const check::Report report = report_of("kite-loft.toml");
  const auto json = nlohmann::json::parse(io::report_as_json(report));
  CHECK(json["schema"] == 1);
  CHECK(json["machine"] == "Kite loft");
  CHECK(json["verdict"] == "holds");
  REQUIRE(json["axes"].size() == report.axes.size());
  for (std::size_t i = 0; i < report.axes.size(); ++i) {
    const auto& findings = json["axes"][i]["findings"];
    REQUIRE(findings.size() == report.axes[i].findings.size());
    for (std::size_t k = 0; k < findings.size(); ++k) {
      const check::Finding& f = report.axes[i].findings[k];
      CAPTURE(f.key);
      CHECK(findings[k]["key"] == f.key);
      CHECK(findings[k]["verdict"] == std::string(check::word(f.verdict)));
      CHECK(findings[k]["value"]["value"].get<double>() == f.value.coherent());
      CHECK(findings[k]["value"]["unit"] == std::string(f.value.si_unit()));
    }
  }
}

TEST_CASE("a margin without end is null in JSON", "[io]") {
  const auto json = nlohmann::json::parse(io::report_as_json(report_of("kite-loft.toml")));
  for (const auto& finding : json["axes"][0]["findings"]) {
    if (finding["key"] == "steps_per_mm") CHECK(finding["margin"].is_null());
  }
}

}  // namespace
}  // namespace pitchline
