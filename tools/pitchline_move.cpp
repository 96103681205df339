// Moves one axis of a machine file in time: does a move complete without a lost step, how close did
// it come, and which speeds and accelerations can be trusted.

#include "command_line.hpp"

#include <charconv>
#include <filesystem>
#include <thread>

#include "long_run.hpp"
#include "pitchline/io/print_move.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/write_file.hpp"
#include "pitchline/prove/move_report.hpp"
#include "side_by_side.hpp"

namespace {

using namespace pitchline;
using tools::quantity_of;
using tools::UnusableOptions;

struct Options {
  std::string machine_file;
  std::string catalogue_file;
  std::string axis;
  std::string speed;
  std::string acceleration;
  std::string stroke;
  std::string jerk_time;
  std::string dwell;
  std::string repeats;
  std::string place;
  std::string from;
  std::string up_to;
  std::string threads;
  std::string svg_file;
  std::string csv_file;
  std::string trace_file;
  bool onward = false;
  bool raster = false;
  bool pulses = false;
  bool switching = false;
  bool largest = false;
  bool map = false;
  bool json = false;
  bool overwrite = false;

  [[nodiscard]] bool searches() const { return largest || map; }
};

// Beyond this an axis is not asked for; it only keeps a slip of the keyboard from running for ever.
const Acceleration hardest = metres_per_second_squared(10'000);

// Every combination that would leave an option without effect.
void require_forms(const Options& o) {
  const auto refuse = [](bool there, std::string_view what, std::string_view help) {
    if (there) throw UnusableOptions(std::string(what), std::string(help));
  };
  refuse(o.largest && o.map, "--largest and --map do not go together", "choose one");
  refuse(o.searches() && o.raster, "--raster goes with neither --largest nor --map",
         "a line is as long as its speed and acceleration make it: leave --raster out");
  refuse(o.searches() && o.onward, "--onward goes with neither --largest nor --map",
         "they search with moves to and fro, which ask for more: leave --onward out");
  const bool other_move =
      !o.speed.empty() || !o.stroke.empty() || !o.repeats.empty() || !o.dwell.empty() || o.onward;
  refuse(o.raster && other_move,
         "--raster takes speed, stroke, repeats and dwell from the raster of the file",
         "leave them out, or leave --raster out");
  refuse(o.onward && o.repeats.empty(), "--onward goes with --repeats only",
         "for example --repeats 10 --onward");
  refuse(!o.trace_file.empty() && o.searches(), "--trace goes with neither --largest nor --map",
         "a trace is of one move: leave --largest or --map out");
  refuse(!o.map && !o.svg_file.empty(), "--svg goes with --map only", "add --map");
  refuse(!o.map && !o.csv_file.empty(), "--csv goes with --map only",
         "add --map, or write one move with --trace");
  refuse(!o.map && !o.threads.empty(), "--threads goes with --map only", "add --map");
  refuse(!o.searches() && !(o.from.empty() && o.up_to.empty()),
         "--from and --up-to go with --largest and --map only", "add one of these");
  refuse(o.overwrite && o.svg_file.empty() && o.csv_file.empty() && o.trace_file.empty(),
         "--overwrite goes with --svg, --csv or --trace only", "add one of these");
}

// Said before a long run, and not after it.
void require_free(const Options& o) {
  if (o.overwrite) return;
  for (const std::string& file : {o.svg_file, o.csv_file, o.trace_file}) {
    std::error_code ignored;
    if (!file.empty() && std::filesystem::exists(file, ignored))
      throw UnusableOptions("there is a file of this name",
                            "name another, or allow it with --overwrite", file);
  }
}

int whole_of(std::string_view option, const std::string& text, int most) {
  const bool digits = text.find_first_not_of("0123456789") == std::string::npos;
  const int value = digits && !text.empty() && text.size() < 9 ? std::stoi(text) : 0;
  if (value < 1 || value > most)
    throw UnusableOptions(
        fmt::format("{} must be a whole number from 1 to {}, got \"{}\"", option, most, text),
        fmt::format("for example {} 4", option));
  return value;
}

double share_of(std::string_view option, const std::string& text) {
  double value = 0.0;
  const char* end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, value);
  if (text.empty() || error != std::errc() || stop != end || !(value >= 0.0 && value <= 1.0))
    throw UnusableOptions(fmt::format("{} must be a number from 0 to 1, got \"{}\"", option, text),
                          fmt::format("0 is at the near motor, 1 at the far one: {} 0.5", option));
  return value;
}

// A time that may be none.
Time time_of(std::string_view option, const std::string& text) {
  try {
    if (read_quantity<Time>(text) == Time{}) return {};
  } catch (const UnreadableQuantity&) {
    // Said better below.
  }
  return quantity_of<Time>(option, text, seconds(100));
}

machine::Axis axis_of(const machine::Machine& machine, const Options& o) {
  std::vector<std::string> names;
  for (const machine::Axis& axis : machine.axes) {
    if (axis.name == o.axis) return axis;
    names.push_back(axis.name);
  }
  const std::string all = fmt::format("the axes are: {}", fmt::join(names, ", "));
  if (o.axis.empty()) throw UnusableOptions("--axis is missing", all, o.machine_file);
  const auto nearest = nearest_word(o.axis, names);
  throw UnusableOptions(fmt::format("no axis \"{}\"{}", o.axis,
                                    nearest ? fmt::format(", did you mean {}?", *nearest) : ""),
                        all, o.machine_file);
}

// What the options say of the move in place of the file.
void change(machine::Axis& axis, const Options& o) {
  machine::Want& want = axis.want;
  if (!o.speed.empty()) want.speed = quantity_of<Speed>("--speed", o.speed, metres_per_second(20));
  if (!o.acceleration.empty())
    want.acceleration = quantity_of<Acceleration>("--acceleration", o.acceleration, hardest);
  if (!o.stroke.empty()) {
    const Length travel = machine::travel_of(axis.drive);
    want.stroke = quantity_of<Length>("--stroke", o.stroke, travel);
  }
  if (!o.jerk_time.empty()) want.jerk_time = time_of("--jerk-time", o.jerk_time);
  if (!o.dwell.empty()) want.dwell = time_of("--dwell", o.dwell);
  if (!o.repeats.empty()) want.repeats = whole_of("--repeats", o.repeats, 10'000);
  if (!o.onward) return;
  const Length travel = machine::travel_of(axis.drive);
  if (is_unset(want.stroke) || static_cast<double>(want.repeats) * want.stroke > travel)
    throw UnusableOptions(fmt::format("{} moves onward do not fit in the travel of {}",
                                      want.repeats, print_plain(travel)),
                          "a shorter --stroke, or fewer --repeats");
}

prove::MoveQuestion question_of(const check::AxisState& state, const Options& o) {
  prove::MoveQuestion question{.move = prove::move_to_simulate(state)};
  if (o.raster) {
    if (!state.axis.raster)
      throw UnusableOptions(fmt::format("axis {} has no raster", state.axis.name),
                            "describe it in the file, or leave --raster out", o.machine_file);
    question = prove::lines_of(check::raster_run(state, check::axis_across(state)),
                               state.axis.want.jerk_time);
  }
  if (o.onward) question.succession = simulate::Succession::onward;
  constexpr std::size_t rows_of_trace = 2000;
  if (!o.trace_file.empty()) question.trace_points = rows_of_trace;
  return question;
}

simulate::AccelerationSearch search_of(const Options& o) {
  simulate::AccelerationSearch search;
  if (!o.from.empty()) search.from = quantity_of<Acceleration>("--from", o.from, hardest);
  if (!o.up_to.empty()) search.up_to = quantity_of<Acceleration>("--up-to", o.up_to, hardest);
  return search;
}

report::LargestProof largest(const check::AxisState& state, const simulate::SimulatedAxis& axis,
                             const Options& o) {
  const Acceleration allowed = prove::allowed_by_torque(state);
  const simulate::AccelerationSearch search =
      prove::search_around(allowed, state.axis.want.acceleration, search_of(o));
  tools::Progress progress(prove::tries_at_most(search));
  return prove::prove_largest(state, axis, allowed, search, [&] { progress.add(1); });
}

report::TrustMap filled_map(const check::AxisState& state, const simulate::SimulatedAxis& axis,
                            const Options& o) {
  const simulate::AccelerationSearch bounds = search_of(o);
  report::TrustMap map = prove::map_to_fill(state, {.from = bounds.from, .up_to = bounds.up_to});
  const unsigned threads = o.threads.empty()
                               ? std::max(1U, std::thread::hardware_concurrency())
                               : static_cast<unsigned>(whole_of("--threads", o.threads, 256));
  const std::size_t cells = map.range.accelerations.size();
  tools::Progress progress(cells * map.range.speeds.size());
  map.columns.resize(map.range.speeds.size());
  tools::side_by_side(map.columns.size(), threads, [&](std::size_t i) {
    std::size_t tried = 0;
    map.columns[i] = prove::trust_column(axis, map, i, [&] {
      progress.add(1);
      ++tried;
    });
    // Above the first failure nothing is tried.
    progress.add(cells - std::min(cells, tried));
  });
  return map;
}

int run(const Options& o) {
  require_forms(o);
  require_free(o);
  io::Catalogue catalogue = io::standard_catalogue();
  if (!o.catalogue_file.empty())
    io::read_catalogue(io::read_file(o.catalogue_file), o.catalogue_file, catalogue);
  const machine::Machine machine =
      io::read_machine(io::read_file(o.machine_file), o.machine_file, catalogue);
  machine::Axis asked = axis_of(machine, o);
  change(asked, o);
  prove::SimulationChoice choice{.pulses = o.pulses, .switching = o.switching};
  if (!o.place.empty()) choice.place = share_of("--place", o.place);

  const check::AxisState state = check::state_of(machine, asked);
  const simulate::SimulatedAxis axis = prove::as_simulated(state, choice);
  if (!o.place.empty() && !axis.gantry)
    throw UnusableOptions(
        fmt::format("axis {} is not pulled by two motors with a belt each", asked.name),
        "leave --place out", o.machine_file);
  report::MoveReport report = prove::move_report(state, axis, choice);
  std::string text;
  {
    const tools::Interruptible until_all_is_computed;
    if (o.largest) {
      report.largest = largest(state, axis, o);
    } else if (o.map) {
      report.map = filled_map(state, axis, o);
    } else {
      report.move = prove::prove_move(state, axis, question_of(state, o));
    }
    text = o.json ? io::move_as_json(report) : io::print_move(report);
  }
  // First, because nothing is printed where a file cannot be written.
  if (!o.svg_file.empty()) io::write_file(o.svg_file, io::map_as_svg(report), o.overwrite);
  if (!o.csv_file.empty()) io::write_file(o.csv_file, io::map_as_csv(*report.map), o.overwrite);
  if (!o.trace_file.empty())
    io::write_file(o.trace_file, io::trace_as_csv(*report.move), o.overwrite);
  fmt::print("{}", text);
  return report.wanted_completes() ? tools::all_hold : tools::something_fails;
}

void add_options(CLI::App& app, Options& o) {
  app.add_option("MACHINE", o.machine_file, "the machine file, TOML")->required();
  app.add_option("--axis", o.axis, "the axis to move");
  app.add_option("--catalogue", o.catalogue_file,
                 "a catalogue file whose motors and belts come before the built-in ones");
  app.add_option("--speed", o.speed, "in place of the wanted one, \"400 mm/s\"");
  app.add_option("--acceleration", o.acceleration, "in place of the wanted one, \"5 m/s^2\"");
  app.add_option("--stroke", o.stroke,
                 "in place of that of the file, \"60 mm\"; without any, all the travel");
  app.add_option("--jerk-time", o.jerk_time,
                 "over which the acceleration builds up, \"30 ms\"; \"0 s\" for none");
  app.add_option("--repeats", o.repeats, "moves one after the other, to and fro");
  app.add_option("--dwell", o.dwell, "rest between two of them, \"20 ms\"; \"0 s\" for none");
  app.add_flag("--onward", o.onward, "all of them the same way");
  app.add_flag("--raster", o.raster, "lines of the raster of the axis, with their overrun");
  app.add_option("--place", o.place,
                 "where on a beam with two motors the carriage stands, 0 to 1; 0 if left out");
  app.add_flag("--pulses", o.pulses,
               "turn the field in microsteps, sent at the ticks of the controller");
  app.add_flag("--switching", o.switching, "let the driver switch, in place of its average");
  app.add_flag("--largest", o.largest,
               "find the largest acceleration that completes at the wanted speed");
  app.add_flag("--map", o.map, "find it at speeds up to 1.5 times the wanted one");
  app.add_option("--from", o.from, "least acceleration that --largest and --map try");
  app.add_option("--up-to", o.up_to, "largest acceleration that they try");
  app.add_option("--svg", o.svg_file, "write the map as a plot to this file, too");
  app.add_option("--csv", o.csv_file, "write every cell of the map to this file, too");
  app.add_option("--trace", o.trace_file,
                 "write error, load angle, force and current over time to this file, too");
  app.add_flag("--overwrite", o.overwrite, "let --svg, --csv and --trace replace a file");
  app.add_option("--threads", o.threads,
                 "columns of the map that run at once; all cores if left out");
  app.add_flag("--json", o.json, "print one JSON object in SI units instead of tables");
  app.set_version_flag("--version", PITCHLINE_VERSION, "print the version");
}

}  // namespace

int main(int argc, char** argv) try {
  Options o;
  CLI::App app{
      "Moves one axis of a machine file in time, from the equations of motor, driver, drive and "
      "load: does the move complete without a lost step, how close did it come, what does the tool "
      "do.\n"
      "Exit status: 0 what is wanted completes, 1 it loses a step or lies above what can be "
      "trusted, 2 the input cannot be used, 130 interrupted.",
      "pitchline-move"};
  add_options(app, o);
  if (const auto status = tools::parse(app, argc, argv)) return *status;
  return tools::run_and_report(o.machine_file, [&] { return run(o); });
} catch (...) {
  return pitchline::tools::unexpected_error();
}
