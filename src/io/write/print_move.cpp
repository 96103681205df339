#include "pitchline/io/print_move.hpp"
#include "pitchline/report/finding.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>

#include "detail/wrap.hpp"
#include "pitchline/units.hpp"

namespace pitchline::io {
namespace {

using detail::wrapped;
using simulate::Outcome;

std::string line(std::string_view label, std::string_view text) {
  constexpr std::size_t width = 31;
  std::string out =
      wrapped(fmt::format("{}{}{}", label,
                          std::string(width - std::min(width - 1, label.size()), '\x01'), text),
              2, width + 2);
  // `wrapped` does not break at this sign.
  std::replace(out.begin(), out.end(), '\x01', ' ');
  return out;
}

// One digit, not below: between compilers only the last of many digits differs.
std::string one_digit_up(double x) {
  if (!(x > 0.0)) return "0";
  const double place = std::pow(10.0, std::floor(std::log10(x)));
  return fmt::format("{:g}", std::ceil(x / place * (1.0 - 1e-9)) * place);
}

// "4 moves of 60 mm to and fro, 10 ms apart".
std::string moves_of(const motion::RunningMove& move, const std::string& stroke,
                     simulate::Succession succession = simulate::Succession::to_and_fro) {
  if (move.in_succession == 1) return "one move of " + stroke;
  return fmt::format(
      "{} moves of {} {}, {}", move.in_succession, stroke,
      succession == simulate::Succession::to_and_fro ? "to and fro" : "onward in a row",
      move.dwell > seconds(0) ? print_plain(move.dwell) + " apart" : "without rest between");
}

std::string jerk_of(const motion::RunningMove& move) {
  return move.jerk_time > seconds(0) ? fmt::format("jerk time {}", print_plain(move.jerk_time))
                                     : std::string("no jerk time");
}

std::string step_text(Time step) { return print(step, 3, "us"); }

// What is below the accuracy of the proof has no digits worth reading.
std::string small_length(Length x, Length largest_error) {
  if (x == Length{}) return "none";
  if (x < report::proved_to * largest_error) return "below a thousandth of the largest error";
  return print(x);
}

std::string verdict_of(const report::MoveProof& proof) {
  const Outcome& outcome = proof.proved.answer.outcome;
  if (!proof.completes())
    return fmt::format(
        "LOSES STEPS: the load angle passes its edge {} after the start, and where the rotor ends "
        "is chance",
        outcome.slipped.value_or(Time{}));
  if (outcome.slipped)
    return fmt::format(
        "completes, but by chance: the load angle passed its edge {} after the start and came back",
        *outcome.slipped);
  return "completes without a lost step";
}

std::string settling_in_words(const report::MoveProof& proof) {
  const std::string within =
      fmt::format("within {}, {}", print_plain(proof.tolerance),
                  proof.asked ? "the wanted position error" : "one full step");
  const std::optional<Time>& settled = proof.proved.answer.settled;
  if (!settled) return fmt::format("not {} in the {} watched", within, print_plain(proof.watched));
  if (!(*settled > seconds(0))) return fmt::format("at once {}", within);
  return fmt::format("{} after the end {}", *settled, within);
}

std::string energy_section(const simulate::EnergyAccount& e) {
  std::string out = "\n  energy of the run\n";
  const auto put = [&](std::string_view what, Energy x) {
    out += fmt::format("    {:<45}{:>14}\n", what, print(x));
  };
  put("from the driver into the winding", e.electrical);
  put("to heat in the copper", e.copper);
  put("to friction, iron and losses of the drive", e.friction);
  put("to the drag of the motor", e.drag);
  put("to damping of the drive", e.damping);
  put("gained: height, currents, stretch", e.stored);
  const bool closes = e.imbalance() < 1e-6;
  out += fmt::format("    {:<45}{:>14}\n", "what the account leaves open, of the whole",
                     closes ? "below 1e-6" : significant(e.imbalance(), 2));
  return out;
}

std::string line_section(const report::LineProof& lines) {
  std::string out = line(
      "overrun beside a line",
      fmt::format("{} on each side, {} are left of the travel there", lines.overrun, lines.room));
  out += line("on the line, one way",
              fmt::format("{} to {} behind", lines.errors.up_from, lines.errors.up_to));
  if (lines.errors.down_to != lines.errors.down_from)
    out += line("on the line, the other way",
                fmt::format("{} to {} ahead", Length(-lines.errors.down_to),
                            Length(-lines.errors.down_from)));
  out += line(
      "offset of the two ways",
      fmt::format("{}, with lines {} apart", lines.errors.offset(), print_plain(lines.line_pitch)));
  out += line("wandering along a line", fmt::format("{} to either side", lines.errors.wandering()));
  return out;
}

std::string move_section(const report::MoveReport& report) {
  if (!report.move) return "";
  const report::MoveProof& proof = *report.move;
  const simulate::MoveAnswer& answer = proof.proved.answer;
  const Outcome& outcome = answer.outcome;
  std::string out = "\n";
  if (proof.line) out += wrapped(fmt::format("lines of {}:", print_plain(proof.line->line)), 0, 2);
  out += wrapped(fmt::format("{}, at {} and {}, {}",
                             moves_of(proof.move, print_plain(proof.move.stroke), proof.succession),
                             print_plain(proof.move.speed), print_plain(proof.move.acceleration),
                             jerk_of(proof.move)),
                 0, 2);
  if (proof.top_speed < (1.0 - 1e-9) * proof.move.speed)
    out += wrapped(
        fmt::format("this stroke is too short for its speed: it reaches {}", proof.top_speed), 2,
        4);
  out += wrapped(verdict_of(proof), 2, 4);
  if (!proof.completes()) return out;
  if (proof.proved.change > report::proved_to)
    out += wrapped(
        fmt::format("NOT PROVED: the verdict is the same at each of the finest steps, but half the "
                    "step still changes the figures below by {:.0f} %",
                    std::ceil(100.0 * proof.proved.change)),
        2, 4);
  out += line("largest load angle",
              fmt::format("{} electrical of the 180 at the edge; {} full steps of 2",
                          outcome.largest_load_angle, significant(proof.full_steps())));
  out += line("following error, largest", print(outcome.largest_following_error));
  const Length error = outcome.largest_following_error;
  out += line("following error, cruising", answer.cruising_error > Length{}
                                               ? print(answer.cruising_error)
                                               : std::string("it does not cruise"));
  const Length off = std::max(answer.rest_error, Length(-answer.rest_error));
  out += line("where it comes to rest",
              off < report::proved_to * error
                  ? std::string("the place commanded")
                  : fmt::format("{} {} the place commanded", off,
                                answer.rest_error < Length{} ? "beyond" : "short of"));
  out += line("overshoot after the end", small_length(answer.overshoot, error));
  out += line("ringing to either side", small_length(answer.ringing, error));
  out += line("settles", settling_in_words(proof));
  if (proof.line) out += line_section(*proof.line);
  out += line(report.has_belt ? "peak force of the belt" : "peak force of the drive",
              print(outcome.peak_belt_force));
  out += line("peak current of a phase", print(outcome.peak_current));
  if (report.bus)
    out += line("supply", fmt::format("{} to {}", outcome.lowest_bus, outcome.highest_bus));
  if (report.pair)
    out +=
        line("one side ahead of the other",
             fmt::format("{}, with the carriage at {} of the beam",
                         small_length(outcome.largest_skew, error), significant(report.place, 2)));
  out += line("proved by halving",
              fmt::format("steps of {} at most; at twice that no figure differs by more than {}",
                          step_text(proof.proved.step), one_digit_up(proof.proved.change)));
  return out + energy_section(outcome.energy);
}

std::string steady_in_words(const report::LargestProof& largest) {
  if (largest.steady == report::Verdict::holds) return "holds there: the motor damps its own swing";
  return fmt::format("{} there: {}", report::word(largest.steady), largest.steady_reason);
}

std::string largest_section(const report::MoveReport& report) {
  if (!report.largest) return "";
  const report::LargestProof& largest = *report.largest;
  const simulate::CompletingAcceleration& found = largest.proved.found;
  std::string out = "\nlargest acceleration\n";
  out +=
      wrapped(fmt::format("{}, at {}, {}", moves_of(largest.move, print_plain(largest.move.stroke)),
                          print_plain(largest.move.speed), jerk_of(largest.move)),
              2, 4);
  out += line("completes up to", found.completes ? print_down(*found.completes)
                                                 : std::string("nothing that was tried"));
  out += line("first loses a step at",
              found.fails ? print(*found.fails)
                          : fmt::format("none tried, up to {}", print(largest.up_to)));
  out += line("the check allows",
              fmt::format("{} by torque, with its margin of {}",
                          largest.allowed > Acceleration{} ? print_down(largest.allowed)
                                                           : std::string("nothing"),
                          significant(largest.margin.value(), 3)));
  if (!std::isnan(largest.ratio()))
    out += line("simulated over allowed", fmt::format("{}{}", found.fails ? "" : "more than ",
                                                      significant(largest.ratio(), 3)));
  out += line("steady running", steady_in_words(largest));
  out += line("wanted", fmt::format("{}: {}", print_plain(largest.move.acceleration),
                                    largest.wanted_completes() ? "within what completes"
                                                               : "ABOVE what can be trusted"));
  if (found.completes) {
    const Acceleration reached = largest.reached(*found.completes);
    if (reached < 0.95 * *found.completes)
      out += wrapped(fmt::format("the jerk time softens the move: at {} it reaches {}",
                                 print_down(*found.completes), reached),
                     2, 4);
  }
  out += line("looked at", fmt::format("from {} upwards by 2 % to the first failure, then halved",
                                       print(largest.from)));
  const bool between = found.completes && found.fails;
  out += line("proved by halving",
              fmt::format("steps of {} at most; at twice that {}", step_text(largest.proved.step),
                          between && largest.proved.change > 0.0
                              ? fmt::format("what completes differs by {} at most",
                                            one_digit_up(largest.proved.change))
                              : std::string("it is the same")));
  return out;
}

std::string map_section(const report::MoveReport& report) {
  if (!report.map) return "";
  const report::TrustMap& map = *report.map;
  std::string out = "\nspeed and acceleration that can be trusted\n";
  const std::string stroke =
      is_unset(map.move.stroke)
          ? "the shortest stroke that reaches the speed with the least acceleration tried"
          : print_plain(map.move.stroke);
  out += wrapped(fmt::format("{}, {}", moves_of(map.move, stroke), jerk_of(map.move)), 2, 4);
  const auto put = [&](std::string_view mark, std::string_view speed, std::string_view allowed,
                       std::string_view completes, std::string_view fails, std::string_view ratio) {
    std::string row = fmt::format("{:>3}{:>9}{:>18}{:>18}{:>14}{:>12}", mark, speed, allowed,
                                  completes, fails, ratio);
    row.erase(row.find_last_not_of(' ') + 1);
    out += row + "\n";
  };
  put("", "speed", "the check allows", "completes up to", "loses at", "over check");
  put("", "mm/s", "m/s^2", "m/s^2", "m/s^2", "");
  const auto figure = [](Acceleration a) { return significant(in_metres_per_second_squared(a)); };
  for (const report::TrustColumn& each : map.columns) {
    const simulate::MapColumn& column = each.column();
    const bool known = column.completes && each.allowed > Acceleration{};
    put(column.speed == map.move.speed ? "*" : "",
        significant(in_millimetres_per_second(column.speed)),
        each.allowed > Acceleration{} ? figure(each.allowed) : "nothing",
        column.completes ? figure(*column.completes) : "-",
        column.fails ? figure(*column.fails) : "none tried",
        known ? fmt::format("{}{}", column.fails ? "" : "> ",
                            significant(number(*column.completes / each.allowed), 3))
              : "-");
  }
  out += "  * the wanted speed\n";
  out += wrapped(
      fmt::format(
          "tried from {} to {} in steps of {} %; \"-\": the least of them loses a step already. "
          "What lies above the first failure is not offered: there a move completes by chance of "
          "its swing. Wanted are {}: {}.",
          print(map.range.accelerations.front()), print(map.range.accelerations.back()),
          significant(100.0 * (map.growth - 1.0), 2), print_plain(map.move.acceleration),
          map.wanted_completes().value_or(false) ? "within what completes"
                                                 : "ABOVE what can be trusted"),
      2, 4);
  Time coarsest{};
  for (const report::TrustColumn& each : map.columns)
    coarsest = std::max(coarsest, each.proved.step);
  out += wrapped(fmt::format("Proved by halving: the last that completes and the first that "
                             "fails do the same at steps of {}.",
                             step_text(coarsest)),
                 2, 4);
  for (const report::TrustColumn& each : map.columns)
    if (!each.proved.proved)
      out += fmt::format("  Not proved at {}: the halvings differ, the least of them stands.\n",
                         print_plain(each.column().speed));
  return out;
}

std::string listed(std::string_view head, const std::vector<std::string>& list) {
  if (list.empty()) return "";
  std::string out = fmt::format("\n{}\n", head);
  for (const std::string& each : list) out += wrapped("- " + each, 2, 4);
  return out;
}

}  // namespace

std::string print_move(const report::MoveReport& report) {
  return wrapped(fmt::format("{}: {}", report.name, report.parts), 0, 2) + move_section(report) +
         largest_section(report) + map_section(report) +
         listed("what the simulation counts and assumes", report.model) +
         listed("assumed, because the file leaves it out", report.assumed) +
         listed("cautions", report.cautions);
}

}  // namespace pitchline::io
