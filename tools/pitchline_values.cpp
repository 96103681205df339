// Prints what a controller asks for of each axis of a machine file, and fills a template with it.

#include "command_line.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "pitchline/io/fill_template.hpp"
#include "pitchline/io/print_controller_values.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/io/write_file.hpp"
#include "pitchline/prove/arbitrate.hpp"
#include "pitchline/settings/controller_values.hpp"
#include "pitchline/units/nearest.hpp"

namespace {

using namespace pitchline;
using io::UnusableOptions;

struct Options {
  std::string machine_file;
  std::string catalogue_file;
  std::string axis;
  std::string template_file;
  std::string output_file;
  bool names = false;
  bool json = false;
  bool overwrite = false;
};

void keep_axis(report::Report& report, report::ControllerValues& values, const Options& o) {
  std::vector<std::string> names;
  for (const report::AxisValues& axis : values.axes) names.push_back(axis.name);
  if (std::find(names.begin(), names.end(), o.axis) == names.end()) {
    const auto nearest = nearest_word(o.axis, names);
    throw UnusableOptions(fmt::format("no axis \"{}\"{}", o.axis,
                                      nearest ? fmt::format(", did you mean {}?", *nearest) : ""),
                          fmt::format("the axes are: {}", fmt::join(names, ", ")), o.machine_file);
  }
  const auto is_other = [&](const auto& axis) { return axis.name != o.axis; };
  std::erase_if(values.axes, is_other);
  std::erase_if(report.axes, is_other);
  values.worst = report.worst();
}

// A filled template says nothing of the check unless it asks: so this does.
void warn(const report::ControllerValues& values) {
  const auto say = [](std::string_view what, const std::vector<std::string>& rows) {
    if (!rows.empty())
      tools::complain(fmt::format("warning: {} by {}\n", what, fmt::join(rows, ", ")));
  };
  for (const report::AxisValues& axis : values.axes)
    say(fmt::format("the values of axis {} fail the check", axis.name), axis.fails);
  say("all axes together fail the check", values.common_fails);
}

int run(const Options& o) {
  if (o.overwrite && o.output_file.empty())
    throw UnusableOptions("--overwrite goes with --output only", "add --output FILE");
  io::require_writable({.inputs = {o.machine_file, o.catalogue_file, o.template_file},
                        .outputs = {o.output_file},
                        .overwrite = o.overwrite});
  io::Catalogue catalogue = io::standard_catalogue();
  if (!o.catalogue_file.empty())
    io::read_catalogue(io::read_file(o.catalogue_file), o.catalogue_file, catalogue);
  const machine::Machine machine =
      io::read_machine(io::read_file(o.machine_file), o.machine_file, catalogue);
  report::Report report = prove::checked(machine);
  report::ControllerValues values = settings::controller_values(machine, report);
  // The axes are checked together, since they share a supply; one can be shown alone.
  if (!o.axis.empty()) keep_axis(report, values, o);
  std::string text;
  if (!o.template_file.empty()) {
    text = io::fill_template(io::read_file(o.template_file), o.template_file,
                             io::controller_names(values));
    warn(values);
  } else if (o.names) {
    text = io::print_template_names(io::controller_names(values));
  } else {
    text = o.json ? io::controller_values_as_json(values) : io::print_controller_values(values);
  }
  if (!o.output_file.empty())
    io::write_file(o.output_file, text, o.overwrite);
  else if (!o.template_file.empty())
    tools::print_as_it_is(text);
  else
    tools::print(text);
  return values.worst == report::Verdict::fails ? tools::something_fails : tools::all_hold;
}

}  // namespace

int main(int argc, char** argv) try {
  Options o;
  tools::CommandLine line(
      "pitchline-values",
      "Prints what a controller asks for of each axis of a machine: steps per mm and per degree, "
      "speeds, accelerations, currents, and what their rounding costs. Fills a template of yours "
      "with them.\n"
      "Exit status: 0 no row of the check fails, 1 some fail with these values, 2 the input cannot "
      "be used.");
  line.text("MACHINE", o.machine_file, "the machine file, TOML").required();
  auto axis = line.text("--axis", o.axis, "show this axis alone");
  line.text("--catalogue", o.catalogue_file,
            "a catalogue file whose motors and belts come before the built-in ones");
  auto form = line.text("--template", o.template_file,
                        "fill this template, in the Mustache language, and print it");
  line.text("--output", o.output_file, "write to this file instead of printing");
  line.flag("--overwrite", o.overwrite, "let --output replace a file");
  auto names =
      line.flag("--names", o.names, "list the names that a template may use, with their values");
  auto json = line.flag("--json", o.json, "print one JSON object in SI units instead of a table");
  form.excludes({axis, names, json});
  names.excludes({axis, json});
  line.version();
  if (const auto status = line.parse(argc, argv)) return *status;
  return tools::run_and_report(o.machine_file, [&] { return run(o); });
} catch (...) {
  return pitchline::tools::unexpected_error();
}
