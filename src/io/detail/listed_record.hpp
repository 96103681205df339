#pragma once

// Parts whose keys are fields, as records and in words.

#include <string>
#include <tuple>
#include <type_traits>
#include <vector>

#include "pitchline/io/part_names.hpp"
#include "read/keys/listed.hpp"
#include "write/document.hpp"

namespace pitchline::io::detail {

/// The value of a field; nothing where it is not published.
template <class Value>
detail::Value value_of(const Value& value) {
  if constexpr (std::is_same_v<Value, std::string>)
    return value.empty() ? detail::Value{} : detail::Value(value);
  else if constexpr (std::is_same_v<Value, bool>)
    return value;
  else if constexpr (std::is_same_v<Value, int>)
    return value == 0 ? detail::Value{} : detail::Value(value);
  else if constexpr (Printable<Value>)
    return is_unset(value) ? detail::Value{} : detail::Value(value);
  else
    return value ? detail::Value(value->value()) : detail::Value{};
}

/// What an entry says besides its figures.
void add_notes(Record& record, const std::string& source, const parts::Notes& notes);

/// An entry as a record: its name, every key of its kind, its notes.
template <class Part>
Record listed_record(const Part& part) {
  Record record;
  record["name"] = part.name;
  std::apply(
      [&](const auto&... each) { ((record[each.key->name] = value_of(part.*each.member)), ...); },
      ListedKind<Part>::fields);
  add_notes(record, part.source, part.notes);
  return record;
}

/// The first figures of an entry in words: what tells it from its neighbours.
template <class Part>
std::string figures_of(const Part& part) {
  constexpr int most = 6;
  std::string text;
  int count = 0;
  const auto add = [&](std::string_view key, const auto& value) {
    using Figure = std::decay_t<decltype(value)>;
    std::string shown;
    if constexpr (std::is_same_v<Figure, std::string>) {
      shown = value;
    } else if constexpr (std::is_same_v<Figure, int>) {
      if (value != 0) shown = fmt::format("{} {}", value, key);
    } else if constexpr (Printable<Figure>) {
      if (!is_unset(value)) shown = print_plain(value);
    }
    if (shown.empty() || ++count > most) return;
    text += (text.empty() ? "" : ", ") + shown;
  };
  std::apply([&](const auto&... each) { (add(each.key->name, part.*each.member), ...); },
             ListedKind<Part>::fields);
  return text;
}

}  // namespace pitchline::io::detail

namespace pitchline::io {

/// The entries of a kind whose keys are fields, described. Reads all of them.
template <class Part>
std::vector<Described> described(const Shelf<Part>& shelf) {
  std::vector<Described> all;
  for (const auto& [name, part] : shelf)
    all.push_back({.name = name, .figures = detail::figures_of(part), .source = part.source});
  return all;
}

}  // namespace pitchline::io
