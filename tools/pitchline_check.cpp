// Reads a machine file and says, axis by axis, what holds and what fails.

#include "command_line.hpp"

#include "pitchline/check/check_machine.hpp"
#include "pitchline/io/print_report.hpp"
#include "pitchline/io/read_machine.hpp"

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
using tools::all_hold;
using tools::something_fails;
using tools::UnusableOptions;

const report::AxisReport& named_axis(const report::Report& report, const std::string& name,
                                     const std::string& file) {
  std::vector<std::string> names;
  for (const report::AxisReport& axis : report.axes) {
    if (axis.name == name) return axis;
    names.push_back(axis.name);
  }
  throw UnusableOptions(fmt::format("no axis \"{}\"", name),
                        fmt::format("the axes are: {}", fmt::join(names, ", ")), file);
}

std::string explained(const report::Report& report, const Options& options) {
  const std::size_t dot = options.explain.find('.');
  const report::AxisReport& axis =
      named_axis(report, options.explain.substr(0, dot), options.machine_file);
  const std::string row = dot == std::string::npos ? "" : options.explain.substr(dot + 1);
  const std::string text = io::explain(report, axis, row);
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
  report::Report report = check::check_machine(
      machine, {.influences = !curves && !explains,
                .capability = curves || options.json || (in_full && !explains)});
  // The axes are checked together, since they share a supply; one can be shown alone.
  if (one_axis) {
    report::AxisReport shown = named_axis(report, options.axis, options.machine_file);
    report.axes = {std::move(shown)};
  }
  if (curves) {
    fmt::print("{}", options.csv == "acceleration" ? io::acceleration_as_csv(report)
                                                   : io::move_time_as_csv(report));
  } else if (explains) {
    fmt::print("{}", explained(report, options));
  } else {
    fmt::print("{}", options.json ? io::report_as_json(report) : io::print_report(report, in_full));
  }
  const report::Verdict worst = report.worst();
  const bool failed =
      worst == report::Verdict::fails || (options.strict && worst == report::Verdict::unsure);
  return failed ? something_fails : all_hold;
}

}  // namespace

int main(int argc, char** argv) try {
  Options options;
  CLI::App app{
      "Reads a machine file and says for each axis what holds, what fails, by how much, and what "
      "to change.\nExit status: 0 all hold, 1 something fails, 2 the input cannot be used.",
      "pitchline-check"};
  app.add_option("MACHINE", options.machine_file, "the machine file, TOML")->required();
  auto* axis = app.add_option("--axis", options.axis, "show this axis alone, in full");
  app.add_option("--catalogue", options.catalogue_file,
                 "a catalogue file whose motors and belts come before the built-in ones");
  auto* explain =
      app.add_option("--explain", options.explain,
                     "AXIS or AXIS.ROW: show the working of what binds the axis, or of one row");
  auto* csv = app.add_option("--csv", options.csv,
                             "print a curve of each axis as CSV: acceleration (over speed) or "
                             "move-time (of a stroke, over acceleration)");
  csv->check(CLI::IsMember({"acceleration", "move-time"}));
  explain->excludes(axis, csv);
  app.add_flag("--full", options.full, "show the reason, figures and source of every row");
  auto* json =
      app.add_flag("--json", options.json, "print one JSON object in SI units instead of tables");
  json->excludes(explain, csv);
  app.add_flag("--strict", options.strict, "count \"unsure\" as a failure too");
  app.set_version_flag("--version", PITCHLINE_VERSION, "print the version");
  if (const auto status = tools::parse(app, argc, argv)) return *status;
  return tools::run_and_report(options.machine_file, [&] { return run(options); });
} catch (...) {
  return tools::unexpected_error();
}
