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
  bool json = false;
  bool full = false;
  bool strict = false;
};

using pitchline::tools::all_hold;
using pitchline::tools::something_fails;
using pitchline::tools::unusable_input;

int run(const Options& options) {
  using namespace pitchline;
  io::Catalogue catalogue = io::standard_catalogue();
  if (!options.catalogue_file.empty()) {
    io::read_catalogue(io::read_file(options.catalogue_file), options.catalogue_file, catalogue);
  }
  const machine::Machine machine =
      io::read_machine(io::read_file(options.machine_file), options.machine_file, catalogue);
  check::Report report = check::check_machine(machine);
  // The axes are checked together, since they share a supply; one can be shown alone.
  if (!options.axis.empty()) {
    std::string names;
    for (const check::AxisReport& axis : report.axes) names += " " + axis.name;
    std::erase_if(report.axes, [&](const auto& axis) { return axis.name != options.axis; });
    if (report.axes.empty()) {
      fmt::print(stderr, "error: {} has no axis \"{}\"; it has:{}\n", options.machine_file,
                 options.axis, names);
      return unusable_input;
    }
  }
  const bool in_full = options.full || !options.axis.empty();
  fmt::print("{}", options.json ? io::report_as_json(report) : io::print_report(report, in_full));
  const check::Verdict worst = report.worst();
  const bool failed =
      worst == check::Verdict::fails || (options.strict && worst == check::Verdict::unsure);
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
  app.add_option("--axis", options.axis, "show this axis alone, in full");
  app.add_option("--catalogue", options.catalogue_file,
                 "a catalogue file whose motors and belts come before the built-in ones");
  app.add_flag("--full", options.full, "show the reason, figures and source of every row");
  app.add_flag("--json", options.json, "print one JSON object in SI units instead of tables");
  app.add_flag("--strict", options.strict, "count \"unsure\" as a failure too");
  app.set_version_flag("--version", PITCHLINE_VERSION, "print the version");
  if (const auto status = pitchline::tools::parse(app, argc, argv)) return *status;
  return pitchline::tools::run_and_report(options.machine_file, [&] { return run(options); });
} catch (...) {
  return pitchline::tools::unexpected_error();
}
