// Compares the screws of the catalogue for the lift of a machine.

#include "command_line.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "pitchline/choose/lift_screw.hpp"
#include "pitchline/io/print_lift_choice.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/units/nearest.hpp"

namespace {

using namespace pitchline;
using io::UnusableOptions;

struct Options {
  std::string machine_file;
  std::string catalogue_file;
  std::string axis;
  bool json = false;
  bool full = false;
  bool strict = false;
};

// The axis that is named, or the only one that lifts.
const machine::Axis& lifting_axis(const machine::Machine& machine, const Options& options) {
  std::vector<std::string> lifting;
  const machine::Axis* found = nullptr;
  for (const machine::Axis& axis : machine.axes) {
    if (!axis.lift) continue;
    lifting.push_back(axis.name);
    if (options.axis.empty() || axis.name == options.axis) found = &axis;
  }
  const std::string which = fmt::format("those with a lift: {}", fmt::join(lifting, ", "));
  if (lifting.empty())
    throw UnusableOptions("no axis has a lift",
                          "say what is wanted of it: [axis.z.lift] with work, height_step and "
                          "stays_up, see reference/machine-file.md",
                          options.machine_file);
  if (options.axis.empty() && lifting.size() > 1)
    throw UnusableOptions("more than one axis has a lift: name one by --axis", which,
                          options.machine_file);
  if (found == nullptr) {
    const auto near = nearest_word(options.axis, lifting);
    throw UnusableOptions(fmt::format("no axis \"{}\" with a lift", options.axis),
                          near ? fmt::format("did you mean \"{}\"? {}", *near, which) : which,
                          options.machine_file);
  }
  return *found;
}

int run(const Options& options) {
  io::Catalogue catalogue = io::standard_catalogue();
  if (!options.catalogue_file.empty()) {
    io::read_catalogue(io::read_file(options.catalogue_file), options.catalogue_file, catalogue);
  }
  const machine::Machine machine =
      io::read_machine(io::read_file(options.machine_file), options.machine_file, catalogue,
                       io::LiftScrews::may_be_open);
  std::vector<parts::Screw> screws;
  for (const auto& [name, screw] : catalogue.screws) screws.push_back(screw);
  const report::LiftChoice choice =
      choose::choose_lift_screw(machine, lifting_axis(machine, options), screws);
  tools::print(options.json ? io::lift_choice_as_json(choice)
                            : io::print_lift_choice(choice, options.full));
  const bool sure = !choice.fitting.empty() &&
                    (!options.strict || choice.fitting.front().verdict != report::Verdict::unsure);
  return sure ? tools::all_hold : tools::something_fails;
}

}  // namespace

int main(int argc, char** argv) try {
  Options options;
  tools::CommandLine line(
      "pitchline-lift",
      "Compares every screw of the catalogue for the lift of a machine: lead, torque, speed, "
      "whether it stays up without power, strength, resolution and wear.\nExit status: 0 a screw "
      "fits, 1 none fits, 2 the input cannot be used.");
  line.text("MACHINE", options.machine_file, "the machine file, TOML").required();
  line.text("--axis", options.axis, "the axis that lifts, where there is more than one");
  line.text("--catalogue", options.catalogue_file,
            "a catalogue file whose motors, belts and screws come before the built-in ones");
  auto full =
      line.flag("--full", options.full, "show every screw that fits, and the rows of the first");
  auto json =
      line.flag("--json", options.json, "print one JSON object in SI units instead of tables");
  json.excludes({full});
  line.flag("--strict", options.strict, "count \"unsure\" as not fitting too");
  line.version();
  if (const auto status = line.parse(argc, argv)) return *status;
  return tools::run_and_report(options.machine_file, [&] { return run(options); });
} catch (...) {
  return pitchline::tools::unexpected_error();
}
