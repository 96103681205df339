// Answers of the gauge: travel of an axis, squareness of a gantry, error of a screw.

#include <array>
#include <cmath>
#include <set>

#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_measurements.hpp"
#include "pitchline/tune/screw_error.hpp"
#include "pitchline/tune/squareness.hpp"
#include "pitchline/tune/travel.hpp"
#include "pitchline/tune/wrong_setting.hpp"
#include "tune_answers.hpp"

namespace pitchline::tools {
namespace {

using io::figure_of;
using io::TuneAnswer;

const Length longest = metres(100);

std::string percent(double part) { return fmt::format("{} %", significant(100.0 * part, 3)); }

/// Lengths as they were typed, on either side of zero.
std::vector<Length> lengths_of(std::string_view option, const std::vector<std::string>& texts) {
  std::vector<Length> lengths;
  if (texts.empty())
    throw UnusableOptions(fmt::format("{} is missing", option),
                          fmt::format("for example {} \"1000 mm\"", option));
  for (const std::string& text : texts) {
    try {
      lengths.push_back(read_quantity<Length>(text));
    } catch (const UnreadableQuantity& e) {
      throw UnusableOptions(fmt::format("{}: {}\n  {}\n  {}^", option, e.what(), text,
                                        std::string(e.column() - 1, ' ')));
    }
    if (!(lengths.back() <= longest && lengths.back() >= -longest))
      throw UnusableOptions(
          fmt::format("{} must be at most {}, got \"{}\"", option, print_plain(longest), text));
  }
  return lengths;
}

std::optional<std::int64_t> whole_of(std::string_view option, const std::string& text,
                                     std::int64_t most) {
  if (text.empty()) return std::nullopt;
  std::int64_t value = 0;
  const auto [end, wrong] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (wrong == std::errc{} && end == text.data() + text.size() && value >= 1 && value <= most)
    return value;
  throw UnusableOptions(
      fmt::format("{} must be a whole number from 1 to {}, got \"{}\"", option, most, text));
}

Length resolution_of(const TuneOptions& o) {
  if (o.resolution.empty())
    throw UnusableOptions("--resolution is missing",
                          "the smallest step that the gauge shows, for example \"0.1 mm\"");
  return quantity_of<Length>("--resolution", o.resolution, metres(1));
}

/// Readings from the options or from a CSV file.
tune::TravelReadings readings_of(const TuneOptions& o) {
  tune::TravelReadings r;
  if (o.file.empty()) {
    const std::vector<Length> commanded = lengths_of("--commanded", o.commanded);
    const std::vector<Length> measured = lengths_of("--measured", o.measured);
    if (commanded.size() != measured.size())
      throw UnusableOptions(
          fmt::format("{} commanded and {} measured lengths", commanded.size(), measured.size()),
          "one --measured for each --commanded, in the same order");
    for (std::size_t i = 0; i < commanded.size(); ++i)
      r.readings.push_back({.commanded = commanded[i], .measured = measured[i]});
  } else {
    require_absent("--commanded", o.commanded.empty() ? "" : o.commanded.front(), o.file);
    require_absent("--measured", o.measured.empty() ? "" : o.measured.front(), o.file);
    r.readings = io::read_travel_csv(io::read_file(o.file), o.file);
    if (r.readings.empty())
      throw UnusableOptions("the table has a head and no readings", {}, o.file);
  }
  r.resolution = resolution_of(o);
  return r;
}

std::size_t places_of(const tune::TravelReadings& r) {
  std::set<double> places;
  for (const tune::TravelReading& each : r.readings) places.insert(in_metres(each.commanded));
  return places.size();
}

io::TravelMeasurement travel_of(const TuneOptions& o) {
  io::TravelMeasurement m;
  if (!o.file.empty() && !is_csv(o.file)) {
    const std::array<std::pair<std::string_view, const std::string*>, 6> options{
        {{"--steps-per-mm", &o.steps_per_mm},
         {"--resolution", &o.resolution},
         {"--zero", &o.zero},
         {"--teeth", &o.teeth},
         {"--pulses-per-turn", &o.pulses_per_turn},
         {"--starts", &o.starts}}};
    for (const auto& [option, text] : options) require_absent(option, *text, o.file);
    require_absent("--commanded", o.commanded.empty() ? "" : o.commanded.front(), o.file);
    require_absent("--measured", o.measured.empty() ? "" : o.measured.front(), o.file);
    m = io::read_travel(io::read_file(o.file), o.file);
  } else {
    m.readings = readings_of(o);
    m.steps_per_mm = quantity_of<PulsesPerLength>("--steps-per-mm", o.steps_per_mm);
    if (!o.zero.empty()) {
      if (o.zero != "fitted" && o.zero != "exact")
        throw UnusableOptions(fmt::format("unknown --zero \"{}\"", o.zero), "known: fitted, exact");
      m.zero_given = true;
      m.readings.zero = o.zero == "exact" ? tune::GaugeZero::exact : tune::GaugeZero::fitted;
    }
    if (const auto teeth = whole_of("--teeth", o.teeth, 1000))
      m.from.pulley_teeth = static_cast<int>(*teeth);
    m.from.pulses_per_turn = whole_of("--pulses-per-turn", o.pulses_per_turn, 1'000'000);
    if (const auto starts = whole_of("--starts", o.starts, 10))
      m.from.starts = static_cast<int>(*starts);
  }
  if (!m.zero_given && places_of(m.readings) == 1) m.readings.zero = tune::GaugeZero::exact;
  return m;
}

void say_of_repetition(TuneAnswer& answer, const tune::TravelFit& fit) {
  if (!fit.scatter)
    answer.notes.emplace_back(
        "Nothing was read twice, so only the marks of the gauge count: how far readings scatter is "
        "not known. Five readings or more tell it.");
}

void add_bow(TuneAnswer& answer, const tune::TravelFit& fit) {
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
  io::TuneFigure waviness;
  waviness.key = "waviness";
  waviness.label = "waviness";
  waviness.value = Measure::ratio(fit.waviness->ratio);
  waviness.digits = 3;
  waviness.note = fmt::format(
      "mean square off the line over that at one place; chance alone gives "
      "as much in {} of cases",
      percent(fit.waviness->significance));
  answer.figures.push_back(std::move(waviness));
  if (fit.waviness->significant)
    answer.advice.emplace_back(
        "The places lie further off the line than readings scatter at one of them: a pulley out of "
        "true, a bad microstep, or a screw that drifts within a turn. Measure closer together.");
}

}  // namespace

TuneAnswer answer_travel(const TuneOptions& o, const io::Catalogue& /*unused*/) {
  const io::TravelMeasurement m = travel_of(o);
  const tune::Confidence confidence = confidence_of(o);
  const tune::TravelFit fit = tune::travel_fit(m.readings, confidence);
  const tune::Estimate<PulsesPerLength> steps =
      tune::corrected_steps_per_length(m.steps_per_mm, fit.ratio);
  TuneAnswer answer{.question = "travel"};
  answer.title = fmt::format("travel, {} reading{} to {}, with {} set", m.readings.readings.size(),
                             m.readings.readings.size() == 1 ? "" : "s",
                             print_plain(m.readings.resolution), print_plain(m.steps_per_mm, 7));
  answer.figures = {
      figure_of("travelled_over_commanded", "travelled/commanded", fit.ratio, 7),
      figure_of("corrected_steps_per_mm", "corrected steps per mm", steps, 7,
                fit.scatter ? fmt::format("the interval holds the true value in {} of cases",
                                          percent(confidence.value()))
                            : std::string("half a mark of the gauge either way in every reading"))};
  if (fit.lost_motion)
    answer.figures.push_back(figure_of("lost_motion", "lost motion", *fit.lost_motion, 3,
                                       "a place reads so much more from behind than from ahead"));
  if (fit.scatter) {
    io::TuneFigure scatter;
    scatter.key = "scatter";
    scatter.label = "scatter of a reading";
    scatter.value = *fit.scatter;
    scatter.digits = 3;
    answer.figures.push_back(std::move(scatter));
  }
  const auto wrong = tune::wrong_settings(fit.ratio, m.from);
  // A tenth of a per cent of tolerance is usual; a hundredth of the whole is no tolerance.
  const bool beyond_tolerance = fit.ratio.most < 0.99 || fit.ratio.least > 1.01;
  if (!wrong.empty()) {
    answer.advice.emplace_back(
        "Do not correct this value: the travel is that of a wrong setting, not of a tolerance.");
    io::AnswerTable table{.key = "wrong_settings",
                          .heading = "what explains the travel",
                          .columns = {{"ratio", "ratio"}, {"cause", "cause"}}};
    for (const tune::WrongSetting& each : wrong)
      if (table.rows.size() < 6)
        table.rows.push_back({Measure::ratio(to_double(each.ratio)), each.cause});
    answer.tables.push_back(std::move(table));
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
  }
  if (wrong.empty() && !beyond_tolerance && fit.worth_correcting)
    answer.lines.push_back(
        {"the controller",
         fmt::format("steps per mm = {}", significant(in_pulses_per_millimetre(steps.value), 7))});
  add_bow(answer, fit);
  if (fit.lost_motion && fit.lost_motion->least > metres(0))
    answer.advice.push_back(
        fmt::format("Lost motion of {}: look for play of nut, pulley or clamp and for a slack "
                    "belt before a controller is told to make up for it.",
                    print(fit.lost_motion->value, 3)));
  if (fit.lost_motion && fit.lost_motion->most < metres(0))
    answer.notes.emplace_back(
        "Lost motion below zero: forward and backward were mixed up, or the gauge pushes the "
        "axis.");
  if (m.readings.zero == tune::GaugeZero::exact && !m.zero_given)
    answer.notes.emplace_back(
        "All at one distance: the gauge is taken to show nothing at the start (zero = \"exact\").");
  say_of_repetition(answer, fit);
  answer.notes.emplace_back(
      "The tape itself may be wrong: one of class II may be off by 0.5 mm over 1 m, and steel "
      "grows by 0.012 mm over 1 m a degree (from memory). No arithmetic shows that.");
  answer.formula = {"measured = ratio commanded + lost motion + zero     least squares",
                    "ratio +- k s sqrt(sum w^2), k of Student's distribution",
                    "      and at least half a mark in every reading, in the worst order,",
                    "      where readings scatter by less than 0.6 of a mark",
                    "corrected = now / ratio"};
  answer.source = "least squares, Student's interval; the bound by the marks is derived";
  return answer;
}

TuneAnswer answer_square(const TuneOptions& o, const io::Catalogue& /*unused*/) {
  io::SquareMeasurement m;
  if (o.file.empty()) {
    m.rectangle.along_beam = quantity_of<Length>("--along-beam", o.along_beam, longest);
    m.rectangle.along_rails = quantity_of<Length>("--along-rails", o.along_rails, longest);
    m.diagonals.left_to_right = lengths_of("--left-to-right", o.left_to_right);
    m.diagonals.right_to_left = lengths_of("--right-to-left", o.right_to_left);
    m.diagonals.resolution = resolution_of(o);
    if (!o.between_rails.empty())
      m.between_rails = quantity_of<Length>("--between-rails", o.between_rails, longest);
    if (!o.allowed.empty()) {
      m.allowed = quantity_of<Length>("--allowed", o.allowed, longest);
      if (o.between_rails.empty())
        throw UnusableOptions("--between-rails is missing", "--allowed limits the offset there");
    }
  } else {
    for (const auto& [option, text] :
         {std::pair{"--along-beam", &o.along_beam}, std::pair{"--along-rails", &o.along_rails},
          std::pair{"--resolution", &o.resolution}, std::pair{"--between-rails", &o.between_rails},
          std::pair{"--allowed", &o.allowed}})
      require_absent(option, *text, o.file);
    for (const auto* list : {&o.left_to_right, &o.right_to_left})
      require_absent(list == &o.left_to_right ? "--left-to-right" : "--right-to-left",
                     list->empty() ? "" : list->front(), o.file);
    m = io::read_square(io::read_file(o.file), o.file);
  }
  const tune::Squareness s = tune::squareness(m.rectangle, m.diagonals, confidence_of(o));
  TuneAnswer answer{.question = "square"};
  answer.title =
      fmt::format("rectangle of {} along the beam by {} along the rails",
                  print_plain(m.rectangle.along_beam, 6), print_plain(m.rectangle.along_rails, 6));
  answer.figures = {figure_of("difference", "difference of the diagonals", s.difference),
                    figure_of("skew", "skew of the beam", s.skew, 4,
                              "off square; above zero its right end leads")};
  if (!is_unset(m.between_rails)) {
    const tune::Estimate<Length> lead = tune::lead_of_right_end(s.skew, m.between_rails);
    answer.figures.push_back(
        figure_of("lead_of_right_end", "the right end leads by", lead, 4,
                  fmt::format("over {} between the rails", print_plain(m.between_rails, 6))));
    if (s.told)
      answer.advice.push_back(
          fmt::format("Set the right side of the gantry {} by {}, or the left "
                      "one the other way.",
                      lead.value > metres(0) ? "back" : "ahead",
                      lead.value > metres(0) ? lead.value : Length(-lead.value)));
    if (!is_unset(m.allowed)) {
      const tune::Judgement j = tune::judge_within(lead, Length(-m.allowed), m.allowed);
      answer.judgements.push_back(
          {"offset", "offset of one side", j,
           fmt::format("{} to {}, {} allowed either way", lead.least, lead.most, m.allowed)});
    }
  }
  if (!s.told)
    answer.advice.emplace_back(
        "Leave it: the measurement cannot tell the skew from none. A larger rectangle tells more.");
  if (s.length_is_off)
    answer.advice.push_back(
        fmt::format("The diagonals are {} {} than the sides make them: measure travel first, then "
                    "draw the rectangle again.",
                    s.length_off > metres(0) ? s.length_off : Length(-s.length_off),
                    s.length_off > metres(0) ? "longer" : "shorter"));
  answer.notes.emplace_back(
      "Left to right: from the near left corner to the far right one. Measure from the same side "
      "of "
      "each line.");
  answer.formula = {"sin g = (d1^2 - d2^2)/(4 a b)", "d1^2 + d2^2 = 2 (a^2 + b^2)",
                    "offset = w tan g"};
  answer.source = "law of cosines";
  return answer;
}

TuneAnswer answer_screw(const TuneOptions& o, const io::Catalogue& /*unused*/) {
  io::ScrewMeasurement m;
  if (!o.file.empty() && !is_csv(o.file)) {
    for (const auto& [option, text] :
         {std::pair{"--lead", &o.lead}, std::pair{"--resolution", &o.resolution},
          std::pair{"--allowed", &o.allowed}})
      require_absent(option, *text, o.file);
    m = io::read_screw_measurement(io::read_file(o.file), o.file);
  } else {
    m.readings = readings_of(o);
    m.lead = quantity_of<Length>("--lead", o.lead, metres(1));
    if (!o.allowed.empty()) m.allowed = quantity_of<Length>("--allowed", o.allowed, metres(1));
  }
  const tune::ScrewError e = tune::screw_error(m.readings, m.lead, confidence_of(o));
  const Length step = m.readings.resolution;
  const auto width = [&](const tune::TravelBand& band) {
    return tune::Estimate<Length>{band.width, std::max(metres(0), Length(band.width - step)),
                                  band.width + step};
  };
  TuneAnswer answer{.question = "screw"};
  answer.title = fmt::format("screw of {} lead, {} readings to {}", print_plain(m.lead, 7),
                             m.readings.readings.size(), print_plain(step));
  answer.figures = {figure_of("mean_lead", "mean lead", e.mean_lead, 7)};
  io::TuneFigure deviation;
  deviation.key = "mean_deviation";
  deviation.label = "mean deviation over the travel";
  deviation.value = e.mean_deviation;
  deviation.digits = 3;
  deviation.note = "by which the mean line runs too far";
  answer.figures.push_back(std::move(deviation));
  answer.figures.push_back(
      figure_of("width_over_travel", "variation over the travel", width(e.over_travel), 3,
                fmt::format("between {} and {}", print_plain(e.over_travel.from, 6),
                            print_plain(e.over_travel.to, 6))));
  answer.figures.push_back(
      figure_of("width_over_300_mm", "variation over any 300 mm", width(e.over_window), 3,
                fmt::format("between {} and {}", print_plain(e.over_window.from, 6),
                            print_plain(e.over_window.to, 6))));
  if (!is_unset(m.allowed)) {
    const tune::Estimate<Length> met = width(e.over_window);
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
  answer.notes.push_back(
      fmt::format("Places stand up to {} apart: what varies faster is not seen.", e.largest_gap));
  say_of_repetition(answer, e.fit);
  answer.formula = {"measured = ratio commanded + zero     mean line, least squares",
                    "mean lead = ratio lead",
                    "variation = largest less smallest deviation from the mean line"};
  answer.source =
      "least squares; the way of stating it as in ISO 3408-3, e_0a, v_ua, v_300a (from memory)";
  return answer;
}

}  // namespace pitchline::tools
