// Answers of the ear and of trial runs: tension of belts, friction and torque of a built axis.

#include <algorithm>
#include <cmath>

#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_measurements.hpp"
#include "pitchline/parts/belt.hpp"
#include "pitchline/tune/trial_runs.hpp"
#include "tune_answers.hpp"

namespace pitchline::tools {
namespace {

using io::figure_of;
using io::TuneAnswer;

io::BeltsMeasurement belts_by_options(const TuneOptions& o, const io::Catalogue& catalogue) {
  io::BeltsMeasurement m;
  tune::PluckedBelt like;
  if (!o.mass_per_length.empty()) {
    like.span.mass_per_length = quantity_of<LinearDensity>("--mass-per-length", o.mass_per_length);
    m.mass_source = "as given";
  } else {
    if (o.profile.empty())
      throw UnusableOptions("--profile or --mass-per-length is missing",
                            "for example --profile \"GT 2 mm\" --width \"9 mm\"");
    const auto found = catalogue.belts.find(o.profile);
    if (found == catalogue.belts.end()) {
      std::vector<std::string> names;
      for (const auto& [name, belt] : catalogue.belts) names.push_back(name);
      const auto nearest = nearest_word(o.profile, names);
      throw UnusableOptions(
          fmt::format("unknown profile \"{}\"{}", o.profile,
                      nearest ? fmt::format(", did you mean \"{}\"?", *nearest) : ""),
          "pitchline-belt profiles shows them all");
    }
    like.span.mass_per_length = parts::mass_per_length(
        {.profile = found->second, .width = quantity_of<Length>("--width", o.width, metres(1))});
    if (is_unset(like.span.mass_per_length))
      throw UnusableOptions(
          fmt::format("no source gives the mass of {}", o.profile),
          "weigh a piece of the belt and give --mass-per-length, for example \"12.6 g/m\"");
    m.mass_source = found->second.mass_source;
  }
  m.wanted = quantity_of<Force>("--wanted", o.wanted);
  if (!o.allowed.empty())
    m.allowed = number_of("--allowed", o.allowed, "a part > 0 and < 1",
                          [](double x) { return x > 0.0 && x < 1.0; });
  like.frequency_resolution =
      quantity_of<Frequency>("--frequency-resolution", o.frequency_resolution);
  like.span_resolution = quantity_of<Length>("--span-resolution", o.span_resolution);
  if (!o.bending_stiffness.empty()) {
    static constexpr Kind kind{"a bending stiffness",
                               "0.0005 N*m^2",
                               "N*m^2",
                               "N*m^2",
                               exponents_of<belt::BendingStiffness>,
                               0};
    like.span.bending_stiffness = coherent_of("--bending-stiffness", o.bending_stiffness, kind) *
                                  newtons(1) * square_metres(1);
  }
  if (o.span.empty() || o.span.size() != o.frequency.size() || o.span.size() > 2)
    throw UnusableOptions(
        fmt::format("{} spans and {} frequencies", o.span.size(), o.frequency.size()),
        "one --span and one --frequency, or two of each for both sides of a gantry, left first");
  for (std::size_t i = 0; i < o.span.size(); ++i) {
    tune::PluckedBelt belt = like;
    belt.name = o.span.size() == 1 ? "belt" : (i == 0 ? "left" : "right");
    belt.span.free_length = quantity_of<Length>("--span", o.span[i], metres(100));
    belt.frequency = quantity_of<Frequency>("--frequency", o.frequency[i], hertz(20'000));
    m.belts.push_back(std::move(belt));
  }
  return m;
}

std::string advice_of(const tune::PluckedBelt& belt, const tune::BeltTension& t, Force wanted) {
  const bool one = t.wanted_frequency.least == t.wanted_frequency.most;
  const std::string to =
      one ? fmt::format("{}", t.wanted_frequency.value)
          : fmt::format("{} to {}", t.wanted_frequency.least, t.wanted_frequency.most);
  switch (t.advice) {
    case tune::BeltAdvice::leave:
      return fmt::format("{}: leave it.", belt.name);
    case tune::BeltAdvice::tighten:
      return fmt::format("{}: tighten it until {} long sounds at {}.", belt.name,
                         print_plain(belt.span.free_length, 6), to);
    case tune::BeltAdvice::slacken:
      return fmt::format("{}: slacken it until {} long sounds at {}.", belt.name,
                         print_plain(belt.span.free_length, 6), to);
    case tune::BeltAdvice::cannot_tell:
      break;
  }
  return fmt::format(
      "{}: the measurement cannot tell whether it keeps to {}; it should sound at "
      "{}.",
      belt.name, wanted, to);
}

tune::Judgement judgement_of(tune::BeltAdvice advice) {
  if (advice == tune::BeltAdvice::leave) return tune::Judgement::holds;
  return advice == tune::BeltAdvice::cannot_tell ? tune::Judgement::unsure : tune::Judgement::fails;
}

}  // namespace

TuneAnswer answer_belts(const TuneOptions& o, const io::Catalogue& catalogue) {
  io::BeltsMeasurement m;
  if (o.file.empty()) {
    m = belts_by_options(o, catalogue);
  } else {
    for (const auto& [option, text] :
         {std::pair{"--profile", &o.profile}, std::pair{"--width", &o.width},
          std::pair{"--mass-per-length", &o.mass_per_length}, std::pair{"--wanted", &o.wanted},
          std::pair{"--allowed", &o.allowed},
          std::pair{"--frequency-resolution", &o.frequency_resolution},
          std::pair{"--span-resolution", &o.span_resolution},
          std::pair{"--bending-stiffness", &o.bending_stiffness}})
      require_absent(option, *text, o.file);
    for (const auto* list : {&o.span, &o.frequency})
      require_absent(list == &o.span ? "--span" : "--frequency", list->empty() ? "" : list->front(),
                     o.file);
    m = io::read_belts(io::read_file(o.file), o.file, catalogue);
  }
  TuneAnswer answer{.question = "belts"};
  answer.title =
      fmt::format("plucked belt{}, {} in each strand wanted, {} % allowed",
                  m.belts.size() == 1 ? "" : "s", m.wanted, significant(100.0 * m.allowed, 3));
  const Force least = (1.0 - m.allowed) * m.wanted;
  const Force most = (1.0 + m.allowed) * m.wanted;
  for (const tune::PluckedBelt& belt : m.belts) {
    const tune::BeltTension t = tune::against_wanted(belt, m.wanted, m.allowed);
    answer.figures.push_back(
        figure_of("tension_" + belt.name, "tension, " + belt.name, t.tension, 4));
    io::TuneFigure sound =
        figure_of("wanted_frequency_" + belt.name, "it should sound at", t.wanted_frequency, 4);
    if (t.wanted_frequency.least == t.wanted_frequency.most)
      sound.least = sound.most = Measure::ratio(std::nan(""));
    answer.figures.push_back(std::move(sound));
    answer.judgements.push_back(
        {"tension_" + belt.name, "tension, " + belt.name, judgement_of(t.advice),
         fmt::format("{} to {}, {} to {} allowed", t.tension.least, t.tension.most, least, most)});
    answer.advice.push_back(advice_of(belt, t, m.wanted));
    if (t.octave)
      answer.notes.push_back(
          fmt::format("{}: {} is near {} what is wanted. A microphone hears the octave as readily: "
                      "pluck again at the middle of the span.",
                      belt.name, print_plain(belt.frequency),
                      belt.frequency > t.wanted_frequency.value ? "twice" : "half"));
  }
  if (m.belts.size() == 2) {
    const tune::BeltBalance b = tune::balance(m.belts[0], m.belts[1], m.allowed);
    answer.figures.push_back(figure_of(
        "difference", fmt::format("{} less {}", m.belts[0].name, m.belts[1].name), b.difference, 3,
        fmt::format("{} % of their mean", significant(100.0 * b.part, 2))));
    answer.judgements.push_back(
        {"balance", "both sides alike", b.judgement,
         fmt::format("{} to {} apart, {} % of the mean allowed", b.difference.least,
                     b.difference.most, significant(100.0 * m.allowed, 3))});
    if (b.judgement == tune::Judgement::fails)
      answer.advice.push_back(
          fmt::format("{} is the slacker: a gantry whose belts differ runs askew under load.",
                      b.difference.value < newtons(0) ? m.belts[0].name : m.belts[1].name));
  }
  io::TuneFigure mass;
  mass.key = "mass_per_length";
  mass.label = "mass per length";
  mass.value = m.belts.front().span.mass_per_length;
  mass.note = m.mass_source;
  answer.figures.push_back(std::move(mass));
  answer.formula = {"T = 4 m L^2 f^2                without stiffness",
                    "T = 4 m L^2 f^2 - pi^2 EI/L^2  ends pinned; clamped: beam in tension",
                    "interval: half a step of frequency and span either way, both kinds of ends"};
  answer.source = "vibration of a string, and of a beam in tension";
  return answer;
}

namespace {

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

std::vector<tune::TrialRun> runs_of(const TuneOptions& o) {
  if (!o.runs.empty()) {
    require_absent("--held", o.held.empty() ? "" : o.held.front(), o.runs);
    require_absent("--lost", o.lost.empty() ? "" : o.lost.front(), o.runs);
    const std::string text = io::read_file(o.runs);
    std::vector<tune::TrialRun> runs =
        is_csv(o.runs) ? io::read_trials_csv(text, o.runs) : io::read_trials(text, o.runs);
    if (runs.empty()) throw UnusableOptions("the table has a head and no runs", {}, o.runs);
    return runs;
  }
  std::vector<tune::TrialRun> runs;
  add_runs(runs, "--held", o.held, true);
  add_runs(runs, "--lost", o.lost, false);
  if (runs.empty())
    throw UnusableOptions("no run is given",
                          "--held \"300 mm/s\" \"2 m/s^2\" and --lost likewise, or --runs FILE");
  return runs;
}

const machine::Axis& axis_of(const machine::Machine& machine, const TuneOptions& o) {
  std::vector<std::string> names;
  for (const machine::Axis& axis : machine.axes) {
    if (axis.name == o.axis) return axis;
    names.push_back(axis.name);
  }
  if (o.axis.empty() && machine.axes.size() == 1) return machine.axes.front();
  const std::string help = fmt::format("known: {}", fmt::join(names, ", "));
  if (o.axis.empty()) throw UnusableOptions("--axis is missing", help);
  const auto nearest = nearest_word(o.axis, names);
  throw UnusableOptions(fmt::format("unknown axis \"{}\"{}", o.axis,
                                    nearest ? fmt::format(", did you mean {}?", *nearest) : ""),
                        help);
}

std::string text_of(const tune::TrialRun& run) {
  return fmt::format("{} at {}", print_plain(run.speed), print_plain(run.acceleration));
}

io::AnswerTable table_of(const std::vector<tune::TrialRun>& runs) {
  io::AnswerTable table{.key = "runs",
                        .heading = "runs",
                        .columns = {{"number", "run"},
                                    {"speed", "speed"},
                                    {"acceleration", "acceleration"},
                                    {"result", "result"}}};
  for (std::size_t i = 0; i < runs.size(); ++i)
    table.rows.push_back({static_cast<std::int64_t>(i + 1), runs[i].speed, runs[i].acceleration,
                          std::string(runs[i].held ? "held" : "lost")});
  return table;
}

void say_contradiction(TuneAnswer& answer, const tune::TrialResult& r,
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

void say_lines(TuneAnswer& answer, const machine::Machine& machine, const machine::Axis& axis,
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

}  // namespace

TuneAnswer answer_trials(const TuneOptions& o, const io::Catalogue& catalogue) {
  const machine::Machine machine = io::read_machine(io::read_file(o.file), o.file, catalogue);
  const machine::Axis& axis = axis_of(machine, o);
  const std::vector<tune::TrialRun> runs = runs_of(o);
  const tune::TrialResult r = tune::explain_trials(machine, axis, runs);
  TuneAnswer answer{.question = "trials"};
  answer.title =
      fmt::format("axis {}, {} trial run{}", axis.name, runs.size(), runs.size() == 1 ? "" : "s");
  const double builders = machine.torque_margin.value();
  const auto both = [&](std::string key, std::string label, double least, double most,
                        std::string note) {
    const bool open = std::isinf(most);
    answer.figures.push_back(
        figure_of(std::move(key), std::move(label),
                  tune::Estimate<double>{open ? least : (least + most) / 2.0, least, most}, 3,
                  std::move(note)));
  };
  if (r.outcome == tune::TrialOutcome::contradictory) {
    say_contradiction(answer, r, runs);
  } else {
    const bool settled = r.outcome == tune::TrialOutcome::settled;
    if (settled)
      answer.figures.push_back(figure_of(
          "drag", "drag of the guide",
          tune::Estimate<Force>{(r.least.drag + r.most.drag) / 2.0, r.least.drag, r.most.drag}, 3,
          "beside the friction coefficient of the file"));
    both("strength", "torque over the dependable", r.least.strength, r.most.strength,
         settled ? "" : fmt::format("with the drag of the file, {}", r.least.drag));
    both("margin", "margin of the wanted move", r.least_margin, r.most_margin,
         fmt::format("{} at {}; {} is wanted", print_plain(axis.want.speed),
                     print_plain(axis.want.acceleration), significant(builders, 3)));
    const tune::Judgement j =
        r.least_margin >= builders
            ? tune::Judgement::holds
            : (r.most_margin < builders ? tune::Judgement::fails : tune::Judgement::unsure);
    answer.judgements.push_back(
        {"margin", "margin of the wanted move", j,
         std::isinf(r.most_margin)
             ? fmt::format("at least {}, {} wanted", significant(r.least_margin, 3),
                           significant(builders, 3))
             : fmt::format("{} to {}, {} wanted", significant(r.least_margin, 3),
                           significant(r.most_margin, 3), significant(builders, 3))});
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
  answer.tables.push_back(table_of(runs));
  answer.notes.emplace_back(
      "Every swing of the load is counted at its worst: these are the figures with which "
      "pitchline-check is right about the runs, and no measurement of the motor alone. Count a run "
      "as held after ten.");
  answer.formula = {"held: k T(v) >= asked(v; drag) at every moment of the real move",
                    "lost: not so at one moment at least",
                    "T: dependable torque; asked: as for the torque margin",
                    "k: one factor for all speeds"};
  answer.source = "derived; the demand is that of the check of the torque margin";
  return answer;
}

}  // namespace pitchline::tools
