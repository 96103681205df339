// Prints what one stepper motor does at one supply and current: from the catalogue, or in an axis
// of a machine file.

#include "command_line.hpp"

#include <fmt/format.h>

#include <filesystem>

#include "pitchline/check/make_motor_sheet.hpp"
#include "pitchline/check/motor_use.hpp"
#include "pitchline/io/part_names.hpp"
#include "pitchline/io/print_motor_sheet.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/io/write_file.hpp"
#include "pitchline/units/nearest.hpp"

namespace {

using namespace pitchline;
using io::quantity_of;
using io::UnusableOptions;

struct Options {
  std::string what;  // a motor or a machine file
  std::string axis;
  std::string voltage;
  std::string current;
  std::string current_is;
  std::string inertia;
  std::string microsteps;
  std::string to;
  std::string catalogue_file;
  std::string svg_file;
  bool list = false;
  bool csv = false;
  bool json = false;
  bool overwrite = false;
};

const std::string list_help = "pitchline-motor --list shows the motors of the catalogue";

void require_forms(const Options& o, bool machine) {
  const auto exclude = [&](const std::string& value, std::string_view option) {
    if (!value.empty())
      throw UnusableOptions(
          fmt::format("{} does not go with a machine file", option),
          fmt::format("{} says it: leave {} out, or change it there", o.what, option));
  };
  if (machine) {
    exclude(o.voltage, "--voltage");
    exclude(o.current, "--current");
    exclude(o.current_is, "--current-is");
    exclude(o.inertia, "--inertia");
    exclude(o.microsteps, "--microsteps");
  } else {
    if (!o.axis.empty())
      throw UnusableOptions(
          "--axis goes with a machine file only",
          fmt::format("\"{}\" is a motor of the catalogue: leave it out", o.what));
    const auto require = [](const std::string& value, std::string_view option,
                            std::string_view example) {
      if (value.empty())
        throw UnusableOptions(fmt::format("a motor of the catalogue needs {}", option),
                              fmt::format("for example {} {}", option, example));
    };
    require(o.voltage, "--voltage", "\"24 V\"");
    require(o.current, "--current", "\"2.2 A\"");
    require(o.current_is, "--current-is",
            "peak, or rms: ask the driver's data sheet, they differ by 41 %");
  }
  if (o.csv && o.json) throw UnusableOptions("--csv and --json do not go together", "choose one");
  if (o.overwrite && o.svg_file.empty())
    throw UnusableOptions("--overwrite goes with --svg only", "add --svg FILE, or leave it out");
}

// The list is the same whatever else is given.
void require_list_alone(const Options& o) {
  if (!o.what.empty())
    throw UnusableOptions("--list takes no motor and no machine file", "leave one of them out");
  for (const auto& [option, typed] :
       {std::pair{"--axis", !o.axis.empty()}, std::pair{"--voltage", !o.voltage.empty()},
        std::pair{"--current", !o.current.empty()},
        std::pair{"--current-is", !o.current_is.empty()},
        std::pair{"--inertia", !o.inertia.empty()},
        std::pair{"--microsteps", !o.microsteps.empty()}, std::pair{"--to", !o.to.empty()},
        std::pair{"--csv", o.csv}, std::pair{"--json", o.json},
        std::pair{"--svg", !o.svg_file.empty()}, std::pair{"--overwrite", o.overwrite}})
    io::require_absent(typed, fmt::format("{} does not go with --list", option),
                       "--list shows the motors of the catalogue: leave one of them out");
}

report::MotorUse use_of_axis(const Options& o, const io::Catalogue& catalogue) {
  const machine::Machine machine = io::read_machine(io::read_file(o.what), o.what, catalogue);
  std::vector<std::string> names;
  std::string all;
  for (const machine::Axis& axis : machine.axes) {
    if (axis.name == o.axis) return check::motor_use(machine, axis);
    names.push_back(axis.name);
    all += " " + axis.name;
  }
  if (o.axis.empty())
    throw UnusableOptions("a machine file needs --axis", fmt::format("{} has:{}", o.what, all));
  const auto nearest = nearest_word(o.axis, names);
  throw UnusableOptions(fmt::format("{} has no axis \"{}\"{}", o.what, o.axis,
                                    nearest ? fmt::format(", did you mean {}?", *nearest) : ""),
                        "it has:" + all);
}

report::MotorUse use_of_catalogue(const Options& o, const io::Catalogue& catalogue) {
  const io::Named found = io::named_motor(o.what, catalogue);
  if (!found.name)
    throw UnusableOptions(fmt::format("\"{}\" is no file: {}", o.what, found.message), found.help);
  const parts::StepperMotor& motor = catalogue.motors.at(*found.name);
  require_forms(o, false);
  if (o.current_is != "rms" && o.current_is != "peak")
    throw UnusableOptions(
        fmt::format("--current-is must be rms or peak, got \"{}\"", o.current_is),
        "the driver's data sheet says which; peak is the safe reading where it says "
        "only A");
  const parts::Driver driver{
      .current = quantity_of<Current>("--current", o.current, amperes(50)),
      .current_is = o.current_is == "rms" ? parts::CurrentIs::rms : parts::CurrentIs::peak};
  report::MotorUse use{.motor = motor,
                       .feed = {quantity_of<Voltage>("--voltage", o.voltage, volts(400)),
                                parts::current_amplitude(driver)},
                       .microsteps = pulses_per_full_step(16),
                       .inertia = motor.rotor_inertia};
  if (!o.microsteps.empty())
    use.microsteps = pulses_per_full_step(static_cast<double>(io::whole_of(
        {.option = "--microsteps",
         .text = o.microsteps,
         .most = 5120,
         .help = "the number of pulses to a full step, for example --microsteps 16"})));
  if (!o.inertia.empty())
    use.inertia += quantity_of<Inertia>("--inertia", o.inertia, kilogram_square_metres(1));
  return use;
}

int run(const Options& o) {
  io::Catalogue catalogue = io::standard_catalogue();
  if (!o.catalogue_file.empty())
    io::read_catalogue(io::read_file(o.catalogue_file), o.catalogue_file, catalogue);
  if (o.list) {
    require_list_alone(o);
    tools::print(io::print_motors(catalogue));
    return tools::all_hold;
  }
  if (o.what.empty())
    throw UnusableOptions("a motor of the catalogue or a machine file is wanted", list_help);

  std::error_code ignored;
  const bool machine = std::filesystem::exists(o.what, ignored);
  if (machine) require_forms(o, true);
  io::require_writable({.inputs = {machine ? o.what : "", o.catalogue_file},
                        .outputs = {o.svg_file},
                        .overwrite = o.overwrite});
  report::MotorUse use = machine ? use_of_axis(o, catalogue) : use_of_catalogue(o, catalogue);
  if (!o.to.empty())
    use.top_speed = quantity_of<AngularSpeed>("--to", o.to, revolutions_per_minute(100'000));

  const report::MotorSheet sheet = check::motor_sheet(use);
  const std::string text = o.json  ? io::motor_sheet_as_json(sheet)
                           : o.csv ? io::motor_sheet_as_csv(sheet)
                                   : io::print_motor_sheet(sheet);
  // First, because nothing is printed where it cannot be written.
  if (!o.svg_file.empty()) io::write_file(o.svg_file, io::motor_sheet_as_svg(sheet), o.overwrite);
  tools::print(text);
  return tools::all_hold;
}

}  // namespace

int main(int argc, char** argv) try {
  Options o;
  tools::CommandLine line(
      "pitchline-motor",
      "Prints what a stepper motor does at one supply and current: torque over speed (loss-free, "
      "dependable, published), stability, resonance, microsteps, heat, and what more voltage "
      "buys.\n"
      "Takes a motor of the catalogue with --voltage, --current and --current-is, or a machine "
      "file "
      "with --axis.\nExit status: 0 computed, 2 the input cannot be used.");
  line.text("WHAT", o.what, "a motor of the catalogue, or a machine file");
  line.text("--axis", o.axis, "the axis of the machine file");
  line.text("--voltage", o.voltage, "of the supply, \"24 V\"");
  line.text("--current", o.current, "the driver's setting, \"2.2 A\"");
  line.text("--current-is", o.current_is,
            "what the driver's number means: rms or peak; where it says only A, peak is safe");
  line.text("--inertia", o.inertia,
            "what the motor turns besides its rotor, \"300 g*cm^2\"; none if left out");
  line.text("--microsteps", o.microsteps, "pulses to a full step; 16 if left out");
  line.text("--to", o.to, "speed at which table and plot end, \"1500 rpm\"");
  line.text("--catalogue", o.catalogue_file,
            "a catalogue file whose motors and belts come before the built-in ones");
  line.flag("--list", o.list, "list the motors of the catalogue");
  line.flag("--csv", o.csv, "print the curves as comma-separated values");
  line.flag("--json", o.json, "print one JSON object in SI units instead of tables");
  line.text("--svg", o.svg_file, "write a plot of the curves to this file, too");
  line.flag("--overwrite", o.overwrite, "let --svg replace a file");
  line.version();
  if (const auto status = line.parse(argc, argv)) return *status;
  return tools::run_and_report(o.what, [&] { return run(o); });
} catch (...) {
  return pitchline::tools::unexpected_error();
}
