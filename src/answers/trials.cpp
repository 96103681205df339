// Answers of trial runs: friction, torque and margin of a built axis.

#include "pitchline/tune/trial_runs.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdint>
#include <utility>

#include "asked_tune.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_measurements.hpp"
#include "pitchline/io/read_option.hpp"

namespace pitchline::answer {
namespace {

using io::quantity_of;
using io::UnusableOptions;

void add_runs(std::vector<tune::TrialRun>& runs, std::string_view option,
              const std::vector<std::string>& pairs, bool held) {
  if (pairs.size() % 2 != 0)
    throw UnusableOptions(fmt::format("{} takes a speed and an acceleration", option),
                          fmt::format("for example {} \"300 mm/s\" \"2 m/s^2\"", option));
  for (std::size_t i = 0; i < pairs.size(); i += 2)
    runs.push_back({.speed = quantity_of<Speed>(option, pairs[i], metres_per_second(20)),
                    .acceleration = quantity_of<Acceleration>(option, pairs[i + 1],
                                                              metres_per_second_squared(200)),
                    .held = held});
}

std::vector<tune::TrialRun> runs_of(const TuneQuestion& q) {
  if (!q.runs.empty()) {
    require_in_file(q.runs, {}, {{"--held", &q.held}, {"--lost", &q.lost}});
    const std::string text = io::read_file(q.runs);
    std::vector<tune::TrialRun> runs =
        is_csv(q.runs) ? io::read_trials_csv(text, q.runs) : io::read_trials(text, q.runs);
    if (runs.empty()) throw UnusableOptions("the table has a head and no runs", {}, q.runs);
    return runs;
  }
  std::vector<tune::TrialRun> runs;
  add_runs(runs, "--held", q.held, true);
  add_runs(runs, "--lost", q.lost, false);
  if (runs.empty())
    throw UnusableOptions("no run is given",
                          "--held \"300 mm/s\" \"2 m/s^2\" and --lost likewise, or --runs FILE");
  return runs;
}

std::string text_of(const tune::TrialRun& run) {
  return fmt::format("{} at {}", print_plain(run.speed), print_plain(run.acceleration));
}

Table table_of(const std::vector<tune::TrialRun>& runs) {
  Table table{.key = "runs",
              .heading = "runs",
              .columns = {{"number", "run"},
                          {"speed", "speed"},
                          {"acceleration", "acceleration"},
                          {"result", "result", true}}};
  for (std::size_t i = 0; i < runs.size(); ++i)
    table.rows.push_back({static_cast<std::int64_t>(i + 1), runs[i].speed, runs[i].acceleration,
                          std::string(runs[i].held ? "held" : "lost")});
  return table;
}

void say_contradiction(Answer& answer, const tune::TrialResult& r,
                       const std::vector<tune::TrialRun>& runs) {
  answer.judgements.push_back({"explained", "one friction and one torque", tune::Judgement::fails,
                               "nothing explains all runs"});
  for (const tune::Contradiction& pair : r.pairs)
    answer.advice.push_back(fmt::format(
        "Run {} held ({}) though it asks for more than run {}, which lost steps ({}), "
        "whatever the friction.",
        pair.held + 1, text_of(runs[pair.held]), pair.lost + 1, text_of(runs[pair.lost])));
  if (r.pairs.empty())
    answer.advice.emplace_back(
        "No two runs contradict each other, but all of them together do: the torque does not fall "
        "with speed as the curve says, or one run was counted wrongly.");
  answer.advice.emplace_back(
      "Repeat the runs named ten times each. A slow run that loses steps where a fast one holds "
      "points to a resonance, not to friction: see pitchline-check for its speeds.");
}

void say_lines(Answer& answer, const machine::Machine& machine, const machine::Axis& axis,
               const tune::TrialResult& r) {
  const double builders = machine.torque_margin.value();
  if (!r.to_write) {
    answer.notes.push_back(
        fmt::format("The motor has {} times the dependable torque at least. No key of the machine "
                    "file makes it stronger: leave the file, the checks stay on the safe side.",
                    significant(r.least.strength, 3)));
    return;
  }
  answer.lines.push_back({fmt::format("[axis.{}] of the machine file, in guide", axis.name),
                          fmt::format("drag = \"{}\"", print_plain(r.to_write->drag, 3))});
  const TorqueMargin margin = tune::margin_to_write(machine.torque_margin, r.to_write->strength);
  if (margin.value() > builders) {
    // Rounded up, so that the check does not come out better than the machine.
    answer.lines.push_back(
        {"[machine] of the machine file",
         fmt::format("torque_margin = {:.2f}", std::ceil(margin.value() * 100.0) / 100.0)});
    answer.notes.push_back(
        fmt::format("torque_margin is {} over {}, the strength at which the wanted move keeps its "
                    "least margin; it counts for all axes, so the others are asked more too.",
                    significant(builders, 3), significant(r.to_write->strength, 3)));
  }
  answer.notes.emplace_back(
      "With these lines pitchline-check gives the wanted move the least margin of all "
      "explanations.");
}

struct Range {
  double least = 0.0;
  double most = 0.0;
};

// A figure between two bounds, the upper of which may be open.
Figure between(std::string key, std::string label, const Range& r, std::string note) {
  const double likely = std::isinf(r.most) ? r.least : (r.least + r.most) / 2.0;
  return figure_of(std::move(key), std::move(label),
                   tune::Estimate<double>{likely, r.least, r.most}, 3, std::move(note));
}

Judged judged_margin(const tune::TrialResult& r, double builders) {
  const tune::Judgement j = r.least_margin >= builders ? tune::Judgement::holds
                            : r.most_margin < builders ? tune::Judgement::fails
                                                       : tune::Judgement::unsure;
  const std::string met =
      std::isinf(r.most_margin)
          ? fmt::format("at least {}", significant(r.least_margin, 3))
          : fmt::format("{} to {}", significant(r.least_margin, 3), significant(r.most_margin, 3));
  return {"margin", "margin of the wanted move", j,
          fmt::format("{}, {} wanted", met, significant(builders, 3))};
}

// What the runs leave possible, where something explains them all.
void say_explained(Answer& answer, const machine::Machine& machine, const machine::Axis& axis,
                   const tune::TrialResult& r) {
  const double builders = machine.torque_margin.value();
  const bool settled = r.outcome == tune::TrialOutcome::settled;
  if (settled)
    answer.figures.push_back(figure_of(
        "drag", "drag of the guide",
        tune::Estimate<Force>{(r.least.drag + r.most.drag) / 2.0, r.least.drag, r.most.drag}, 3,
        "beside the friction coefficient of the file"));
  answer.figures.push_back(
      between("strength", "torque over the dependable", {r.least.strength, r.most.strength},
              settled ? "" : fmt::format("with the drag of the file, {}", r.least.drag)));
  answer.figures.push_back(
      between("margin", "margin of the wanted move", {r.least_margin, r.most_margin},
              fmt::format("{} at {}; {} is wanted", print_plain(axis.want.speed),
                          print_plain(axis.want.acceleration), significant(builders, 3))));
  answer.judgements.push_back(judged_margin(r, builders));
  if (settled) {
    say_lines(answer, machine, axis, r);
    if (r.drag_may_be_zero)
      answer.notes.emplace_back(
          "The drag may be nil: friction may even be less than the coefficient of the file "
          "says.");
    if (r.strength_open)
      answer.notes.push_back(fmt::format(
          "The search ended at {} times the dependable torque: slower and harder runs until one "
          "is lost would close it.",
          tune::strongest_looked_for));
  } else if (r.outcome == tune::TrialOutcome::none_lost) {
    answer.advice.emplace_back(
        "No run lost steps, so the machine has at least this. Raise the acceleration, slow and "
        "fast, until one is lost, to learn where it ends.");
  } else {
    answer.advice.emplace_back(
        "No run held, so the machine has at most this. Lower the acceleration until one holds.");
  }
}

}  // namespace

Answer trial_runs(const TuneQuestion& q, const io::Catalogue& catalogue) {
  const machine::Machine machine = io::read_machine(io::read_file(q.file), q.file, catalogue);
  const machine::Axis& axis = axis_asked_of(machine, q);
  const std::vector<tune::TrialRun> runs = runs_of(q);
  const tune::TrialResult r = tune::explain_trials(machine, axis, runs);
  Answer answer{.question = "trials"};
  answer.title =
      fmt::format("axis {}, {} trial run{}", axis.name, runs.size(), runs.size() == 1 ? "" : "s");
  if (r.outcome == tune::TrialOutcome::contradictory)
    say_contradiction(answer, r, runs);
  else
    say_explained(answer, machine, axis, r);
  answer.tables.push_back(table_of(runs));
  answer.notes.emplace_back(
      "Every swing of the load is counted at its worst: these are the figures with which "
      "pitchline-check is right about the runs, and no measurement of the motor alone. Count a run "
      "as held after ten.");
  answer.formula = {.lines = {"held: k T(v) >= asked(v; drag) at every moment of the real move",
                              "lost: not so at one moment at least",
                              "T: dependable torque; asked: as for the torque margin",
                              "k: one factor for all speeds"},
                    .symbols = {},
                    .source = "derived; the demand is that of the check of the torque margin"};
  return answer;
}

}  // namespace pitchline::answer
