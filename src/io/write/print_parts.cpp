#include "pitchline/io/print_parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <functional>
#include <type_traits>
#include <utility>

#include "detail/csv_field.hpp"
#include "detail/name_words.hpp"
#include "detail/wrap.hpp"
#include "pitchline/io/read_option.hpp"
#include "write/part_kinds.hpp"

namespace pitchline::io {
namespace {

using detail::ListedPart;
using detail::PartKind;
using detail::wrapped;

// Entries that a screen has room for: of one kind, and of each of several.
constexpr std::size_t on_a_screen = 40;
constexpr std::size_t of_each_kind = 8;

std::string all_words(const PartsQuestion& question) {
  return fmt::format("{}", fmt::join(question.words, " "));
}

// The kinds that are asked about.
std::vector<const PartKind*> kinds_of(const PartsQuestion& question) {
  std::vector<const PartKind*> kinds;
  std::string words;
  for (const PartKind& kind : detail::part_kinds()) {
    words += fmt::format("{}{}", words.empty() ? "" : ", ", kind.word);
    const auto known = detail::name_words(fmt::format("{} {}", kind.word, kind.also));
    const auto asked = detail::name_words(question.kind);
    const bool all = std::all_of(asked.begin(), asked.end(), [&](const auto& word) {
      return std::any_of(known.begin(), known.end(),
                         [&](const auto& each) { return same_word(word, each); });
    });
    if (question.kind == kind.word) return {&kind};
    if (all) kinds.push_back(&kind);
  }
  if (kinds.empty())
    throw UnusableOptions(fmt::format("there is no kind \"{}\"", question.kind), "kinds: " + words);
  return kinds;
}

struct Found {
  const PartKind* kind;
  std::vector<ListedPart> parts;
};

std::vector<Found> find(const PartsQuestion& question, const Catalogue& catalogue) {
  const std::string words = all_words(question);
  std::vector<Found> found;
  for (const PartKind* kind : kinds_of(question)) {
    Found of_kind{kind, {}};
    const std::string known = fmt::format("{} {}", kind->word, kind->also);
    for (ListedPart& part : kind->all(catalogue))
      if (words.empty() || is_asked_for(words, known, part.as))
        of_kind.parts.push_back(std::move(part));
    if (!of_kind.parts.empty()) found.push_back(std::move(of_kind));
  }
  return found;
}

// A value in words; empty where there is nothing.
std::string in_words(const detail::Value& value) {
  return std::visit(
      [](const auto& x) -> std::string {
        using X = std::decay_t<decltype(x)>;
        if constexpr (std::is_same_v<X, std::monostate>) {
          return {};
        } else if constexpr (std::is_same_v<X, bool>) {
          return x ? "true" : "false";
        } else if constexpr (std::is_same_v<X, std::int64_t>) {
          return fmt::format("{}", x);
        } else if constexpr (std::is_same_v<X, double>) {
          return fmt::format("{:g}", x);
        } else if constexpr (std::is_same_v<X, Fraction>) {
          return print_fraction(x);
        } else if constexpr (std::is_same_v<X, std::string>) {
          return x;
        } else if constexpr (std::is_same_v<X, Measure>) {
          // What a rating counts on is no length of a part.
          const bool far = x.si_unit() == "m" && x.coherent() >= 1000;
          return far ? fmt::format("{:g} km", x.coherent() / 1000) : x.text();
        } else if constexpr (std::is_same_v<X, detail::Value::List>) {
          std::string all;
          for (const detail::Value& each : x) {
            const std::string text = in_words(each);
            all += fmt::format("{}{}", all.empty() ? "" : ", ", text);
          }
          return all;
        } else {
          std::string all;
          for (const detail::Field& each : x.fields()) {
            const std::string text = in_words(each.value);
            if (!text.empty())
              all += fmt::format("{}{} {}", all.empty() ? "" : " ", each.key, text);
          }
          return all;
        }
      },
      value.any());
}

bool is_note(std::string_view key) {
  return key == "source" || key == "mark" || key == "doubt" || key == "price" ||
         key == "currency" || key == "published";
}

std::string whole(const ListedPart& part) {
  std::string out = part.as.name + "\n";
  std::string figures;
  for (const detail::Field& field : part.record.fields()) {
    if (field.key == "name" || is_note(field.key)) continue;
    const std::string text = in_words(field.value);
    if (!text.empty())
      figures += fmt::format("{}{} {}", figures.empty() ? "" : "; ", field.key, text);
  }
  out += wrapped(figures, 2, 4);
  const std::string mark = in_words(part.record.at("mark"));
  out += wrapped(fmt::format("source: {}{}", in_words(part.record.at("source")),
                             mark.empty() ? "" : fmt::format(" ({})", mark)),
                 2, 4);
  const std::string doubt = in_words(part.record.at("doubt"));
  if (!doubt.empty()) out += wrapped("doubt: " + doubt, 2, 4);
  for (const std::string& question : part.questions) out += wrapped("question: " + question, 2, 4);
  for (const detail::Field& field : part.record.fields())
    if (field.key == "published")
      for (const auto& curve : std::get<detail::Value::List>(field.value.any()))
        out += wrapped("published: " + in_words(curve), 2, 4);
  const std::string price = in_words(part.record.at("price"));
  if (!price.empty())
    out += fmt::format("  price: {} {}\n", price, in_words(part.record.at("currency")));
  return out;
}

// The entries of a kind as a table, with what is to be said of them below.
std::string table(const Found& found, std::size_t most) {
  detail::Value::List records;
  std::size_t questioned = 0;
  bool unlisted = false;
  for (const ListedPart& part : found.parts) {
    records.emplace_back(part.record);
    const std::size_t shown = records.size();
    if (shown > most) continue;
    if (!part.questions.empty() || !in_words(part.record.at("doubt")).empty()) ++questioned;
    unlisted =
        unlisted || (found.kind->word == "pulley" && in_words(part.record.at("listed")) == "false");
  }
  std::string out =
      detail::print_table(found.kind->columns, records, std::min(most, records.size()));
  if (records.size() > most)
    out += wrapped(fmt::format("  and {} more: say more of it, or add --kind {} --full",
                               records.size() - most, found.kind->word),
                   0, 2);
  if (unlisted)
    out += wrapped(
        "pulley not listed: of these profiles no source has a list; teeth and bores are "
        "usual stock sizes, common practice, no source",
        2, 4);
  if (questioned > 0)
    out +=
        wrapped(fmt::format("{} of them {} a doubt or a question beside {} figures: --full shows "
                            "{}, with all sources",
                            questioned, questioned == 1 ? "has" : "have",
                            questioned == 1 ? "its" : "their", questioned == 1 ? "it" : "them"),
                2, 4);
  return out;
}

std::string overview(const Catalogue& catalogue) {
  std::string out = "kind      entries  what it holds\n";
  for (const PartKind& kind : detail::part_kinds())
    out += fmt::format("{:<9}{:>8}  {}\n", kind.word, kind.count(catalogue), kind.about);
  out += "\n";
  out += wrapped(fmt::format("{} of the motors lack a figure: they are listed and never proposed.",
                             catalogue.motors_in_part.size()),
                 0, 2);
  out += wrapped("Search by words and figures in any order, part numbers too:", 0, 2);
  out += "  pitchline-parts nema 23 76mm          pitchline-parts HTD 5M 20 teeth\n";
  out += "  pitchline-parts linear rail 15mm      pitchline-parts --kind supply 48V\n";
  out += wrapped(
      "reference/catalogue.md has the keys of an entry, to write one of your own; "
      "pitchline-parts --check FILE judges it.",
      0, 2);
  return out;
}

std::string nothing_found(const PartsQuestion& question, const Catalogue& catalogue) {
  const std::string words = all_words(question);
  std::vector<Described> all;
  for (const PartKind* kind : kinds_of(question))
    for (ListedPart& part : kind->all(catalogue)) all.push_back(std::move(part.as));
  std::string out = wrapped(fmt::format("nothing of the catalogue has all of \"{}\"", words), 0, 2);
  const Meaning meaning = meaning_of(words, all);
  const auto& near = meaning.meant.empty() ? meaning.near : meaning.meant;
  if (!near.empty()) out += "nearest:\n";
  for (const Described& each : near)
    out += wrapped(fmt::format("{} ({})", each.name, each.figures), 2, 4);
  return out + "pitchline-parts without words shows what kinds there are\n";
}

}  // namespace

std::string print_parts(const PartsQuestion& question, const Catalogue& catalogue) {
  if (question.words.empty() && question.kind.empty() && !question.full) return overview(catalogue);
  const std::vector<Found> found = find(question, catalogue);
  if (found.empty()) return nothing_found(question, catalogue);
  std::string out;
  for (const Found& each : found) {
    if (!out.empty()) out += "\n";
    if (question.full)
      for (const ListedPart& part : each.parts) out += whole(part);
    else
      out += table(each, found.size() == 1 ? on_a_screen : of_each_kind);
  }
  return out;
}

std::string parts_as_json(const PartsQuestion& question, const Catalogue& catalogue) {
  detail::Record document;
  document["schema"] = 1;
  for (const Found& each : find(question, catalogue))
    document[each.kind->word] = detail::list_of(each.parts, [](const ListedPart& part) {
      detail::Record record = part.record;
      record["questions"] = detail::Value(part.questions);
      return record;
    });
  return detail::as_json(document);
}

std::string parts_as_csv(const PartsQuestion& question, const Catalogue& catalogue) {
  const std::vector<Found> found = find(question, catalogue);
  if (found.size() > 1) {
    std::string kinds;
    for (const Found& each : found)
      kinds += fmt::format("{}{}", kinds.empty() ? "" : ", ", each.kind->word);
    throw UnusableOptions("--csv prints one kind, and these entries are of several",
                          "add --kind, one of " + kinds);
  }
  std::string out;
  for (const Found& each : found) {
    for (const ListedPart& part : each.parts) {
      const auto line = [&](const auto& text_of) {
        std::string cells;
        for (const detail::Field& field : part.record.fields())
          if (field.key != "published")
            cells += (cells.empty() ? "" : ",") + detail::csv_field(text_of(field));
        return cells + "\n";
      };
      if (out.empty()) out = line([](const detail::Field& field) { return field.key; });
      out += line([](const detail::Field& field) { return in_words(field.value); });
    }
  }
  return out;
}

std::string print_judged(const std::string& file, const Catalogue& catalogue) {
  std::string out;
  std::size_t entries = 0;
  std::size_t questions = 0;
  for (const PartKind& kind : detail::part_kinds()) {
    for (const ListedPart& part : kind.own(catalogue)) {
      ++entries;
      for (const std::string& question : part.questions) {
        ++questions;
        out += wrapped(fmt::format("{} \"{}\": {}", kind.word, part.as.name, question), 0, 2);
      }
    }
  }
  const std::string count =
      fmt::format("{}: {} entr{} can be used; ", file, entries, entries == 1 ? "y" : "ies");
  return out + wrapped(count + (questions == 0 ? std::string("no figure looks wrong")
                                               : fmt::format("{} question{} to settle", questions,
                                                             questions == 1 ? "" : "s")),
                       0, 2);
}

}  // namespace pitchline::io
