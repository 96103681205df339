// Answers of scale, gauge and swing: the figures of an axis that a machine file otherwise assumes.

#include "pitchline/tune/axis_figures.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <optional>

#include "asked_tune.hpp"
#include "pitchline/belt/strands.hpp"
#include "pitchline/check/axis_state.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/motor/resonance.hpp"

namespace pitchline::answer {
namespace {

using io::quantity_of;
using io::UnusableOptions;

const Force strongest_pull = newtons(5000);

std::optional<tune::Estimate<Force>> pull_by(std::string_view option,
                                             const std::vector<std::string>& texts,
                                             const TuneQuestion& q) {
  if (texts.empty()) return std::nullopt;
  if (q.scale_resolution.empty())
    throw UnusableOptions("--scale-resolution is missing",
                          "the smallest step that the scale shows, \"0.2 N\"");
  tune::Pulls pulls{.resolution =
                        quantity_of<Force>("--scale-resolution", q.scale_resolution, newtons(100))};
  for (const std::string& text : texts)
    pulls.readings.push_back(quantity_of<Force>(option, text, strongest_pull));
  return tune::pull_of(pulls);
}

void write_line(Answer& answer, const machine::Axis& axis, std::string_view table,
                std::string line) {
  answer.lines.push_back(
      {fmt::format("[axis.{}] of the machine file, in {}", axis.name, table), std::move(line)});
}

void answer_pulls(Answer& answer, const machine::Axis& axis, const TuneQuestion& q) {
  const auto bare = pull_by("--pull-belt-off", q.pull_belt_off, q);
  const auto whole = pull_by("--pull-belt-on", q.pull_belt_on, q);
  const auto start = pull_by("--pull-to-start", q.pull_to_start, q);
  const axis::BeltAxis& drive = machine::belt_drive(axis);
  if (bare) {
    const Force rolling =
        drive.guide.friction.value() * axis::moving_mass(drive) * standard_gravity;
    const tune::Estimate<Force> drag = tune::pull_beyond(*bare, {rolling, rolling, rolling});
    answer.figures.push_back(figure_of("guide_drag", "drag of the guide", drag, 3,
                                       fmt::format("beside {} that follow from its friction and "
                                                   "the moving mass",
                                                   rolling)));
    write_line(answer, axis, "guide", fmt::format("drag = \"{}\"", print_plain(drag.value, 3)));
  }
  if (bare && whole) {
    const double belts = (drive.cross_shaft || drive.motors == 2) ? 2.0 : 1.0;
    tune::Estimate<Force> each = tune::pull_beyond(*whole, *bare);
    each = {each.value / belts, each.least / belts, each.most / belts};
    answer.figures.push_back(
        figure_of("belt_drag", "drag of each belt run", each, 3,
                  "with what the unplugged motor takes; it rises with the tension"));
    write_line(answer, axis, "drive",
               fmt::format("belt_drag = \"{}\"", print_plain(each.value, 3)));
  }
  if (start && whole) {
    const tune::Estimate<Force> beyond = tune::pull_beyond(*start, *whole);
    answer.figures.push_back(figure_of("breakaway", "static beyond running friction", beyond, 3));
    write_line(answer, axis, "guide",
               fmt::format("breakaway = \"{}\"", print_plain(beyond.value, 3)));
  }
  if ((whole && !bare && !start) || (start && !whole))
    throw UnusableOptions(start ? "--pull-belt-on is missing" : "--pull-belt-off is missing",
                          start ? "the pull that keeps it moving, from which the start is told"
                                : "the pull without the belt, from which the belt's part is told");
}

void answer_deflection(Answer& answer, const machine::Machine& machine, const machine::Axis& axis,
                       const TuneQuestion& q) {
  const axis::BeltAxis& drive = machine::belt_drive(axis);
  for (const auto& [option, text] : {std::pair{"--force", &q.force}, std::pair{"--at", &q.at},
                                     std::pair{"--resolution", &q.resolution}})
    if (text->empty())
      throw UnusableOptions(fmt::format("{} is missing", option),
                            "--deflection goes with --force, --at and --resolution");
  if (drive.stage || drive.cross_shaft)
    throw UnusableOptions(
        "the axis has a reduction stage or a cross shaft: its belts give way in two places",
        "measure drive.damping_ratio and the pulls alone");
  const Force per_strain = parts::tension_per_strain(drive.belt);
  if (is_unset(per_strain))
    throw UnusableOptions("the stiffness of the belt is not known",
                          "give drive.tension_per_strain in the machine file");
  const check::AxisState s = check::state_of(machine, axis);
  const auto field = motor::field_stiffness(motor::field_at_rest(s.winding()), Torque{});
  const auto at = quantity_of<Length>("--at", q.at, drive.span);
  const tune::Deflection read{
      .force = quantity_of<Force>("--force", q.force, strongest_pull),
      .deflection = quantity_of<Length>("--deflection", q.deflection, metres(0.1)),
      .resolution = quantity_of<Length>("--resolution", q.resolution, metres(0.01)),
      .field = Stiffness(*field / (s.seen.transmission * s.seen.transmission)) *
               static_cast<double>(drive.motors),
      .belt = belt::strand_stiffness({.tension_per_strain = per_strain, .span = drive.span}, at) *
              static_cast<double>(drive.motors)};
  const tune::Estimate<double> share = tune::stiffness_share(read);
  answer.figures.push_back(figure_of(
      "stiffness_share", "stiffness over that of the belt", share, 3,
      fmt::format("the belts alone are {} there, the motor's field {}", read.belt, read.field)));
  if (!(share.least > 0.0) || !(share.value <= 2.0)) {
    answer.advice.emplace_back(
        "The axis would be stiffer than its belt: read again with more force or a finer gauge.");
    return;
  }
  write_line(answer, axis, "drive",
             fmt::format("stiffness_share = {}", significant(share.value, 2)));
  if (share.most > 1.3 * share.least)
    answer.advice.emplace_back(
        "The gauge tells it within a third only: more force or a finer gauge tells more.");
}

void answer_swing(Answer& answer, const machine::Axis& axis, const TuneQuestion& q) {
  std::vector<double> peaks;
  for (const std::string& text : q.peaks)
    peaks.push_back(io::number_of(
        {.option = "--peaks", .text = text, .rule = "a number > 0", .holds = [](double x) {
           return x > 0.0;
         }}));
  const tune::Estimate<double> zeta = tune::damping_of_peaks(peaks);
  answer.figures.push_back(figure_of("damping_ratio", "damping ratio of the load", zeta, 3,
                                     "each two peaks by themselves give the interval"));
  // The least is what large swings have, where it matters.
  write_line(answer, axis, "drive", fmt::format("damping_ratio = {}", significant(zeta.least, 2)));
}

}  // namespace

Answer axis_figures(const TuneQuestion& q, const io::Catalogue& catalogue) {
  const machine::Machine machine = io::read_machine(io::read_file(q.file), q.file, catalogue);
  const machine::Axis& axis = axis_asked_of(machine, q);
  if (machine::as<axis::BeltAxis>(axis.drive) == nullptr)
    throw UnusableOptions(fmt::format("axis {} has no belt", axis.name),
                          "these figures are of an axis by belt");
  if (machine::incline_of(axis.drive) > degrees(0))
    throw UnusableOptions(fmt::format("axis {} is inclined", axis.name),
                          "a scale shows its weight too: measure on a level axis");
  const bool pulls =
      !q.pull_belt_off.empty() || !q.pull_belt_on.empty() || !q.pull_to_start.empty();
  if (!pulls && q.deflection.empty() && q.peaks.empty())
    throw UnusableOptions("nothing was measured",
                          "--pull-belt-off and --pull-belt-on, --deflection, or --peaks");
  Answer answer{.question = "axis", .title = fmt::format("axis {}", axis.name)};
  if (pulls) answer_pulls(answer, axis, q);
  if (!q.deflection.empty()) answer_deflection(answer, machine, axis, q);
  if (!q.peaks.empty()) answer_swing(answer, axis, q);
  answer.notes = {
      "Pull along the rail, slowly and evenly, power off and the motor unplugged: one that stays "
      "plugged in brakes. Pull to start from rest after a minute.",
      "For the deflection the motor holds, power on: pull in line with the belt with a weight over "
      "a roller, tap the carriage, and read where it stands with and without the weight. Keep "
      "hands out of its path."};
  answer.formula = {.lines = {"x = F (1/k_field + 1/(q k_belt))",
                              "z = d/sqrt(4 pi^2 + d^2), d = ln(x1/xn)/(n - 1)"},
                    .symbols = {},
                    .source = "springs one behind the other; logarithmic decrement"};
  return answer;
}

}  // namespace pitchline::answer
