#include "asked_tune.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_measurements.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/units/nearest.hpp"

namespace pitchline::answer {

using io::UnusableOptions;

bool is_csv(const std::string& file) {
  return file.size() > 4 && (file.ends_with(".csv") || file.ends_with(".CSV"));
}

void require_in_file(const std::string& file, const std::vector<Typed>& options,
                     const std::vector<TypedList>& lists) {
  const auto require = [&](std::string_view option, bool typed) {
    io::require_absent(typed, fmt::format("{} does not go with {}", option, file),
                       "the file says it: leave one out");
  };
  for (const auto& [option, text] : options) require(option, !text->empty());
  for (const auto& [option, texts] : lists) require(option, !texts->empty());
}

tune::Confidence confidence_of(const TuneQuestion& q) {
  if (q.confidence.empty()) return tune::Confidence(0.95);
  return tune::Confidence(
      io::number_of({.option = "--confidence",
                     .text = q.confidence,
                     .rule = "a number >= 0.5 and <= 0.999",
                     .holds = [](double x) { return x >= 0.5 && x <= 0.999; }}));
}

Length resolution_of(const TuneQuestion& q) {
  if (q.resolution.empty())
    throw UnusableOptions("--resolution is missing",
                          "the smallest step that the gauge shows, for example \"0.1 mm\"");
  return io::quantity_of<Length>("--resolution", q.resolution, metres(1));
}

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

tune::TravelReadings readings_of(const TuneQuestion& q) {
  tune::TravelReadings r;
  if (q.file.empty()) {
    const std::vector<Length> commanded = lengths_of("--commanded", q.commanded);
    const std::vector<Length> measured = lengths_of("--measured", q.measured);
    if (commanded.size() != measured.size())
      throw UnusableOptions(
          fmt::format("{} commanded and {} measured lengths", commanded.size(), measured.size()),
          "one --measured for each --commanded, in the same order");
    for (std::size_t i = 0; i < commanded.size(); ++i)
      r.readings.push_back({.commanded = commanded[i], .measured = measured[i]});
  } else {
    require_in_file(q.file, {}, {{"--commanded", &q.commanded}, {"--measured", &q.measured}});
    r.readings = io::read_travel_csv(io::read_file(q.file), q.file);
    if (r.readings.empty())
      throw UnusableOptions("the table has a head and no readings", {}, q.file);
  }
  r.resolution = resolution_of(q);
  return r;
}

std::string percent(double part) { return fmt::format("{} %", significant(100.0 * part, 3)); }

void say_of_repetition(Answer& answer, const tune::TravelFit& fit) {
  if (!fit.scatter)
    answer.notes.emplace_back(
        "Nothing was read twice, so only the marks of the gauge count: how far readings scatter is "
        "not known. Five readings or more tell it.");
}

const machine::Axis& axis_asked_of(const machine::Machine& machine, const TuneQuestion& q) {
  std::vector<std::string> names;
  for (const machine::Axis& axis : machine.axes) {
    if (axis.name == q.axis) return axis;
    names.push_back(axis.name);
  }
  if (q.axis.empty() && machine.axes.size() == 1) return machine.axes.front();
  const std::string help = fmt::format("known: {}", fmt::join(names, ", "));
  if (q.axis.empty()) throw UnusableOptions("--axis is missing", help);
  const auto nearest = nearest_word(q.axis, names);
  throw UnusableOptions(fmt::format("unknown axis \"{}\"{}", q.axis,
                                    nearest ? fmt::format(", did you mean {}?", *nearest) : ""),
                        help);
}

}  // namespace pitchline::answer
