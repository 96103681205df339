// Reads a machine file and says, axis by axis, what holds and what fails.

#include "command_line.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <utility>

#include "pitchline/io/print_report.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/prove/arbitrate.hpp"
#include "pitchline/units/nearest.hpp"

namespace {

struct Options {
  std::string machine_file;
  std::string catalogue_file;
  std::string axis;
  std::string explain;
  std::string csv;
  bool json = false;
  bool full = false;
  bool strict = false;
};

using namespace pitchline;
using io::UnusableOptions;
using tools::all_hold;
using tools::something_fails;

// The axis that the options name; empty where they name none.
std::string axis_asked(const Options& options) {
  return options.axis.empty() ? options.explain.substr(0, options.explain.find('.')) : options.axis;
}

void require_axis(const machine::Machine& machine, const std::string& name,
                  const std::string& file) {
  std::vector<std::string> names;
  for (const machine::Axis& axis : machine.axes) {
    if (axis.name == name) return;
    names.push_back(axis.name);
  }
  throw UnusableOptions(fmt::format("no axis \"{}\"", name),
                        fmt::format("the axes are: {}", fmt::join(names, ", ")), file);
}

std::string explained(const report::Report& report, const Options& options) {
  const std::size_t dot = options.explain.find('.');
  const report::AxisReport& axis = report.axes.front();
  const std::string row = dot == std::string::npos ? "" : options.explain.substr(dot + 1);
  std::string text = io::explain(report, axis, row);
  if (!text.empty()) return text;
  std::vector<std::string> keys;
  for (const report::Finding& f : axis.findings) keys.push_back(f.key);
  for (const report::Finding& f : report.common) keys.push_back(f.key);
  const auto near = nearest_word(row, keys);
  throw UnusableOptions(fmt::format("axis {} has no row \"{}\"", axis.name, row),
                        near ? fmt::format("did you mean \"{}\"?", *near)
                             : fmt::format("the rows are: {}", fmt::join(keys, ", ")),
                        options.machine_file);
}

int run(const Options& options) {
  io::Catalogue catalogue = io::standard_catalogue();
  if (!options.catalogue_file.empty()) {
    io::read_catalogue(io::read_file(options.catalogue_file), options.catalogue_file, catalogue);
  }
  const machine::Machine machine =
      io::read_machine(io::read_file(options.machine_file), options.machine_file, catalogue);
  const bool curves = !options.csv.empty();
  const bool one_axis = !options.axis.empty();
  const bool in_full = options.full || one_axis;
  const bool explains = !options.explain.empty();
  const std::string only = axis_asked(options);
  if (one_axis || explains) require_axis(machine, only, options.machine_file);
  report::Report report =
      prove::checked(machine, {.influences = !curves && !explains,
                               .capability = curves || options.json || (in_full && !explains),
                               .only = only});
  if (curves) {
    tools::print(options.csv == "acceleration" ? io::acceleration_as_csv(report)
                                               : io::move_time_as_csv(report));
  } else if (explains) {
    tools::print(explained(report, options));
  } else {
    tools::print(options.json ? io::report_as_json(report) : io::print_report(report, in_full));
  }
  const report::Verdict worst = report.worst();
  const bool failed =
      worst == report::Verdict::fails || (options.strict && worst == report::Verdict::unsure);
  return failed ? something_fails : all_hold;
}

}  // namespace

int main(int argc, char** argv) try {
  Options options;
  tools::CommandLine line(
      "pitchline-check",
      "Reads a machine file and says for each axis what holds, what fails, by how much, and what "
      "to change.\nExit status: 0 all hold, 1 something fails, 2 the input cannot be used.");
  line.text("MACHINE", options.machine_file, "the machine file, TOML").required();
  auto axis = line.text("--axis", options.axis, "show this axis alone, in full");
  line.text("--catalogue", options.catalogue_file,
            "a catalogue file whose motors and belts come before the built-in ones");
  auto explain =
      line.text("--explain", options.explain,
                "AXIS or AXIS.ROW: show the working of what binds the axis, or of one row");
  auto csv = line.text("--csv", options.csv,
                       "print a curve of each axis as CSV: acceleration (over speed) or "
                       "move-time (of a stroke, over acceleration)");
  csv.one_of({"acceleration", "move-time"});
  explain.excludes({axis, csv});
  auto full = line.flag("--full", options.full, "show the reason, figures and source of every row");
  auto json =
      line.flag("--json", options.json, "print one JSON object in SI units instead of tables");
  json.excludes({explain, csv, full});
  full.excludes({explain, csv});
  line.flag("--strict", options.strict, "count \"unsure\" as a failure too");
  line.version();
  if (const auto status = line.parse(argc, argv)) return *status;
  return tools::run_and_report(options.machine_file, [&] { return run(options); });
} catch (...) {
  return tools::unexpected_error();
}
