// Answers of the gauge: squareness of a gantry.

#include <fmt/format.h>

#include "asked_tune.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_measurements.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/tune/squareness.hpp"

namespace pitchline::answer {
namespace {

using io::quantity_of;

io::SquareMeasurement square_by_options(const TuneQuestion& q) {
  io::SquareMeasurement m;
  m.rectangle.along_beam = quantity_of<Length>("--along-beam", q.along_beam, longest);
  m.rectangle.along_rails = quantity_of<Length>("--along-rails", q.along_rails, longest);
  m.diagonals.left_to_right = lengths_of("--left-to-right", q.left_to_right);
  m.diagonals.right_to_left = lengths_of("--right-to-left", q.right_to_left);
  m.diagonals.resolution = resolution_of(q);
  if (!q.between_rails.empty())
    m.between_rails = quantity_of<Length>("--between-rails", q.between_rails, longest);
  if (!q.allowed.empty()) {
    m.allowed = quantity_of<Length>("--allowed", q.allowed, longest);
    if (q.between_rails.empty())
      throw io::UnusableOptions("--between-rails is missing", "--allowed limits the offset there");
  }
  return m;
}

io::SquareMeasurement square_of(const TuneQuestion& q) {
  if (q.file.empty()) return square_by_options(q);
  require_in_file(q.file,
                  {{"--along-beam", &q.along_beam},
                   {"--along-rails", &q.along_rails},
                   {"--resolution", &q.resolution},
                   {"--between-rails", &q.between_rails},
                   {"--allowed", &q.allowed}},
                  {{"--left-to-right", &q.left_to_right}, {"--right-to-left", &q.right_to_left}});
  return io::read_square(io::read_file(q.file), q.file);
}

// What the skew is where the rails are, and whether that is allowed.
void add_lead(Answer& answer, const io::SquareMeasurement& m, const tune::Squareness& s) {
  if (is_unset(m.between_rails)) return;
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

}  // namespace

Answer gantry_skew(const TuneQuestion& q, const io::Catalogue& /*unused*/) {
  const io::SquareMeasurement m = square_of(q);
  const tune::Squareness s = tune::squareness(m.rectangle, m.diagonals, confidence_of(q));
  Answer answer{.question = "square"};
  answer.title =
      fmt::format("rectangle of {} along the beam by {} along the rails",
                  print_plain(m.rectangle.along_beam, 6), print_plain(m.rectangle.along_rails, 6));
  answer.figures = {figure_of("difference", "difference of the diagonals", s.difference),
                    figure_of("skew", "skew of the beam", s.skew, 4,
                              "off square; above zero its right end leads")};
  add_lead(answer, m, s);
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
      "of each line.");
  answer.formula = {
      .lines = {"sin g = (d1^2 - d2^2)/(4 a b)", "d1^2 + d2^2 = 2 (a^2 + b^2)", "offset = w tan g"},
      .symbols = {},
      .source = "law of cosines"};
  return answer;
}

}  // namespace pitchline::answer
