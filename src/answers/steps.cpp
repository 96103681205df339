// Answers about steps per mm.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>

#include "asked_belt.hpp"
#include "pitchline/belt/pulley.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/motion/steps_per_turn.hpp"
#include "pitchline/motion/steps_wanted.hpp"

namespace pitchline::answer {
namespace {

using io::quantity_of;
using io::UnusableOptions;

constexpr std::int64_t most_pulses = 1'000'000;

// What was typed, read.
struct Asked {
  parts::BeltProfile profile{};
  int full_steps = 200;
  std::int64_t pulses = 0;  // per turn; 0: not said
  Fraction reduction{1};
  int decimals = 3;
};

// Fractions hold 64 bits; refuses figures whose products would not fit.
void require_exact(std::int64_t pulses, const Asked& a) {
  const auto wide = [](std::int64_t n) { return static_cast<double>(n); };
  const Fraction& pitch = a.profile.pitch_millimetres;
  const double numerator = wide(pulses) * wide(a.reduction.numerator()) * wide(pitch.denominator());
  const double denominator = wide(a.reduction.denominator()) * wide(pitch.numerator()) * most_teeth;
  if (std::max(numerator, denominator) * std::pow(10.0, std::max(a.decimals, 3)) > 4e18)
    throw UnusableOptions("these figures are too long to be held exactly",
                          "fewer digits of --pitch or --reduction, or fewer --decimals");
}

Asked asked(const BeltQuestion& q, const io::Catalogue& catalogue) {
  Asked a{.profile = profile_of(q, catalogue, true)};
  if (!q.full_steps.empty())
    a.full_steps = count_of(
        {.option = "--full-steps", .text = q.full_steps, .most = 10'000, .example = "200"});
  io::require_absent(!q.pulses_per_turn.empty() && !q.microsteps.empty(),
                     "--pulses-per-turn and --microsteps do not go together",
                     "leave one of them out");
  if (!q.pulses_per_turn.empty())
    a.pulses = count_of({.option = "--pulses-per-turn",
                         .text = q.pulses_per_turn,
                         .most = static_cast<int>(most_pulses),
                         .example = "3200"});
  if (!q.microsteps.empty())
    a.pulses =
        std::int64_t{a.full_steps} *
        count_of({.option = "--microsteps", .text = q.microsteps, .most = 5120, .example = "16"});
  if (!q.reduction.empty()) a.reduction = exact_of("--reduction", q.reduction, " mm");
  if (!q.decimals.empty())
    a.decimals = count_of(
        {.option = "--decimals", .text = q.decimals, .least = 0, .most = 9, .example = "3"});
  require_exact(a.pulses > 0 && !q.wanted.empty()
                    ? a.pulses
                    : std::min(most_pulses, std::max(a.pulses, std::int64_t{256} * a.full_steps)),
                a);
  return a;
}

Value microsteps_of(const Asked& a, std::int64_t pulses_per_turn) {
  if (pulses_per_turn % a.full_steps == 0) return pulses_per_turn / a.full_steps;
  return std::string("-");
}

std::vector<std::int64_t> customary_pulses(const Asked& a) {
  std::vector<std::int64_t> list;
  for (const std::int64_t n : motion::customary_pulses_per_turn)
    if (n * a.full_steps % 200 == 0 && n * a.full_steps / 200 <= most_pulses)
      list.push_back(n * a.full_steps / 200);
  return list;
}

int fewest_teeth_of(const parts::BeltProfile& profile) {
  return profile.smallest_pulley.known() ? belt::fewest_teeth(profile, radians_per_second(0)).teeth
                                         : 10;
}

std::string driven(const Asked& a) {
  return a.reduction == Fraction(1)
             ? ""
             : fmt::format(", {} motor turns to one of the pulley", print_fraction(a.reduction));
}

Symbol reduction_symbol(const Asked& a) {
  return {"i", "motor turns to a pulley turn", print_fraction(a.reduction)};
}

Formula explained() {
  return {.lines = {"n = pulses per turn * i/(p z)"}, .symbols = {}, .source = "counting"};
}

Table table_of(const Asked& a, const std::vector<motion::StepsChoice>& choices) {
  const bool exact = choices.front().deviation == 0.0;
  Table table{.key = "choices",
              .heading = exact ? "what gives it" : "nothing gives it; the nearest",
              .columns = {{"teeth", "teeth"},
                          {"pulses_per_turn", "pulses per turn"},
                          {"microsteps", "microsteps"},
                          {"pulses_per_mm", "pulses per mm"},
                          {"deviation", "off by, %"}}};
  for (const motion::StepsChoice& c : choices) {
    if (table.rows.size() == 20 || (exact ? c.deviation != 0.0 : table.rows.size() == 5)) break;
    table.rows.push_back(
        {std::int64_t{c.teeth}, c.pulses_per_turn, microsteps_of(a, c.pulses_per_turn),
         print_fraction(c.pulses_per_millimetre), Measure::ratio(100.0 * c.deviation)});
  }
  return table;
}

// What gives a number that is wanted.
Answer wanted_steps(const BeltQuestion& q, const Asked& a) {
  for (const auto& [option, typed] :
       {std::pair{"--travel", !q.travel.empty()}, std::pair{"--decimals", !q.decimals.empty()}})
    io::require_absent(typed, fmt::format("{} does not go with --wanted", option),
                       "it is of one pulley and one number of pulses: leave one of them out");
  motion::StepsWish wish{
      .wanted = quantity_of<PulsesPerLength>("--wanted", q.wanted),
      .pulses_per_turn = a.pulses > 0 ? std::vector<std::int64_t>{a.pulses} : customary_pulses(a),
      .turns_per_output_turn = a.reduction,
      .millimetres_per_tooth = a.profile.pitch_millimetres,
      .least_teeth = fewest_teeth_of(a.profile),
      .most_teeth = 80};
  if (!q.teeth.empty()) wish.least_teeth = wish.most_teeth = teeth_of("--teeth", q.teeth, "20");
  Answer answer{.question = "steps",
                .title = fmt::format("{}, wanted {}{}", a.profile.name, q.wanted, driven(a))};
  answer.tables.push_back(table_of(a, motion::choices_for(wish)));
  answer.notes.push_back(
      fmt::format("Looked at {} to {} teeth and {}; microsteps are of a motor of {} full steps.",
                  wish.least_teeth, wish.most_teeth,
                  a.pulses > 0 ? fmt::format("{} pulses per turn", a.pulses)
                               : "the pulses per turn that drivers commonly offer",
                  a.full_steps));
  answer.formula = explained();
  answer.formula.symbols = {
      {"n", "pulses per length", wish.wanted}, pitch_symbol(a.profile), reduction_symbol(a)};
  return answer;
}

// What a controller that keeps so few decimals would keep exactly, near what is there.
void add_exact_choices(Answer& answer, const Asked& a, int count) {
  const int fewest = fewest_teeth_of(a.profile);
  const auto choices = motion::exact_choices({.pulses_per_turn = a.pulses,
                                              .other_pulses_per_turn = customary_pulses(a),
                                              .turns_per_output_turn = a.reduction,
                                              .millimetres_per_tooth = a.profile.pitch_millimetres,
                                              .teeth = count,
                                              .least_teeth = std::min(fewest, count),
                                              .most_teeth = std::max(80, count),
                                              .decimals = a.decimals});
  Table table{.key = "exact_choices",
              .heading = "what the controller would keep exactly, the least change first",
              .columns = {{"teeth", "teeth"},
                          {"pulses_per_turn", "pulses per turn"},
                          {"microsteps", "microsteps"},
                          {"pulses_per_mm", "pulses per mm"}}};
  for (const motion::ExactChoice& c : choices) {
    if (table.rows.size() == 6) break;
    table.rows.push_back({std::int64_t{c.teeth}, c.pulses_per_turn,
                          microsteps_of(a, c.pulses_per_turn),
                          fmt::format("{}", to_double(c.pulses_per_millimetre))});
  }
  if (!table.rows.empty()) answer.tables.push_back(std::move(table));
}

Answer steps_of_pulley(const BeltQuestion& q, const Asked& a) {
  const int count = teeth_of("--teeth", q.teeth, "20");
  if (a.pulses == 0)
    throw UnusableOptions("--pulses-per-turn or --microsteps is missing",
                          "for example --microsteps 16, or --wanted \"80 pulse/mm\" to find both");
  const Length travel =
      q.travel.empty() ? millimetres(1000) : quantity_of<Length>("--travel", q.travel);
  const motion::TurningTrain train{
      .pulses_per_turn = a.pulses,
      .turns_per_output_turn = a.reduction,
      .millimetres_per_output_turn = {.factor = a.profile.pitch_millimetres * Fraction(count)}};
  const motion::PiFraction exact = motion::pulses_per_millimetre_exactly(train);
  const motion::PiFraction micrometres = motion::micrometres_per_pulse_exactly(train);
  const motion::KeptValue kept = motion::kept_pulses_per_millimetre(train, a.decimals, travel);
  Answer answer{.question = "steps",
                .title = fmt::format("{}, {} teeth, {} pulses per turn{}", a.profile.name, count,
                                     a.pulses, driven(a))};
  answer.figures = {
      {"pulses_per_mm_exactly", "pulses per mm, exactly", motion::print_pi_fraction(exact), ""},
      {"pulses_per_length", "pulses per mm", motion::pulses_per_length(exact), ""},
      {"micrometres_per_pulse_exactly", "um per pulse, exactly",
       motion::print_pi_fraction(micrometres), ""},
      {"travel_per_pulse", "travel per pulse",
       millimetres(motion::decimal_value(micrometres) / 1000.0), ""},
      {"kept_pulses_per_mm", fmt::format("kept at {} decimals", a.decimals),
       fmt::format("{:.{}f}", to_double(kept.kept), a.decimals), ""},
      {"error_over_travel", fmt::format("error over {}", print_plain(travel)), kept.error,
       kept.error == metres(0) ? "nothing is lost" : "above zero the axis goes too far"}};
  answer.formula = explained();
  answer.formula.lines.emplace_back("error = travel (kept/n - 1)");
  answer.formula.symbols = {{"n", "pulses per length", motion::pulses_per_length(exact)},
                            pitch_symbol(a.profile),
                            {"z", "teeth", std::int64_t{count}},
                            reduction_symbol(a)};
  if (kept.error != metres(0)) add_exact_choices(answer, a, count);
  return answer;
}

}  // namespace

Answer steps_per_length(const BeltQuestion& q, const io::Catalogue& catalogue) {
  const Asked a = asked(q, catalogue);
  return q.wanted.empty() ? steps_of_pulley(q, a) : wanted_steps(q, a);
}

}  // namespace pitchline::answer
