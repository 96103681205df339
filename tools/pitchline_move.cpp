// Moves one axis of a machine file in time: does a move complete without a lost step, how close did
// it come, and which speeds and accelerations can be trusted.

#include "command_line.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cstdint>
#include <optional>
#include <thread>

#include "long_run.hpp"
#include "move_options.hpp"
#include "pitchline/check/rows/duty.hpp"
#include "pitchline/check/rows/raster.hpp"
#include "pitchline/io/print_move.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/io/write_file.hpp"
#include "pitchline/prove/as_simulated.hpp"
#include "pitchline/prove/move_proof.hpp"
#include "pitchline/prove/move_report.hpp"
#include "pitchline/prove/trust_map.hpp"
#include "pitchline/units/nearest.hpp"
#include "side_by_side.hpp"

namespace {

using namespace pitchline;
using io::quantity_of;
using io::UnusableOptions;

using Options = tools::MoveOptions;

// Beyond this an axis is not asked for; it only keeps a slip of the keyboard from running for ever.
const Acceleration hardest = metres_per_second_squared(10'000);

std::size_t whole_of(std::string_view option, const std::string& text, std::int64_t most) {
  const std::string help = fmt::format("for example {} 4", option);
  return static_cast<std::size_t>(
      io::whole_of({.option = option, .text = text, .most = most, .help = help}));
}

double share_of(std::string_view option, const std::string& text) {
  return io::number_of(
      {.option = option,
       .text = text,
       .rule = "a number from 0 to 1",
       .holds = [](double x) { return x >= 0.0 && x <= 1.0; },
       .help = fmt::format("0 is at the near motor, 1 at the far one: {} 0.5", option)});
}

// A time that may be none.
Time time_of(std::string_view option, const std::string& text) {
  constexpr double most = 100.0;  // s
  std::optional<Time> time{};
  try {
    time = read_quantity<Time>(text);
  } catch (const UnreadableQuantity&) {
    // Said better below.
  }
  if (time && *time >= Time{} && *time <= seconds(most)) return *time;
  if (time)
    throw UnusableOptions(
        fmt::format("{} must be >= 0 and at most {}, got \"{}\"", option, seconds(most), text),
        fmt::format("for example {} \"0.2 s\"", option));
  return quantity_of<Time>(option, text, seconds(most));
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
  if (!o.repeats.empty()) want.repeats = static_cast<int>(whole_of("--repeats", o.repeats, 10'000));
  if (!o.dwell.empty() && want.repeats == 1)
    throw UnusableOptions("--dwell goes with several moves only, and this is one",
                          "for example --repeats 10, or leave --dwell out");
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
  if (!o.trace_file.empty()) question.trace_points = prove::trace_points(state, question);
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
  const simulate::AccelerationSearch search = prove::search_around(
      {.allowed = allowed, .wanted = state.axis.want.acceleration}, search_of(o));
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
  tools::require_usable(o);
  io::Catalogue catalogue = io::standard_catalogue();
  if (!o.catalogue_file.empty())
    io::read_catalogue(io::read_file(o.catalogue_file), o.catalogue_file, catalogue);
  const machine::Machine machine =
      io::read_machine(io::read_file(o.machine_file), o.machine_file, catalogue);
  machine::Axis asked = axis_of(machine, o);
  change(asked, o);
  prove::SimulationChoice choice{
      .pulses = o.pulses, .switching = o.switching, .ideal_motor = o.ideal_motor};
  // A beam that can bend does so most under a carriage in its middle.
  if (asked.beam && machine::motors_of(asked.drive) == 2 &&
      machine::as<axis::BeltAxis>(asked.drive) != nullptr)
    choice.place = 0.5;
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
  tools::print(text);
  return report.wanted_completes() ? tools::all_hold : tools::something_fails;
}

}  // namespace

int main(int argc, char** argv) try {
  Options o;
  tools::CommandLine line(
      "pitchline-move",
      "Moves one axis of a machine file in time, from the equations of motor, driver, drive and "
      "load: does the move complete without a lost step, how close did it come, what does the tool "
      "do.\n"
      "Exit status: 0 what is wanted completes, 1 it loses a step or lies above what can be "
      "trusted, 2 the input cannot be used, 130 interrupted.");
  add_options(line, o);
  if (const auto status = line.parse(argc, argv)) return *status;
  return tools::run_and_report(o.machine_file, [&] { return run(o); });
} catch (...) {
  return pitchline::tools::unexpected_error();
}
