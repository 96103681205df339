#include "pitchline/io/part_names.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <utility>

#include "detail/name_words.hpp"
#include "pitchline/units/nearest.hpp"

namespace pitchline::io {
namespace {

using detail::NameWord;
using detail::same_word;

constexpr std::size_t most_shown = 6;

// What is said of a whole kind and tells no entry from another.
bool is_kind_word(const NameWord& word) {
  constexpr std::array<std::string_view, 12> words{"stepper",   "motor",   "belt",  "profile",
                                                   "timing",    "toothed", "screw", "lead",
                                                   "leadscrew", "linear",  "guide", "hybrid"};
  return !word.is_figure() && std::find(words.begin(), words.end(), word.text) != words.end();
}

std::vector<NameWord> asked_words(std::string_view asked) {
  std::vector<NameWord> words = detail::name_words(asked);
  std::vector<NameWord> telling;
  std::copy_if(words.begin(), words.end(), std::back_inserter(telling),
               [](const NameWord& word) { return !is_kind_word(word); });
  return telling.empty() ? words : telling;
}

// Takes the first of `had` that is the word; whether there was one.
bool take(const NameWord& word, std::vector<NameWord>& had) {
  const auto found =
      std::find_if(had.begin(), had.end(), [&](const auto& each) { return same_word(word, each); });
  if (found == had.end()) return false;
  had.erase(found);
  return true;
}

std::string letters_and_digits(std::string_view text) {
  std::string plain;
  for (const char c : text) {
    if (c >= 'A' && c <= 'Z')
      plain += static_cast<char>(c - 'A' + 'a');
    else if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'))
      plain += c;
  }
  return plain;
}

// A part number is asked for as it is printed on the part: with letters and digits, and long enough
// to be none of the figures.
bool is_part_number(std::string_view asked, const Described& entry) {
  const std::string number = letters_and_digits(asked);
  const bool has_letter =
      std::any_of(number.begin(), number.end(), [](char c) { return c >= 'a' && c <= 'z'; });
  const bool has_digit =
      std::any_of(number.begin(), number.end(), [](char c) { return c >= '0' && c <= '9'; });
  return has_letter && has_digit && number.size() >= 5 &&
         letters_and_digits(entry.source).find(number) != std::string::npos;
}

struct Fit {
  bool all = false;         // it has every word
  bool name_alone = false;  // and they are all of its name
  double score = 0.0;
};

// How much of a word that an entry lacks its nearest one still is: figures of one kind by their
// ratio, a figure with a slip of its unit, a misspelt word.
double likeness(const NameWord& asked, const std::vector<NameWord>& had) {
  double best = 0.0;
  for (const NameWord& word : had) {
    if (asked.is_figure() != word.is_figure()) continue;
    if (!asked.is_figure()) {
      if (is_close(spelling_distance(asked.text, word.text), asked.text, word.text) &&
          asked.text.size() > 2)
        best = std::max(best, 0.5);
    } else if (asked.number == word.number) {
      best = std::max(best, 0.6);
    } else if (asked.kind == word.kind && asked.value > 0 && word.value > 0) {
      best = std::max(best, 0.8 - std::fabs(std::log(asked.value / word.value)));
    }
  }
  return best;
}

Fit fit_of(const std::vector<NameWord>& asked, const Described& entry) {
  std::vector<NameWord> of_name = detail::name_words(entry.name);
  std::vector<NameWord> of_figures = detail::name_words(entry.figures);
  Fit fit{.all = true, .name_alone = true};
  std::vector<NameWord> lacking;
  for (const NameWord& word : asked) {
    if (take(word, of_name)) {
      fit.score += 1;
      continue;
    }
    fit.name_alone = false;
    if (take(word, of_figures))
      fit.score += 1;
    else
      lacking.push_back(word);
  }
  fit.name_alone = fit.name_alone && of_name.empty();
  // Of two that are as near, the one whose name says less that was not asked for.
  fit.score -= 0.01 * static_cast<double>(of_name.size());
  fit.all = lacking.empty();
  of_name.insert(of_name.end(), of_figures.begin(), of_figures.end());
  for (const NameWord& word : lacking) {
    // Another frame is another motor.
    if (word.text.starts_with("nema") && word.text.size() > 4) fit.score -= 0.5;
    fit.score += likeness(word, of_name);
  }
  return fit;
}

// GT3 is what one maker calls a family in several pitches, and 3 mm is one of them.
bool is_family(const std::vector<NameWord>& asked) {
  return asked.size() == 2 && asked[0].text == "gt" && asked[1].is_figure() &&
         asked[1].kind.empty() && asked[1].number == 3;
}

std::string shown(const std::vector<Described>& entries) {
  std::string all;
  for (std::size_t i = 0; i < std::min(entries.size(), most_shown); ++i)
    all +=
        fmt::format("{}\"{}\" ({})", all.empty() ? "" : "; ", entries[i].name, entries[i].figures);
  if (entries.size() > most_shown) all += fmt::format("; and {} more", entries.size() - most_shown);
  return all;
}

}  // namespace

std::string plain_name(std::string_view name) {
  std::string plain;
  for (const NameWord& word : detail::name_words(name))
    plain += word.is_figure()
                 ? fmt::format("|{:g} {}", word.kind.empty() ? word.number : word.value, word.kind)
                 : "|" + word.text;
  return plain;
}

Meaning meaning_of(std::string_view asked, const std::vector<Described>& entries) {
  std::vector<NameWord> words = asked_words(asked);
  Meaning meaning;
  if (words.empty()) return meaning;
  if (is_family(words)) words.pop_back();
  std::vector<std::pair<double, const Described*>> ranked;
  for (const Described& entry : entries) {
    const Fit fit = fit_of(words, entry);
    if (fit.all && fit.name_alone && words.size() == asked_words(asked).size()) {
      meaning.meant = {entry};
      return meaning;
    }
    if (fit.all || is_part_number(asked, entry))
      meaning.meant.push_back(entry);
    else if (fit.score > 0.4 * static_cast<double>(words.size()))
      ranked.emplace_back(fit.score, &entry);
  }
  std::stable_sort(ranked.begin(), ranked.end(),
                   [](const auto& a, const auto& b) { return a.first > b.first; });
  for (std::size_t i = 0; i < std::min<std::size_t>(ranked.size(), 3); ++i)
    meaning.near.push_back(*ranked[i].second);
  return meaning;
}

bool is_asked_for(std::string_view asked, std::string_view kind, const Described& entry) {
  if (is_part_number(asked, entry)) return true;
  std::vector<NameWord> had = detail::name_words(entry.name);
  for (const std::string_view more : {std::string_view(entry.figures), kind}) {
    const std::vector<NameWord> words = detail::name_words(more);
    had.insert(had.end(), words.begin(), words.end());
  }
  for (const NameWord& word : asked_words(asked)) {
    if (take(word, had)) continue;
    if (is_kind_word(word)) return false;
    if (word.is_figure() || letters_and_digits(entry.source).find(word.text) == std::string::npos)
      return false;
  }
  return true;
}

Named named(std::string_view asked, std::string_view what, const std::vector<Described>& entries) {
  const Meaning meaning = meaning_of(asked, entries);
  if (meaning.meant.size() == 1) return {.name = meaning.meant.front().name};
  if (!meaning.meant.empty())
    return {
        .message = fmt::format("\"{}\" may be any of {} {}s", asked, meaning.meant.size(), what),
        .help = fmt::format("say which: {}", shown(meaning.meant))};
  const std::string all =
      fmt::format("pitchline-parts --kind {} lists them all", what == "profile" ? "belt" : what);
  return {.message = fmt::format("unknown {} \"{}\"", what, asked),
          .help = meaning.near.empty()
                      ? all
                      : fmt::format("did you mean \"{}\"? nearest: {}; {}",
                                    meaning.near.front().name, shown(meaning.near), all)};
}

std::vector<Described> described(const Shelf<parts::StepperMotor>& shelf) {
  std::vector<Described> all;
  const auto add = [](std::string& text, const auto& q, std::string_view word = {}) {
    if (!is_unset(q)) text += fmt::format("{}{}{}", text.empty() ? "" : ", ", print_plain(q), word);
  };
  for (const auto& [name, m] : shelf) {
    Described each{.name = name, .source = m.source};
    add(each.figures, m.holding_torque);
    add(each.figures, m.rated_current);
    add(each.figures, m.resistance);
    add(each.figures, m.inductance);
    add(each.figures, m.rotor_inertia);
    add(each.figures, Angle(revolution / in_full_steps(m.full_steps_per_turn)), " a step");
    if (m.frame > 0) each.figures += fmt::format(", nema{}", m.frame);
    add(each.figures, m.length, " long");
    all.push_back(std::move(each));
  }
  return all;
}

std::vector<Described> described(const Shelf<parts::BeltProfile>& shelf) {
  std::vector<Described> all;
  for (const auto& [name, p] : shelf)
    all.push_back({.name = name,
                   .figures = fmt::format("pitch {}",
                                          print_plain(millimetres(to_double(p.pitch_millimetres)))),
                   .source = p.source});
  return all;
}

std::vector<Described> described(const Shelf<parts::Screw>& shelf) {
  std::vector<Described> all;
  for (const auto& [name, s] : shelf)
    all.push_back(
        {.name = name,
         .figures = fmt::format("{}, {} outside, lead {}, {} start{}", parts::in_words(s.thread),
                                print_plain(s.outer_diameter), print_plain(parts::lead(s)),
                                s.starts, s.starts == 1 ? "" : "s"),
         .source = s.source});
  return all;
}

Named named_motor_to_change(std::string_view asked, const Catalogue& catalogue) {
  for (const auto* shelf : {&catalogue.motors, &catalogue.motors_in_part})
    if (shelf->contains(asked)) return {.name = std::string(asked)};
  const std::string plain = plain_name(asked);
  for (const auto* shelf : {&catalogue.motors, &catalogue.motors_in_part})
    for (const std::string& name : shelf->names())
      if (plain_name(name) == plain) return {.name = name};
  std::vector<Described> all = described(catalogue.motors);
  for (Described& each : described(catalogue.motors_in_part)) all.push_back(std::move(each));
  return named(asked, "motor", all);
}

Named named_motor(std::string_view asked, const Catalogue& catalogue) {
  Named found = named_motor_to_change(asked, catalogue);
  if (!found.name || catalogue.motors.contains(*found.name)) return found;
  std::string figures;
  std::string keys;
  for (const std::string& key : catalogue.motors_in_part.at(*found.name).lacks) {
    figures += fmt::format("{}{}", figures.empty() ? "" : " and ", key);
    keys += fmt::format(", {} = \"...\"", key);
  }
  return {
      .message = fmt::format("no source gives {} of motor \"{}\"", figures, *found.name),
      .help = fmt::format("ask its maker or measure it, and add it: motor = {{ like = \"{}\"{} }}",
                          *found.name, keys)};
}

}  // namespace pitchline::io
