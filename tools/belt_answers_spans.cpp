// Answers about a plucked span and about a belt round any number of pulleys.

#include "belt_answers.hpp"

#include <cmath>
#include <optional>
#include <utility>

#include "pitchline/belt/mesh.hpp"
#include "pitchline/belt/plucked_span.hpp"
#include "pitchline/belt/tension.hpp"
#include "pitchline/io/read_belt_layout.hpp"
#include "pitchline/io/read_machine.hpp"

namespace pitchline::tools {
namespace {

using io::AnswerTable;
using io::AnswerValue;
using io::BeltAnswer;

LinearDensity mass_of(const BeltOptions& o, const parts::Belt& belt, std::string& source) {
  if (!o.mass_per_length.empty()) {
    source = "as given";
    return quantity_of<LinearDensity>("--mass-per-length", o.mass_per_length);
  }
  source = belt.profile.mass_source;
  const LinearDensity mass = parts::mass_per_length(belt);
  if (is_unset(mass))
    throw UnusableOptions(
        fmt::format("no source gives the mass of {}", belt.profile.name),
        "weigh a piece of the belt and give --mass-per-length, for example \"12.6 g/m\"");
  return mass;
}

struct SpanQuestion {
  parts::Belt belt{};
  belt::PluckedSpan span{};
  std::string mass_source{};
  std::string title{};
};

SpanQuestion span_of(const BeltOptions& o, const io::Catalogue& catalogue) {
  SpanQuestion q;
  if (o.mass_per_length.empty() || !o.profile.empty()) {
    q.belt.profile = profile_of(o, catalogue, false);
    q.belt.width = quantity_of<Length>("--width", o.width);
    q.title = fmt::format("{}, {} wide, ", q.belt.profile.name, print_plain(q.belt.width));
  }
  q.span.mass_per_length = mass_of(o, q.belt, q.mass_source);
  q.span.free_length = quantity_of<Length>("--span", o.span);
  q.title += fmt::format("free span of {}", print_plain(q.span.free_length, 6));
  if (!o.bending_stiffness.empty()) {
    static constexpr Kind kind{"a bending stiffness",
                               "0.0005 N*m^2",
                               "N*m^2",
                               "N*m^2",
                               exponents_of<belt::BendingStiffness>,
                               0};
    q.span.bending_stiffness = coherent_of("--bending-stiffness", o.bending_stiffness, kind) *
                               newtons(1) * square_metres(1);
  }
  return q;
}

void explain_span(BeltAnswer& answer, const BeltOptions& o, const SpanQuestion& q, Force tension,
                  Frequency frequency) {
  answer.formula.symbols = {{"L", "free span", q.span.free_length},
                            {"m", "mass per length", q.span.mass_per_length},
                            {"f", "frequency", frequency},
                            {"T", "tension of the strand", tension}};
  if (!o.bending_stiffness.empty())
    answer.formula.symbols.push_back({"EI", "bending stiffness", o.bending_stiffness});
  answer.formula.source =
      "vibration of a string, and of a beam in tension with its ends pinned or clamped; the rule "
      "of the sonic tension meter (STM p. 10) is the same without stiffness";
  answer.notes.emplace_back(
      "A microphone may hear twice the frequency, or that of another span: pluck the longest "
      "free span and compare.");
}

void add_mass(BeltAnswer& answer, const SpanQuestion& q) {
  answer.figures.push_back(
      {"mass_per_length", "mass per length", q.span.mass_per_length, q.mass_source});
}

void add_listed_tensions(BeltAnswer& answer, const SpanQuestion& q) {
  if (is_unset(q.belt.width)) return;
  const parts::Sourced<Force> start = belt::start_tension(q.belt);
  const parts::Sourced<Force> least = belt::least_tension(q.belt);
  if (start.known())
    answer.figures.push_back({"start_tension", "listed to start with", start.value, start.source});
  if (least.known())
    answer.figures.push_back({"least_tension", "listed at least", least.value, least.source});
}

}  // namespace

BeltAnswer answer_tension(const BeltOptions& o, const io::Catalogue& catalogue) {
  const SpanQuestion q = span_of(o, catalogue);
  const auto frequency = quantity_of<Frequency>("--frequency", o.frequency);
  BeltAnswer answer{.question = "tension",
                    .title = q.title + fmt::format(", sounds at {}", print_plain(frequency))};
  belt::PluckedSpan ideal = q.span;
  ideal.bending_stiffness = 0.0 * ideal.bending_stiffness;
  const Force tension = belt::plucked_tension(ideal, frequency);
  answer.formula.lines = {"T = 4 m L^2 f^2"};
  if (o.bending_stiffness.empty()) {
    answer.figures = {{"tension", "tension of the strand", tension, ""}};
  } else {
    const belt::TensionBounds bounds = belt::plucked_tension_bounds(q.span, frequency);
    answer.figures = {
        {"least_tension_of_strand", "tension, ends clamped", bounds.least, ""},
        {"most_tension_of_strand", "tension, ends pinned", bounds.most, "a real belt lies between"},
        {"tension", "tension without stiffness", tension, ""}};
    answer.formula.lines = {"T = 4 m L^2 f^2                   without stiffness",
                            "T = 4 m L^2 f^2 - pi^2 EI/L^2     ends pinned",
                            "ends clamped: root of the beam equation, see the header"};
    answer.formula.lines.back() = "ends clamped: lowest root of the equation of a beam in tension";
  }
  add_listed_tensions(answer, q);
  add_mass(answer, q);
  explain_span(answer, o, q, tension, frequency);
  return answer;
}

BeltAnswer answer_frequency(const BeltOptions& o, const io::Catalogue& catalogue) {
  const SpanQuestion q = span_of(o, catalogue);
  const auto tension = quantity_of<Force>("--tension", o.tension);
  BeltAnswer answer{.question = "frequency",
                    .title = q.title + fmt::format(", tension {}", print_plain(tension))};
  belt::PluckedSpan span = q.span;
  span.bending_stiffness = 0.0 * span.bending_stiffness;
  const Frequency frequency = belt::plucked_frequency(span, tension);
  answer.formula.lines = {"f = sqrt(T/m)/(2 L)"};
  if (o.bending_stiffness.empty()) {
    answer.figures = {{"frequency", "frequency", frequency, ""}};
  } else {
    span = q.span;
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
  }
  add_listed_tensions(answer, q);
  add_mass(answer, q);
  explain_span(answer, o, q, tension, frequency);
  return answer;
}

namespace {

// Where a pulley can go: along its slide, or else an idler along the line on which the belt length
// changes most, twice as far as the slope says.
std::optional<belt::Setting> setting_of(const io::BeltLayout& layout,
                                        const belt::SolvedLoop& solved, std::size_t at, int count,
                                        Angle& along) {
  const io::LayoutPulley& pulley = layout.pulleys[at];
  belt::SettingLine line;
  if (pulley.slide) {
    line = *pulley.slide;
  } else {
    const belt::PulleyOnLoop& on_loop = solved.pulleys[at];
    const double slope = std::hypot(on_loop.length_per_x, on_loop.length_per_y);
    if (slope < 1e-3) return std::nullopt;
    const Length missing = parts::pitch(layout.loop.profile) * teeth(count) - solved.length;
    const Length reach = 2.0 / slope * (missing < metres(0) ? -missing : missing);
    line = {.pulley = at,
            .direction = radians(std::atan2(on_loop.length_per_y, on_loop.length_per_x)),
            .least = -reach - millimetres(0.01),
            .most = reach + millimetres(0.01)};
  }
  along = line.direction;
  try {
    return belt::setting_for_teeth(layout.loop, line, count);
  } catch (const OutsideValidity&) {
    return std::nullopt;  // the line leads out of what can be built
  }
}

}  // namespace

BeltAnswer answer_loop(const BeltOptions& o, const io::Catalogue& catalogue) {
  const io::BeltLayout layout = io::read_belt_layout(io::read_file(o.file), o.file, catalogue);
  const belt::Loop& loop = layout.loop;
  belt::SolvedLoop solved;
  try {
    solved = belt::solved(loop);
  } catch (const OutsideValidity& e) {
    throw UnusableOptions(
        e.what(),
        "list the pulleys in the order of the belt, with side = \"back\" where its back runs",
        o.file);
  }
  BeltAnswer answer{.question = "loop",
                    .title = fmt::format("{}, {} pulleys", loop.profile.name, loop.pulleys.size())};
  const std::size_t longest = belt::longest_span(solved);
  answer.figures = {{"length", "belt length", solved.length, ""},
                    {"belt_teeth", "that is", solved.teeth, ""},
                    {"longest_span", "longest free span", solved.pulleys[longest].span_to_next,
                     fmt::format("after {}: the one to pluck", loop.pulleys[longest].name)}};
  AnswerTable table{.key = "pulleys",
                    .heading = "in the order of the belt",
                    .columns = {{"name", "pulley"},
                                {"side", "side"},
                                {"wrap", "wrap"},
                                {"teeth_in_mesh", "in mesh"},
                                {"span_to_next", "span to next"}}};
  for (std::size_t i = 0; i < loop.pulleys.size(); ++i) {
    const belt::PulleyOnLoop& on_loop = solved.pulleys[i];
    const bool toothed = layout.pulleys[i].teeth > 0;
    const bool back = loop.pulleys[i].side == belt::BeltSide::back;
    AnswerValue in_mesh = std::string("-");
    if (toothed) in_mesh = std::int64_t{on_loop.wrap.whole_teeth_in_mesh};
    table.rows.push_back({loop.pulleys[i].name, std::string(back ? "back" : "inside"),
                          on_loop.wrap.angle, in_mesh, on_loop.span_to_next});
    const parts::Sourced<Length> least =
        belt::smallest_back_bend(loop.profile, radians_per_second(0));
    if (back && least.known() && layout.pulleys[i].diameter < least.value)
      answer.notes.push_back(
          fmt::format("{}: {} is less than the smallest idler on the back, {} "
                      "({}).",
                      loop.pulleys[i].name, print_plain(layout.pulleys[i].diameter),
                      print_plain(least.value), least.source));
    if (toothed && on_loop.wrap.whole_teeth_in_mesh < 6)
      answer.notes.push_back(fmt::format(
          "{}: few teeth in mesh, {}; the belt bears {} of its rating.", loop.pulleys[i].name,
          on_loop.wrap.whole_teeth_in_mesh,
          significant(belt::mesh_correction(on_loop.wrap.whole_teeth_in_mesh).factor, 1)));
  }
  answer.tables.push_back(std::move(table));
  AnswerTable settings{.key = "settings",
                       .heading = "where to set a pulley for a belt of whole teeth",
                       .columns = {{"teeth", "teeth"},
                                   {"name", "pulley"},
                                   {"along", "along"},
                                   {"shift", "move by"},
                                   {"x", "x"},
                                   {"y", "y"}}};
  const int below = static_cast<int>(std::floor(in_teeth(solved.teeth) + 1e-9));
  bool any_slide = false;
  for (const io::LayoutPulley& p : layout.pulleys) any_slide = any_slide || p.slide;
  for (const int count : {below, below + 1})
    for (std::size_t i = 0; i < loop.pulleys.size(); ++i) {
      if (any_slide ? !layout.pulleys[i].slide : layout.pulleys[i].teeth > 0) continue;
      Angle along{};
      if (const auto set = setting_of(layout, solved, i, count, along)) {
        settings.rows.push_back(
            {std::int64_t{count}, loop.pulleys[i].name, along, set->shift, set->x, set->y});
      } else {
        answer.notes.push_back(
            fmt::format("{} cannot be set for {} teeth.", loop.pulleys[i].name, count));
      }
    }
  if (settings.rows.empty()) {
    answer.notes.emplace_back(
        "Nothing here can be set for a whole number of teeth: give a pulley a slide, for example "
        "slide = { along = \"90 deg\", from = \"-5 mm\", to = \"5 mm\" }.");
  } else {
    answer.tables.push_back(std::move(settings));
  }
  answer.formula.lines = {"span = sqrt(d^2 - (s1 r1 - s2 r2)^2)",
                          "L = sum of spans + sum of r * wrap"};
  answer.formula.symbols = {{"p", "pitch", Measure(parts::pitch(loop.profile) * teeth(1))},
                            {"L", "belt length", solved.length}};
  for (const belt::LoopPulley& p : loop.pulleys)
    answer.formula.symbols.push_back({"r", "pitch-line radius, " + p.name, p.pitch_line_radius});
  answer.formula.source =
      "plane geometry; d is the distance of the centres, s is +1 inside and -1 on the back";
  return answer;
}

}  // namespace pitchline::tools
