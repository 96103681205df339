#include "belt_answers.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "pitchline/belt/mesh.hpp"
#include "pitchline/belt/plucked_span.hpp"
#include "pitchline/belt/stock.hpp"
#include "pitchline/belt/tension.hpp"
#include "pitchline/io/read_belt_layout.hpp"
#include "pitchline/io/read_loops.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/motion/steps_per_turn.hpp"
#include "pitchline/motion/steps_wanted.hpp"
#include "pitchline/units/nearest.hpp"

namespace pitchline::tools {
namespace {

using io::AnswerTable;
using io::AnswerValue;
using io::BeltAnswer;

constexpr int most_teeth = 1000;

Fraction exact_of(std::string_view option, const std::string& text, const std::string& unit) {
  try {
    const Fraction value = exact_millimetres(text + unit);
    if (value > Fraction(0)) return value;
  } catch (const UnreadableQuantity& e) {
    throw UnusableOptions(fmt::format("{}: {}", option, e.what()), "");
  }
  throw UnusableOptions(fmt::format("{} must be > 0, got \"{}\"", option, text), "");
}

// Fractions hold 64 bits; refuses figures whose products would not fit.
void require_exact(std::int64_t pulses, const Fraction& reduction, const Fraction& pitch, int teeth,
                   int decimals) {
  const auto wide = [](std::int64_t n) { return static_cast<double>(n); };
  const double numerator = wide(pulses) * wide(reduction.numerator()) * wide(pitch.denominator());
  const double denominator = wide(reduction.denominator()) * wide(pitch.numerator()) * teeth;
  if (std::max(numerator, denominator) * std::pow(10.0, std::max(decimals, 3)) > 4e18)
    throw UnusableOptions("these figures are too long to be held exactly",
                          "fewer digits of --pitch or --reduction, or fewer --decimals");
}

parts::BeltProfile profile_of(const BeltOptions& o, const io::Catalogue& catalogue,
                              bool pitch_is_enough) {
  if (!o.pitch.empty()) {
    if (!o.profile.empty())
      throw UnusableOptions("--profile and --pitch do not go together",
                            "the profile says the pitch: leave one out");
    return {.name = "belt of " + o.pitch + " pitch",
            .pitch_millimetres = exact_of("--pitch", o.pitch, "")};
  }
  const std::string list = "pitchline-belt profiles shows them all";
  if (o.profile.empty())
    throw UnusableOptions(
        pitch_is_enough ? "--profile or --pitch is missing" : "--profile is missing",
        "for example --profile \"GT 2 mm\"; " + list);
  const auto found = catalogue.belts.find(o.profile);
  if (found != catalogue.belts.end()) return found->second;
  std::vector<std::string> names;
  for (const auto& [name, belt] : catalogue.belts) names.push_back(name);
  const auto nearest = nearest_word(o.profile, names);
  throw UnusableOptions(fmt::format("unknown profile \"{}\"{}", o.profile,
                                    nearest ? fmt::format(", did you mean \"{}\"?", *nearest) : ""),
                        list);
}

belt::TwoPulleys two_pulleys_of(const BeltOptions& o, const io::Catalogue& catalogue) {
  belt::TwoPulleys pulleys{.profile = profile_of(o, catalogue, true)};
  if (o.two_teeth.size() != 2)
    throw UnusableOptions("--teeth is missing", "the teeth of both, for example --teeth 20 60");
  pulleys.first_teeth = whole_of("--teeth", o.two_teeth[0], 1, most_teeth, "20 60");
  pulleys.second_teeth = whole_of("--teeth", o.two_teeth[1], 1, most_teeth, "20 60");
  return pulleys;
}

std::string title_of(const belt::TwoPulleys& p) {
  return fmt::format("{}, pulleys of {} and {} teeth", p.profile.name, p.first_teeth,
                     p.second_teeth);
}

AnswerTable wraps(const belt::TwoPulleys& p, Length distance) {
  const belt::PairWraps pair = belt::pair_wraps(p, distance);
  AnswerTable table{.key = "pulleys",
                    .heading = "on the pulleys",
                    .columns = {{"pulley", "pulley"},
                                {"teeth", "teeth"},
                                {"pitch_diameter", "pitch diameter"},
                                {"wrap", "wrap"},
                                {"teeth_in_mesh", "in mesh"},
                                {"mesh_factor", "factor of rating"}}};
  const auto add = [&](const char* name, int teeth, const belt::PulleyWrap& wrap) {
    table.rows.push_back({std::string(name), std::int64_t{teeth},
                          belt::pitch_diameter(p.profile, teeth), wrap.angle,
                          std::int64_t{wrap.whole_teeth_in_mesh},
                          Measure::ratio(belt::mesh_correction(wrap.whole_teeth_in_mesh).factor)});
  };
  add("first", p.first_teeth, pair.first);
  add("second", p.second_teeth, pair.second);
  return table;
}

void explain_length(BeltAnswer& answer, const belt::TwoPulleys& p, Length distance, Length length) {
  answer.formula.symbols.insert(
      answer.formula.symbols.end(),
      {{"p", "pitch", Measure(parts::pitch(p.profile) * teeth(1))},
       {"z1", "teeth of the first", std::int64_t{p.first_teeth}},
       {"z2", "teeth of the second", std::int64_t{p.second_teeth}},
       {"R1", "pitch radius of the first", belt::pitch_diameter(p.profile, p.first_teeth) / 2.0},
       {"R2", "pitch radius of the second", belt::pitch_diameter(p.profile, p.second_teeth) / 2.0},
       {"C", "centre to centre", distance},
       {"L", "belt length", length}});
  answer.formula.source =
      "SDP handbook eq. 8-1 and 22-1 to 22-5, written with asin; exact, no approximation";
}
const std::string length_formula =
    "L = 2 sqrt(C^2 - (R1-R2)^2) + pi (R1+R2) + 2 (R1-R2) asin((R1-R2)/C)";

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

BeltAnswer answer_length(const BeltOptions& o, const io::Catalogue& catalogue) {
  const belt::TwoPulleys p = two_pulleys_of(o, catalogue);
  const auto distance = quantity_of<Length>("--distance", o.distance);
  const Length length = belt::belt_length(p, distance);
  const Teeth exact = length / parts::pitch(p.profile);
  BeltAnswer answer{.question = "length",
                    .title = title_of(p) + fmt::format(", {} apart", print_plain(distance, 6))};
  answer.figures = {{"length", "belt length", length, ""}, {"belt_teeth", "that is", exact, ""}};
  AnswerTable whole{.key = "whole_belts",
                    .heading = "belts of whole teeth next to it",
                    .columns = {{"teeth", "teeth"},
                                {"length", "length"},
                                {"distance", "distance"},
                                {"move", "farther by"}}};
  const int below = static_cast<int>(std::floor(in_teeth(exact) + 1e-9));
  const bool is_whole = std::abs(in_teeth(exact) - below) < 1e-9;
  for (int count = below; count <= below + (is_whole ? 0 : 1); ++count) {
    try {
      const belt::WholeToothBelt b = belt::whole_tooth_belt(p, count);
      whole.rows.push_back({std::int64_t{b.teeth}, b.length, b.centre_distance,
                            Measure(is_whole ? metres(0) : b.centre_distance - distance)});
    } catch (const OutsideValidity&) {
      answer.notes.push_back(fmt::format("A belt of {} teeth is too short.", count));
    }
  }
  answer.tables = {std::move(whole), wraps(p, distance)};
  answer.formula.lines = {"R = p z/(2 pi)", length_formula};
  explain_length(answer, p, distance, length);
  return answer;
}

BeltAnswer answer_distance(const BeltOptions& o, const io::Catalogue& catalogue) {
  const belt::TwoPulleys p = two_pulleys_of(o, catalogue);
  const int given = int{!o.length.empty()} + int{!o.belt_teeth.empty()} + int{!o.wanted.empty()};
  if (given != 1)
    throw UnusableOptions("one of --length, --belt-teeth and --wanted is needed",
                          "--wanted looks for listed belts near a distance");
  BeltAnswer answer{.question = "distance"};
  auto distance = unset<Length>();
  auto length = unset<Length>();
  if (o.wanted.empty()) {
    if (!o.take_up.empty())
      throw UnusableOptions("--take-up goes with --wanted only", "leave it out, or add --wanted");
    length = o.length.empty() ? parts::pitch(p.profile) *
                                    teeth(whole_of("--belt-teeth", o.belt_teeth, 1, 100'000, "305"))
                              : quantity_of<Length>("--length", o.length);
    distance = belt::centre_distance(p, length);
    const double exact = in_teeth(length / parts::pitch(p.profile));
    answer.title = title_of(p) + fmt::format(", belt of {}", print_plain(length, 6));
    answer.figures = {{"distance", "centre distance, taut", distance, ""},
                      {"belt_teeth", "teeth of the belt", teeth(exact), ""}};
    if (std::abs(exact - std::round(exact)) > 1e-6)
      answer.notes.emplace_back("No closed belt has that length: it is no whole number of teeth.");
  } else {
    distance = quantity_of<Length>("--wanted", o.wanted);
    const auto take_up = quantity_of<Length>("--take-up", o.take_up);
    length = belt::belt_length(p, distance);
    answer.title = title_of(p) + fmt::format(", {} apart, set by {} either way",
                                             print_plain(distance, 6), print_plain(take_up));
    answer.figures = {{"length", "belt length, exact", length, ""}};
    const auto candidates =
        belt::loop_candidates(io::standard_loops(), {.pulleys = p,
                                                     .centre_distance = distance,
                                                     .can_move_closer = take_up,
                                                     .can_move_farther = take_up});
    AnswerTable table{.key = "listed_belts",
                      .heading = "listed belts, the nearest first",
                      .columns = {{"teeth", "teeth"},
                                  {"length", "length"},
                                  {"distance", "distance"},
                                  {"difference", "farther by"},
                                  {"fits", "fits"},
                                  {"status", "status"},
                                  {"maker", "maker"}}};
    constexpr std::size_t shown = 8;
    bool fits = false;
    std::string sources;
    for (const belt::LoopCandidate& c : candidates) {
      if (table.rows.size() == shown) break;
      fits = fits || c.fits;
      if (sources.find(c.loop.source) == std::string::npos)
        sources += (sources.empty() ? "" : "; ") + c.loop.source;
      table.rows.push_back({std::int64_t{c.loop.teeth},
                            millimetres(to_double(c.loop.length_millimetres)), c.centre_distance,
                            c.difference, std::string(c.fits ? "yes" : "no"),
                            std::string(c.loop.status == belt::StockStatus::listed_some_special
                                            ? "some special"
                                            : belt::name(c.loop.status)),
                            c.loop.maker});
    }
    if (table.rows.empty()) {
      answer.notes.push_back(
          fmt::format("The catalogue lists no closed belt of {} that goes round these pulleys.",
                      p.profile.name));
    } else {
      answer.tables.push_back(std::move(table));
      if (!fits) answer.notes.emplace_back("None of them fits: allow more take-up.");
      answer.notes.push_back(fmt::format(
          "Lists: {}. \"some special\": some lengths only double-sided or with a thick back.",
          sources));
      answer.notes.emplace_back(
          "A belt that fits with nothing to spare leaves no room to slip it on or to tension it.");
    }
  }
  answer.tables.push_back(wraps(p, distance));
  answer.formula.lines = {"R = p z/(2 pi)", length_formula, "C is the root of it for a given L"};
  explain_length(answer, p, distance, length);
  return answer;
}

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

BeltAnswer answer_pulley(const BeltOptions& o, const io::Catalogue& catalogue) {
  const parts::BeltProfile profile = profile_of(o, catalogue, true);
  const int count = whole_of("--teeth", o.teeth, 1, most_teeth, "20");
  BeltAnswer answer{.question = "pulley",
                    .title = fmt::format("{}, pulley of {} teeth", profile.name, count)};
  const parts::Sourced<Length>& u = profile.pitch_line_differential;
  const Length diameter = belt::pitch_diameter(profile, count);
  const Length outside = belt::outside_diameter(profile, count);
  answer.figures = {
      {"pitch_diameter", "pitch diameter", diameter, ""},
      {"outside_diameter", "outside diameter", outside,
       u.known() ? "" : "no source gives the distance of pitch line and tooth root"},
      {"travel_per_turn", "travel per turn", parts::pitch(profile) * teeth(count), "exact"}};
  if (profile.smallest_pulley.known()) {
    const bool at_rest = o.speed.empty();
    const belt::FewestTeeth fewest = belt::fewest_teeth(
        profile, at_rest ? radians_per_second(0) : quantity_of<AngularSpeed>("--speed", o.speed));
    if (fewest.beyond_listed_speed) {
      answer.figures.push_back({"fewest_teeth", "fewest teeth", std::string("unknown"),
                                "faster than any speed in " + fewest.source});
    } else {
      answer.figures.push_back({"fewest_teeth", at_rest ? "fewest teeth, slow" : "fewest teeth",
                                std::int64_t{fewest.teeth}, fewest.source});
      if (count < fewest.teeth)
        answer.notes.push_back(fmt::format(
            "{} teeth are too few: the belt bends too sharply and wears early.", count));
    }
  } else {
    answer.figures.push_back({"fewest_teeth", "fewest teeth", std::string("unknown"), ""});
  }
  std::optional<Angle> wrap;
  if (!o.wrap.empty() && !o.second_teeth.empty())
    throw UnusableOptions("--wrap and --second do not go together",
                          "the second pulley and --distance say the wrap: leave one out");
  if (!o.wrap.empty()) wrap = quantity_of<Angle>("--wrap", o.wrap);
  if (!o.second_teeth.empty()) {
    const belt::TwoPulleys pair{
        .profile = profile,
        .first_teeth = count,
        .second_teeth = whole_of("--second", o.second_teeth, 1, most_teeth, "60")};
    wrap = belt::pair_wraps(pair, quantity_of<Length>("--distance", o.distance)).first.angle;
  } else if (!o.distance.empty()) {
    throw UnusableOptions("--distance goes with --second only",
                          "add --second, for example --second 60");
  }
  answer.formula.lines = {"d = p z/pi", "outside diameter = d - 2 u"};
  answer.formula.symbols = {{"p", "pitch", Measure(parts::pitch(profile) * teeth(1))},
                            {"z", "teeth", std::int64_t{count}},
                            {"d", "pitch diameter", diameter},
                            {"u", "pitch line to tooth root", u.value}};
  answer.formula.source = "SDP handbook eq. 8-1 and 8-2";
  if (u.known()) answer.formula.source += "; u: " + u.source;
  if (wrap) {
    const belt::Mesh mesh = belt::mesh(count, *wrap);
    answer.figures.push_back({"wrap", "wrap", *wrap, ""});
    answer.figures.push_back(
        {"teeth_in_mesh", "teeth in mesh", std::int64_t{mesh.teeth}, "whole ones, rounded down"});
    answer.figures.push_back({"mesh_factor", "factor of the rating",
                              Measure::ratio(mesh.correction.factor), "GT3 manual p. 175"});
    if (!mesh.enough_wrap)
      answer.notes.emplace_back(
          "Less than 60 deg of wrap is too little for a loaded pulley, GT3 manual p. 175.");
    answer.formula.lines.emplace_back("teeth in mesh = z wrap/(2 pi), rounded down");
    answer.formula.source += "; 22-10 for the teeth in mesh";
  }
  return answer;
}

BeltAnswer answer_steps(const BeltOptions& o, const io::Catalogue& catalogue) {
  const parts::BeltProfile profile = profile_of(o, catalogue, true);
  const int full_steps =
      o.full_steps.empty() ? 200 : whole_of("--full-steps", o.full_steps, 1, 10'000, "200");
  if (!o.pulses_per_turn.empty() && !o.microsteps.empty())
    throw UnusableOptions("--pulses-per-turn and --microsteps do not go together",
                          "leave one of them out");
  std::int64_t pulses = 0;
  if (!o.pulses_per_turn.empty())
    pulses = whole_of("--pulses-per-turn", o.pulses_per_turn, 1, 1'000'000, "3200");
  if (!o.microsteps.empty())
    pulses = std::int64_t{full_steps} * whole_of("--microsteps", o.microsteps, 1, 5120, "16");
  const Fraction reduction =
      o.reduction.empty() ? Fraction(1) : exact_of("--reduction", o.reduction, " mm");
  const auto microsteps = [&](std::int64_t per_turn) -> AnswerValue {
    if (per_turn % full_steps == 0) return per_turn / full_steps;
    return std::string("-");
  };
  const auto customary = [&] {
    std::vector<std::int64_t> list;
    for (const std::int64_t n : motion::customary_pulses_per_turn)
      if (n * full_steps % 200 == 0 && n * full_steps / 200 <= 1'000'000)
        list.push_back(n * full_steps / 200);
    return list;
  };
  const int fewest = profile.smallest_pulley.known()
                         ? belt::fewest_teeth(profile, radians_per_second(0)).teeth
                         : 10;
  const std::string driven =
      reduction == Fraction(1)
          ? ""
          : fmt::format(", {} motor turns to one of the pulley", print_fraction(reduction));
  BeltAnswer answer{.question = "steps"};
  answer.formula.lines = {"n = pulses per turn * i/(p z)"};
  answer.formula.source = "counting";
  constexpr std::int64_t most_pulses = 1'000'000;
  const int decimals = o.decimals.empty() ? 3 : whole_of("--decimals", o.decimals, 0, 9, "3");
  require_exact(pulses > 0 && !o.wanted.empty()
                    ? pulses
                    : std::min(most_pulses, std::max(pulses, std::int64_t{256} * full_steps)),
                reduction, profile.pitch_millimetres, most_teeth, decimals);
  if (!o.wanted.empty()) {
    motion::StepsWish wish{
        .wanted = quantity_of<PulsesPerLength>("--wanted", o.wanted),
        .pulses_per_turn = pulses > 0 ? std::vector<std::int64_t>{pulses} : customary(),
        .turns_per_output_turn = reduction,
        .millimetres_per_tooth = profile.pitch_millimetres,
        .least_teeth = fewest,
        .most_teeth = 80};
    if (!o.teeth.empty())
      wish.least_teeth = wish.most_teeth = whole_of("--teeth", o.teeth, 1, most_teeth, "20");
    answer.title = fmt::format("{}, wanted {}{}", profile.name, o.wanted, driven);
    const auto choices = motion::choices_for(wish);
    const bool exact = choices.front().deviation == 0.0;
    AnswerTable table{.key = "choices",
                      .heading = exact ? "what gives it" : "nothing gives it; the nearest",
                      .columns = {{"teeth", "teeth"},
                                  {"pulses_per_turn", "pulses per turn"},
                                  {"microsteps", "microsteps"},
                                  {"pulses_per_mm", "pulses per mm"},
                                  {"deviation", "off by, %"}}};
    for (const motion::StepsChoice& c : choices) {
      if (table.rows.size() == 20 || (exact ? c.deviation != 0.0 : table.rows.size() == 5)) break;
      table.rows.push_back({std::int64_t{c.teeth}, c.pulses_per_turn, microsteps(c.pulses_per_turn),
                            print_fraction(c.pulses_per_millimetre),
                            Measure::ratio(100.0 * c.deviation)});
    }
    answer.tables.push_back(std::move(table));
    answer.notes.push_back(
        fmt::format("Looked at {} to {} teeth and {}; microsteps are of a motor of {} full steps.",
                    wish.least_teeth, wish.most_teeth,
                    pulses > 0 ? fmt::format("{} pulses per turn", pulses)
                               : "the pulses per turn that drivers commonly offer",
                    full_steps));
    answer.formula.symbols = {{"n", "pulses per length", wish.wanted},
                              {"p", "pitch", Measure(parts::pitch(profile) * teeth(1))},
                              {"i", "motor turns to a pulley turn", print_fraction(reduction)}};
    return answer;
  }
  const int count = whole_of("--teeth", o.teeth, 1, most_teeth, "20");
  if (pulses == 0)
    throw UnusableOptions("--pulses-per-turn or --microsteps is missing",
                          "for example --microsteps 16, or --wanted \"80 pulse/mm\" to find both");
  const Length travel =
      o.travel.empty() ? millimetres(1000) : quantity_of<Length>("--travel", o.travel);
  const motion::TurningTrain train{
      .pulses_per_turn = pulses,
      .turns_per_output_turn = reduction,
      .millimetres_per_output_turn = {.factor = profile.pitch_millimetres * Fraction(count)}};
  const motion::PiFraction exact = motion::pulses_per_millimetre_exactly(train);
  const motion::PiFraction micrometres = motion::micrometres_per_pulse_exactly(train);
  const motion::KeptValue kept = motion::kept_pulses_per_millimetre(train, decimals, travel);
  answer.title =
      fmt::format("{}, {} teeth, {} pulses per turn{}", profile.name, count, pulses, driven);
  answer.figures = {
      {"pulses_per_mm_exactly", "pulses per mm, exactly", motion::print_pi_fraction(exact), ""},
      {"pulses_per_length", "pulses per mm", motion::pulses_per_length(exact), ""},
      {"micrometres_per_pulse_exactly", "um per pulse, exactly",
       motion::print_pi_fraction(micrometres), ""},
      {"travel_per_pulse", "travel per pulse",
       millimetres(motion::decimal_value(micrometres) / 1000.0), ""},
      {"kept_pulses_per_mm", fmt::format("kept at {} decimals", decimals),
       fmt::format("{:.{}f}", to_double(kept.kept), decimals), ""},
      {"error_over_travel", fmt::format("error over {}", print_plain(travel)), kept.error,
       kept.error == metres(0) ? "nothing is lost" : "above zero the axis goes too far"}};
  answer.formula.symbols = {{"n", "pulses per length", motion::pulses_per_length(exact)},
                            {"p", "pitch", Measure(parts::pitch(profile) * teeth(1))},
                            {"z", "teeth", std::int64_t{count}},
                            {"i", "motor turns to a pulley turn", print_fraction(reduction)}};
  answer.formula.lines.emplace_back("error = travel (kept/n - 1)");
  if (kept.error == metres(0)) return answer;
  const auto choices = motion::exact_choices({.pulses_per_turn = pulses,
                                              .other_pulses_per_turn = customary(),
                                              .turns_per_output_turn = reduction,
                                              .millimetres_per_tooth = profile.pitch_millimetres,
                                              .teeth = count,
                                              .least_teeth = std::min(fewest, count),
                                              .most_teeth = std::max(80, count),
                                              .decimals = decimals});
  AnswerTable table{.key = "exact_choices",
                    .heading = "what the controller would keep exactly, the least change first",
                    .columns = {{"teeth", "teeth"},
                                {"pulses_per_turn", "pulses per turn"},
                                {"microsteps", "microsteps"},
                                {"pulses_per_mm", "pulses per mm"}}};
  for (const motion::ExactChoice& c : choices) {
    if (table.rows.size() == 6) break;
    table.rows.push_back({std::int64_t{c.teeth}, c.pulses_per_turn, microsteps(c.pulses_per_turn),
                          fmt::format("{}", to_double(c.pulses_per_millimetre))});
  }
  if (!table.rows.empty()) answer.tables.push_back(std::move(table));
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

BeltAnswer answer_profiles(const BeltOptions& /*o*/, const io::Catalogue& catalogue) {
  BeltAnswer answer{.question = "profiles", .title = "belt profiles of the catalogue"};
  AnswerTable table{.key = "profiles",
                    .heading = "lengths in mm; \"-\" where no source gives the figure",
                    .columns = {{"name", "profile"},
                                {"pitch", "pitch"},
                                {"pitch_line_differential", "u"},
                                {"tooth_height", "tooth"},
                                {"thickness", "thick"},
                                {"fewest_teeth", "fewest teeth"},
                                {"smallest_back_idler", "back idler"}}};
  const auto in_mm = [](const parts::Sourced<Length>& l) -> AnswerValue {
    return l.known() ? print_plain(l.value).substr(0, print_plain(l.value).find(' ')) : "-";
  };
  for (const auto& [name, p] : catalogue.belts) {
    const belt::FewestTeeth fewest = belt::fewest_teeth(p, radians_per_second(0));
    AnswerValue least = std::string("-");
    if (fewest.known()) least = std::int64_t{fewest.teeth};
    table.rows.push_back({name, fmt::format("{}", to_double(p.pitch_millimetres)),
                          in_mm(p.pitch_line_differential), in_mm(p.tooth_height),
                          in_mm(p.thickness), least, in_mm(p.smallest_back_idler)});
  }
  answer.tables.push_back(std::move(table));
  answer.notes = {
      "u: pitch line to tooth root. Fewest teeth of a slow pulley; back idler: smallest diameter "
      "of "
      "a smooth one on the back."};
  answer.formula.source = "reference/catalogue/belts.toml names that of each figure";
  return answer;
}

}  // namespace pitchline::tools
