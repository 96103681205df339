// Answers about steps per mm.

#include "belt_answers.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "pitchline/belt/pulley.hpp"
#include "pitchline/motion/steps_per_turn.hpp"
#include "pitchline/motion/steps_wanted.hpp"

namespace pitchline::tools {
namespace {

using io::AnswerTable;
using io::AnswerValue;
using io::BeltAnswer;

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

}  // namespace

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

}  // namespace pitchline::tools
