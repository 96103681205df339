// Answers about two pulleys, one pulley and the profiles of the catalogue.

#include "belt_answers.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "pitchline/belt/mesh.hpp"
#include "pitchline/belt/stock.hpp"
#include "pitchline/io/read_loops.hpp"

namespace pitchline::tools {
namespace {

using io::AnswerTable;
using io::AnswerValue;
using io::BeltAnswer;

belt::TwoPulleys two_pulleys_of(const BeltOptions& o, const io::Catalogue& catalogue) {
  belt::TwoPulleys pulleys{.profile = profile_of(o, catalogue, true)};
  if (o.two_teeth.size() != 2)
    throw UnusableOptions("--teeth is missing", "the teeth of both, for example --teeth 20 60");
  pulleys.first_teeth = whole_of("--teeth", o.two_teeth[0], 1, most_teeth, "20 60");
  pulleys.second_teeth = whole_of("--teeth", o.two_teeth[1], 1, most_teeth, "20 60");
  return pulleys;
}

std::string title_of(const belt::TwoPulleys& p) {
  return fmt::format("{}, pulleys of {} and {} teeth", p.profile.name, p.first_teeth,
                     p.second_teeth);
}

AnswerTable wraps(const belt::TwoPulleys& p, Length distance) {
  const belt::PairWraps pair = belt::pair_wraps(p, distance);
  AnswerTable table{.key = "pulleys",
                    .heading = "on the pulleys",
                    .columns = {{"pulley", "pulley"},
                                {"teeth", "teeth"},
                                {"pitch_diameter", "pitch diameter"},
                                {"wrap", "wrap"},
                                {"teeth_in_mesh", "in mesh"},
                                {"mesh_factor", "factor of rating"}}};
  const auto add = [&](const char* name, int teeth, const belt::PulleyWrap& wrap) {
    table.rows.push_back({std::string(name), std::int64_t{teeth},
                          belt::pitch_diameter(p.profile, teeth), wrap.angle,
                          std::int64_t{wrap.whole_teeth_in_mesh},
                          Measure::ratio(belt::mesh_correction(wrap.whole_teeth_in_mesh).factor)});
  };
  add("first", p.first_teeth, pair.first);
  add("second", p.second_teeth, pair.second);
  return table;
}

void explain_length(BeltAnswer& answer, const belt::TwoPulleys& p, Length distance, Length length) {
  answer.formula.symbols.insert(
      answer.formula.symbols.end(),
      {{"p", "pitch", Measure(parts::pitch(p.profile) * teeth(1))},
       {"z1", "teeth of the first", std::int64_t{p.first_teeth}},
       {"z2", "teeth of the second", std::int64_t{p.second_teeth}},
       {"R1", "pitch radius of the first", belt::pitch_diameter(p.profile, p.first_teeth) / 2.0},
       {"R2", "pitch radius of the second", belt::pitch_diameter(p.profile, p.second_teeth) / 2.0},
       {"C", "centre to centre", distance},
       {"L", "belt length", length}});
  answer.formula.source =
      "SDP handbook eq. 8-1 and 22-1 to 22-5, written with asin; exact, no approximation";
}
const std::string length_formula =
    "L = 2 sqrt(C^2 - (R1-R2)^2) + pi (R1+R2) + 2 (R1-R2) asin((R1-R2)/C)";

}  // namespace

BeltAnswer answer_length(const BeltOptions& o, const io::Catalogue& catalogue) {
  const belt::TwoPulleys p = two_pulleys_of(o, catalogue);
  const auto distance = quantity_of<Length>("--distance", o.distance);
  const Length length = belt::belt_length(p, distance);
  const Teeth exact = length / parts::pitch(p.profile);
  BeltAnswer answer{.question = "length",
                    .title = title_of(p) + fmt::format(", {} apart", print_plain(distance, 6))};
  answer.figures = {{"length", "belt length", length, ""}, {"belt_teeth", "that is", exact, ""}};
  AnswerTable whole{.key = "whole_belts",
                    .heading = "belts of whole teeth next to it",
                    .columns = {{"teeth", "teeth"},
                                {"length", "length"},
                                {"distance", "distance"},
                                {"move", "farther by"}}};
  const int below = static_cast<int>(std::floor(in_teeth(exact) + 1e-9));
  const bool is_whole = std::abs(in_teeth(exact) - below) < 1e-9;
  for (int count = below; count <= below + (is_whole ? 0 : 1); ++count) {
    try {
      const belt::WholeToothBelt b = belt::whole_tooth_belt(p, count);
      whole.rows.push_back({std::int64_t{b.teeth}, b.length, b.centre_distance,
                            Measure(is_whole ? metres(0) : b.centre_distance - distance)});
    } catch (const OutsideValidity&) {
      answer.notes.push_back(fmt::format("A belt of {} teeth is too short.", count));
    }
  }
  answer.tables = {std::move(whole), wraps(p, distance)};
  answer.formula.lines = {"R = p z/(2 pi)", length_formula};
  explain_length(answer, p, distance, length);
  return answer;
}

BeltAnswer answer_distance(const BeltOptions& o, const io::Catalogue& catalogue) {
  const belt::TwoPulleys p = two_pulleys_of(o, catalogue);
  const int given = int{!o.length.empty()} + int{!o.belt_teeth.empty()} + int{!o.wanted.empty()};
  if (given != 1)
    throw UnusableOptions("one of --length, --belt-teeth and --wanted is needed",
                          "--wanted looks for listed belts near a distance");
  BeltAnswer answer{.question = "distance"};
  auto distance = unset<Length>();
  auto length = unset<Length>();
  if (o.wanted.empty()) {
    if (!o.take_up.empty())
      throw UnusableOptions("--take-up goes with --wanted only", "leave it out, or add --wanted");
    length = o.length.empty() ? parts::pitch(p.profile) *
                                    teeth(whole_of("--belt-teeth", o.belt_teeth, 1, 100'000, "305"))
                              : quantity_of<Length>("--length", o.length);
    distance = belt::centre_distance(p, length);
    const double exact = in_teeth(length / parts::pitch(p.profile));
    answer.title = title_of(p) + fmt::format(", belt of {}", print_plain(length, 6));
    answer.figures = {{"distance", "centre distance, taut", distance, ""},
                      {"belt_teeth", "teeth of the belt", teeth(exact), ""}};
    if (std::abs(exact - std::round(exact)) > 1e-6)
      answer.notes.emplace_back("No closed belt has that length: it is no whole number of teeth.");
  } else {
    distance = quantity_of<Length>("--wanted", o.wanted);
    const auto take_up = quantity_of<Length>("--take-up", o.take_up);
    length = belt::belt_length(p, distance);
    answer.title = title_of(p) + fmt::format(", {} apart, set by {} either way",
                                             print_plain(distance, 6), print_plain(take_up));
    answer.figures = {{"length", "belt length, exact", length, ""}};
    const auto candidates =
        belt::loop_candidates(io::standard_loops(), {.pulleys = p,
                                                     .centre_distance = distance,
                                                     .can_move_closer = take_up,
                                                     .can_move_farther = take_up});
    AnswerTable table{.key = "listed_belts",
                      .heading = "listed belts, the nearest first",
                      .columns = {{"teeth", "teeth"},
                                  {"length", "length"},
                                  {"distance", "distance"},
                                  {"difference", "farther by"},
                                  {"fits", "fits"},
                                  {"status", "status"},
                                  {"maker", "maker"}}};
    constexpr std::size_t shown = 8;
    bool fits = false;
    std::string sources;
    for (const belt::LoopCandidate& c : candidates) {
      if (table.rows.size() == shown) break;
      fits = fits || c.fits;
      if (sources.find(c.loop.source) == std::string::npos)
        sources += (sources.empty() ? "" : "; ") + c.loop.source;
      table.rows.push_back({std::int64_t{c.loop.teeth},
                            millimetres(to_double(c.loop.length_millimetres)), c.centre_distance,
                            c.difference, std::string(c.fits ? "yes" : "no"),
                            std::string(c.loop.status == belt::StockStatus::listed_some_special
                                            ? "some special"
                                            : belt::name(c.loop.status)),
                            c.loop.maker});
    }
    if (table.rows.empty()) {
      answer.notes.push_back(
          fmt::format("The catalogue lists no closed belt of {} that goes round these pulleys.",
                      p.profile.name));
    } else {
      answer.tables.push_back(std::move(table));
      if (!fits) answer.notes.emplace_back("None of them fits: allow more take-up.");
      answer.notes.push_back(fmt::format(
          "Lists: {}. \"some special\": some lengths only double-sided or with a thick back.",
          sources));
      answer.notes.emplace_back(
          "A belt that fits with nothing to spare leaves no room to slip it on or to tension it.");
    }
  }
  answer.tables.push_back(wraps(p, distance));
  answer.formula.lines = {"R = p z/(2 pi)", length_formula, "C is the root of it for a given L"};
  explain_length(answer, p, distance, length);
  return answer;
}

BeltAnswer answer_pulley(const BeltOptions& o, const io::Catalogue& catalogue) {
  const parts::BeltProfile profile = profile_of(o, catalogue, true);
  const int count = whole_of("--teeth", o.teeth, 1, most_teeth, "20");
  BeltAnswer answer{.question = "pulley",
                    .title = fmt::format("{}, pulley of {} teeth", profile.name, count)};
  const parts::Sourced<Length>& u = profile.pitch_line_differential;
  const Length diameter = belt::pitch_diameter(profile, count);
  const Length outside = belt::outside_diameter(profile, count);
  answer.figures = {
      {"pitch_diameter", "pitch diameter", diameter, ""},
      {"outside_diameter", "outside diameter", outside,
       u.known() ? "" : "no source gives the distance of pitch line and tooth root"},
      {"travel_per_turn", "travel per turn", parts::pitch(profile) * teeth(count), "exact"}};
  if (profile.smallest_pulley.known()) {
    const bool at_rest = o.speed.empty();
    const belt::FewestTeeth fewest = belt::fewest_teeth(
        profile, at_rest ? radians_per_second(0) : quantity_of<AngularSpeed>("--speed", o.speed));
    if (fewest.beyond_listed_speed) {
      answer.figures.push_back({"fewest_teeth", "fewest teeth", std::string("unknown"),
                                "faster than any speed in " + fewest.source});
    } else {
      answer.figures.push_back({"fewest_teeth", at_rest ? "fewest teeth, slow" : "fewest teeth",
                                std::int64_t{fewest.teeth}, fewest.source});
      if (count < fewest.teeth)
        answer.notes.push_back(fmt::format(
            "{} teeth are too few: the belt bends too sharply and wears early.", count));
    }
  } else {
    answer.figures.push_back({"fewest_teeth", "fewest teeth", std::string("unknown"), ""});
  }
  std::optional<Angle> wrap;
  if (!o.wrap.empty() && !o.second_teeth.empty())
    throw UnusableOptions("--wrap and --second do not go together",
                          "the second pulley and --distance say the wrap: leave one out");
  if (!o.wrap.empty()) wrap = quantity_of<Angle>("--wrap", o.wrap);
  if (!o.second_teeth.empty()) {
    const belt::TwoPulleys pair{
        .profile = profile,
        .first_teeth = count,
        .second_teeth = whole_of("--second", o.second_teeth, 1, most_teeth, "60")};
    wrap = belt::pair_wraps(pair, quantity_of<Length>("--distance", o.distance)).first.angle;
  } else if (!o.distance.empty()) {
    throw UnusableOptions("--distance goes with --second only",
                          "add --second, for example --second 60");
  }
  answer.formula.lines = {"d = p z/pi", "outside diameter = d - 2 u"};
  answer.formula.symbols = {{"p", "pitch", Measure(parts::pitch(profile) * teeth(1))},
                            {"z", "teeth", std::int64_t{count}},
                            {"d", "pitch diameter", diameter},
                            {"u", "pitch line to tooth root", u.value}};
  answer.formula.source = "SDP handbook eq. 8-1 and 8-2";
  if (u.known()) answer.formula.source += "; u: " + u.source;
  if (wrap) {
    const belt::Mesh mesh = belt::mesh(count, *wrap);
    answer.figures.push_back({"wrap", "wrap", *wrap, ""});
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
  return answer;
}

BeltAnswer answer_profiles(const BeltOptions& /*o*/, const io::Catalogue& catalogue) {
  BeltAnswer answer{.question = "profiles", .title = "belt profiles of the catalogue"};
  AnswerTable table{.key = "profiles",
                    .heading = "lengths in mm; \"-\" where no source gives the figure",
                    .columns = {{"name", "profile"},
                                {"pitch", "pitch"},
                                {"pitch_line_differential", "u"},
                                {"tooth_height", "tooth"},
                                {"thickness", "thick"},
                                {"fewest_teeth", "fewest teeth"},
                                {"smallest_back_idler", "back idler"}}};
  const auto in_mm = [](const parts::Sourced<Length>& l) -> AnswerValue {
    return l.known() ? print_plain(l.value).substr(0, print_plain(l.value).find(' ')) : "-";
  };
  for (const auto& [name, p] : catalogue.belts) {
    const belt::FewestTeeth fewest = belt::fewest_teeth(p, radians_per_second(0));
    AnswerValue least = std::string("-");
    if (fewest.known()) least = std::int64_t{fewest.teeth};
    table.rows.push_back({name, fmt::format("{}", to_double(p.pitch_millimetres)),
                          in_mm(p.pitch_line_differential), in_mm(p.tooth_height),
                          in_mm(p.thickness), least, in_mm(p.smallest_back_idler)});
  }
  answer.tables.push_back(std::move(table));
  answer.notes = {
      "u: pitch line to tooth root. Fewest teeth of a slow pulley; back idler: smallest diameter "
      "of "
      "a smooth one on the back."};
  answer.formula.source = "reference/catalogue/belts.toml names that of each figure";
  return answer;
}

}  // namespace pitchline::tools
