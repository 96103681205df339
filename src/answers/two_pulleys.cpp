// Answers about a belt round two pulleys.

#include <fmt/format.h>

#include <cmath>
#include <cstdint>
#include <utility>

#include "asked_belt.hpp"
#include "pitchline/belt/mesh.hpp"
#include "pitchline/belt/stock.hpp"
#include "pitchline/belt/two_pulleys.hpp"
#include "pitchline/io/read_loops.hpp"
#include "pitchline/io/read_option.hpp"

namespace pitchline::answer {
namespace {

using io::quantity_of;
using io::UnusableOptions;

belt::TwoPulleys two_pulleys_of(const BeltQuestion& q, const io::Catalogue& catalogue) {
  belt::TwoPulleys pulleys{.profile = profile_of(q, catalogue, true)};
  if (q.two_teeth.size() != 2)
    throw UnusableOptions("--teeth is missing", "the teeth of both, for example --teeth 20 60");
  pulleys.first_teeth = teeth_of("--teeth", q.two_teeth[0], "20 60");
  pulleys.second_teeth = teeth_of("--teeth", q.two_teeth[1], "20 60");
  return pulleys;
}

std::string title_of(const belt::TwoPulleys& p) {
  return fmt::format("{}, pulleys of {} and {} teeth", p.profile.name, p.first_teeth,
                     p.second_teeth);
}

Table wraps(const belt::TwoPulleys& p, Length distance) {
  const belt::PairWraps pair = belt::pair_wraps(p, distance);
  Table table{.key = "pulleys",
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

const std::string length_formula =
    "L = 2 sqrt(C^2 - (R1-R2)^2) + pi (R1+R2) + 2 (R1-R2) asin((R1-R2)/C)";

Formula length_explained(const belt::TwoPulleys& p, Length distance, Length length) {
  return {.lines = {"R = p z/(2 pi)", length_formula},
          .symbols = {pitch_symbol(p.profile),
                      {"z1", "teeth of the first", std::int64_t{p.first_teeth}},
                      {"z2", "teeth of the second", std::int64_t{p.second_teeth}},
                      {"R1", "pitch radius of the first",
                       belt::pitch_diameter(p.profile, p.first_teeth) / 2.0},
                      {"R2", "pitch radius of the second",
                       belt::pitch_diameter(p.profile, p.second_teeth) / 2.0},
                      {"C", "centre to centre", distance},
                      {"L", "belt length", length}},
          .source =
              "SDP handbook eq. 8-1 and 22-1 to 22-5, written with asin; exact, no approximation"};
}

// The belts of whole teeth on either side of a length.
Table whole_belts(Answer& answer, const belt::TwoPulleys& p, Length distance, Teeth exact) {
  Table whole{.key = "whole_belts",
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
  return whole;
}

// What a belt that one has makes of the distance.
struct SolvedPair {
  Length distance = unset<Length>();
  Length length = unset<Length>();
};
SolvedPair answer_for_belt(Answer& answer, const belt::TwoPulleys& p, const BeltQuestion& q) {
  io::require_absent(!q.take_up.empty(), "--take-up goes with --wanted only",
                     "leave it out, or add --wanted");
  SolvedPair pair;
  pair.length = q.length.empty()
                    ? parts::pitch(p.profile) * teeth(count_of({.option = "--belt-teeth",
                                                                .text = q.belt_teeth,
                                                                .most = 100'000,
                                                                .example = "305"}))
                    : quantity_of<Length>("--length", q.length);
  pair.distance = belt::centre_distance(p, pair.length);
  const double exact = in_teeth(pair.length / parts::pitch(p.profile));
  answer.title = title_of(p) + fmt::format(", belt of {}", print_plain(pair.length, 6));
  answer.figures = {{"distance", "centre distance, taut", pair.distance, ""},
                    {"belt_teeth", "teeth of the belt", teeth(exact), ""}};
  if (std::abs(exact - std::round(exact)) > 1e-6)
    answer.notes.emplace_back("No closed belt has that length: it is no whole number of teeth.");
  return pair;
}

void add_listed_belts(Answer& answer, const belt::TwoPulleys& p,
                      const std::vector<belt::LoopCandidate>& candidates) {
  Table table{.key = "listed_belts",
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
    answer.notes.push_back(fmt::format(
        "The catalogue lists no closed belt of {} that goes round these pulleys.", p.profile.name));
    return;
  }
  answer.tables.push_back(std::move(table));
  if (!fits) answer.notes.emplace_back("None of them fits: allow more take-up.");
  answer.notes.push_back(fmt::format(
      "Lists: {}. \"some special\": some lengths only double-sided or with a thick back.",
      sources));
  answer.notes.emplace_back(
      "A belt that fits with nothing to spare leaves no room to slip it on or to tension it.");
}

SolvedPair answer_for_distance(Answer& answer, const belt::TwoPulleys& p, const BeltQuestion& q) {
  SolvedPair pair;
  pair.distance = quantity_of<Length>("--wanted", q.wanted);
  const auto take_up = quantity_of<Length>("--take-up", q.take_up);
  pair.length = belt::belt_length(p, pair.distance);
  answer.title = title_of(p) + fmt::format(", {} apart, set by {} either way",
                                           print_plain(pair.distance, 6), print_plain(take_up));
  answer.figures = {{"length", "belt length, exact", pair.length, ""}};
  add_listed_belts(answer, p,
                   belt::loop_candidates(io::standard_loops(), {.pulleys = p,
                                                                .centre_distance = pair.distance,
                                                                .can_move_closer = take_up,
                                                                .can_move_farther = take_up}));
  return pair;
}

}  // namespace

Answer belt_length(const BeltQuestion& q, const io::Catalogue& catalogue) {
  const belt::TwoPulleys p = two_pulleys_of(q, catalogue);
  const auto distance = quantity_of<Length>("--distance", q.distance);
  const Length length = belt::belt_length(p, distance);
  const Teeth exact = length / parts::pitch(p.profile);
  Answer answer{.question = "length",
                .title = title_of(p) + fmt::format(", {} apart", print_plain(distance, 6))};
  answer.figures = {{"length", "belt length", length, ""}, {"belt_teeth", "that is", exact, ""}};
  answer.tables = {whole_belts(answer, p, distance, exact), wraps(p, distance)};
  answer.formula = length_explained(p, distance, length);
  return answer;
}

Answer pulley_distance(const BeltQuestion& q, const io::Catalogue& catalogue) {
  const belt::TwoPulleys p = two_pulleys_of(q, catalogue);
  const int given = int{!q.length.empty()} + int{!q.belt_teeth.empty()} + int{!q.wanted.empty()};
  if (given != 1)
    throw UnusableOptions("one of --length, --belt-teeth and --wanted is needed",
                          "--wanted looks for listed belts near a distance");
  Answer answer{.question = "distance"};
  const SolvedPair pair =
      q.wanted.empty() ? answer_for_belt(answer, p, q) : answer_for_distance(answer, p, q);
  answer.tables.push_back(wraps(p, pair.distance));
  answer.formula = length_explained(p, pair.distance, pair.length);
  answer.formula.lines.emplace_back("C is the root of it for a given L");
  return answer;
}

}  // namespace pitchline::answer
