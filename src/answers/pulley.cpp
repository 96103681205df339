// Answers about one pulley and about the profiles of the catalogue.

#include "pitchline/belt/pulley.hpp"

#include <fmt/format.h>

#include <cstdint>
#include <optional>
#include <utility>

#include "asked_belt.hpp"
#include "pitchline/belt/mesh.hpp"
#include "pitchline/belt/two_pulleys.hpp"
#include "pitchline/io/read_option.hpp"

namespace pitchline::answer {
namespace {

using io::quantity_of;

void add_fewest_teeth(Answer& answer, const parts::BeltProfile& profile, const BeltQuestion& q,
                      int count) {
  if (!profile.smallest_pulley.known()) {
    answer.figures.push_back({"fewest_teeth", "fewest teeth", std::string("unknown"), ""});
    return;
  }
  const bool at_rest = q.speed.empty();
  const belt::FewestTeeth fewest = belt::fewest_teeth(
      profile, at_rest ? radians_per_second(0) : quantity_of<AngularSpeed>("--speed", q.speed));
  if (fewest.beyond_listed_speed) {
    answer.figures.push_back({"fewest_teeth", "fewest teeth", std::string("unknown"),
                              "faster than any speed in " + fewest.source});
    return;
  }
  answer.figures.push_back({"fewest_teeth", at_rest ? "fewest teeth, slow" : "fewest teeth",
                            std::int64_t{fewest.teeth}, fewest.source});
  if (count < fewest.teeth)
    answer.notes.push_back(
        fmt::format("{} teeth are too few: the belt bends too sharply and wears early.", count));
}

std::optional<Angle> wrap_of(const BeltQuestion& q, const parts::BeltProfile& profile, int count) {
  io::require_absent(!q.wrap.empty() && !q.second_teeth.empty(),
                     "--wrap and --second do not go together",
                     "the second pulley and --distance say the wrap: leave one out");
  if (!q.second_teeth.empty()) {
    const belt::TwoPulleys pair{.profile = profile,
                                .first_teeth = count,
                                .second_teeth = teeth_of("--second", q.second_teeth, "60")};
    return belt::pair_wraps(pair, quantity_of<Length>("--distance", q.distance)).first.angle;
  }
  std::optional<Angle> wrap;
  if (!q.wrap.empty()) wrap = quantity_of<Angle>("--wrap", q.wrap);
  io::require_absent(!q.distance.empty(), "--distance goes with --second only",
                     "add --second, for example --second 60");
  return wrap;
}

void add_mesh(Answer& answer, int count, Angle wrap) {
  const belt::Mesh mesh = belt::mesh(count, wrap);
  answer.figures.push_back({"wrap", "wrap", wrap, ""});
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

}  // namespace

Answer one_pulley(const BeltQuestion& q, const io::Catalogue& catalogue) {
  const parts::BeltProfile profile = profile_of(q, catalogue, true);
  const int count = teeth_of("--teeth", q.teeth, "20");
  Answer answer{.question = "pulley",
                .title = fmt::format("{}, pulley of {} teeth", profile.name, count)};
  const parts::Sourced<Length>& u = profile.pitch_line_differential;
  const Length diameter = belt::pitch_diameter(profile, count);
  answer.figures = {
      {"pitch_diameter", "pitch diameter", diameter, ""},
      {"outside_diameter", "outside diameter", belt::outside_diameter(profile, count),
       u.known() ? "" : "no source gives the distance of pitch line and tooth root"},
      {"travel_per_turn", "travel per turn", parts::pitch(profile) * teeth(count), "exact"}};
  add_fewest_teeth(answer, profile, q, count);
  answer.formula = {.lines = {"d = p z/pi", "outside diameter = d - 2 u"},
                    .symbols = {pitch_symbol(profile),
                                {"z", "teeth", std::int64_t{count}},
                                {"d", "pitch diameter", diameter},
                                {"u", "pitch line to tooth root", u.value}},
                    .source = "SDP handbook eq. 8-1 and 8-2"};
  if (u.known()) answer.formula.source += "; u: " + u.source;
  if (const auto wrap = wrap_of(q, profile, count)) add_mesh(answer, count, *wrap);
  return answer;
}

Answer belt_profiles(const BeltQuestion& /*q*/, const io::Catalogue& catalogue) {
  Answer answer{.question = "profiles", .title = "belt profiles of the catalogue"};
  Table table{.key = "profiles",
              .heading = "lengths in mm; \"-\" where no source gives the figure",
              .columns = {{"name", "profile"},
                          {"pitch", "pitch"},
                          {"pitch_line_differential", "u"},
                          {"tooth_height", "tooth"},
                          {"thickness", "thick"},
                          {"fewest_teeth", "fewest teeth"},
                          {"smallest_back_idler", "back idler"}}};
  const auto in_mm = [](const parts::Sourced<Length>& l) -> Value {
    return l.known() ? print_plain(l.value).substr(0, print_plain(l.value).find(' ')) : "-";
  };
  for (const auto& [name, p] : catalogue.belts) {
    const belt::FewestTeeth fewest = belt::fewest_teeth(p, radians_per_second(0));
    Value least = std::string("-");
    if (fewest.known()) least = std::int64_t{fewest.teeth};
    table.rows.push_back({name, fmt::format("{}", to_double(p.pitch_millimetres)),
                          in_mm(p.pitch_line_differential), in_mm(p.tooth_height),
                          in_mm(p.thickness), least, in_mm(p.smallest_back_idler)});
  }
  answer.tables.push_back(std::move(table));
  answer.notes = {
      "u: pitch line to tooth root. Fewest teeth of a slow pulley; back idler: smallest diameter "
      "of a smooth one on the back."};
  answer.formula.source = "reference/catalogue/belts.toml names that of each figure";
  return answer;
}

}  // namespace pitchline::answer
