// Answers about the tone of a plucked span.

#include "pitchline/belt/plucked_span.hpp"

#include <fmt/format.h>

#include "asked_belt.hpp"
#include "pitchline/belt/tension.hpp"
#include "pitchline/belt/tension_to_set.hpp"
#include "pitchline/io/read_option.hpp"

namespace pitchline::answer {
namespace {

using io::quantity_of;

struct Span {
  parts::Belt belt{};
  belt::PluckedSpan span{};
  std::string mass_source{};
  std::string title{};
  bool stiff = false;
};

// The span as if it bent freely.
belt::PluckedSpan free_to_bend(belt::PluckedSpan span) {
  span.bending_stiffness = 0.0 * span.bending_stiffness;
  return span;
}

Span span_of(const BeltQuestion& q, const io::Catalogue& catalogue) {
  Span s;
  if (q.mass_per_length.empty() || !q.profile.empty()) {
    s.belt.profile = profile_of(q, catalogue, false);
    s.belt.width = quantity_of<Length>("--width", q.width);
    s.title = fmt::format("{}, {} wide, ", s.belt.profile.name, print_plain(s.belt.width));
  } else {
    io::require_absent(!q.width.empty(), "--width goes with --profile only",
                       "--mass-per-length says the mass: leave --width out, or add --profile");
  }
  if (q.mass_per_length.empty()) {
    s.mass_source = s.belt.profile.mass_source;
    s.span.mass_per_length = parts::mass_per_length(s.belt);
    require_mass(s.span.mass_per_length, s.belt.profile.name);
  } else {
    s.mass_source = "as given";
    s.span.mass_per_length = quantity_of<LinearDensity>("--mass-per-length", q.mass_per_length);
  }
  s.span.free_length = quantity_of<Length>("--span", q.span);
  s.title += fmt::format("free span of {}", print_plain(s.span.free_length, 6));
  s.stiff = !q.bending_stiffness.empty();
  if (s.stiff) s.span.bending_stiffness = bending_stiffness_of(q.bending_stiffness);
  return s;
}

void explain_span(Answer& answer, const BeltQuestion& q, const Span& s, Force tension,
                  Frequency frequency) {
  answer.formula.symbols = {{"L", "free span", s.span.free_length},
                            {"m", "mass per length", s.span.mass_per_length},
                            {"f", "frequency", frequency},
                            {"T", "tension of the strand", tension}};
  if (s.stiff) answer.formula.symbols.push_back({"EI", "bending stiffness", q.bending_stiffness});
  answer.formula.source =
      "vibration of a string, and of a beam in tension with its ends pinned or clamped; the rule "
      "of the sonic tension meter (STM p. 10) is the same without stiffness";
  answer.notes.emplace_back(
      "A microphone may hear twice the frequency, or that of another span: pluck the longest "
      "free span and compare.");
}

// What tells of the belt itself.
void add_belt(Answer& answer, const Span& s) {
  if (!is_unset(s.belt.width)) {
    const parts::Sourced<Force> start = belt::start_tension(s.belt);
    const parts::Sourced<Force> least = belt::least_tension(s.belt);
    const belt::TensionToSet set = belt::tension_to_set(s.belt);
    if (set.known()) {
      answer.figures.push_back({"tension_to_set", "set each strand to", set.value, set.source});
      answer.figures.push_back({"tension_to_set_least", "at least", set.least, ""});
      if (!is_unset(set.most))
        answer.figures.push_back({"tension_to_set_most", "at most", set.most,
                                  "pitchline-check takes less where belt or shaft bear less, and "
                                  "more where a strand would go slack"});
    }
    if (start.known())
      answer.figures.push_back(
          {"start_tension", "listed to start with", start.value, start.source});
    if (least.known())
      answer.figures.push_back({"least_tension", "listed at least", least.value, least.source});
  }
  answer.figures.push_back(
      {"mass_per_length", "mass per length", s.span.mass_per_length, s.mass_source});
}

}  // namespace

Answer span_tension(const BeltQuestion& q, const io::Catalogue& catalogue) {
  const Span s = span_of(q, catalogue);
  const auto frequency = quantity_of<Frequency>("--frequency", q.frequency);
  Answer answer{.question = "tension",
                .title = s.title + fmt::format(", sounds at {}", print_plain(frequency))};
  const Force tension = belt::plucked_tension(free_to_bend(s.span), frequency);
  if (s.stiff) {
    const belt::TensionBounds bounds = belt::plucked_tension_bounds(s.span, frequency);
    answer.figures = {
        {"least_tension_of_strand", "tension, ends clamped", bounds.least, ""},
        {"most_tension_of_strand", "tension, ends pinned", bounds.most, "a real belt lies between"},
        {"tension", "tension without stiffness", tension, ""}};
    answer.formula.lines = {"T = 4 m L^2 f^2                   without stiffness",
                            "T = 4 m L^2 f^2 - pi^2 EI/L^2     ends pinned",
                            "ends clamped: lowest root of the equation of a beam in tension"};
  } else {
    answer.figures = {{"tension", "tension of the strand", tension, ""}};
    answer.formula.lines = {"T = 4 m L^2 f^2"};
  }
  add_belt(answer, s);
  explain_span(answer, q, s, tension, frequency);
  return answer;
}

Answer span_frequency(const BeltQuestion& q, const io::Catalogue& catalogue) {
  const Span s = span_of(q, catalogue);
  const auto tension = quantity_of<Force>("--tension", q.tension);
  Answer answer{.question = "frequency",
                .title = s.title + fmt::format(", tension {}", print_plain(tension))};
  const Frequency frequency = belt::plucked_frequency(free_to_bend(s.span), tension);
  if (s.stiff) {
    belt::PluckedSpan span = s.span;
    span.ends = belt::SpanEnds::pinned;
    const Frequency pinned = belt::plucked_frequency(span, tension);
    span.ends = belt::SpanEnds::clamped;
    answer.figures = {{"least_frequency", "frequency, ends pinned", pinned, ""},
                      {"most_frequency", "frequency, ends clamped",
                       belt::plucked_frequency(span, tension), "a real belt lies between"},
                      {"frequency", "frequency without stiffness", frequency, ""}};
    answer.formula.lines = {"f0 = sqrt(T/m)/(2 L)                 without stiffness",
                            "f = f0 sqrt(1 + pi^2 EI/(T L^2))     ends pinned",
                            "ends clamped: lowest root of the equation of a beam in tension"};
  } else {
    answer.figures = {{"frequency", "frequency", frequency, ""}};
    answer.formula.lines = {"f = sqrt(T/m)/(2 L)"};
  }
  add_belt(answer, s);
  explain_span(answer, q, s, tension, frequency);
  return answer;
}

}  // namespace pitchline::answer
