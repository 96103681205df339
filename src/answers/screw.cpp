// Answers of the gauge: lead and variation of a screw.

#include <fmt/format.h>

#include <algorithm>

#include "asked_tune.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_measurements.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/tune/screw_error.hpp"

namespace pitchline::answer {
namespace {

io::ScrewMeasurement screw_of(const TuneQuestion& q) {
  io::ScrewMeasurement m;
  if (!q.file.empty() && !is_csv(q.file)) {
    require_in_file(
        q.file, {{"--lead", &q.lead}, {"--resolution", &q.resolution}, {"--allowed", &q.allowed}},
        {{"--commanded", &q.commanded}, {"--measured", &q.measured}});
    return io::read_screw_measurement(io::read_file(q.file), q.file);
  }
  m.readings = readings_of(q);
  m.lead = io::quantity_of<Length>("--lead", q.lead, metres(1));
  if (!q.allowed.empty()) m.allowed = io::quantity_of<Length>("--allowed", q.allowed, metres(1));
  return m;
}

// A band between two readings, each to one mark of the gauge.
tune::Estimate<Length> width_of(const tune::TravelBand& band, Length resolution) {
  return {band.width, std::max(metres(0), Length(band.width - resolution)),
          band.width + resolution};
}

void add_figures(Answer& answer, const io::ScrewMeasurement& m, const tune::ScrewError& e) {
  const auto band = [&](std::string key, std::string label, const tune::TravelBand& b) {
    return figure_of(
        std::move(key), std::move(label), width_of(b, m.readings.resolution), 3,
        fmt::format("between {} and {}", print_plain(b.from, 6), print_plain(b.to, 6)));
  };
  answer.figures = {figure_of("mean_lead", "mean lead", e.mean_lead, 7),
                    {.key = "mean_deviation",
                     .label = "mean deviation over the travel",
                     .value = e.mean_deviation,
                     .note = "by which the mean line runs too far",
                     .digits = 3},
                    band("width_over_travel", "variation over the travel", e.over_travel),
                    band("width_over_300_mm", "variation over any 300 mm", e.over_window)};
}

void say_grade(Answer& answer, const tune::ScrewError& e) {
  const auto grade =
      std::find_if(tune::screw_grades.begin(), tune::screw_grades.end(),
                   [&](const tune::ScrewGrade& g) { return e.over_window.width <= g.over_window; });
  if (grade != tune::screw_grades.end())
    answer.notes.push_back(
        fmt::format("Grade {} of ISO 3408-3 may vary by {} over any 300 mm (from "
                    "memory); a grade says more than that.",
                    grade->grade, grade->over_window));
  else
    answer.notes.emplace_back("No grade of ISO 3408-3 may vary as much over 300 mm (from memory).");
}

}  // namespace

Answer screw_variation(const TuneQuestion& q, const io::Catalogue& /*unused*/) {
  const io::ScrewMeasurement m = screw_of(q);
  const tune::ScrewError e = tune::screw_error(m.readings, m.lead, confidence_of(q));
  Answer answer{.question = "screw"};
  answer.title = fmt::format("screw of {} lead, {} readings to {}", print_plain(m.lead, 7),
                             m.readings.readings.size(), print_plain(m.readings.resolution));
  add_figures(answer, m, e);
  if (!is_unset(m.allowed)) {
    const tune::Estimate<Length> met = width_of(e.over_window, m.readings.resolution);
    answer.judgements.push_back(
        {"variation", "variation over any 300 mm", tune::judge_within(met, metres(0), m.allowed),
         fmt::format("{} to {}, {} allowed", met.least, met.most, m.allowed)});
  }
  if (e.fit.worth_correcting)
    answer.advice.push_back(
        fmt::format("Reckon steps per mm with a lead of {}: then the axis is right on the "
                    "average, and what is left is the variation.",
                    print_plain(e.mean_lead.value, 7)));
  else
    answer.advice.push_back(fmt::format("Leave the lead: the measurement cannot tell {} from {}.",
                                        print_plain(m.lead, 7), print_plain(e.mean_lead.value, 7)));
  say_grade(answer, e);
  answer.notes.push_back(
      fmt::format("Places stand up to {} apart: what varies faster is not seen.", e.largest_gap));
  say_of_repetition(answer, e.fit);
  answer.formula = {
      .lines = {"measured = ratio commanded + zero     mean line, least squares",
                "mean lead = ratio lead",
                "variation = largest less smallest deviation from the mean line"},
      .symbols = {},
      .source =
          "least squares; the way of stating it as in ISO 3408-3, e_0a, v_ua, v_300a (from "
          "memory)"};
  return answer;
}

}  // namespace pitchline::answer
