// Answers of the ear: the tension of plucked belts against the one wanted.

#include <fmt/format.h>

#include <utility>

#include "asked_belt.hpp"
#include "asked_tune.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_measurements.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/parts/belt.hpp"
#include "pitchline/tune/belt_balance.hpp"

namespace pitchline::answer {
namespace {

using io::quantity_of;
using io::UnusableOptions;

// The mass of the belt, weighed or that of its profile.
LinearDensity mass_of(const TuneQuestion& q, const io::Catalogue& catalogue, std::string& source) {
  if (!q.mass_per_length.empty()) {
    for (const auto& [option, text] : {Typed{"--profile", &q.profile}, Typed{"--width", &q.width}})
      io::require_absent(!text->empty(),
                         fmt::format("{} does not go with --mass-per-length", option),
                         "the mass that you weighed says all that is asked: leave one out");
    source = "as given";
    return quantity_of<LinearDensity>("--mass-per-length", q.mass_per_length);
  }
  if (q.profile.empty())
    throw UnusableOptions("--profile or --mass-per-length is missing",
                          "for example --profile \"GT 2 mm\" --width \"9 mm\"");
  const parts::BeltProfile& profile = listed_profile(q.profile, catalogue);
  const LinearDensity mass = parts::mass_per_length(
      {.profile = profile, .width = quantity_of<Length>("--width", q.width, metres(1))});
  require_mass(mass, q.profile);
  source = profile.mass_source;
  return mass;
}

io::BeltsMeasurement belts_by_options(const TuneQuestion& q, const io::Catalogue& catalogue) {
  io::BeltsMeasurement m;
  tune::PluckedBelt like;
  like.span.mass_per_length = mass_of(q, catalogue, m.mass_source);
  m.wanted = quantity_of<Force>("--wanted", q.wanted);
  if (!q.allowed.empty())
    m.allowed = io::number_of({.option = "--allowed",
                               .text = q.allowed,
                               .rule = "a part > 0 and < 1",
                               .holds = [](double x) { return x > 0.0 && x < 1.0; }});
  like.frequency_resolution =
      quantity_of<Frequency>("--frequency-resolution", q.frequency_resolution);
  like.span_resolution = quantity_of<Length>("--span-resolution", q.span_resolution);
  if (!q.bending_stiffness.empty())
    like.span.bending_stiffness = bending_stiffness_of(q.bending_stiffness);
  if (q.span.empty() || q.span.size() != q.frequency.size() || q.span.size() > 2)
    throw UnusableOptions(
        fmt::format("{} spans and {} frequencies", q.span.size(), q.frequency.size()),
        "one --span and one --frequency, or two of each for both sides of a gantry, left first");
  for (std::size_t i = 0; i < q.span.size(); ++i) {
    tune::PluckedBelt belt = like;
    belt.name = q.span.size() == 1 ? "belt" : (i == 0 ? "left" : "right");
    belt.span.free_length = quantity_of<Length>("--span", q.span[i], metres(100));
    belt.frequency = quantity_of<Frequency>("--frequency", q.frequency[i], hertz(20'000));
    m.belts.push_back(std::move(belt));
  }
  return m;
}

io::BeltsMeasurement belts_of(const TuneQuestion& q, const io::Catalogue& catalogue) {
  if (q.file.empty()) return belts_by_options(q, catalogue);
  require_in_file(q.file,
                  {{"--profile", &q.profile},
                   {"--width", &q.width},
                   {"--mass-per-length", &q.mass_per_length},
                   {"--wanted", &q.wanted},
                   {"--allowed", &q.allowed},
                   {"--frequency-resolution", &q.frequency_resolution},
                   {"--span-resolution", &q.span_resolution},
                   {"--bending-stiffness", &q.bending_stiffness}},
                  {{"--span", &q.span}, {"--frequency", &q.frequency}});
  return io::read_belts(io::read_file(q.file), q.file, catalogue);
}

bool in_one(const tune::Estimate<Frequency>& e) { return e.least == e.most; }

std::string advice_of(const tune::PluckedBelt& belt, const tune::BeltTension& t, Force wanted) {
  const std::string to =
      in_one(t.wanted_frequency)
          ? fmt::format("{}", t.wanted_frequency.value)
          : fmt::format("{} to {}", t.wanted_frequency.least, t.wanted_frequency.most);
  const auto until = [&](std::string_view act) {
    return fmt::format("{}: {} it until {} long sounds at {}.", belt.name, act,
                       print_plain(belt.span.free_length, 6), to);
  };
  switch (t.advice) {
    case tune::BeltAdvice::leave:
      return fmt::format("{}: leave it.", belt.name);
    case tune::BeltAdvice::tighten:
      return until("tighten");
    case tune::BeltAdvice::slacken:
      return until("slacken");
    case tune::BeltAdvice::cannot_tell:
      break;
  }
  return fmt::format(
      "{}: the measurement cannot tell whether it keeps to {}; it should sound at {}.", belt.name,
      wanted, to);
}

tune::Judgement judgement_of(tune::BeltAdvice advice) {
  if (advice == tune::BeltAdvice::leave) return tune::Judgement::holds;
  return advice == tune::BeltAdvice::cannot_tell ? tune::Judgement::unsure : tune::Judgement::fails;
}

void add_belt(Answer& answer, const io::BeltsMeasurement& m, const tune::PluckedBelt& belt) {
  const tune::BeltTension t = tune::against_wanted(belt, m.wanted, m.allowed);
  answer.figures.push_back(
      figure_of("tension_" + belt.name, "tension, " + belt.name, t.tension, 4));
  answer.figures.push_back(
      figure_of("wanted_frequency_" + belt.name, "it should sound at", t.wanted_frequency, 4));
  if (in_one(t.wanted_frequency)) answer.figures.back().interval.reset();
  const Force least = (1.0 - m.allowed) * m.wanted;
  const Force most = (1.0 + m.allowed) * m.wanted;
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

void add_balance(Answer& answer, const io::BeltsMeasurement& m) {
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

}  // namespace

Answer plucked_belts(const TuneQuestion& q, const io::Catalogue& catalogue) {
  const io::BeltsMeasurement m = belts_of(q, catalogue);
  Answer answer{.question = "belts"};
  answer.title =
      fmt::format("plucked belt{}, {} in each strand wanted, {} % allowed",
                  m.belts.size() == 1 ? "" : "s", m.wanted, significant(100.0 * m.allowed, 3));
  for (const tune::PluckedBelt& belt : m.belts) add_belt(answer, m, belt);
  if (m.belts.size() == 2) add_balance(answer, m);
  answer.figures.push_back({.key = "mass_per_length",
                            .label = "mass per length",
                            .value = m.belts.front().span.mass_per_length,
                            .note = m.mass_source});
  answer.formula = {
      .lines = {"T = 4 m L^2 f^2                without stiffness",
                "T = 4 m L^2 f^2 - pi^2 EI/L^2  ends pinned; clamped: beam in tension",
                "interval: half a step of frequency and span either way, both kinds of ends"},
      .symbols = {},
      .source = "vibration of a string, and of a beam in tension"};
  return answer;
}

}  // namespace pitchline::answer
