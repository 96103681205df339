// Answers about a belt round any number of pulleys.

#include "pitchline/belt/loop.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "asked_belt.hpp"
#include "pitchline/belt/mesh.hpp"
#include "pitchline/io/read_belt_layout.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_option.hpp"

namespace pitchline::answer {
namespace {

belt::SolvedLoop solved_loop(const belt::Loop& loop, const std::string& file) {
  try {
    return belt::solved(loop);
  } catch (const OutsideValidity& e) {
    throw io::UnusableOptions(
        e.what(),
        "list the pulleys in the order of the belt, with side = \"back\" where its back runs",
        file);
  }
}

// Where a pulley can go: along its slide, or else an idler along the line on which the belt length
// changes most, twice as far as the slope says.
std::optional<belt::SettingLine> line_of(const io::BeltLayout& layout,
                                         const belt::SolvedLoop& solved, std::size_t at,
                                         int count) {
  if (layout.pulleys[at].slide) return *layout.pulleys[at].slide;
  const belt::PulleyOnLoop& on_loop = solved.pulleys[at];
  const double slope = std::hypot(on_loop.length_per_x, on_loop.length_per_y);
  if (slope < 1e-3) return std::nullopt;
  const Length missing = parts::pitch(layout.loop.profile) * teeth(count) - solved.length;
  const Length reach = 2.0 / slope * (missing < metres(0) ? -missing : missing);
  return belt::SettingLine{
      .pulley = at,
      .direction = radians(std::atan2(on_loop.length_per_y, on_loop.length_per_x)),
      .least = -reach - millimetres(0.01),
      .most = reach + millimetres(0.01)};
}

std::optional<belt::Setting> setting_along(const belt::Loop& loop,
                                           const std::optional<belt::SettingLine>& line,
                                           int count) {
  if (!line) return std::nullopt;
  try {
    return belt::setting_for_teeth(loop, *line, count);
  } catch (const OutsideValidity&) {
    return std::nullopt;  // the line leads out of what can be built
  }
}

void note_small_back_bend(Answer& answer, const io::BeltLayout& layout, std::size_t at) {
  const belt::Loop& loop = layout.loop;
  const parts::Sourced<Length> least =
      belt::smallest_back_bend(loop.profile, radians_per_second(0));
  const bool back = loop.pulleys[at].side == belt::BeltSide::back;
  if (back && least.known() && layout.pulleys[at].diameter < least.value)
    answer.notes.push_back(fmt::format(
        "{}: {} is less than the smallest idler on the back, {} ({}).", loop.pulleys[at].name,
        print_plain(layout.pulleys[at].diameter), print_plain(least.value), least.source));
}

void add_pulleys(Answer& answer, const io::BeltLayout& layout, const belt::SolvedLoop& solved) {
  const belt::Loop& loop = layout.loop;
  Table table{.key = "pulleys",
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
    const int meshing = on_loop.wrap.whole_teeth_in_mesh;
    Value in_mesh = std::string("-");
    if (toothed) in_mesh = std::int64_t{meshing};
    table.rows.push_back({loop.pulleys[i].name, std::string(back ? "back" : "inside"),
                          on_loop.wrap.angle, in_mesh, on_loop.span_to_next});
    note_small_back_bend(answer, layout, i);
    if (toothed && meshing < 6)
      answer.notes.push_back(fmt::format(
          "{}: few teeth in mesh, {}; the belt bears {} of its rating.", loop.pulleys[i].name,
          meshing, significant(belt::mesh_correction(meshing).factor, 1)));
  }
  answer.tables.push_back(std::move(table));
}

// Teeth of the belts to set a pulley for: of the one that is there, else the whole numbers on
// either side of what the pulleys ask.
std::vector<int> belts_to_set(const BeltQuestion& q, const belt::SolvedLoop& solved) {
  if (!q.belt_teeth.empty())
    return {count_of(
        {.option = "--belt-teeth", .text = q.belt_teeth, .most = 100'000, .example = "305"})};
  const int below = static_cast<int>(std::floor(in_teeth(solved.teeth) + 1e-9));
  return {below, below + 1};
}

void add_settings(Answer& answer, const io::BeltLayout& layout, const belt::SolvedLoop& solved,
                  const std::vector<int>& belts) {
  const belt::Loop& loop = layout.loop;
  Table settings{.key = "settings",
                 .heading = "where to set a pulley for a belt of whole teeth",
                 .columns = {{"teeth", "teeth"},
                             {"name", "pulley"},
                             {"along", "along"},
                             {"shift", "move by"},
                             {"x", "x"},
                             {"y", "y"}}};
  bool any_slide = false;
  for (const io::LayoutPulley& p : layout.pulleys) any_slide = any_slide || p.slide;
  for (const int count : belts)
    for (std::size_t i = 0; i < loop.pulleys.size(); ++i) {
      if (any_slide ? !layout.pulleys[i].slide : layout.pulleys[i].teeth > 0) continue;
      const auto line = line_of(layout, solved, i, count);
      if (const auto set = setting_along(loop, line, count)) {
        settings.rows.push_back({std::int64_t{count}, loop.pulleys[i].name, line->direction,
                                 set->shift, set->x, set->y});
      } else {
        answer.notes.push_back(
            fmt::format("{} cannot be set for {} teeth.", loop.pulleys[i].name, count));
      }
    }
  if (!settings.rows.empty()) {
    answer.tables.push_back(std::move(settings));
    return;
  }
  if (belts.size() == 1) return;
  answer.notes.emplace_back(
      "Nothing here can be set for a whole number of teeth: give a pulley a slide, for example "
      "slide = { along = \"90 deg\", from = \"-5 mm\", to = \"5 mm\" }.");
}

}  // namespace

Answer belt_loop(const BeltQuestion& q, const io::Catalogue& catalogue) {
  const io::BeltLayout layout = io::read_belt_layout(io::read_file(q.file), q.file, catalogue);
  const belt::Loop& loop = layout.loop;
  const belt::SolvedLoop solved = solved_loop(loop, q.file);
  Answer answer{.question = "loop",
                .title = fmt::format("{}, {} pulleys", loop.profile.name, loop.pulleys.size())};
  const std::vector<int> belts = belts_to_set(q, solved);
  const std::size_t plucked = belt::longest_span(solved);
  answer.figures = {{"length", "belt length", solved.length, ""},
                    {"belt_teeth", "that is", solved.teeth, ""},
                    {"longest_span", "longest free span", solved.pulleys[plucked].span_to_next,
                     fmt::format("after {}: the one to pluck", loop.pulleys[plucked].name)}};
  if (!q.belt_teeth.empty())
    answer.figures.push_back({"missing_teeth", "the belt that you have less that",
                              teeth(belts.front()) - solved.teeth,
                              "to be taken up by the settings below"});
  add_pulleys(answer, layout, solved);
  add_settings(answer, layout, solved, belts);
  answer.formula = {
      .lines = {"span = sqrt(d^2 - (s1 r1 - s2 r2)^2)", "L = sum of spans + sum of r * wrap"},
      .symbols = {pitch_symbol(loop.profile), {"L", "belt length", solved.length}},
      .source =
          "plane geometry; d is the distance of the centres, s is +1 inside and -1 on the back"};
  for (const belt::LoopPulley& p : loop.pulleys)
    answer.formula.symbols.push_back({"r", "pitch-line radius, " + p.name, p.pitch_line_radius});
  return answer;
}

}  // namespace pitchline::answer
