// Answers of the gauge: the travel of an axis.

#include "pitchline/tune/travel.hpp"

#include <fmt/format.h>

#include <cmath>
#include <optional>
#include <set>
#include <utility>

#include "asked_tune.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_measurements.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/tune/wrong_setting.hpp"

namespace pitchline::answer {
namespace {

std::size_t places_of(const tune::TravelReadings& r) {
  std::set<double> places;
  for (const tune::TravelReading& each : r.readings) places.insert(in_metres(each.commanded));
  return places.size();
}

std::optional<std::int64_t> optional_count(std::string_view option, const std::string& text,
                                           std::int64_t most) {
  if (text.empty()) return std::nullopt;
  return io::whole_of({.option = option, .text = text, .most = most});
}

io::TravelMeasurement travel_by_options(const TuneQuestion& q) {
  io::TravelMeasurement m;
  m.readings = readings_of(q);
  m.steps_per_mm = io::quantity_of<PulsesPerLength>("--steps-per-mm", q.steps_per_mm);
  if (!q.zero.empty()) {
    if (q.zero != "fitted" && q.zero != "exact")
      throw io::UnusableOptions(fmt::format("unknown --zero \"{}\"", q.zero),
                                "known: fitted, exact");
    m.zero_given = true;
    m.readings.zero = q.zero == "exact" ? tune::GaugeZero::exact : tune::GaugeZero::fitted;
  }
  if (const auto teeth = optional_count("--teeth", q.teeth, 1000))
    m.from.pulley_teeth = static_cast<int>(*teeth);
  m.from.pulses_per_turn = optional_count("--pulses-per-turn", q.pulses_per_turn, 1'000'000);
  if (const auto starts = optional_count("--starts", q.starts, 10))
    m.from.starts = static_cast<int>(*starts);
  return m;
}

io::TravelMeasurement travel_of(const TuneQuestion& q) {
  io::TravelMeasurement m;
  if (!q.file.empty() && !is_csv(q.file)) {
    require_in_file(q.file,
                    {{"--steps-per-mm", &q.steps_per_mm},
                     {"--resolution", &q.resolution},
                     {"--zero", &q.zero},
                     {"--teeth", &q.teeth},
                     {"--pulses-per-turn", &q.pulses_per_turn},
                     {"--starts", &q.starts}},
                    {{"--commanded", &q.commanded}, {"--measured", &q.measured}});
    m = io::read_travel(io::read_file(q.file), q.file);
  } else {
    m = travel_by_options(q);
  }
  if (!m.zero_given && places_of(m.readings) == 1) m.readings.zero = tune::GaugeZero::exact;
  return m;
}

void add_bow(Answer& answer, const tune::TravelFit& fit) {
  if (fit.bow) {
    answer.figures.push_back(figure_of(
        "bow", "bow at the middle", fit.bow->middle, 3,
        fmt::format("chance alone gives as much in {} of cases", percent(fit.bow->significance))));
    if (fit.bow->significant)
      answer.advice.push_back(
          fmt::format("The travel bends: {} at the middle of what was measured. One value cannot "
                      "set that right; look for a tape that sags or runs askew, a rail that is not "
                      "straight, a belt anchored off its line, or a screw.",
                      print(fit.bow->middle.value, 3)));
  }
  if (!fit.waviness) return;
  answer.figures.push_back(
      {.key = "waviness",
       .label = "waviness",
       .value = Measure::ratio(fit.waviness->ratio),
       .note = fmt::format("mean square off the line over that at one place; chance alone gives "
                           "as much in {} of cases",
                           percent(fit.waviness->significance)),
       .digits = 3});
  if (fit.waviness->significant)
    answer.advice.emplace_back(
        "The places lie further off the line than readings scatter at one of them: a pulley out of "
        "true, a bad microstep, or a screw that drifts within a turn. Measure closer together.");
}

void add_figures(Answer& answer, const tune::TravelFit& fit,
                 const tune::Estimate<PulsesPerLength>& steps, const tune::Confidence& confidence) {
  answer.figures = {
      figure_of("travelled_over_commanded", "travelled/commanded", fit.ratio, 7),
      figure_of("corrected_steps_per_mm", "corrected steps per mm", steps, 7,
                fit.scatter ? fmt::format("the interval holds the true value in {} of cases",
                                          percent(confidence.value()))
                            : std::string("half a mark of the gauge either way in every reading"))};
  if (fit.lost_motion)
    answer.figures.push_back(figure_of("lost_motion", "lost motion", *fit.lost_motion, 3,
                                       "a place reads so much more from behind than from ahead"));
  if (fit.scatter)
    answer.figures.push_back(
        {.key = "scatter", .label = "scatter of a reading", .value = *fit.scatter, .digits = 3});
}

void add_wrong_settings(Answer& answer, const std::vector<tune::WrongSetting>& wrong) {
  answer.advice.emplace_back(
      "Do not correct this value: the travel is that of a wrong setting, not of a tolerance.");
  Table table{.key = "wrong_settings",
              .heading = "what explains the travel",
              .columns = {{"ratio", "ratio"}, {"cause", "cause", true}}};
  for (const tune::WrongSetting& each : wrong)
    if (table.rows.size() < 6)
      table.rows.push_back({Measure::ratio(to_double(each.ratio)), each.cause});
  answer.tables.push_back(std::move(table));
}

// What to do about the value that is set, and the line to type in where it is to be changed.
void advise(Answer& answer, const io::TravelMeasurement& m, const tune::TravelFit& fit,
            const tune::Estimate<PulsesPerLength>& steps) {
  const auto wrong = tune::wrong_settings(fit.ratio, m.from);
  // A tenth of a per cent of tolerance is usual; a hundredth of the whole is no tolerance.
  const bool beyond_tolerance = fit.ratio.most < 0.99 || fit.ratio.least > 1.01;
  if (!wrong.empty()) {
    add_wrong_settings(answer, wrong);
  } else if (beyond_tolerance) {
    answer.advice.push_back(
        fmt::format("{} off is more than any tolerance, and no usual count of teeth, pulses or "
                    "starts explains it: check pitch, reduction and what was typed in first.",
                    percent(std::abs(fit.ratio.value - 1.0))));
  } else if (!fit.worth_correcting) {
    answer.advice.push_back(
        fmt::format("Leave the value: the measurement cannot tell {} from what would be right.",
                    print_plain(m.steps_per_mm, 7)));
  } else {
    answer.advice.push_back(fmt::format("Set {} in place of {}, {} {}.",
                                        print_plain(steps.value, 7), print_plain(m.steps_per_mm, 7),
                                        percent(std::abs(1.0 / fit.ratio.value - 1.0)),
                                        fit.ratio.value > 1.0 ? "less" : "more"));
    answer.lines.push_back(
        {"the controller",
         fmt::format("steps per mm = {}", significant(in_pulses_per_millimetre(steps.value), 7))});
  }
}

void say_of_lost_motion(Answer& answer, const tune::TravelFit& fit) {
  if (!fit.lost_motion) return;
  if (fit.lost_motion->least > metres(0))
    answer.advice.push_back(
        fmt::format("Lost motion of {}: look for play of nut, pulley or clamp and for a slack "
                    "belt before a controller is told to make up for it.",
                    print(fit.lost_motion->value, 3)));
  if (fit.lost_motion->most < metres(0))
    answer.notes.emplace_back(
        "Lost motion below zero: forward and backward were mixed up, or the gauge pushes the "
        "axis.");
}

}  // namespace

Answer corrected_travel(const TuneQuestion& q, const io::Catalogue& /*unused*/) {
  const io::TravelMeasurement m = travel_of(q);
  const tune::Confidence confidence = confidence_of(q);
  const tune::TravelFit fit = tune::travel_fit(m.readings, confidence);
  const tune::Estimate<PulsesPerLength> steps =
      tune::corrected_steps_per_length(m.steps_per_mm, fit.ratio);
  Answer answer{.question = "travel"};
  answer.title = fmt::format("travel, {} reading{} to {}, with {} set", m.readings.readings.size(),
                             m.readings.readings.size() == 1 ? "" : "s",
                             print_plain(m.readings.resolution), print_plain(m.steps_per_mm, 7));
  add_figures(answer, fit, steps, confidence);
  advise(answer, m, fit, steps);
  add_bow(answer, fit);
  say_of_lost_motion(answer, fit);
  if (m.readings.zero == tune::GaugeZero::exact && !m.zero_given)
    answer.notes.emplace_back(
        "All at one distance: the gauge is taken to show nothing at the start (zero = \"exact\").");
  say_of_repetition(answer, fit);
  answer.notes.emplace_back(
      "The tape itself may be wrong: one of class II may be off by 0.5 mm over 1 m, and steel "
      "grows by 0.012 mm over 1 m a degree (from memory). No arithmetic shows that.");
  answer.formula = {
      .lines = {"measured = ratio commanded + lost motion + zero     least squares",
                "ratio +- k s sqrt(sum w^2), k of Student's distribution",
                "      and at least half a mark in every reading, in the worst order,",
                "      where readings scatter by less than 0.6 of a mark",
                "corrected = now / ratio"},
      .symbols = {},
      .source = "least squares, Student's interval; the bound by the marks is derived"};
  return answer;
}

}  // namespace pitchline::answer
